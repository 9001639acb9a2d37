"""Whoever edits a saved plan by hand is told which rule each edit breaks.

The plans are edited as text editors do it, in the JSON; the audit is the whole command.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from .command import (
    BAD_INPUT,
    DONE,
    NO_PLAN,
    Ran,
    call,
    columns,
    no_control,
    one_message,
    run,
    spawn,
)
from .conftest import Made
from .week import WEEK, edited

Plan: TypeAlias = dict[str, Any]
Edit: TypeAlias = Callable[[Plan], object]
Capture: TypeAlias = pytest.CaptureFixture[str]

MON, TUE, WED, THU = range(4)


@pytest.fixture
def plan(made: Made) -> Plan:
    found: Plan = made.data()
    dishes = [line["dish"] for line in found["lunches"]]
    assert dishes == ["Tart", "Bowl", "Plate", "Dry lunch"], "the edits are made for this plan"
    return found


def written(plan: Plan | str, folder: Path) -> Path:
    path = folder / "edited.json"
    text = plan if isinstance(plan, str) else json.dumps(plan, indent=2)
    path.write_text(text, encoding="utf-8")
    return path


def audited(plan: Plan | str, folder: Path, capsys: Capture, *words: str | Path) -> Ran:
    return call("audit", written(plan, folder), "--json", *words, capsys=capsys)


def broken(ran: Ran) -> set[str]:
    """The keys of the rules that are named as broken."""
    assert ran.err == ""
    faults = ran.data["faults"]
    assert ran.code == (NO_PLAN if faults else DONE)
    for one in faults:
        assert list(one) == ["rule", "sentence", "where", "what"]
        assert all(isinstance(value, str) and value for value in one.values())
    return {one["rule"] for one in faults}


# -- edits -----------------------------------------------------------------------------


def lunch(plan: Plan, day: int) -> Plan:
    found: Plan = plan["lunches"][day]
    return found


def portions(day: int, batch: str, number: int) -> Edit:
    return lambda plan: part(plan, day, batch).update(portions=number)


def thawed(day: int, batch: str, number: int) -> Edit:
    return lambda plan: part(plan, day, batch).update(from_freezer=number)


def part(plan: Plan, day: int, batch: str) -> Plan:
    (found,) = [one for one in lunch(plan, day)["batches"] if one["batch"] == batch]
    return dict_of(found)


def dict_of(found: Any) -> Plan:
    assert isinstance(found, dict)
    return found


def moved(day: int, to: str) -> Edit:
    return lambda plan: lunch(plan, day).update(date=to)


def exchanged(one: int, other: int) -> Edit:
    """Eat on one day what was for the other."""

    def edit(plan: Plan) -> None:
        first, second = lunch(plan, one), lunch(plan, other)
        first["date"], second["date"] = second["date"], first["date"]

    return edit


def renamed(one: int, other: int) -> Edit:
    """Change the names of two dishes over, and nothing that is in them."""

    def edit(plan: Plan) -> None:
        first, second = lunch(plan, one), lunch(plan, other)
        first["dish"], second["dish"] = second["dish"], first["dish"]

    return edit


def option(item: str, *days: int) -> Edit:
    def edit(plan: Plan) -> None:
        for day in days:
            lunch(plan, day)["choices"][0]["item"] = item

    return edit


def extras(day: int, item: str, times: int) -> Edit:
    line = {"item": item, "amount": times, "unit": "piece", "times": times}
    return lambda plan: lunch(plan, day).update(extras=[line])


def pot(day: int, beans: int) -> Edit:
    """Have the heated dish instead."""

    def edit(plan: Plan) -> None:
        taken = {"batch": "beans", "portions": beans, "grams": 60.0 * beans, "from_freezer": 0}
        lunch(plan, day).update(
            dish="Pot", batches=[taken], goes_in=[], choices=[], extras=[], microwave=True
        )

    return edit


def without_pack(item: str) -> Edit:
    def edit(plan: Plan) -> None:
        kept = [pack for pack in plan["packs"] if pack["item"] != item]
        assert len(kept) < len(plan["packs"])
        plan["packs"] = kept

    return edit


def pack_opened(item: str, day: str) -> Edit:
    def edit(plan: Plan) -> None:
        for pack in plan["packs"]:
            if pack["item"] == item:
                pack["opened"] = day

    return edit


EDITS: dict[str, tuple[Edit, set[str]]] = {
    "too many portions": (portions(MON, "farls", 5), {"dish", "stock:farls"}),
    "too few portions": (
        portions(MON, "farls", 1),
        {"dish", "stock:farls", "floor:protein of Ada"},
    ),
    "fewer portions than the floor needs": (
        # What is no longer eaten is not counted as left over either.
        portions(TUE, "beans", 1),
        {"stock:beans", "floor:protein of Ada"},
    ),
    "portions below nothing": (
        portions(TUE, "beans", -1),
        {"dish", "stock:beans", "floor:protein of Ada"},
    ),
    "more than the box holds": (
        portions(MON, "farls", 7),
        {"dish", "stock:farls", "box room:tin of Ada"},
    ),
    "dishes change names": (
        renamed(TUE, WED),
        # Plate needs farls, which Bowl does not take; on Monday there was bread already.
        {"dish", "kinds apart:bread or plate", "opened life:leaves"},
    ),
    "days change over": (
        exchanged(TUE, WED),
        {"kinds apart:bread or plate", "opened life:leaves", "use-by:pear"},
    ),
    "thawed before it can be, fridge past its life": (
        exchanged(MON, WED),
        {"freezer:farls", "fridge life:farls", "opened life:leaves"},
    ),
    "two lunches on one day": (moved(THU, "2026-12-01"), {"lunches"}),
    "a day after the week": (moved(THU, "2026-12-04"), {"lunches"}),
    "a day before the week": (moved(THU, "2026-11-29"), {"lunches"}),
    "a lunch dropped": (lambda plan: plan["lunches"].pop(THU), {"lunches"}),
    "every lunch dropped": (
        lambda plan: plan["lunches"].clear(),
        {"lunches", "stock:farls", "stock:beans"},
    ),
    "a lunch added": (
        lambda plan: plan["lunches"].append(plan["lunches"][THU]),
        {"lunches", "most times:Dry lunch"},
    ),
    "an option with an allergen": (option("praline", TUE), {"must not have:nuts for Ada"}),
    "an option with a food": (
        option("pie", TUE),
        {"must not have:pork as a food for Ada", "ceiling:energy of Ada"},
    ),
    "an option past its date": (option("pear", WED), {"use-by:pear"}),
    "an option too often": (option("pear", MON, WED), {"use-by:pear", "same choice:side"}),
    "no option": (lambda plan: lunch(plan, TUE)["choices"].clear(), {"dish"}),
    "an extra too often": (
        extras(TUE, "cracker", 3),
        {"dish", "wet beside crisp:tin of Ada"},
    ),
    "an extra less than nothing": (
        extras(TUE, "cracker", -2),
        {"dish", "floor:protein of Ada"},
    ),
    "more thawed than there are": (thawed(WED, "farls", 3), {"freezer:farls"}),
    "more thawed than the freezer takes": (thawed(MON, "farls", 2), {"freezer:farls"}),
    "what does not freeze is thawed": (thawed(WED, "beans", 1), {"freezer:beans"}),
    "not thawed past its use-by": (thawed(WED, "farls", 0), {"fridge life:farls"}),
    "heated without a microwave": (pot(TUE, 2), {"microwave:Ada"}),
    "chilled without a fridge": (
        pot(THU, 2),
        {"cold:Ada", "stock:beans", "days running:beans"},
    ),
    "no pack opened": (without_pack("leaves"), {"opened life:leaves"}),
    "a pack opened too late": (pack_opened("leaves", "2026-12-01"), {"opened life:leaves"}),
    "a pack opened too early": (pack_opened("leaves", "2026-11-29"), {"opened life:leaves"}),
}


@pytest.mark.parametrize("name", EDITS)
def test_an_edit_names_the_rules_it_breaks(
    name: str, plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    edit, keys = EDITS[name]
    edit(plan)
    # Sums that no longer hold are no rule of the week: they have tests of their own.
    assert broken(audited(plan, tmp_path, capsys)) - {"sums"} == keys


def test_a_plan_as_it_was_saved_has_no_fault(made: Made, capsys: Capture) -> None:
    ran = call("audit", made.plan, "--json", capsys=capsys)
    assert (ran.code, ran.data["faults"]) == (DONE, [])
    ran = call("audit", made.plan, capsys=capsys)
    assert ran.out.startswith("The plan keeps every rule of its week; its figures, dates,")


def test_an_edit_that_keeps_every_rule_only_leaves_sums_to_mend(
    plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    option("pear", MON)(plan)
    found = audited(plan, tmp_path, capsys)
    assert broken(found) == {"sums"}
    assert any("Mon 30 Nov, Ada" in one["where"] for one in found.data["faults"])


@pytest.mark.parametrize(
    ("edit", "place"),
    [
        (lambda plan: lunch(plan, MON).update(cost=0.01), "Mon 30 Nov, Ada"),
        (lambda plan: lunch(plan, TUE).update(minutes=1), "Tue 1 Dec, Ada"),
        (lambda plan: lunch(plan, WED).update(kind="bread"), "Wed 2 Dec, Ada"),
        (lambda plan: lunch(plan, WED).update(microwave=True), "Wed 2 Dec, Ada"),
        (lambda plan: lunch(plan, MON)["nutrients"]["PROCNT"].update(amount=99), "Mon 30 Nov, Ada"),
        (lambda plan: lunch(plan, MON)["nutrients"]["PROCNT"].update(floor=1), "Mon 30 Nov, Ada"),
        (lambda plan: part(plan, MON, "farls").update(grams=1.0), "Mon 30 Nov, Ada"),
        (
            lambda plan: part(plan, WED, "farls").update(move_to_fridge="2026-12-02"),
            "Wed 2 Dec, Ada",
        ),
        (lambda plan: lunch(plan, MON)["goes_in"].clear(), "Mon 30 Nov, Ada"),
        (lambda plan: plan["left_over"].update(grams=5.0), "left over"),
        (lambda plan: plan["totals"].update(cost=1.0), "totals"),
        (lambda plan: plan["priorities"][5].update(value=1.0), "cost"),
        (lambda plan: plan["priorities"][0].update(value=-1.0), "left over"),
    ],
)
def test_a_wrong_sum_is_named_with_its_place(
    edit: Edit, place: str, plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    edit(plan)
    ran = audited(plan, tmp_path, capsys)
    assert broken(ran) == {"sums"}
    assert [one["where"] for one in ran.data["faults"]] == [place]


def test_packs_of_what_keeps_are_held_against_what_is_used(
    plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    # They are what is bought: without them the cook stands before an empty shelf.
    without_pack("cracker")(plan)
    found = audited(plan, tmp_path, capsys)
    assert broken(found)
    assert any("cracker" in json.dumps(one) for one in found.data["faults"])


@pytest.mark.parametrize("number", [10**15, 10**30, -(10**30)])
@pytest.mark.parametrize("where", ["portions", "packs", "times"])
def test_absurd_numbers_are_faults_and_not_the_end(
    where: str, number: int, plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    if where == "portions":
        portions(MON, "farls", number)(plan)
    elif where == "times":
        extras(TUE, "cracker", number)(plan)
    else:
        plan["packs"][0]["packs"] = number
    ran = audited(plan, tmp_path, capsys)
    if ran.code == BAD_INPUT:
        one_message(ran, "extras" if where == "times" else where)
    else:
        assert broken(ran)


def test_each_fault_has_its_place_and_figures_in_the_report(
    plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    thawed(WED, "farls", 0)(plan)
    ran = call("audit", written(plan, tmp_path), capsys=capsys)
    assert ran.code == NO_PLAN
    said = " ".join(ran.out.split())
    assert "Wed 2 Dec, Ada 2 of farls from the fridge, use by Tue 1 Dec" in said
    assert "fridge life:farls: farls, made Sun 29 Nov, keeps 2 days in the fridge" in said
    assert said.startswith("6 faults in this plan")
    no_control(ran.out)
    assert columns(ran.out) <= 80


# -- by another week ---------------------------------------------------------------------

OTHER_WEEKS: dict[str, tuple[str, str, set[str]]] = {
    "less cooked": ("yield: 6 pieces", "yield: 5 pieces", {"stock:farls"}),
    "a higher floor": ("{protein: 8 g}", "{protein: 9.5 g}", {"floor:protein of Ada"}),
    "a lower ceiling": ("{energy: 600 kcal}", "{energy: 340 kcal}", {"ceiling:energy of Ada"}),
    "a floor over the week": (
        "    ceilings:",
        "    week_floors: {protein: 60 g}\n    ceilings:",
        {"floor:protein of Ada over the week"},
    ),
    "a smaller box": (
        "[200 mL, 150 mL]",
        "[130 mL, 110 mL]",
        {"box room:tin of Ada"},
    ),
    "one compartment": (
        "[200 mL, 150 mL]",
        "[400 mL]",
        {"wet beside crisp:tin of Ada"},
    ),
    "a batch on fewer days": ("batch_running: 2", "batch_running: 1", {"days running:beans"}),
    "an option only once": ("same_choice: 2", "same_choice: 1", {"same choice:side"}),
    "other kinds apart": ("[[bread, plate]]", "[grain]", set()),
    "kinds apart": ("[[bread, plate]]", "[[grain, plate]]", {"kinds apart:grain or plate"}),
    "spoils at once": ("opened_life: 1", "opened_life: 0", {"opened life:leaves"}),
    "an earlier use-by": ("use_by: 2026-12-01", "use_by: 2026-11-29", {"use-by:pear"}),
    "a shorter life": ("fridge_life: 3 to 4", "fridge_life: 2", {"fridge life:beans"}),
    "a smaller freezer": ("freezer: 2 pieces", "freezer: 1 piece", {"freezer:farls"}),
    "cooked later": (
        "  beans:\n    made: 2026-11-29",
        "  beans:\n    made: 2026-12-01",
        {"made:beans"},
    ),
    "no fridge": ("place: {fridge: yes", "place: {fridge: no", {"cold:Ada"}),
    "an allergy": (
        "allergens: [nuts], f",
        "allergens: [gluten], f",
        {"must not have:gluten for Ada"},
    ),
    "unknown allergens": (
        "    room: 60 mL\n    allergens: none\n",
        "    room: 60 mL\n",
        {"must not have:nuts for Ada"},
    ),
    "a food": (
        "foods: [pork]}\n    likes",
        "foods: [Beans]}\n    likes",
        {"must not have:beans as a food for Ada"},
    ),
    "fewer portions in a dish": ("{farls: 2 to 4}", "{farls: 2 to 3}", {"dish"}),
    "a day more": ("[mon, tue, wed, thu]", "[mon, tue, wed, thu, fri]", {"lunches"}),
    "a day off": ("eaters:\n", "no_lunch: [{day: mon}]\neaters:\n", {"lunches"}),
}


@pytest.mark.parametrize("name", OTHER_WEEKS)
def test_a_plan_is_judged_by_another_week(
    name: str, made: Made, tmp_path: Path, capsys: Capture
) -> None:
    old, new, keys = OTHER_WEEKS[name]
    week = tmp_path / "other.yaml"
    week.write_text(edited(old, new), encoding="utf-8")
    ran = call("audit", made.plan, "--week", week, "--json", capsys=capsys)
    assert broken(ran) - {"sums"} == keys


def test_a_plan_is_judged_by_its_own_week_given_again(made: Made, capsys: Capture) -> None:
    ran = call("audit", made.plan, "--week", made.week, "--json", capsys=capsys)
    assert broken(ran) == set()


def test_a_week_that_lacks_what_the_plan_names_is_refused(
    made: Made, tmp_path: Path, capsys: Capture
) -> None:
    week = tmp_path / "other.yaml"
    text = WEEK.replace("Bowl", "Bowls")
    week.write_text(text, encoding="utf-8")
    ran = call("audit", made.plan, "--week", week, capsys=capsys)
    one_message(ran, "lunches > entry 2 > dish", "there is no dish named 'Bowl'", "'Bowls'?")


def test_a_bad_week_is_named_and_not_the_plan(made: Made, tmp_path: Path, capsys: Capture) -> None:
    week = tmp_path / "other.yaml"
    week.write_text("week: {}\n", encoding="utf-8")
    ran = call("audit", made.plan, "--week", week, capsys=capsys)
    one_message(ran, "other.yaml, line 1")


# -- plans that are none -------------------------------------------------------------------


def unknown(kind: str) -> tuple[Edit, str, str]:
    return {
        "dish": (
            lambda plan: lunch(plan, TUE).update(dish="Bowle"),
            "lunches > entry 2 > dish",
            "'Bowl'",
        ),
        "eater": (
            lambda plan: lunch(plan, TUE).update(eater="Adda"),
            "lunches > entry 2 > eater",
            "'Ada'",
        ),
        "batch": (
            lambda plan: part(plan, TUE, "beans").update(batch="bean"),
            "lunches > entry 2 > batches",
            "'beans'",
        ),
        "option": (
            lambda plan: lunch(plan, TUE)["choices"][0].update(item="pare"),
            "lunches > entry 2 > choices",
            "'pear'",
        ),
        "choice": (
            lambda plan: lunch(plan, TUE)["choices"][0].update(choice="sides"),
            "lunches > entry 2 > choices",
            "'side'",
        ),
        "extra": (extras(TUE, "craker", 1), "lunches > entry 2 > extras", "'cracker'"),
        "pack": (
            lambda plan: plan["packs"][0].update(item="leafs"),
            "packs > entry 1 > item",
            "'leaves'",
        ),
    }[kind]


@pytest.mark.parametrize("kind", ["dish", "eater", "batch", "option", "choice", "extra", "pack"])
def test_an_unknown_name_is_refused_with_its_path_and_the_nearest(
    kind: str, plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    edit, path, near = unknown(kind)
    edit(plan)
    one_message(call("audit", written(plan, tmp_path), capsys=capsys), path, near)


def test_a_message_about_a_plan_names_its_file(plan: Plan, tmp_path: Path, capsys: Capture) -> None:
    lunch(plan, TUE)["dish"] = "Bowle"
    one_message(call("audit", written(plan, tmp_path), capsys=capsys), "edited.json")


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('"status": "optimal",', '"status": "optimal"', 4),
        ('"status": "optimal",', '"status": optimal,', 3),
        ('"format":', '"format"', 2),
        ("{\n", "{{\n", 1),
        ('"status": "optimal",', '"status": "opt\n', 3),
    ],
)
def test_broken_json_gives_its_line(
    old: str, new: str, line: int, made: Made, tmp_path: Path, capsys: Capture
) -> None:
    text = made.text.replace(old, new, 1)
    assert text != made.text
    ran = call("audit", written(text, tmp_path), capsys=capsys)
    one_message(ran, f"edited.json, line {line}: this is not JSON")


def test_a_plan_cut_short_gives_its_last_line(made: Made, tmp_path: Path, capsys: Capture) -> None:
    text = made.text[: len(made.text) // 2].rsplit("\n", 1)[0]
    ran = call("audit", written(text, tmp_path), capsys=capsys)
    one_message(ran, "edited.json, line ", "this is not JSON")


@pytest.mark.parametrize(
    "text",
    [
        "",
        "null",
        "[]",
        "12",
        '"plan"',
        "{}",
        '{"format": "clearfridge plan 2"}',
        '{"format": 1}',
        '{"format": ["clearfridge plan 1"]}',
        "[" * 100_000,
        '{"a":' * 100_000,
        "[" * 50_000 + "]" * 50_000,
        "9" * 10_000,
        "week: {}\n",
        "\x00",
        "NaN",
    ],
    ids=lambda text: repr(text[:25]),
)
def test_what_is_no_plan_is_refused(text: str, tmp_path: Path, capsys: Capture) -> None:
    one_message(call("audit", written(text, tmp_path), capsys=capsys), "edited.json", "this is not")


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity"])
def test_numbers_that_are_none_are_refused(
    word: str, made: Made, tmp_path: Path, capsys: Capture
) -> None:
    text = made.text.replace('"value": 0.0', f'"value": {word}', 1)
    assert text != made.text
    one_message(call("audit", written(text, tmp_path), capsys=capsys), "edited.json")


def test_a_number_beyond_all_numbers_is_no_good_sum(
    made: Made, tmp_path: Path, capsys: Capture
) -> None:
    text = made.text.replace('"value": 0.0', '"value": 1e999', 1)
    ran = call("audit", written(text, tmp_path), "--json", capsys=capsys)
    if ran.code == BAD_INPUT:
        one_message(ran, "edited.json")
    else:
        assert broken(ran) == {"sums"}


@pytest.mark.parametrize("depth", [30, 900, 20_000])
@pytest.mark.parametrize("where", ["beside", "week"])
def test_deep_nesting_in_a_plan_is_no_end(
    where: str, depth: int, made: Made, tmp_path: Path, capsys: Capture
) -> None:
    deep = "[" * depth + "]" * depth
    if where == "beside":
        text = made.text.replace("{", '{"deep": ' + deep + ",", 1)
    else:
        text = made.text.replace('"name": "Audited week",\n', f'"name": {deep},\n')
    assert text.count(deep) >= 1
    one_message(call("audit", written(text, tmp_path), capsys=capsys))


@pytest.mark.parametrize(
    ("edit", "parts"),
    [
        (lambda plan: plan.update(lunchs=[]), ["lunchs"]),
        (lambda plan: plan.pop("packs"), ["'packs' is missing"]),
        (lambda plan: lunch(plan, TUE).pop("dish"), ["'dish' is missing", "entry 2"]),
        (lambda plan: lunch(plan, TUE).update(date="soon"), ["lunches > entry 2 > date", "soon"]),
        (lambda plan: lunch(plan, TUE).update(date="2026-02-30"), ["lunches > entry 2 > date"]),
        (moved(THU, "0001-01-01"), ["lunches > entry 4 > date", "0001-01-01"]),
        (moved(WED, "9999-12-31"), ["lunches > entry 3 > date", "9999-12-31"]),
        (pack_opened("leaves", "9999-12-31"), ["packs", "opened", "9999-12-31"]),
        (portions(MON, "farls", 4.5), ["portions", "4.5"]),  # type: ignore[arg-type]
        (lambda plan: plan.update(status="fine"), ["status", "fine"]),
        (lambda plan: plan.update(lunches={}), ["lunches"]),
        (lambda plan: plan.update(week={}), ["week", "missing"]),
        (lambda plan: plan.update(week=[]), ["week"]),
        (lambda plan: plan["week"]["batches"]["farls"].update(portion="30 mL"), ["farls", "mass"]),
        (lambda plan: plan["week"].pop("dishes"), ["'dishes' is missing"]),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, list) else "",
)
def test_a_plan_of_the_wrong_shape_is_refused_with_its_path(
    edit: Edit, parts: list[str], plan: Plan, tmp_path: Path, capsys: Capture
) -> None:
    edit(plan)
    ran = call("audit", written(plan, tmp_path), capsys=capsys)
    one_message(ran, *parts)
    assert "line 0" not in ran.err, "JSON keeps no lines, so none may be said"


def test_text_that_is_not_utf8_is_refused(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "edited.json"
    path.write_bytes(b'{"format": "\xff"}')
    one_message(call("audit", path, capsys=capsys), "edited.json", "not UTF-8")


# -- files that are none -------------------------------------------------------------------


@pytest.mark.parametrize("name", ["none.json", ".", "missing/plan.json"])
def test_a_plan_that_cannot_be_read_is_refused(name: str, tmp_path: Path, capsys: Capture) -> None:
    one_message(call("audit", tmp_path / name, capsys=capsys), str(tmp_path))


def test_a_huge_file_is_refused(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "huge.json"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    one_message(call("audit", path, capsys=capsys), "huge.json", "too large")


def test_a_pipe_that_nobody_writes_to_does_not_hang(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):
        pytest.skip("no pipes with a name here")
    os.mkfifo(tmp_path / "pipe")
    one_message(spawn("audit", "pipe", folder=tmp_path, seconds=8), "pipe")


LIMITED = """\
import resource
resource.setrlimit(resource.RLIMIT_AS, (2**31, 2**31))
from optimiser.cli import main
main()
"""


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no such device here")
def test_a_file_without_an_end_is_not_read_to_its_end(tmp_path: Path) -> None:
    # With a limit on memory, so that reading on ends this process and not the machine.
    one_message(spawn("audit", "/dev/zero", folder=tmp_path, code=LIMITED), "/dev/zero")


# -- standard input -----------------------------------------------------------------------


def test_a_plan_from_standard_input(made: Made, tmp_path: Path) -> None:
    assert run("audit", "-", folder=tmp_path, stdin=made.text).done().out.startswith("The plan")


def test_bad_json_from_standard_input(tmp_path: Path) -> None:
    one_message(run("audit", "-", folder=tmp_path, stdin="{\n?"), "standard input, line 2")


def test_standard_input_that_is_not_utf8(tmp_path: Path) -> None:
    ran = spawn(
        "audit", "-", folder=tmp_path, stdin=b"\xff\xfe{", more={"PYTHONIOENCODING": "utf-8:strict"}
    )
    one_message(ran, "standard input")


# -- no solver ---------------------------------------------------------------------------

WATCHED = """\
import sys
from optimiser.cli import main
try:
    main()
finally:
    heavy = {name.split(".")[0] for name in sys.modules} & {"ortools", "pandas"}
    others = {f"optimiser.cli.{name}" for name in ("why", "share", "lists")} & set(sys.modules)
    print(*sorted(heavy | others), file=sys.stderr)
"""


@pytest.mark.parametrize(
    "words",
    [
        ("audit", "plan.json", "--week", "week.yaml", "--json"),
        ("check", "week.yaml"),
        ("check", "week.yaml", "--trace", "farls"),
        ("food", "dried lentils"),
        ("plan", "--help"),
        ("schema", "--plan"),
        ("new", "-"),
    ],
    ids=" ".join,
)
def test_no_solver_is_waited_for(words: tuple[str, ...], made: Made) -> None:
    ran = spawn(*words, folder=made.folder, code=WATCHED)
    assert (ran.code, ran.err) == (DONE, "\n")


def test_help_waits_neither_for_what_reads_a_file_nor_for_the_answers(tmp_path: Path) -> None:
    code = WATCHED.replace('{"ortools", "pandas"}', '{"ortools", "pandas", "pydantic", "yaml"}')
    ran = spawn("--help", folder=tmp_path, code=code)
    # All commands are there, for each is listed.
    loaded = {"optimiser.cli.lists", "optimiser.cli.share", "optimiser.cli.why"}
    assert (ran.code, set(ran.err.split())) == (DONE, loaded)


def test_planning_loads_the_solver_and_none_of_its_heavy_friends(made: Made) -> None:
    ran = spawn("plan", "week.yaml", "--no-reasons", folder=made.folder, code=WATCHED)
    assert (ran.code, ran.err) == (DONE, "ortools\n")
