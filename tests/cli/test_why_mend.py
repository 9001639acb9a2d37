"""`why`, `mend` and wishes at the command line: codes, files, JSON, refusals, hostile text.

Whatever is refused is refused before anything is solved or written, in one message that says
where, what and how to mend it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.answers.mend import MendFile
from models.answers.plan import PlanFile
from models.answers.why import WhyFile
from models.file import yamltext
from models.file.reading import ready_text, week_of
from models.week.packed import PackedWeek
from models.week.week import Week
from optimiser.auditing import packed_of
from optimiser.board.rows import Sum
from optimiser.planning import plan_week
from tests.depth import sized
from tests.optimiser.asking import Question, drawn, named
from tests.weeks import TINY, document_of

from . import test_hostile_text as hostile
from .command import (
    BAD_INPUT,
    DONE,
    NO_PLAN,
    NO_TIME,
    Ran,
    call,
    columns,
    no_control,
    one_message,
    run,
)
from .conftest import Made
from .test_commands import on_a_terminal
from .week import WEEK, edited, hard

Capture: TypeAlias = pytest.CaptureFixture[str]

WASTEFUL = edited("yield: 6 pieces", "yield: 8 pieces  # a tray")
"""Two pieces too many are made, whatever is packed."""

TOO_MUCH = edited("{protein: 8 g}", "{protein: 11 g}  # as Ada says")
"""Bowl and Dry lunch cannot hold so much protein, and something has to come on each day."""

FOR_TWO = (
    edited("eaters:\n", "eaters:\n  Bo: {likes: {Plate: 1}}\n")
    .replace("yield: 6 pieces", "yield: 14 pieces")
    .replace("yield: 240 g", "yield: 480 g")
    .replace("most_times: 1", "most_times: 2")
    .replace("microwave: no}", "microwave: yes}")
)
"""Twice as much for twice as many, and less strict."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Give a folder with weeks to ask about."""
    weeks = {
        "week": WEEK,
        "wasteful": WASTEFUL,
        "impossible": TOO_MUCH,
        "two": FOR_TWO,
        "ready": ready_text("impossible"),
    }
    for name, text in weeks.items():
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    return tmp_path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def asked(folder: Path, *words: str, capsys: Capture) -> Ran:
    """Ask in this process about a week of the folder."""
    command, file, *rest = words
    return call(command, folder / file, *rest, capsys=capsys)


# -- exit codes --------------------------------------------------------------------------


def test_why_says_by_its_code_how_it_went(folder: Path, capsys: Capture) -> None:
    (folder / "hard.yaml").write_text(hard(6), encoding="utf-8")
    for words, code in (
        (("week.yaml",), DONE),
        (("week.yaml", "tue"), DONE),
        (("week.yaml", "tue", "--not", "Plate"), DONE),
        (("week.yaml", "--better", "minutes"), DONE),
        (("impossible.yaml",), NO_PLAN),
        (("impossible.yaml", "tue"), NO_PLAN),
        (("impossible.yaml", "--better", "cost"), NO_PLAN),
        (("week.yaml", "someday"), BAD_INPUT),
        (("hard.yaml", "--seconds", "0.01"), NO_TIME),
    ):
        ran = asked(folder, "why", *words, capsys=capsys)
        assert ran.code == code, (words, ran)
        assert (ran.out == "") == (code == BAD_INPUT)
        assert (ran.err == "") == (code != BAD_INPUT)


def test_fix_says_by_its_code_how_it_went(folder: Path, capsys: Capture) -> None:
    before = names(folder)
    for words, code in (
        (("week.yaml",), DONE),
        (("wasteful.yaml",), DONE),
        (("impossible.yaml",), DONE),
        (("week.yaml", "--allow", "Pot on mon"), NO_PLAN),
        (("week.yaml", "--until", "cost=9"), DONE),
        (("week.yaml", "--until", "all is well"), BAD_INPUT),
    ):
        ran = asked(folder, "mend", *words, capsys=capsys)
        assert ran.code == code, (words, ran)
        assert (ran.err == "") == (code != BAD_INPUT)
    assert names(folder) == before


def test_a_week_without_a_plan_says_why_whatever_was_asked(folder: Path, capsys: Capture) -> None:
    plain = asked(folder, "why", "impossible.yaml", capsys=capsys).out
    assert "Ada needs 11 g protein in each lunch" in plain
    for words in (("--all",), ("mon",), ("mon", "--not", "Tart"), ("--better", "cost")):
        assert asked(folder, "why", "impossible.yaml", *words, capsys=capsys).out == plain


def test_a_week_out_of_time_claims_nothing(folder: Path, capsys: Capture) -> None:
    (folder / "hard.yaml").write_text(hard(6), encoding="utf-8")
    ran = asked(folder, "why", "hard.yaml", "--seconds", "0.01", "--json", capsys=capsys)
    assert ran.code == NO_TIME
    assert (ran.data["status"], ran.data["conflict"]) == ("unknown", [])
    ran = asked(folder, "why", "hard.yaml", "--seconds", "0.01", capsys=capsys)
    assert "No plan was found in time" in ran.out


# -- what is refused -----------------------------------------------------------------------

REFUSED: list[tuple[tuple[str, ...], tuple[str, ...]]] = [
    # Days, dishes, eaters, priorities.
    (("why", "week.yaml", "fri"), ("DAY: 'fri' is not a day", "Its days are mon, tue, wed, thu.")),
    (("why", "week.yaml", ""), ("DAY: '' is not a day", "mon, tue, wed, thu")),
    (("why", "week.yaml", "2026-11-29"), ("DAY: '2026-11-29' is not", "mon, tue, wed, thu")),
    (("why", "week.yaml", "mon", "--not", "Tartt"), ("--not: there is no dish", "'Tart'?")),
    (("why", "week.yaml", "mon", "--eater", "Adda"), ("--eater: there is no eater", "'Ada'?")),
    (("why", "week.yaml", "--all", "--eater", "Bo"), ("--eater: there is no eater", "Ada")),
    (("why", "two.yaml", "mon"), ("--eater: several eat on that day", "Say whose: Bo, Ada.")),
    (
        ("why", "two.yaml", "mon", "--not", "Tart"),
        ("--eater: several eat on that day", "Say whose"),
    ),
    (("why", "week.yaml", "--better", "costs"), ("--better: 'costs' is no priority", "'cost'?")),
    (("why", "week.yaml", "--better", "file_order"), ("--better: 'file_order' is no", "Known")),
    # More than one question, or half of one.
    (("why", "week.yaml", "mon", "--all"), ("why: that is more than one", "--better or --all")),
    (("why", "week.yaml", "mon", "--better", "cost"), ("why: that is more than", "Give a day")),
    (("why", "week.yaml", "--all", "--better", "cost"), ("why: that is more than", "Give a day")),
    (("why", "week.yaml", "--not", "Tart"), ("--not: the day is missing", "why FILE DAY --not")),
    (("why", "week.yaml", "--not", "Tart", "--all"), ("--not: the day is missing", "DAY --not")),
    # Goals.
    (("mend", "week.yaml", "--until", "cheap"), ("--until: 'cheap' is no goal", '"cost <= 18"')),
    (("mend", "week.yaml", "--until", ""), ("--until: '' is no goal", "none-left")),
    (("mend", "week.yaml", "--until", "cost <= x"), ("--until: 'cost <= x' is no goal", "Write")),
    (("mend", "week.yaml", "--until", "cost <= 1 <= 2"), ("--until: ", "is no goal", "Write")),
    (("mend", "week.yaml", "--until", "cost >= 8"), ("better lower", 'Write "cost <= 8".')),
    (("mend", "week.yaml", "--until", "cost < 8"), ("cost is better lower", 'Write "cost <= 8".')),
    (("mend", "week.yaml", "--until", "liking <= 8"), ("better higher", 'Write "liking >= 8".')),
    (("mend", "week.yaml", "--until", "price <= 8"), ("--until: 'price' is no priority", "cost")),
    (
        ("mend", "week.yaml", "--until", "file order <= 8"),
        ("--until: 'file order' is no", "Known here"),
    ),
    # Wishes.
    (("mend", "week.yaml", "--allow", "Tart"), ("--allow: 'Tart' is no dish on a day", "Write it")),
    (("mend", "week.yaml", "--allow", "on mon"), ("--allow: 'on mon' is no dish", "Write it")),
    (("mend", "week.yaml", "--allow", "Tartt on mon"), ("--allow: there is no dish", "'Tart'?")),
    (("mend", "week.yaml", "--allow", "Tart on sat"), ("--allow: 'sat' is not", "mon, tue, wed")),
    (("mend", "week.yaml", "--allow", "Tart on mon for Bo"), ("--allow: there is no eater", "Ada")),
    (("plan", "week.yaml", "--prefer", "Tart"), ("--prefer: 'Tart' is no dish on", "Write it as")),
    (("plan", "week.yaml", "--prefer", "Trat on mon"), ("--prefer: there is no dish", "'Tart'?")),
    (("plan", "week.yaml", "--prefer", "Tart on so"), ("--prefer: 'so' is not a day", "mon, tue")),
    (
        ("plan", "two.yaml", "--prefer", "Tart on mon for Cy"),
        ("--prefer: there is no e", "Ada, Bo"),
    ),
    (("plan", "week.yaml", "--keep", "none.json"), ("none.json: there is no such file", "Check")),
    (("plan", "week.yaml", "--keep", "week.yaml"), ("week.yaml, line 1: this is not JSON", "plan")),
    # Files to write.
    (("mend", "wasteful.yaml", "--take", "1"), ("mend: --take and -o go together", "-o NEW.yaml")),
    (("mend", "wasteful.yaml", "-o", "new.yaml"), ("mend: --take and -o go", "--take 1 -o NEW")),
    (
        ("mend", "wasteful.yaml", "--take", "1", "-o", "week.yaml"),
        ("week.yaml: it is there already", "Name another file"),
    ),
    (
        ("mend", "wasteful.yaml", "--take", "1", "-o", "wasteful.yaml"),
        ("wasteful.yaml: it is there already", "Name another file"),
    ),
    (
        ("mend", "wasteful.yaml", "--take", "1", "-o", "."),
        (".: a week cannot be written there", "Name an ordinary file"),
    ),
    (
        ("mend", "wasteful.yaml", "--take", "1", "-o", "no/new.yaml"),
        ("no/new.yaml: a week cannot be written there", "in a folder that is there"),
    ),
    (
        ("mend", "wasteful.yaml", "--take", "9", "-o", "new.yaml"),
        ("--take: there is no way 9", "nothing was written"),
    ),
    (
        ("mend", "week.yaml", "--allow", "Pot on mon", "--take", "1", "-o", "new.yaml"),
        ("--take: there is no way 1", "None was found."),
    ),
]


@pytest.mark.parametrize(("words", "parts"), REFUSED)
def test_bad_input_is_refused_and_nothing_is_written(
    words: tuple[str, ...],
    parts: tuple[str, ...],
    folder: Path,
    capsys: Capture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = {name: (folder / name).read_bytes() for name in names(folder)}
    monkeypatch.chdir(folder)
    one_message(call(*words, capsys=capsys), *parts)
    assert {name: (folder / name).read_bytes() for name in names(folder)} == before


@pytest.mark.parametrize(
    "words",
    [
        ("why", "week.yaml", "--seconds", "0"),
        ("why", "week.yaml", "mon", "tue"),
        ("mend", "week.yaml", "-n", "0"),
        ("mend", "week.yaml", "-n", "13"),
        ("mend", "week.yaml", "-n", "many"),
        ("mend", "week.yaml", "--take", "first", "-o", "new.yaml"),
        ("mend", "week.yaml", "--take", "0", "-o", "new.yaml"),
        ("mend", "week.yaml", "--take", "99", "-o", "new.yaml"),
        ("why",),
        ("mend",),
    ],
)
def test_bad_usage_is_refused(words: tuple[str, ...], folder: Path, capsys: Capture) -> None:
    command, *rest = words
    ran = call(
        command, *(folder / one if one == "week.yaml" else one for one in rest), capsys=capsys
    )
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    assert re.search(rf"^Usage: \S.* {command} ", ran.err)
    assert not (folder / "new.yaml").exists()


def test_a_lunch_that_is_off_cannot_be_asked_about(capsys: Capture) -> None:
    one_message(call("why", "short", "mon", capsys=capsys), "DAY: Wren has no lunch", "Mon 31 Aug")
    one_message(
        call("mend", "short", "--allow", "Rice salad on mon", capsys=capsys),
        "--allow: there is no lunch on Mon 31 Aug",
    )


@pytest.mark.parametrize("command", ["why", "mend"])
def test_a_week_with_a_fault_is_refused_with_its_line(
    command: str, folder: Path, capsys: Capture
) -> None:
    (folder / "bad.yaml").write_text(edited("kind: hot", "kynd: hot"), encoding="utf-8")
    one_message(asked(folder, command, "bad.yaml", capsys=capsys), "bad.yaml, line ", "'kynd'")


# -- days, dishes and priorities as they are typed -------------------------------------------


@pytest.mark.parametrize("day", ["tue", "Tuesday", " TUE ", "2026-12-01"])
def test_a_day_may_be_said_in_several_ways(day: str, folder: Path, capsys: Capture) -> None:
    ran = asked(folder, "why", "week.yaml", day, "--not", "  plate ", capsys=capsys).done()
    assert "Why not Plate on Tue 1 Dec" in ran.out


@pytest.mark.parametrize("said", ["left_over", "left-over", "Left over", " LEFT_OVER "])
def test_a_priority_may_be_said_in_several_ways(said: str, folder: Path, capsys: Capture) -> None:
    ran = asked(folder, "why", "week.yaml", "--better", said, capsys=capsys).done()
    assert "left over" in ran.out
    ran = asked(folder, "mend", "wasteful.yaml", "--until", f"{said}<=60", capsys=capsys).done()
    assert "left over at most 60" in " ".join(ran.out.split())


def test_a_dish_may_have_a_day_in_its_name(folder: Path, capsys: Capture) -> None:
    text = WEEK.replace("Dry lunch", "Egg on toast")
    (folder / "on.yaml").write_text(text, encoding="utf-8")
    wish = "egg on toast on thu for Ada"
    ran = asked(folder, "plan", "on.yaml", "--prefer", wish, "--json", capsys=capsys).done()
    assert ran.data["wishes"][0]["wish"] == "Egg on toast on Thu 3 Dec for Ada"


# -- JSON ------------------------------------------------------------------------------------


def test_why_as_json_is_what_the_text_says(folder: Path, capsys: Capture) -> None:
    for words in (
        ("week.yaml",),
        ("week.yaml", "--all"),
        ("week.yaml", "wed"),
        ("week.yaml", "wed", "--not", "Bowl"),
        ("week.yaml", "--better", "thawed"),
        ("two.yaml", "--eater", "Bo"),
        ("two.yaml", "tue", "--eater", "Ada"),
        ("impossible.yaml",),
    ):
        text = asked(folder, "why", *words, capsys=capsys)
        ran = asked(folder, "why", *words, "--json", capsys=capsys)
        assert (ran.code, ran.err) == (text.code, "")
        found = WhyFile.model_validate(ran.data)
        assert ran.data["format"] == "clearfridge why 1"
        said = "".join(text.out.split()).casefold()
        assert "".join(found.question.split()).casefold() in said
        for line in found.conflict:
            assert "".join(line.sentence.split()).casefold() in said
        assert {line.eater for line in found.lunches} <= {"Ada", "Bo"}


def test_a_week_without_a_question_is_asked_for_everything(folder: Path, capsys: Capture) -> None:
    plain = asked(folder, "why", "week.yaml", "--json", capsys=capsys)
    assert plain.data == asked(folder, "why", "week.yaml", "--all", "--json", capsys=capsys).data
    assert len(plain.data["lunches"]) == 4


def test_fix_as_json_is_what_the_text_says(folder: Path, capsys: Capture) -> None:
    for words in (
        ("week.yaml",),
        ("wasteful.yaml",),
        ("wasteful.yaml", "--until", "none left", "--until", "minutes <= 20"),
        ("impossible.yaml", "-n", "2"),
        ("week.yaml", "--allow", "Pot on mon"),
    ):
        text = asked(folder, "mend", *words, capsys=capsys)
        ran = asked(folder, "mend", *words, "--json", capsys=capsys)
        assert (ran.code, ran.err) == (text.code, "")
        found = MendFile.model_validate(ran.data)
        said = "".join(text.out.split())
        assert "".join(found.goal.split()) in said
        for one in found.ways:
            for part in (*one.dishes, *(change.text for change in one.changes)):
                assert "".join(part.split()) in said
        for line in found.blocked:
            assert "".join(line.sentence.split()) in said
    assert len(ran.data["blocked"]) == 1


def test_of_fixes_as_many_are_given_as_were_asked_for(folder: Path, capsys: Capture) -> None:
    counts = [
        len(asked(folder, "mend", "ready.yaml", "-n", n, "--json", capsys=capsys).data["ways"])
        for n in ("1", "2", "3")
    ]
    assert counts == [1, 2, 3]


# -- standard input --------------------------------------------------------------------------


def test_a_week_may_come_on_standard_input(folder: Path) -> None:
    for words, text in (
        (("why", "{}", "tue", "--json"), WEEK),
        (("why", "{}"), TOO_MUCH),
        (("mend", "{}"), WASTEFUL),
        (("mend", "{}", "--json"), TOO_MUCH),
    ):
        (folder / "same.yaml").write_text(text, encoding="utf-8")
        there = run(*(word.format("same.yaml") for word in words), folder=folder)
        here = run(*(word.format("-") for word in words), folder=folder, stdin=text)
        assert here == there
        assert here.out


def test_a_mended_week_may_come_of_standard_input(folder: Path) -> None:
    ran = run("mend", "-", "--take", "1", "-o", "new.yaml", folder=folder, stdin=WASTEFUL).done()
    assert "cook 6 pieces of farls, not 8" in ran.out
    run("plan", "new.yaml", "--no-reasons", folder=folder).done()


# -- a mended week is written ------------------------------------------------------------------


def test_a_fix_is_written_into_a_new_file_and_all_else_stays(folder: Path, capsys: Capture) -> None:
    ran = asked(
        folder,
        "mend",
        "wasteful.yaml",
        "--take",
        "1",
        "-o",
        str(folder / "new.yaml"),
        capsys=capsys,
    ).done()
    data = asked(folder, "mend", "wasteful.yaml", "--json", capsys=capsys).data["ways"][0]
    new = (folder / "new.yaml").read_text(encoding="utf-8")
    assert new == WASTEFUL.replace(
        "    yield: 8 pieces  # a tray\n", "    cook: 6 pieces\n    yield: 8 pieces  # a tray\n"
    )
    assert (folder / "wasteful.yaml").read_text(encoding="utf-8") == WASTEFUL
    assert "cook 6 pieces of farls, not 8" in ran.out
    plan = call("plan", folder / "new.yaml", "--no-reasons", "--json", capsys=capsys).done().data
    assert [f"{line['dish']}" for line in plan["lunches"]] == [
        one.partition(": ")[2] for one in data["dishes"]
    ]
    assert {line["name"]: line["value"] for line in plan["priorities"]} == data["values"]
    assert plan["left_over"]["grams"] == 0
    # And the mended week needs no mending.
    assert "Nothing needs to be changed" in asked(folder, "mend", "new.yaml", capsys=capsys).out


def test_of_several_fixes_the_one_that_is_meant_is_written(folder: Path, capsys: Capture) -> None:
    many = asked(folder, "mend", "ready.yaml", "-n", "3", "--json", capsys=capsys).data
    assert len(many["ways"]) == 3
    for at, offered in enumerate(many["ways"], start=1):
        new = folder / f"new-{at}.yaml"
        words = ("mend", "ready.yaml", "-n", "3", "--take", str(at), "-o", str(new))
        assert asked(folder, *words, capsys=capsys).code == DONE
        text = new.read_text(encoding="utf-8")
        assert text.startswith("# An invented week that cannot be: ask for it")
        plan = call("plan", new, "--no-reasons", "--json", capsys=capsys).done().data
        assert {line["name"]: line["value"] for line in plan["priorities"]} == offered["values"]


def test_a_ready_week_is_mended_into_a_file(tmp_path: Path, capsys: Capture) -> None:
    new = tmp_path / "mended.yaml"
    call("mend", "impossible", "--take", "1", "-o", new, "-n", "1", capsys=capsys).done()
    assert new.read_text(encoding="utf-8") == ready_text("impossible").replace(
        "  Bread and spread:\n    kind",
        "  Bread and spread:\n    extras: {hard cheese: {portion: 40 g, most: 1}}\n    kind",
    )


def test_a_label_is_read_before_a_week_hangs_on_it(tmp_path: Path, capsys: Capture) -> None:
    week, new = tmp_path / "week.yaml", tmp_path / "new.yaml"
    week.write_text(
        "week: {starts: 2026-11-30, days: [mon], guidance: us}\n"
        "eaters: {Ada: {must_not: {foods: [pork]}}}\n"
        "larder: {paste: {pack: 100 g, chilled: no, allergens: none}}\n"
        "dishes: {Toast: {kind: toast, goes_in: {paste: 30 g}}}\n",
        encoding="utf-8",
    )
    words = ("mend", week, "--take", "1", "-o", new)
    ran = call(*words, capsys=capsys)
    assert ran.code == BAD_INPUT
    assert "only if it is free of pork, write free_of: [pork]" in " ".join(ran.err.split())
    assert not new.exists()
    assert call(*words, "--label-read", capsys=capsys).code == DONE
    assert "free_of: [pork]" in new.read_text(encoding="utf-8")


# -- wishes ----------------------------------------------------------------------------------


def test_a_wish_is_granted_and_what_it_costs_is_said(folder: Path, capsys: Capture) -> None:
    words = ("plan", "two.yaml", "--no-reasons")
    best = asked(folder, *words, "--json", capsys=capsys).done().data
    ran = asked(folder, *words, "--prefer", "bowl on mon for Bo", capsys=capsys).done()
    data = asked(folder, *words, "--prefer", "bowl on mon for Bo", "--json", capsys=capsys).data
    (wish,) = data["wishes"]
    assert (wish["wish"], wish["granted"], wish["rules"]) == ("Bowl on Mon 30 Nov for Bo", True, [])
    (lunch,) = (x for x in data["lunches"] if (x["date"], x["eater"]) == ("2026-11-30", "Bo"))
    assert lunch["dish"] == "Bowl"
    assert f"{wish['wish']}: {wish['text']}" in " ".join(ran.out.split())
    before = {line["name"]: line["value"] for line in best["priorities"]}
    after = {line["name"]: line["value"] for line in data["priorities"]}
    lost = [name for name in before if before[name] != after[name] and name != "file_order"]
    assert wish["priority"] == (lost[0] if lost else None)
    if lost:
        assert wish["exact"]
        assert abs(after[lost[0]] - before[lost[0]]) == pytest.approx(wish["amount"])


def test_a_wish_that_no_week_has_is_refused_with_the_rules(folder: Path, capsys: Capture) -> None:
    words = ("plan", "week.yaml", "--no-reasons", "--prefer", "Pot on mon")
    ran = asked(folder, *words, capsys=capsys).done()
    data = asked(folder, *words, "--json", capsys=capsys).done().data
    (wish,) = data["wishes"]
    assert not wish["granted"]
    assert [rule["key"] for rule in wish["rules"]] == ["microwave:Ada"]
    assert "Ada has no microwave on Mon, Tue and Wed" in " ".join(ran.out.split())
    # The plan is the one that would have been made without it.
    plain = asked(folder, "plan", "week.yaml", "--no-reasons", "--json", capsys=capsys).data
    assert {**data, "wishes": [], "seal": plain["seal"]} == plain


def test_of_two_wishes_each_is_granted_if_it_can_be_beside_those_before(
    folder: Path, capsys: Capture
) -> None:
    words = ("plan", "week.yaml", "--no-reasons", "--json")
    both = ("--prefer", "Plate on mon", "--prefer", "Plate on tue")
    data = asked(folder, *words, *both, capsys=capsys).done().data
    first, second = data["wishes"]
    assert (first["granted"], second["granted"]) == (True, False)
    assert {line["date"]: line["dish"] for line in data["lunches"]}["2026-11-30"] == "Plate"
    week = week_of(yamltext.parse("week.yaml", WEEK))
    keys = [rule["key"] for rule in second["rules"]]

    def both_possible(only: list[str]) -> bool:
        question = Question(week, only=only)
        for day in week.days[:2]:
            question.force("Ada", day, "Plate")
        return question.possible()

    assert not both_possible(keys)
    assert all(both_possible([x for x in keys if x != left_out]) for left_out in keys)
    # The other way about it is the other way about.
    both = ("--prefer", "Plate on wed", "--prefer", "Plate on mon")
    data = asked(folder, *words, *both, capsys=capsys).done().data
    assert [wish["granted"] for wish in data["wishes"]] == [True, False]
    assert {line["date"]: line["dish"] for line in data["lunches"]}["2026-12-02"] == "Plate"


def test_a_wish_for_nobody_by_name_is_granted_to_anyone(folder: Path, capsys: Capture) -> None:
    words = ("plan", "two.yaml", "--no-reasons", "--json", "--prefer", "Plate on tue")
    data = asked(folder, *words, capsys=capsys).done().data
    assert data["wishes"][0]["granted"]
    assert "Plate" in [x["dish"] for x in data["lunches"] if x["date"] == "2026-12-01"]


def test_a_plan_with_a_wish_stands_up_to_the_audit(folder: Path, capsys: Capture) -> None:
    plan = folder / "plan.json"
    words = ("two.yaml", "--prefer", "Plate on tue", "--save", str(plan))
    asked(folder, "plan", *words, capsys=capsys).done()
    assert call("audit", plan, "--json", capsys=capsys).done().data["faults"] == []
    kept = asked(folder, "plan", "two.yaml", "--keep", str(plan), "--json", capsys=capsys).done()
    assert kept.data["lunches"][0]["eater"] == "Bo"


# -- as few other lunches as can be ------------------------------------------------------------


@dataclass(frozen=True)
class Kept:
    """A week with a plan, and one dish on one day that the plan has not."""

    text: str
    week: Week
    plan: PlanFile
    packed: PackedWeek
    wish: str
    eater: str
    day: str
    dish: str


@cache
def kept() -> tuple[Kept, ...]:
    """Plan random weeks, and wish for what they have not but could have."""
    found: list[Kept] = []
    for data in drawn(TINY, sized(3, 10), shift=17):
        plain = document_of(data)
        week = week_of(plain)
        plan = plan_week(week_of(plain), reasons=False)
        if plan.status != "optimal" or len(week.lunches) < 3 or not named(week):
            continue
        text = json.dumps(plain.as_json())
        packed = packed_of(plan, week)
        for lunch in packed.lunches:
            others = [name for name in week.dishes if name != lunch.dish]
            wished = next((x for x in others if possible(week, lunch.eater, lunch.day, x)), None)
            if wished is not None:
                day = lunch.day.isoformat()
                wish = f"{wished} on {day} for {lunch.eater}"
                found.append(Kept(text, week, plan, packed, wish, lunch.eater, day, wished))
                break
    return tuple(found)


def possible(week: Week, eater: str, day: Any, dish: str) -> bool:
    return Question(week).force(eater, day, dish).possible()


def with_wish(one: Kept, same: Collection[int]) -> Question:
    """Ask for the wish, and for some lunches to be the dish and the portions they were."""
    question = Question(one.week)
    (day,) = (day for day in one.week.days if day.isoformat() == one.day)
    question.force(one.eater, day, one.dish)
    board = question.program.board
    for at in same:
        lunch = one.packed.lunches[at]
        question.force(lunch.eater, lunch.day, lunch.dish)
        slot = question.slot(lunch.eater, lunch.day)
        for batch in one.week.batches:
            had = lunch.of(batch)
            board.sheet.bound(Sum().plus(board.portions(slot, batch)), low=had, high=had)
    return question


def best_values(one: Kept, same: Collection[int]) -> tuple[int, ...] | None:
    """Give what each priority reaches, in order, with so many lunches the same."""
    question = with_wish(one, same)
    if not question.possible():
        return None
    values: list[int] = []
    for name in one.week.priorities:
        least = question.least(name)
        assert least is not None
        question.program.board.sheet.bound(question.level(name).total, high=least)
        values.append(least)
    return tuple(values)


def by_trying_all(one: Kept) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Give how many lunches change, the fewest first, with the best values then."""
    lunches = range(len(one.packed.lunches))
    for changed in range(len(lunches) + 1):
        for some in combinations(lunches, len(lunches) - changed):
            values = best_values(one, some)
            if values is not None:
                yield changed, values


def changed_lunches(one: Kept, data: Any) -> int:
    after = packed_of(PlanFile.model_validate(data), one.week)
    return sum(
        was.dish != is_now.dish or any(was.of(x) != is_now.of(x) for x in one.week.batches)
        for was, is_now in zip(one.packed.lunches, after.lunches, strict=True)
    )


def test_a_kept_plan_changes_in_as_few_lunches_as_can_be(folder: Path, capsys: Capture) -> None:
    fewer = 0
    assert len(kept()) >= sized(3, 15)
    for one in kept():
        (folder / "kept.yaml").write_text(one.text, encoding="utf-8")
        plan = folder / "kept.json"
        plan.write_text(one.plan.model_dump_json(), encoding="utf-8")
        words = ("plan", "kept.yaml", "--no-reasons", "--json", "--prefer", one.wish)
        data = asked(folder, *words, "--keep", str(plan), capsys=capsys).done().data
        assert data["wishes"][0]["granted"]
        found = list(by_trying_all(one))
        fewest = min(changed for changed, _ in found)
        assert changed_lunches(one, data) == fewest, one.wish
        # Of all weeks that change no more, the best.
        best = min(values for changed, values in found if changed == fewest)
        levels = {level.name: level for level in Question(one.week).program.levels}
        for line, value in zip(data["priorities"], best, strict=True):
            level = levels[line["name"]]
            steps = round(line["value"] * level.priority.per_unit)
            assert (-steps if level.priority.most else steps) == value, line
        without = asked(folder, *words, capsys=capsys).done().data
        fewer += changed_lunches(one, without) > fewest
    assert fewer >= sized(1, 3)


def test_a_plan_that_is_kept_without_a_wish_stays_as_it_is(folder: Path, capsys: Capture) -> None:
    plan = folder / "plan.json"
    words = ("plan", "week.yaml", "--no-reasons")
    asked(folder, *words, "--prefer", "Plate on mon", "--save", str(plan), capsys=capsys).done()
    before = json.loads(plan.read_text(encoding="utf-8"))["lunches"]
    best = asked(folder, *words, "--json", capsys=capsys).done().data["lunches"]
    after = asked(folder, *words, "--keep", str(plan), "--json", capsys=capsys).data["lunches"]
    assert [line["dish"] for line in before] != [line["dish"] for line in best]
    for name in ("date", "eater", "dish"):
        assert [line[name] for line in after] == [line[name] for line in before]
    assert [[x["portions"] for x in line["batches"]] for line in after] == [
        [x["portions"] for x in line["batches"]] for line in before
    ]


def test_a_plan_of_another_week_is_not_kept(folder: Path, capsys: Capture) -> None:
    plan = folder / "plan.json"
    asked(folder, "plan", "week.yaml", "--no-reasons", "--save", str(plan), capsys=capsys).done()
    later = WEEK.replace("2026-11-30", "2026-12-07").replace("2026-11-29", "2026-12-06")
    (folder / "later.yaml").write_text(later.replace("2026-12-01", "2026-12-08"), encoding="utf-8")
    ran = asked(folder, "plan", "later.yaml", "--keep", str(plan), capsys=capsys)
    one_message(ran, "plan.json: this plan is of another week", "same days")


# -- what reaches the terminal -------------------------------------------------------------------


def test_colour_comes_only_where_it_is_wanted(made: Made) -> None:
    for words in (("why", "week.yaml", "tue"), ("mend", "week.yaml", "--allow", "Pot on mon")):
        if words[0] == "why":
            assert "\x1b[" in on_a_terminal(*words, folder=made.folder)
            assert "\x1b" not in on_a_terminal(*words, folder=made.folder, NO_COLOR="1")
        ran = run(*words, folder=made.folder)
        assert "\x1b" not in ran.out


def test_json_on_a_terminal_is_plain(made: Made) -> None:
    for command in ("why", "mend"):
        text = on_a_terminal(command, "week.yaml", "--json", folder=made.folder)
        assert "\x1b" not in text
        assert json.loads(text)["name"] == "Audited week"


@pytest.mark.parametrize(
    "words",
    [
        ("why", "demo", "tue", "--not", "Herring and rye"),
        ("why", "demo", "--better", "left_over"),
        ("why", "short"),
        ("why", "short", "thu"),
        ("why", "starter"),
        ("why", "starter", "mon"),
        ("why", "starter", "--better", "cost"),
        ("why", "impossible"),
        ("why", "family", "wed", "--eater", "Pip", "--not", "Sauerkraut pork and rye"),
        ("mend", "impossible"),
        ("mend", "short", "--until", "none-left"),
        ("mend", "starter", "--allow", "Grain bowl on fri"),
        ("plan", "starter", "--prefer", "Grain bowl on fri", "--prefer", "Curry on grain on mon"),
    ],
)
def test_every_text_about_a_ready_week_fits_eighty_columns(
    words: tuple[str, ...], capsys: Capture
) -> None:
    ran = call(*words, capsys=capsys)
    assert ran.code in (DONE, NO_PLAN)
    assert ran.err == ""
    assert columns(ran.out) <= 80
    no_control(ran.out)
    assert not any(line != line.rstrip() for line in ran.out.splitlines())
    assert ran.out.endswith("\n")


def test_help_says_the_codes_and_shows_an_example(capsys: Capture) -> None:
    for command in ("why", "mend"):
        out = call(command, "--help", capsys=capsys).done().out
        assert f"Example: clearfridge {command}" in out
        assert columns(out) <= 80
        said = " ".join(out.split())
        assert all(part in said for part in ("Exit codes", "2 bad input", "130 interrupted"))


# -- hostile names -------------------------------------------------------------------------------

HOSTILE = hostile.WEEK.replace("yield: 7 portions", "yield: 9 portions")
EVE, FORMULA, LONG, LINK = hostile.MARKUP, hostile.FORMULA, hostile.LONG, hostile.LINK


@pytest.fixture
def hostile_week(tmp_path: Path) -> Path:
    path = tmp_path / "hostile.yaml"
    path.write_text(HOSTILE, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        (("why",), (EVE, FORMULA, LONG[:30])),
        (("why", "mon", "--eater", EVE), (FORMULA, LONG, LINK, hostile.SCRIPT, hostile.EMOJI)),
        (("why", "mon", "--eater", EVE, "--not", LONG), (LONG, EVE, LINK)),
        (("why", "tue", "--eater", hostile.ARABIC, "--not", FORMULA), (FORMULA, hostile.ARABIC)),
        (("why", "--better", "left over"), ()),
        (("mend",), (f"cook 8 portions of {LINK}, not 9", EVE, FORMULA, LONG)),
        (("plan", "--no-reasons", "--prefer", f"{LONG} on mon for {EVE}"), (f"{LONG} on Mon", EVE)),
        (("plan", "--prefer", f"{FORMULA} on tue for {hostile.ARABIC}"), (f"{FORMULA} on Tue",)),
    ],
)
def test_names_are_shown_as_they_are_and_do_nothing(
    words: tuple[str, ...], shown: tuple[str, ...], hostile_week: Path, capsys: Capture
) -> None:
    ran = call(words[0], hostile_week, *words[1:], capsys=capsys).done()
    for name in (*shown, EVE):
        assert hostile.shown(name, ran.out), name
    assert columns(ran.out) <= 80
    no_control(ran.out)
    data = call(words[0], hostile_week, *words[1:], "--json", capsys=capsys).done().data
    assert data["name"].startswith(EVE)


def test_a_hostile_week_is_mended_letter_by_letter(hostile_week: Path, capsys: Capture) -> None:
    new = hostile_week.parent / "new.yaml"
    call("mend", hostile_week, "--take", "1", "-o", new, capsys=capsys).done()
    assert new.read_text(encoding="utf-8") == HOSTILE.replace(
        "    yield: 9 portions\n", "    cook: 8 portions\n    yield: 9 portions\n"
    )
    week = week_of(yamltext.parse("new.yaml", new.read_text(encoding="utf-8")))
    assert week.batches[LINK].portions == 8


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        (("why", "mon", "--eater", "[x]\x1b[31m"), ("there is no eater", "[x]")),
        (("why", "mon\u202e"), ("is not a day",)),
        (("why", "mon", "--eater", EVE, "--not", "[/]\x07"), ("there is no dish", "[/]")),
        (("why", "--better", "[bold]\x1b]0;x\x07"), ("is no priority", "[bold]")),
        (("mend", "--until", "\x1b[2J <= 3"), ("is no goal",)),
        (("mend", "--allow", f"{FORMULA} on \u202emon"), ("is not a day",)),
        (("mend", "--allow", f"{FORMULA} on mon for [red]\x9b"), ("there is no eater", "[red]")),
        (("plan", "--prefer", "[link]\x1b on mon"), ("there is no dish", "[link]")),
    ],
)
def test_what_is_typed_is_shown_without_harm_in_messages(
    words: tuple[str, ...], parts: tuple[str, ...], hostile_week: Path, capsys: Capture
) -> None:
    ran = call(words[0], hostile_week, *words[1:], capsys=capsys)
    one_message(ran, *parts)
    assert "\u202e" not in ran.err


def test_a_dish_may_have_a_day_and_an_eater_in_its_name(folder: Path, capsys: Capture) -> None:
    text = WEEK.replace("Dry lunch", "Egg on toast for two")
    (folder / "on.yaml").write_text(text, encoding="utf-8")
    words = ("plan", "on.yaml", "--prefer", "egg on toast for two on thu", "--json")
    ran = asked(folder, *words, capsys=capsys).done()
    assert ran.data["wishes"][0]["wish"].startswith("Egg on toast for two on Thu")


def test_liking_may_be_wanted_below_zero(folder: Path, capsys: Capture) -> None:
    ran = asked(folder, "mend", "week.yaml", "--until", "liking >= -1", capsys=capsys)
    assert "is no goal" not in ran.err


def test_nothing_is_written_where_nothing_has_to_change(tmp_path: Path, capsys: Capture) -> None:
    new = tmp_path / "new.yaml"
    ran = call("mend", "starter", "--take", "1", "-o", new, capsys=capsys)
    one_message(ran, "the week achieves it as it is")
    assert not new.exists()


def test_where_nothing_keeps_cold_packs_that_would_are_named(
    tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / "week.yaml"
    path.write_text(
        "week: {starts: 2026-11-30, days: [mon, tue], guidance: uk, cups: metric}\n"
        "place: {fridge: yes, microwave: no}\n"
        "elsewhere: [{day: tue, fridge: no, microwave: no}]\n"
        "eaters: {Ann: {}}\n"
        "batches: {stew: {yield: 4 portions, made: 2026-11-29, ingredients: [500 g onions]}}\n"
        "dishes: {Bowl: {kind: a, takes: {stew: 1}}}\n",
        encoding="utf-8",
    )
    said = " ".join(call("plan", path, capsys=capsys).out.split())
    assert "fewer than 2 cold packs on Tue" in said
    assert "write 'cold_packs: 2' under 'place', or beside the day under 'elsewhere'" in said
    ran = call("mend", path, capsys=capsys)
    assert "take 2 cold packs along for the lunch on Tue 1 Dec, not none" in ran.out
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("fridge: no,", "fridge: no, cold_packs: 2,"), encoding="utf-8")
    assert call("plan", path, capsys=capsys).code == DONE
    path.write_text(text.replace("fridge: yes", "fridge: no"), encoding="utf-8")
    assert "no day has a fridge or 'cold_packs: 2'" in " ".join(
        call("check", path, capsys=capsys).out.split()
    )
