"""check tells every fault of a file at once, and none that only follows from another."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from models.file import yamltext
from models.file.every_fault import every_fault
from models.file.reading import ready_text, ready_weeks, week_of
from models.words.errors import InputError
from tests.depth import sized

from .command import BAD_INPUT, run

BAD = """\
week:
  starts: 2026-11-30
  days: [mon, teusday, wed]
  guidance: us
eaters:
  Me: {floors: {protien: 20 g}, box: tin}
batches:
  chilli:
    yeild: 12 portions
    keeps_as: pie
    cost: £1.50
  stew
    made: 2026-11-29
    yield: 8 portions
    ingredients:
      - 400 g carrots
      - 3 glops of zzyx
larder:
  bread: {food: wholemeal pitta bread, pack: 6}
dishes:
  Chilli: {takes: {chili: 1 to 3}, goes_in: {bread: 1 piece}}
  Stew: {takes: {stew: 3 to 1}, choices: [fruit]}
priorities: [left_overs]
"""
TOLD = [
    (3, 15, "Did you mean 'tuesday'?"),
    (6, 17, "Did you mean 'protein'?"),
    (6, 33, "There are none here."),
    (9, 5, "Did you mean 'yield'?"),
    (10, 5, "Known here:"),
    (11, 5, "Write a bare number: 1.50."),
    (12, 3, "Write 'stew:'."),
    (17, 9, ""),
    (19, 40, "Write an amount with its unit"),
    (21, 20, "Did you mean 'chilli'?"),
    (22, 18, "Write the smaller first: 1 to 3."),
    (22, 43, "There are none here."),
    (23, 14, "Did you mean 'left_over'?"),
]


def test_every_fault_is_told_in_the_order_of_lines_with_what_to_write(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text(BAD, encoding="utf-8")
    ran = run("check", "bad.yaml", "--json", folder=tmp_path)
    assert ran.code == BAD_INPUT
    faults = ran.data["faults"]
    assert [(fault["line"], fault["column"]) for fault in faults] == [told[:2] for told in TOLD]
    for fault, (_, _, mend) in zip(faults, TOLD, strict=True):
        assert fault["mend"].startswith(mend), fault
        assert fault["what"], fault


def test_a_reader_sees_the_same_list(tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text(BAD, encoding="utf-8")
    ran = run("check", "bad.yaml", folder=tmp_path)
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    lines = ran.err.splitlines()
    assert lines[0] == "clearfridge: bad.yaml: 13 faults"
    assert lines[1] == "line 3, column 15 (week > days > entry 2): 'teusday' is not a day"
    assert lines[2] == "  Did you mean 'tuesday'?"
    assert len(lines) == 1 + 2 * len(TOLD)


@pytest.mark.parametrize("name", ready_weeks())
def test_a_good_file_has_no_fault(name: str) -> None:
    week, faults = every_fault(name, ready_text(name))
    assert week is not None
    assert faults == []


EDITS = (
    # What stands in the starter, what is written instead, and how many faults that is.
    ("yield: 12 portions ", "yield: twelve ", 1),
    ("yield: 800 g", "yield: 800", 1),
    ("starts: 2026-11-30", "starts: soon", 1),
    ("  guidance: us\n", "", 1),
    ("  cups: label\n", "", 1),
    ("  lentil curry:\n", "  lentil cury:\n", 2),
    ("    pack: 6 pieces\n", "", 1),
    ("      - 250 g dried red lentils", "      - 250 g zzyx", 1),
    ("made: 2026-11-29 ", "made: 2027-11-29 ", 1),
    ("  fruit:\n", "  fruits:\n", 5),
)


@pytest.mark.parametrize(("old", "new", "count"), EDITS)
def test_what_follows_from_a_fault_is_left_out(old: str, new: str, count: int) -> None:
    text = ready_text("starter")
    assert old in text
    week, faults = every_fault("starter", text.replace(old, new, 1))
    assert week is None
    assert len(faults) == count, [fault.text for fault in faults]


def test_files_broken_at_random_have_faults_just_where_a_reader_refuses_them() -> None:
    chance = random.Random(13)
    for _ in range(sized(6, 100)):
        lines = ready_text("short").splitlines()
        for _ in range(chance.randint(1, 4)):
            at = chance.randrange(len(lines))
            old, new = chance.choice([(":", ""), ("e", "ee"), ("0", "x"), ("  ", " "), ("a", "z")])
            lines[at] = lines[at].replace(old, new, 1)
        text = "\n".join(lines) + "\n"
        week, faults = every_fault("w", text)
        try:
            week_of(yamltext.parse("w", text))
        except InputError:
            assert week is None, text
            assert faults, text
        else:
            assert week is not None, text
            assert faults == [], text
        told = [fault.where.line or 0 for fault in faults]
        assert told == sorted(told), text


def test_tabs_are_told_beside_every_other_fault() -> None:
    text = ready_text("short").replace("    yield:", "\tyield:").replace("mon, ", "mno, ")
    week, faults = every_fault("w", text)
    assert week is None
    told = [fault.what for fault in faults]
    tabs = sum(line.startswith("\t") for line in text.splitlines())
    assert tabs >= 2
    assert sum("a tab indents" in what for what in told) == tabs
    assert len(told) > tabs or "mno" not in text


def test_a_fault_of_a_value_itself_is_told_though_its_name_is_doubtful() -> None:
    text = ready_text("starter")
    broken = re.sub(r"(takes: \{[^:]+: )[^,}]+", r"\g<1>3 to 1", text, count=1)
    broken = broken.replace("yield: ", "yield: x", 1)
    assert broken.count("3 to 1") == 1
    _, faults = every_fault("w", broken)
    assert any("runs downwards" in fault.what for fault in faults), [fault.text for fault in faults]


WEEK = """\
week: {starts: 2026-11-30, days: [mon, tue], guidance: uk, cups: metric}
eaters:
  Ada:
    floors: {protein: 20 g}
batches:
  chilli:
    made: sun
    yield: 4 portions
    ingredients:
      - 500 g beef mince
      - 1 onion
larder:
  bread: {food: rye bread, pack: 10 pieces, piece: 50 g, price: 1.50}
dishes:
  Chilli and bread:
    takes: {chilli: 2}
    goes_in: {bread: 1 piece}
"""
# What is slipped, as what, and the line and column told. What is told to be written is what stood.
SLIPS = [
    ("batches:", "batchs:", 5, 1),
    ("    made: sun", "   made: sun", 7, 4),
    ("    made: sun", "      made: sun", 7, 7),
    ("    made: sun", "\tmade: sun", 7, 1),
    ("    made: sun", "    made:sun", 7, 5),
    ("    made: sun", "    made = sun", 7, 5),
    ("    made: sun", "    made sun", 7, 5),
    ("  chilli:", "  chilli", 6, 3),
    ("      - 1 onion", "      -1 onion", 11, 7),
    ("      - 1 onion", "      • 1 onion", 11, 7),
    ("      - 1 onion", "      1 onion", 11, 7),
    ("      - 1 onion", "      - {1 onion}", 11, 9),
    ("{protein: 20 g}", "{protein: >20 g}", 4, 5),
    ("  chilli:", "  chilli: mine", 6, 3),
    ("    takes: {chilli: 2}", "    takes: chilli: 2", 16, 5),
    ("- 1 onion", "- onion: 1", 11, 9),
    ("  Chilli and bread:", '  "Chilli and bread:', 15, 3),
    ("    takes: {chilli: 2}", "    takes: {chilli: 2", 16, 5),
    ("days: [mon, tue]", "days: mon, tue", 1, 39),
    ("days: [mon, tue]", "days: [mon, tue", 1, 1),
    ("price: 1.50", "price: 1,50", 13, 67),
    ("cups: metric", "cups: metrics", 1, 60),
]


@pytest.mark.parametrize(("meant", "slip", "line", "column"), SLIPS)
def test_a_slip_is_told_with_what_was_meant(meant: str, slip: str, line: int, column: int) -> None:
    assert every_fault("week", WEEK)[1] == []
    week, faults = every_fault("week", WEEK.replace(meant, slip))
    assert week is None
    assert [(fault.where.line, fault.where.column) for fault in faults] == [(line, column)], faults
    # A list, a price or a line as it should be, a word in quotes, or blanks before it.
    told = re.sub(
        r"Write (\d+) spaces before '(.*)'\.", lambda m: " " * int(m[1]) + m[2], faults[0].mend
    )
    words = meant.strip().replace("Chilli and bread", '"Chilli and bread"').rstrip(":")
    assert words in told or words.split(": ")[-1] in told, told


def test_a_line_that_no_indentation_mends_is_told_once() -> None:
    text = "dishes:\n  Pot:\n     minutes: 4, microwave: yes}\n  Pie:\n    {kind: pie}\n"
    told = [fault.text for fault in every_fault("week", text)[1]]
    assert len(set(told)) == len(told)
    assert "Write '{minutes: 4, microwave: yes}'." in told[2]


def test_several_slips_are_told_at_once_and_a_large_file_is_not_tried() -> None:
    text = WEEK.replace("made: sun", "made:sun").replace("- 1 onion", "-1 onion")
    assert [fault.where.line for fault in every_fault("week", text)[1]] == [7, 11]
    large = WEEK.replace("made: sun", "made:sun") + "# much more\n" * 6_000
    assert "not YAML" in every_fault("week", large)[1][0].what


PIE = """\
week: {starts: 2026-11-30, days: [mon], guidance: us}
eaters: {Ann: {}}
batches:
  pie:
    made: 2026-11-29
    keeps_as: pie
    cost 3.50
    yield: 4 portions
    ingredients: [400 g onions]
dishes: {Pie: {takes: {pie: 1}}}
"""


@pytest.mark.parametrize("days", ["[mno, tue]", "[tue, mno]", "[mno]", "mno-tue"])
def test_of_a_day_that_is_none_only_its_slip_is_told_and_all_that_stands_below(days: str) -> None:
    text = WEEK.replace("[mon, tue]", days).replace("1 onion", "1 glop").replace("10 pieces", "10")
    _, faults = every_fault("week", text + "no_lunch: [{day: wed}]\n")
    assert [fault.where.line for fault in faults] == [1, 11, 13], [one.text for one in faults]
    assert faults[0].mend == "Did you mean 'mon'?"


def test_a_first_day_that_is_no_date_hides_nothing_but_what_hangs_on_it() -> None:
    text = WEEK.replace("2026-11-30", "soon").replace("[mon, tue]", "[tue, wed]")
    _, faults = every_fault("week", text.replace("made: sun", "made: 30 June"))
    assert [fault.where.line for fault in faults] == [1, 7], [one.text for one in faults]
    _, faults = every_fault("week", text.replace("made: sun", "made: 2025-01-01"))
    assert [fault.where.line for fault in faults] == [1], [one.text for one in faults]


def test_a_value_with_a_point_wants_its_colon_and_a_batch_may_be_called_like_its_fault() -> None:
    _, faults = every_fault("w", PIE)
    assert [(fault.where.line, fault.mend[:24]) for fault in faults] == [
        (6, "Known here: bakes and gr"),
        (7, "Write 'cost: 3.50'."),
    ]
    _, faults = every_fault("w", PIE.replace("cost 3.50", "cost: £3.50"))
    assert [fault.where.line for fault in faults] == [6, 7]


def test_a_name_with_a_comma_is_told_in_quotes_and_so_is_what_a_comma_cut() -> None:
    _, faults = every_fault("week", WEEK.replace("rye bread", "tinned tuna in spring water"))
    assert '"tuna in water, tinned, drained"' in faults[0].mend
    _, faults = every_fault("week", WEEK.replace("rye bread", "tuna in water, tinned, drained"))
    assert faults[0].mend == "Write 'food: \"tuna in water, tinned, drained\"'."


MANY = """\
week: {starts: 30/11/2026, days: [mon, tue], guidance: uk, cups: metric, guidance: us}
place: {fridge: maybe}
elsewhere:
  - day: tue, fridge: no, cold_packs: 2
eaters:
  Ada: {floors: {protein: 20}, box: tin, likes: {Chili: 2}}
batches:
  chilli:
    made: 1 Dec 2026
    yield: six portions
    freezer: 1 or 2
    ingredients: 500 g beef mince, 1 onion
    steps:
      - {do: fry the onions lasts: 10 min}
 larder:
  bread: {food: rye bread, pack: ten pieces, opened_life: 2 days}
choices:
  more: {bread: 1 slice}
dishes:
  Chilli:
    takes: chilli: 2
    goes_in: {bread: 1, bread 2 pieces}
    choices: more
boxes: {tin: {compartments: 500 mL}}
variety: {kinds_apart: [soop]}
kitchen: {starts: 9 am, rings: four}
times: {zone: London}
no_lunch: tue
"""
INSTEAD = [
    (1, "Write 2026-11-30."),
    (1, "Keep one of the two"),
    (2, "Write yes or no."),
    (4, "Write '- {day: tue, fridge: no, cold_packs: 2}'."),
    (6, "'20 g'"),
    (6, "Did you mean 'Chilli'?"),
    (9, "Write 2026-12-01."),
    (10, "'6 portions'"),
    (11, "Write 1 to 2."),
    (12, "Write 'ingredients: [500 g beef mince, 1 onion]'."),
    (14, "Write '- {do: fry the onions, lasts: 10 min}'."),
    (15, "Write 0 spaces before 'larder:'."),
    (16, "'10 pieces'"),
    (16, "Write 2."),
    (18, "Write 'more: [{bread: 1 slice}]'."),
    (21, "Write 'takes: {chilli: 2}'."),
    (22, "'1 piece'"),
    (22, "Write 'bread: 2 pieces'."),
    (23, "Write 'choices: [more]'."),
    (24, "Write 'compartments: [500 mL]'."),
    (25, "Known here: Chilli."),
    (26, 'Write "09:00".'),
    (26, "Write 4."),
    (27, "Did you mean 'Europe/London'?"),
    (28, "Write 'no_lunch: [{day: tue}]'."),
]


def test_what_to_write_instead_has_the_own_words_and_numbers() -> None:
    _, faults = every_fault("w", MANY)
    for fault, (line, mend) in zip(faults, INSTEAD, strict=True):
        assert (fault.where.line, mend in fault.mend) == (line, True), fault.text


def test_names_of_a_section_that_is_no_section_are_not_told_too() -> None:
    text = WEEK.replace(WEEK[WEEK.index("  bread: {") : WEEK.index("dishes:")], "  [bread]\n")
    (fault,) = every_fault("week", text)[1]
    assert fault.mend == "Write 'larder: {bread: {pack: 250 g}}'."
    (fault,) = every_fault("week", WEEK.replace("  bread: {f", "  - bread: {f"))[1]
    assert fault.mend == "Leave out the '-' before each name."


def test_what_stands_under_a_head_without_its_blanks_is_pushed_in() -> None:
    week = "week:\nstarts: 2026-11-30\n  days: [mon, tue]\n  guidance: uk\n  cups: metric\n"
    (fault,) = every_fault("week", week + WEEK[WEEK.index("eaters:") :])[1]
    assert fault.mend == "Write 2 spaces before 'starts: 2026-11-30'."


@pytest.mark.parametrize("section", ["week", "eaters", "dishes"])
def test_what_a_file_lacks_hides_no_fault_below(section: str) -> None:
    text = re.sub(rf"^{section}:.*\n( .*\n)*", "", WEEK, flags=re.MULTILINE)
    _, faults = every_fault("week", text.replace("10 pieces", "10"))
    told = [fault.what for fault in faults]
    assert told == [f"{section!r} is missing", "10 has no unit"]
    assert f"'{section}: {{" in faults[0].mend


MISREAD = """\
week: {starts: 2026-11-30, guidance: uk}
eaters:
  Ann: {avoids: [penuts]}
  Bob: {must_not: [penuts, vegan]}
batches:
  Chilli:
    ingredients: [2 x 400 g tins kidney beans, drained, rinsed, 2 large onions]
    yield: six
larder:
  onions: {food: onions, pack: 200g, price 2.50}
  carrots:
    food: carrots
    pack: 200g, price 2.50
dishes:
  Chilli: {takes: {Chilli: 1}}
"""
MEANT = (
    (3, "Did you mean 'must_not'?"),
    (3, "Write 'must_not: {foods: [peanuts]}'."),
    (4, "Write 'must_not: {foods: [peanuts], diet: vegan}'."),
    (7, 'Put quotes round the whole line: "2 x 400 g tins kidney beans, drained, rinsed".'),
    (8, "Write a yield as in '6 portions' or '6 pieces'."),
    (10, "Write each by itself: 'pack: 200g' and 'price: 2.50'."),
    (13, "Write each by itself: 'pack: 200g' and 'price: 2.50'."),
)


def test_what_a_cook_reads_is_what_was_meant_and_settles() -> None:
    week, faults = every_fault("w", MISREAD)
    assert week is None
    assert [(fault.where.line, fault.mend) for fault in faults] == [*MEANT]
    mended = (
        MISREAD.replace("avoids: [penuts]", "must_not: {foods: [peanuts]}")
        .replace("[penuts, vegan]", "{foods: [peanuts], diet: vegan}")
        .replace("2 x 400 g tins kidney beans, drained, rinsed", f"{MEANT[3][1][33:-1]}")
        .replace("six", "6 portions")
        .replace("200g, price 2.50}", "200g, price: 2.50}")
        .replace("200g, price 2.50", "200g\n    price: 2.50")
    )
    assert every_fault("w", mended)[1] == []


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("yield: 6 portions", "serves: 6", ["'yield'?", "'6 portions' or '6 pieces'."]),
        ("price: 1.20", "cost: 1.20", ["'price'?"]),
        ("pack: 6 pieces, price: 1.20", "pack: 6 pieces, cost 1.20", ["'price: 1.20'."]),
        (
            "compartments: [900 mL]",
            "size: 900 mL",
            ["'compartments'?", "'compartments: [900 mL]'."],
        ),
        (
            "goes_in: {pitta: 1 piece}",
            "with: pitta",
            ["'goes_in'?", "'goes_in: {pitta: 1 piece}'."],
        ),
        ("must_not: {foods: [milk]}", "energy: 600 kcal", ["'ceilings: {energy: 600 kcal}'."]),
        ("[900 mL]", "[650, 350 mL]", ["'650 mL'."]),
        ("[900 mL]", "[1,2 L]", ["Write '1.2 L'."]),
        ("\nbatches:", "\nrecipes:", ["'batches'?"]),
        ("\neaters:", "\npeople:", ["'eaters'?"]),
        ("{compartments: [900 mL]}", "900 mL", ["'{compartments: [900 mL]}'."]),
        ("yield: 6 portions", "yield: 6-8 portions", ["as in '6 portions' or '8 portions'."]),
        ("6 pieces, price: 1.20", "1 bag, price: 95p", ["as in '30 g'.", ": 0.95."]),
        ("{starts", "{days: weekdays, starts", ["Write mon-fri."]),
        ("\n  Ann: {box: tub, must_not: {foods: [milk]}}", " Ann, Bob", ["{Ann: {}, Bob: {}}'."]),
        (
            "{yield: 6 portions, ingredients: [500 g kidney beans, 2 large onions]}",
            "\n    yield: 6 portions\n    ingredients:\n      500 g kidney beans\n      - 2 onions",
            ["Write a dash before the first line too: '- 500 g kidney beans'."],
        ),
        ("must_not: {foods: [milk]}", "vegan: yes", ["'must_not: {diet: vegan}'."]),
        ("{foods: [milk]}", "{foods: milk, shellfish}", ["'foods: [milk, shellfish]'."]),
        ("{foods: [milk]}", "{foods: [milk], shellfish}", ["'foods: [milk, shellfish]'."]),
    ],
)
def test_a_key_that_cooks_call_otherwise_is_told_with_its_value(
    old: str, new: str, told: list[str]
) -> None:
    assert every_fault("w", CALLED)[1] == []
    assert old in CALLED
    faults = every_fault("w", CALLED.replace(old, new))[1]
    assert [fault.mend.endswith(end) for fault, end in zip(faults, told, strict=True)] == [
        True for _ in told
    ], [fault.text for fault in faults]


CALLED = """\
week: {starts: 2026-11-30, guidance: uk}
eaters:
  Ann: {box: tub, must_not: {foods: [milk]}}
batches:
  chilli: {yield: 6 portions, ingredients: [500 g kidney beans, 2 large onions]}
larder:
  pitta: {food: wholemeal pitta bread, pack: 6 pieces, price: 1.20}
boxes:
  tub: {compartments: [900 mL]}
dishes:
  Chilli: {takes: {chilli: 1}, goes_in: {pitta: 1 piece}}
"""
