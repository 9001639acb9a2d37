"""Names are a stranger's text: whatever they hold, they are shown as they are and do nothing.

One week carries hostile text in every place where a file takes words of its own.
"""

from __future__ import annotations

import itertools
import json
import re
import unicodedata
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from models.words.priorities import PRIORITY_NAMES, ranked
from models.words.text import ISOLATES
from optimiser.rules import rules_of
from tests.oracle.test_faults import EVERY_RULE
from tests.weeks import document_of

from . import test_every_priority as every_command
from .command import Ran, call, columns, no_control, one_message, run, spawn
from .conftest import Made, make
from .schema import faults

MARKUP = "[bold red]Eve[/bold red]"
OPEN = "[/nothing]"
LINK = "[link=https://example.org]soup[/link]"
SCRIPT = "<script>alert(1)</script>"
FORMULA = "=1+1"
EMOJI = "\U0001f926\U0001f3fd\u200d\u2640\ufe0f \U0001f600"
MARKS = "Z\u0338\u0322\u031b\u0311\u0367a\u0337\u0301l\u0334go"
ARABIC = "\u062d\u0645\u0635"
WIDE = "\u5f01\u5f53" * 15
LONG = "Donaudampfschifffahrtsgesellschaftskapitaensmuetzenabzeichen"
BRACES = "{0} %s \\n $(id) `id`"
EMOJI_CODE = ":warning: [blink]x[/]"

WEEK = f"""\
week:
  name: "{MARKUP} {OPEN} {SCRIPT}"
  note: "{EMOJI_CODE} {BRACES.replace(chr(92), chr(92) * 2)} {EMOJI}"
  starts: 2026-11-30
  days: [mon, tue, wed]
  currency: "[red]$"
  guidance: us
no_lunch:
  - {{day: wed, why: "{OPEN} {FORMULA}"}}
eaters:
  "{MARKUP}":
    box: "{OPEN}"
    must_not: {{allergens: [milk], foods: ["{SCRIPT}"]}}
    likes: {{"{FORMULA}": 2}}
  "{ARABIC}": {{}}
batches:
  "{LINK}":
    made: 2026-11-29
    yield: 7 portions
    portion: 100 g
    nutrition: {{protein: 5 g}}
    nutrition_source: "{MARKUP}"
    fridge_life: 0 to 1
    life_source: "{OPEN}"
    freezes: yes
    allergens: none
    free_of: others
    foods: ["{MARKS}", "{EMOJI}"]
larder:
  "{SCRIPT}":
    pack: 1 piece
    chilled: no
    price: 1
  "{EMOJI}":
    pack: 100 g
    chilled: no
    price: 1
    opened_life: 1
    nutrition_source: "{SCRIPT}"
    allergens: none
    free_of: others
  "{WIDE}":
    pack: 3 pieces
    chilled: no
    price: 1
    nutrition_source: "{LINK} {MARKS}"
    allergens: none
    free_of: others
    foods: ["[x]"]
foods:
  "{MARKUP} {MARKS}":
    nutrition: {{protein: 3 g}}
    keeps_as: cupboard
    also: ["{FORMULA}"]
    allergens: none
    families: none
    source: "{OPEN} {EMOJI}"
    source_id: "{FORMULA}"
choices:
  "{SCRIPT}":
    - "{EMOJI}": 10 g
    - "{WIDE}": 1 piece
dishes:
  "{FORMULA}":
    kind: "[kind]"
    takes: {{"{LINK}": 1 to 2}}
    choices: ["{SCRIPT}"]
  "{LONG}":
    kind: "{MARKS}"
    takes: {{"{LINK}": 1 to 2}}
    goes_in: {{"{WIDE}": 1 piece}}
    extras: {{"{EMOJI}": {{portion: 5 g}}}}
    ingredients: ["3 g {MARKUP} {MARKS}"]
boxes:
  "{OPEN}": {{compartments: [500 mL]}}
variety:
  kinds_apart: ["[kind]"]
"""


@pytest.fixture(scope="session")
def hostile(tmp_path_factory: pytest.TempPathFactory) -> Made:
    found = make(tmp_path_factory.mktemp("hostile"), WEEK)
    found.ran.done()
    return found


@pytest.fixture(scope="session")
def checked(hostile: Made) -> Ran:
    return run("check", "week.yaml", folder=hostile.folder).done()


@pytest.fixture(scope="session")
def audited(hostile: Made) -> Ran:
    plan = hostile.data()
    for line in plan["lunches"]:
        for part in line["batches"]:
            part["portions"], part["from_freezer"] = 9, 9
    path = hostile.folder / "edited.json"
    path.write_text(json.dumps(plan), encoding="utf-8")
    ran = run("audit", "edited.json", folder=hostile.folder)
    assert (ran.code, ran.err) == (1, "")
    return ran


_NO_ISOLATES = {ord(mark): None for mark in ISOLATES}


def unwrapped(text: str) -> str:
    """Take out what wrapping and isolating add, so that a name is found wherever it was broken."""
    return "".join(text.translate(_NO_ISOLATES).split())


def shown(name: str, text: str) -> bool:
    return unwrapped(name) in unwrapped(text)


# -- the report --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name",
    [
        MARKUP,
        OPEN,
        LINK,
        SCRIPT,
        FORMULA,
        EMOJI,
        MARKS,
        ARABIC,
        WIDE,
        LONG,
        BRACES,
        EMOJI_CODE,
        "[red]$",
    ],
)
def test_a_name_is_shown_as_it_is(name: str, hostile: Made, checked: Ran) -> None:
    assert shown(name, hostile.ran.out + checked.out)


def test_dishes_and_batches_are_shown_as_they_are_in_each_report(
    hostile: Made, checked: Ran, audited: Ran
) -> None:
    for name in (FORMULA, LONG):
        assert shown(name, hostile.ran.out)
        assert shown(name, audited.out)
    for text in (hostile.ran.out, checked.out, audited.out):
        assert shown(LINK, text)


def test_nothing_steers_the_terminal(hostile: Made, checked: Ran, audited: Ran) -> None:
    for text in (hostile.ran.out, checked.out, audited.out):
        assert text
        no_control(text)


def test_reports_stay_within_eighty_columns(hostile: Made, checked: Ran, audited: Ran) -> None:
    for text in (hostile.ran.out, checked.out, audited.out):
        assert columns(text) <= 80


# -- the data ----------------------------------------------------------------------------


def test_the_data_has_every_name_unchanged(hostile: Made) -> None:
    plan = hostile.data()
    assert {line["eater"] for line in plan["lunches"]} == {MARKUP, ARABIC}
    assert {line["dish"] for line in plan["lunches"]} <= {FORMULA, LONG}
    assert {part["batch"] for line in plan["lunches"] for part in line["batches"]} == {LINK}
    assert plan["name"] == f"{MARKUP} {OPEN} {SCRIPT}"
    assert plan["currency"] == "[red]$"
    assert plan["week"]["week"]["note"] == f"{EMOJI_CODE} {BRACES} {EMOJI}"
    data = run("check", "week.yaml", "--json", folder=hostile.folder).done().data
    assert data["batches"][LINK]["foods"] == sorted([MARKS.casefold(), EMOJI])
    assert data["larder"][WIDE]["foods"] == ["[x]"]


def test_a_saved_plan_is_accepted_again(hostile: Made) -> None:
    ran = run("audit", "plan.json", "--json", folder=hostile.folder).done()
    assert ran.data["faults"] == []
    schema = run("schema", "--plan", folder=hostile.folder).done().data
    assert list(faults(hostile.data(), schema)) == []


def test_standard_input_is_utf8_whatever_the_locale(hostile: Made) -> None:
    # Both a week and a plan are UTF-8 by their own word, not by that of the machine.
    for more in ({"PYTHONIOENCODING": "latin-1"}, {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0"}):
        ran = spawn("audit", "-", "--json", folder=hostile.folder, stdin=hostile.text, more=more)
        assert ran.done().data["faults"] == []
        week = spawn("check", "-", "--json", folder=hostile.folder, stdin=WEEK, more=more).done()
        assert list(week.data["eaters"]) == [MARKUP, ARABIC]


# -- what is refused -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "old",
    [
        f'name: "{MARKUP}',
        f'note: "{EMOJI_CODE}',
        'currency: "[red]',
        f'    nutrition_source: "{LINK}',
        f'why: "{OPEN}',
        f'    nutrition_source: "{MARKUP}',
        f'life_source: "{OPEN}',
        'kind: "[kind]',
        f'foods: ["{MARKS}',
        f'foods: ["{SCRIPT}',
        'kinds_apart: ["[kind]',
        f'box: "{OPEN}',
        f'choices: ["{SCRIPT}',
        f'likes: {{"{FORMULA}',
        f'takes: {{"{LINK}": 1 to 2}}\n    choices',
        f'also: ["{FORMULA}',
        f'source: "{OPEN} {EMOJI}',
        f'source_id: "{FORMULA}',
        f'ingredients: ["3 g {MARKUP}',
    ],
)
def test_an_escape_in_any_text_is_refused(
    old: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert WEEK.count(old) == 1
    at = old.rindex('"') if '": 1 to 2' not in old else old.index('"')
    text = WEEK.replace(old, old[: at + 1] + "\\x1b[31m" + old[at + 1 :])
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = call("check", tmp_path / "week.yaml", capsys=capsys)
    one_message(ran, "week.yaml, line ")
    assert "control character" in ran.err or "there is no" in ran.err


BIDI = ("\u202e", "\u202a", "\u2066", "\u2067")
"""They turn the rest of a line around, so that what is read is not what is there."""


@pytest.mark.parametrize("character", [*BIDI, "\u2028", "\u0085"])
def test_what_turns_or_breaks_a_line_does_not_reach_the_terminal(
    character: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = WEEK.replace("[bold red]Eve", f"[bold red]{character}Eve")
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = call("check", tmp_path / "week.yaml", capsys=capsys)
    assert ran.code in (0, 2)
    assert "Traceback" not in ran.err
    assert character not in ran.out + ran.err
    if ran.code == 2:
        # Each place of the character is a fault, and each is told on lines of its own.
        assert ran.err.startswith("clearfridge: ")
        told = re.findall(r"line [0-9]+(?:, column [0-9]+)? \(", ran.err)
        assert len(ran.err.split("\n")) == 2 * len(told) + (1 if len(told) == 1 else 2)


@pytest.mark.parametrize("word", [LINK, OPEN, EMOJI, "\\x1b[31mus", "us\\u202e"])
def test_a_guidance_that_is_none_is_refused_without_harm(
    word: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = WEEK.replace("guidance: us", f'guidance: "{word}"')
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = call("check", tmp_path / "week.yaml", capsys=capsys)
    one_message(ran, "week.yaml, line 7 ", "is no guidance known here", "us")
    assert "\u202e" not in ran.err


def test_the_sum_behind_a_food_shows_hostile_text_as_it_is(
    hostile: Made, capsys: pytest.CaptureFixture[str]
) -> None:
    name = f"{MARKUP} {MARKS}"
    ran = call("check", hostile.week, "--trace", name, capsys=capsys).done()
    for text in (name, f"[{OPEN} {EMOJI} {FORMULA}]"):
        assert shown(text, ran.out)
    no_control(ran.out)
    assert columns(ran.out) <= 80


def test_a_message_shows_hostile_text_as_it_is(tmp_path: Path) -> None:
    text = WEEK.replace(f'    box: "{OPEN}"', '    box: "[/bold] <b>"')
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = run("check", "week.yaml", folder=tmp_path)
    one_message(ran, "[/bold] ", "<b>")


@pytest.mark.parametrize("unseen", ["\u202e", "\u200f", "\u200b", "\u2060", "\ufeff", "\u00ad"])
def test_what_nobody_sees_is_refused_in_a_name(
    unseen: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = WEEK.replace(f'    box: "{OPEN}"', f'    box: "a\\u{ord(unseen):04x}b"')
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = call("check", tmp_path / "week.yaml", capsys=capsys)
    one_message(
        ran, "week.yaml, line ", f"an unseen character is in this name (U+{ord(unseen):04X})"
    )
    assert not any(unicodedata.category(letter) == "Cf" for letter in ran.err)


# -- every command, every priority, every rule ---------------------------------------------------


def renamed(data: Any, names: dict[str, str]) -> Any:
    """Give plain data with other names, wherever they stand as keys or words."""
    if isinstance(data, dict):
        return {names.get(key, key): renamed(value, names) for key, value in data.items()}
    if isinstance(data, (list, tuple)):
        return [renamed(entry, names) for entry in data]
    if isinstance(data, Decimal):
        return int(data) if data == int(data) else float(data)
    if not isinstance(data, str):
        return data
    # A wish is a dish on a day for somebody.
    return "".join(names.get(part, part) for part in re.split(r"( on \w+ for |$)", data))


NAMES = {
    "Small": f"{MARKUP} {OPEN}",
    "Ada": f"{SCRIPT} {EMOJI}",
    "soup": LINK,
    "bread": FORMULA,
    "cheese": f"{WIDE} {MARKS}",
    "Soup": LONG,
    "Toast": f"{OPEN} {ARABIC}",
    "Plain": f"{SCRIPT} {BRACES}",
    "pot": "[kind]",
}
LONG_LINES = {"share", "calendar"}
"""Markdown and iCalendar have lines of their own."""


@pytest.mark.parametrize("command", every_command.ASKED)
def test_every_command_shows_hostile_names_and_they_do_nothing(
    command: str, tmp_path: Path
) -> None:
    order = ranked(PRIORITY_NAMES)
    plain = parse("week", every_command.WEEK.format(order=", ".join(order))).data
    week = json.dumps(renamed(plain, NAMES), ensure_ascii=False)
    (tmp_path / "week.yaml").write_text(week, encoding="utf-8")
    said = {"WEEK": "week.yaml", "NAME": order[0], "OTHER": "cost", "GOAL": "cost <= 1"}
    said |= NAMES | {"soup=3..5": f"{NAMES['soup']}=3..5"}
    run("plan", "week.yaml", "--save", "plan.json", folder=tmp_path).done()
    for words in every_command.ASKED[command]:
        ran = run(*(said.get(word, word) for word in words), folder=tmp_path)
        assert ran.err == "", words
        no_control(ran.out.replace("\r\n", "\n"))
        assert command in LONG_LINES or "html" in words or columns(ran.out) <= 80, words
        pages = [ran.out] if "html" in words else []
        pages += [path.read_text(encoding="utf-8") for path in tmp_path.glob("*.html")]
        assert not any(SCRIPT in page for page in pages), words
        as_json = run(*(said.get(word, word) for word in words), "--json", folder=tmp_path)
        assert json.loads(as_json.out) or as_json.out.strip() == "[]"


def test_every_rule_says_hostile_names_as_they_are(tmp_path: Path) -> None:
    named: dict[str, str] = {}
    kinds = {dish["kind"] for dish in EVERY_RULE["dishes"].values()}
    keys = ("eaters", "batches", "larder", "choices", "dishes", "boxes")
    hostile = itertools.cycle([MARKUP, OPEN, LINK, SCRIPT, FORMULA, MARKS, ARABIC, BRACES])
    for name in sorted(kinds.union(*(EVERY_RULE[key] for key in keys)) - {"pork"}):
        named[name] = f"{next(hostile)} {name}"
    text = json.dumps(renamed(EVERY_RULE, named), ensure_ascii=False)
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    data = run("check", "week.yaml", "--json", folder=tmp_path).done().data
    families = {rule["key"].partition(":")[0] for rule in data["rules"]}
    assert families == {rule.family for rule in rules_of(week_of(document_of(EVERY_RULE)))}
    text = run("check", "week.yaml", folder=tmp_path).done().out
    for rule in data["rules"]:
        assert shown(rule["sentence"], text), rule
    no_control(text)
    assert columns(text) <= 80
