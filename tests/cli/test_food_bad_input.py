"""A fault in what a week file says of food ends as one message: its line and how to mend it.

Nothing is guessed, nothing is planned, nothing is written: exit code 2, two lines, and the
folder is as it was.
"""

from __future__ import annotations

from pathlib import Path
from typing import TypeAlias

import pytest

from models.foods.measures import CUPS
from models.words.guidance import GUIDANCES

from .command import call, columns, one_message, run
from .week import edited as edited_there

Capture: TypeAlias = pytest.CaptureFixture[str]

HERE = "# here"

WEEK = """\
week:
  starts: 2026-11-30
  days: [mon, tue]
  guidance: us
  cups: label
eaters:
  Ada: {}
batches:
  pot:
    made: 2026-11-29
    yield: 4 portions
    ingredients:
      - 200 g carrots
      - 1 medium onion
larder:
  peanut butter:
    food: peanut butter
    pack: 300 g
    price: 6
prices:
  carrots:
    pack: 1 kg
    price: 1.20
dishes:
  Bowl:
    kind: bowl
    takes: {pot: 1 to 2}
    goes_in: {peanut butter: 10 g}
    ingredients:
      - 5 g parsley
"""

CARROTS, ONION, PARSLEY = "- 200 g carrots", "- 1 medium onion", "- 5 g parsley"
UNKNOWN = "the food table has no single food named"


def edited(old: str, new: str) -> str:
    return edited_there(old, new, WEEK)


def line_of(text: str) -> int:
    (line,) = [at for at, one in enumerate(text.splitlines(), start=1) if HERE in one]
    return line


def written(folder: Path, text: str) -> Path:
    path = folder / "week.yaml"
    path.write_text(text, encoding="utf-8")
    return path


# Name: what stands there, what is written instead, parts of the message.
Edit: TypeAlias = tuple[str, str, tuple[str, ...]]

FOODS: dict[str, Edit] = {
    "a food that is none": (
        CARROTS,
        "- 200 g zzzz  # here",
        ("'zzzz' is not in the table", "state its figures under 'foods'"),
    ),
    "a food that is nearly none": (
        CARROTS,
        "- 200 g carrot xylophones  # here",
        ("'carrot xylophones' is not in the table",),
    ),
    "a food that is several": (
        CARROTS,
        "- 1 cup chickpeas  # here",
        (
            "'chickpeas' may be dry, boiled or tinned",
            "Write one of: ",
            "chickpeas, boiled",
            "chickpeas, dry",
            "chickpeas, tinned, drained",
        ),
    ),
    "a food that is several, prepared": (
        CARROTS,
        "- 1 cup kidney beans, mashed  # here",
        ("'kidney beans' may be dry, boiled or tinned", "red kidney beans, dry"),
    ),
    "a larder item that is no food": (
        "food: peanut butter",
        "food: zzzz  # here",
        ("(larder > peanut butter > food)", f"{UNKNOWN} 'zzzz'", "under 'foods'"),
    ),
    "a larder item that is several": (
        "food: peanut butter",
        "food: kidney beans  # here",
        (f"{UNKNOWN} 'kidney beans'", "Write one of: ", "kidney"),
    ),
    "a morning food that is none": (
        PARSLEY,
        "- 5 g zzzz  # here",
        ("(dishes > Bowl > ingredients > entry 1)", "'zzzz' is not in the table"),
    ),
    "a price for a food that is none": (
        "  carrots:\n",
        "  zzzz:  # here\n",
        ("(prices > zzzz)", f"{UNKNOWN} 'zzzz'", "under 'foods'"),
    ),
    "a price for a food that is several": (
        "  carrots:\n",
        "  chickpeas:  # here\n",
        ("(prices > chickpeas)", f"{UNKNOWN} 'chickpeas'", "chickpeas, dry"),
    ),
}

AMOUNTS: dict[str, Edit] = {
    "a piece of what was never weighed": (
        CARROTS,
        "- 3 olive oil  # here",
        ("what one piece 'olive oil' weighs", "Its measures: cup (216 g), tbsp (13.5 g)"),
    ),
    "a measure that it has not": (
        CARROTS,
        "- 1 clove carrots  # here",
        ("what one clove 'carrot, raw' weighs", "cup, grated (110 g)"),
    ),
    "no amount": (
        CARROTS,
        "- chicken breast  # here",
        ("'chicken breast' does not say how much", "100 g chicken breast"),
    ),
    "an amount of nothing": (CARROTS, "- 0 g carrots  # here", ("is nothing", "above nothing")),
    "a negative amount": (
        CARROTS,
        '- "-200 g carrots"  # here',
        ("is less than nothing", "above nothing"),
    ),
    "a decimal comma": (CARROTS, '- "1,5 kg carrots"  # here', ("a comma", "after a point")),
    "a division by nothing": (CARROTS, "- 1/0 kg carrots  # here", ("divides by nothing",)),
    "a number alone": (CARROTS, "- 200  # here", ("'200'",)),
    "an empty line": (CARROTS, '- ""  # here', ("cannot be read",)),
    "a morning food by a measure it has not": (
        PARSLEY,
        "- 1 clove parsley  # here",
        ("what one clove 'parsley leaf, fresh' weighs", "sprig (1 g)"),
    ),
    "a pack by the piece of what was never weighed": (
        "    pack: 300 g",
        "    pack: 3 pieces",
        (
            "week.yaml, line 16 (larder > peanut butter)",
            "what one piece 'peanut butter, ",
            "'piece: 60 g'",
        ),
    ),
    "a price for a pack that cannot be weighed": (
        "    pack: 1 kg",
        "    pack: 1 clove  # here",
        ("(prices > carrots > pack)", "what one clove 'carrot, raw' weighs", "Its measures: "),
    ),
    "a price for a pack of nothing": (
        "    pack: 1 kg",
        "    pack: 0 kg  # here",
        ("(prices > carrots > pack)", "is nothing"),
    ),
    "a price for a pack without a number": (
        "    pack: 1 kg",
        "    pack: some  # here",
        ("(prices > carrots > pack)", "is no amount"),
    ),
    "a price that is none": (
        "    price: 1.20",
        "    price: cheap  # here",
        ("(prices > carrots > price)", "'cheap' is not a price", "as in 4.20"),
    ),
    "a price that is missing": (
        "  carrots:\n    pack: 1 kg\n    price: 1.20",
        "  carrots:  # here\n    pack: 1 kg",
        ("(prices > carrots)", "'price' is missing", "'price: 1.20'"),
    ),
}

SHARES: dict[str, Edit] = {
    f"{key} of {said}": (
        CARROTS,
        f"- {{what: 200 g carrots, {key}: {said}}}  # here",
        (f"> {key})", "is not a share below 100 %", "as in 10 %"),
    )
    for key in ("refuse", "drained")
    for said in ("120 %", "100 %", "-5 %", "half", "10", "0.1", "ten %", '"%"', "[10 %]")
}

SETTINGS: dict[str, Edit] = {
    "a guidance that is none": (
        "  guidance: us",
        "  guidance: eu  # here",
        ("(week > guidance)", "'eu' is no guidance", *(f"{name}: " for name in GUIDANCES)),
    ),
    "no guidance": (
        "week:\n  starts: 2026-11-30\n  days: [mon, tue]\n  guidance: us\n",
        "week:  # here\n  starts: 2026-11-30\n  days: [mon, tue]\n",
        ("whose fridge lives the dates follow", "'guidance: us'", "never assumed"),
    ),
    "cups that are none": (
        "  cups: label",
        "  cups: british  # here",
        ("(week > cups)", "'british' is no setting for cups", *(f"{name}: " for name in CUPS)),
    ),
    "a storage class that is none": (
        "    yield: 4 portions",
        "    yield: 4 portions\n    keeps_as: cooked ryce  # here",
        ("(batches > pot > keeps_as)", "no storage class named 'cooked ryce'", "'cooked rice'?"),
    ),
    "a storage class of a larder item that is none": (
        "    food: peanut butter",
        "    food: peanut butter\n    keeps_as: nut batter  # here",
        (
            "(larder > peanut butter > keeps_as)",
            "no storage class named 'nut batter'",
            "'nut butter'?",
        ),
    ),
    "a fridge life too long": (
        "    yield: 4 portions",
        "    yield: 4 portions\n    fridge_life: 5  # here",
        ("5 days is longer than is published", "Write 4 or less", "'own_risk: yes'"),
    ),
    "an opened life too long": (
        "    food: peanut butter",
        "    food: pesto\n    opened_life: 30  # here",
        ("30 days once opened is longer", "Write 3 or less", "'own_risk: yes'"),
    ),
    "an allergen left out": (
        CARROTS,
        "- {what: 200 g rolled oats, allergens: none}  # here",
        ("'rolled oats' holds gluten", "Add gluten"),
    ),
    "an allergen that is none": (
        CARROTS,
        "- {what: 200 g rolled oats, allergens: [glutton]}  # here",
        ("'glutton' is not one of the fourteen", "'gluten'?"),
    ),
    "a yield too heavy": (
        "    yield: 4 portions",
        "    yield: 4 portions  # here\n    portion: 1 kg",
        ("(batches > pot > yield)", "heavier than its ingredients", "list what is missing"),
    ),
    "a yield too light": (
        "    yield: 4 portions",
        "    yield: 4 portions  # here\n    portion: 1 g",
        ("(batches > pot > yield)", "lighter than its ingredients", "Mend the yield"),
    ),
}

SHAPES: dict[str, Edit] = {
    "food and ingredients both": (
        "  peanut butter:\n    food: peanut butter\n",
        "  peanut butter:  # here\n    food: peanut butter\n    ingredients: [100 g tomatoes]\n",
        ("(larder > peanut butter)", "both 'food' and 'ingredients'", "Keep one of the two."),
    ),
    "an ingredient that is a larder item too": (
        PARSLEY,
        "- 5 g peanut butter  # here",
        ("(dishes > Bowl > ingredients > entry 1)", "is a larder item too", "'goes_in'"),
    ),
    "sixty-one ingredients": (
        f"    ingredients:\n      {CARROTS}\n      {ONION}\n",
        "    ingredients:  # here\n" + "      - 1 g carrots\n" * 61,
        ("(batches > pot > ingredients)", "60", "61"),
    ),
    "no ingredients": (
        f"    ingredients:\n      {CARROTS}\n      {ONION}\n",
        "    ingredients: []  # here\n",
        ("(batches > pot > ingredients)", "no ingredients here", "List 1 to 60"),
    ),
    "ingredients that are no list": (
        f"    ingredients:\n      {CARROTS}\n      {ONION}\n",
        "    ingredients: 200 g carrots  # here\n",
        ("(batches > pot > ingredients)", "list"),
    ),
    "an ingredient with an unknown key": (
        CARROTS,
        "- {what: 200 g carrots, peeled: yes}  # here",
        (
            "unknown key 'peeled'",
            "Known here: allergens, drained, free_of, ready_to_eat, refuse, suits, what.",
        ),
    ),
    "an ingredient without its line": (
        CARROTS,
        "- {refuse: 10 %}  # here",
        ("'what' is missing", "'what: 400 g onions'"),
    ),
    "nothing for an ingredient": (CARROTS, "-  # here", ("nothing is said here",)),
    "a line of three hundred letters": (
        CARROTS,
        f"- 200 g {'x' * 300}  # here",
        ("longer than 300 characters", "Shorten it."),
    ),
    "an escape sequence in a line": (
        CARROTS,
        '- "200 g \\e[31mcarrots"  # here',
        ("control character", "printable text"),
    ),
}

EVERY = FOODS | AMOUNTS | SHARES | SETTINGS | SHAPES


def test_the_week_is_good_before_it_is_made_bad(tmp_path: Path, capsys: Capture) -> None:
    call("check", written(tmp_path, WEEK), capsys=capsys).done()


@pytest.mark.parametrize("name", EVERY)
def test_a_fault_is_told_with_its_line_and_nothing_is_written(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    old, new, parts = EVERY[name]
    text = edited(old, new)
    written(tmp_path, text)
    monkeypatch.chdir(tmp_path)
    where = (f"week.yaml, line {line_of(text)} (",) if HERE in new else ()
    for words in (("plan", "week.yaml", "--save", "kept.json"), ("check", "week.yaml")):
        one_message(call(*words, capsys=capsys), *where, *parts)
    assert [path.name for path in tmp_path.iterdir()] == ["week.yaml"]


@pytest.mark.parametrize("said", ["1 cup onion", "1 tbsp carrots", "1 tsp salt", "2 fl oz water"])
def test_a_spoon_that_could_be_any_is_refused(said: str, tmp_path: Path, capsys: Capture) -> None:
    text = edited(CARROTS, f"- {said}  # here").replace("  cups: label\n", "")
    ran = call("check", written(tmp_path, text), capsys=capsys)
    one_message(
        ran,
        f"week.yaml, line {line_of(text)} (batches > pot > ingredients > entry 1)",
        f"{said!r} is measured by cup or spoon, and the week does not say which",
        "'cups: label'",
        *CUPS,
    )


def test_what_is_weighed_or_poured_by_the_litre_needs_no_cups(
    tmp_path: Path, capsys: Capture
) -> None:
    text = edited(CARROTS, "- 100 mL whole milk").replace("  cups: label\n", "")
    call("check", written(tmp_path, text), capsys=capsys).done()


def test_sixty_ingredients_are_not_too_many(tmp_path: Path, capsys: Capture) -> None:
    old, new, _ = SHAPES["sixty-one ingredients"]
    text = edited(old, new.replace("      - 1 g carrots\n", "", 1))
    call("check", written(tmp_path, text), capsys=capsys).done()


def test_a_plan_that_is_there_stays_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.chdir(tmp_path)
    written(tmp_path, WEEK)
    call("plan", "week.yaml", "--save", "kept.json", capsys=capsys).done()
    kept = (tmp_path / "kept.json").read_bytes()
    written(tmp_path, edited(CARROTS, "- 200 g zzzz"))
    one_message(call("plan", "week.yaml", "--save", "kept.json", capsys=capsys), "'zzzz'")
    assert (tmp_path / "kept.json").read_bytes() == kept


def test_the_same_from_standard_input_and_as_a_command_of_its_own(tmp_path: Path) -> None:
    text = edited(CARROTS, "- 1 cup chickpeas  # here")
    ran = run("plan", "-", "--json", folder=tmp_path, stdin=text)
    one_message(ran, f"standard input, line {line_of(text)}", "'chickpeas' may be dry")
    assert list(tmp_path.iterdir()) == []


def test_the_good_week_is_printed_in_eighty_columns(tmp_path: Path, capsys: Capture) -> None:
    week = written(tmp_path, WEEK)
    assert columns(call("check", week, capsys=capsys).done().out) <= 80
    assert columns(call("plan", week, capsys=capsys).done().out) <= 80
