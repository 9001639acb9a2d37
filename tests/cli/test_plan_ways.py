"""`plan --no-repeats`, `--after` and `--bends`: what they take, refuse, cost and print."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any, TypeAlias

import pytest

from models.answers.plan import PlanFile
from models.file.planfile import read_plan
from models.words.nutrients import PROTEIN
from optimiser.auditing import audit

from .command import BAD_INPUT, DONE, NO_PLAN, call, columns, no_control, one_message, run, spawn

Capture: TypeAlias = pytest.CaptureFixture[str]
Plan: TypeAlias = dict[str, Any]

WEEK = """\
week: {starts: 2026-12-07, days: [mon, tue, wed], guidance: us, currency: EUR, name: Three days}
place: {microwave: yes}
eaters:
  Ada: {likes: {Bowl: 2}}
batches:
  beans:
    made: 2026-12-06
    yield: 6 portions
    portion: 100 g
    nutrition: {protein: 4 g}
    cost: 3
    fridge_life: 4
    allergens: none
larder:
  plait: {pack: 6 pieces, chilled: no, price: 2.40, nutrition: {protein: 5 g}, allergens: [gluten]}
dishes:
  Bowl: {kind: bowl, takes: {beans: 2}, minutes: 3}
  Soup: {kind: bowl, takes: {beans: 2 to 3}, microwave: yes, minutes: 2}
  Tart: {kind: bread, takes: {beans: 1 to 2}, goes_in: {plait: 1 piece}, minutes: 5}
priorities: [left_over, liking, cost]
"""
"""Best is Bowl three times; without one twice it is Bowl, Soup and Tart."""

BEFORE = WEEK.replace("2026-12-07", "2026-11-30").replace("2026-12-06", "2026-11-29")
LATER = WEEK.replace("2026-12-07", "2026-12-14").replace("2026-12-06", "2026-12-13")
TWO = WEEK.replace("  Ada: {likes: {Bowl: 2}}\n", "  Ada: {likes: {Bowl: 2}}\n  Bo: {}\n").replace(
    "6 portions", "12 portions"
)
QUIET = ("--no-reasons", "--json")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the week in it, by several names, to work in."""
    monkeypatch.chdir(tmp_path)
    for name, text in {"week.yaml": WEEK, "kind": WEEK, "before": BEFORE, "later": LATER}.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def planned(capsys: Capture, *words: str | Path) -> Plan:
    data: Plan = call("plan", *words, *QUIET, capsys=capsys).done().data
    PlanFile.model_validate(data)
    return data


def saved(capsys: Capture, week: str, name: str, *words: str) -> str:
    planned(capsys, week, "--save", name, *words)
    return name


def dishes(data: Plan, eater: str | None = None) -> list[str]:
    return [one["dish"] for one in data["lunches"] if eater in (None, one["eater"])]


def wishes(data: Plan) -> dict[str, Any]:
    return {one["wish"]: one for one in data["wishes"]}


# -- how it is said ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("week.yaml", "--no-repeats"), "dish"),
        (("--no-repeats", "week.yaml"), "dish"),
        (("week.yaml", "--no-repeats=dish"), "dish"),
        (("--no-repeats=kind", "week.yaml"), "kind"),
        (("week.yaml", "--no-repeats", "kind"), "kind"),
        (("--no-repeats", "all", "week.yaml"), "all"),
        # A file whose name is one of the words.
        (("--no-repeats", "dish", "kind"), "dish"),
        (("--no-repeats", "--", "kind"), "dish"),
        (("kind", "--no-repeats"), "dish"),
        (("--no-repeats", "./kind"), "dish"),
        (("--no-repeats", "kind", "kind"), "kind"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, tuple) else None,
)
def test_it_may_stand_alone_wherever_it_stands(
    folder: Path, words: tuple[str, ...], said: str, capsys: Capture
) -> None:
    # `--json` must not come after "--": it would be a file there.
    data: Plan = call("plan", *QUIET, *words, capsys=capsys).done().data
    titles = {
        "dish": ["no dish twice"],
        "kind": ["no kind of dish twice"],
        "all": ["no dish twice", "no kind of dish twice", "no choice twice"],
    }
    assert [one["wish"] for one in data["wishes"]] == titles[said]


def test_without_a_file_a_word_is_taken_for_what_may_not_come_twice(
    folder: Path, capsys: Capture
) -> None:
    ran = call("plan", "--no-repeats", "kind", capsys=capsys)
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    assert "FILE" in ran.err
    ran = call("plan", "week.yaml", "--no-repeats=never", capsys=capsys)
    assert (ran.code, ran.out) == (BAD_INPUT, "")
    assert "'never' is not one of 'dish'" in ran.err


def test_a_week_without_a_plan_says_so_and_nothing_of_repeats(
    folder: Path, capsys: Capture
) -> None:
    none = WEEK.replace("fridge_life: 4", "fridge_life: 2")
    (folder / "none").write_text(none, encoding="utf-8")
    ran = call("plan", "none", "--no-repeats", "all", "--bends", "--json", capsys=capsys)
    assert ran.code == NO_PLAN
    assert (ran.data["status"], ran.data["wishes"], ran.data["bends"]) == ("infeasible", [], None)
    assert ran.data["conflict"]


# -- what it costs -----------------------------------------------------------------------


def added_up(data: Plan) -> dict[str, float]:
    """Add a printed plan up anew, from its lunches and lists."""
    by_name = {one["name"]: one["value"] for one in data["priorities"]}
    lunches = data["lunches"]
    return {
        "g left over": data["left_over"]["grams"],
        "g protein in all": sum(one["nutrients"][PROTEIN]["amount"] for one in lunches),
        "points of liking": by_name["liking"],
        "EUR of cost": by_name["cost"],
        "min of packing": sum(one["minutes"] for one in lunches),
    }


def said_cost(data: Plan) -> dict[str, float]:
    """Read the numbers of the line that says what it costs."""
    (text,) = [one["text"] for one in data["wishes"] if "against the plan without" in one["text"]]
    said = text.partition("against the plan without it: ")[2]
    parts = [] if said == "nothing is lost" else said.split(", ")
    found = (part.split(" ", 1) for part in parts)
    return {what: float(number) for number, what in found}


@pytest.mark.parametrize("way", ["dish", "kind"])
@pytest.mark.parametrize(
    "others", [(), ("--prefer", "Tart on mon"), ("--keep", "kept.json")], ids=lambda one: one[:1]
)
def test_what_it_costs_is_what_two_plans_differ_in(
    folder: Path, way: str, others: tuple[str, ...], capsys: Capture
) -> None:
    saved(capsys, "week.yaml", "kept.json", "--prefer", "Soup on tue")
    without = planned(capsys, "week.yaml", *others)
    with_it = planned(capsys, "week.yaml", *others, "--no-repeats", way)
    before, after = added_up(without), added_up(with_it)
    moved = {name: round(after[name] - before[name], 2) for name in after}
    assert said_cost(with_it) == {name: change for name, change in moved.items() if change}
    if not others:
        assert moved["points of liking"] < 0


def test_together_with_a_wish_and_a_saved_plan_all_are_kept_apart_first(
    folder: Path, capsys: Capture
) -> None:
    saved(capsys, "week.yaml", "kept.json")
    data = planned(
        capsys,
        "week.yaml",
        *("--no-repeats", "--keep", "kept.json", "--prefer", "Tart on wed"),
    )
    assert dishes(data) in (["Bowl", "Soup", "Tart"], ["Soup", "Bowl", "Tart"])
    lines = wishes(data)
    assert list(lines) == ["Tart on Wed 9 Dec", "no dish twice", "the saved plan kept"]
    assert all(one["granted"] for one in lines.values())
    assert lines["the saved plan kept"]["text"] == "2 lunches differ from that plan"
    assert lines["Tart on Wed 9 Dec"]["priority"] == "liking"
    # A wish that leaves no other way is granted, and named where something comes again.
    data = planned(
        capsys,
        "week.yaml",
        *("--no-repeats", "--prefer", "Bowl on mon", "--prefer", "Bowl on tue"),
    )
    line = wishes(data)["no dish twice"]
    assert (line["granted"], line["amount"], line["rules"]) == (False, 1, [])
    assert line["text"].startswith(
        "with what is wished, whatever the rules, the nearest that can be has again: Bowl; "
    )


def test_where_it_cannot_be_json_names_the_rules(folder: Path, capsys: Capture) -> None:
    cold = WEEK.replace("place: {microwave: yes}", "place: {microwave: no}")
    (folder / "cold").write_text(cold, encoding="utf-8")
    line = wishes(planned(capsys, "cold", "--no-repeats"))["no dish twice"]
    assert (line["granted"], line["amount"], line["priority"]) == (False, 1, None)
    (rule,) = line["rules"]
    assert (rule["key"], rule["numbers"]["eater"]) == ("microwave:Ada", "Ada")
    out = call("plan", "cold", "--no-repeats", "--no-reasons", capsys=capsys).done().out
    assert f"- {rule['sentence']}" in out
    # With a microwave it can be.
    assert wishes(planned(capsys, "week.yaml", "--no-repeats"))["no dish twice"]["granted"]


# -- what was eaten lately ---------------------------------------------------------------


def test_what_was_eaten_lately_is_kept_away_from(folder: Path, capsys: Capture) -> None:
    eaten = saved(capsys, "before", "before.json")
    assert set(dishes(json.loads(Path(eaten).read_text(encoding="utf-8")))) == {"Bowl"}
    data = planned(capsys, "week.yaml", "--after", eaten)
    assert "Bowl" in dishes(data), "three lunches of two dishes would have one twice"
    lines = wishes(data)
    assert list(lines) == ["no dish twice", "nothing that was eaten lately"]
    assert (lines["nothing that was eaten lately"]["amount"]) == 1
    assert lines["nothing that was eaten lately"]["text"].startswith("after what is asked above, ")
    # No kind twice comes before it as well; of two lunches none needs to be a Bowl.
    short = WEEK.replace("days: [mon, tue, wed]", "days: [mon, tue]")
    (folder / "brief").write_text(short, encoding="utf-8")
    for way in ("dish", "kind", "all"):
        data = planned(capsys, "brief", "--after", eaten, "--no-repeats", way)
        assert sorted(dishes(data)) == ["Soup", "Tart"]
        assert all(one["granted"] for one in data["wishes"])


def test_several_plans_and_one_from_standard_input(folder: Path, capsys: Capture) -> None:
    earlier = WEEK.replace("2026-12-07", "2026-11-23").replace("2026-12-06", "2026-11-22")
    (folder / "earlier").write_text(earlier.replace("Bowl: 2}", "Soup: 2}"), encoding="utf-8")
    one, other = saved(capsys, "before", "one.json"), saved(capsys, "earlier", "two.json")
    (folder / "day").write_text(WEEK.replace("[mon, tue, wed]", "[mon]"), encoding="utf-8")
    assert dishes(planned(capsys, "day", "--after", one)) == ["Soup"]
    assert dishes(planned(capsys, "day", "--after", one, "--after", other)) == ["Tart"]
    text = Path(other).read_text(encoding="utf-8")
    words = ("plan", "day", "--after", "-", *QUIET)
    assert dishes(run(*words, folder=folder, stdin=text).done().data) == ["Bowl"]


def test_what_one_ate_keeps_nothing_from_another(folder: Path, capsys: Capture) -> None:
    two = TWO.replace("days: [mon, tue, wed]", "days: [mon]").replace("12 portions", "4 portions")
    two = two.replace("Bo: {}", "Bo: {likes: {Bowl: 2}}")
    (folder / "two").write_text(two, encoding="utf-8")
    data = planned(capsys, "two", "--after", saved(capsys, "before", "ada.json"))
    assert dishes(data, "Bo") == ["Bowl"]
    assert dishes(data, "Ada") != ["Bowl"]
    assert dishes(planned(capsys, "two"), "Ada") == ["Bowl"]


REFUSED = [
    ("later.json", "this plan is of later days", "a week before"),
    ("same.json", "this plan is of the same days", "a week before"),
    ("empty.json", "this plan has no lunches", "was eaten"),
    ("week.yaml", "this is not JSON", "plan again"),
    ("object.json", "this is not a plan of this program", "--save"),
    ("nowhere.json", "nowhere.json", ""),
    ("", "", ""),
]


@pytest.mark.parametrize(("name", "what", "mend"), REFUSED, ids=[one[0] for one in REFUSED])
def test_what_is_no_plan_of_a_week_before_is_refused(
    folder: Path, name: str, what: str, mend: str, capsys: Capture
) -> None:
    saved(capsys, "later", "later.json")
    saved(capsys, "week.yaml", "same.json")
    empty = json.loads((folder / "same.json").read_text(encoding="utf-8"))
    (folder / "empty.json").write_text(json.dumps(empty | {"lunches": []}), encoding="utf-8")
    (folder / "object.json").write_text("{}", encoding="utf-8")
    before = sorted(folder.iterdir())
    for words in (("--after", name), ("--no-repeats", "--after", name)):
        ran = call("plan", "week.yaml", *words, "--save", "new.json", capsys=capsys)
        one_message(ran, what, mend)
    assert sorted(folder.iterdir()) == before, "something was written"


# -- if a lunch falls through ------------------------------------------------------------


def test_a_saved_plan_that_bends_passes_the_audit(folder: Path, capsys: Capture) -> None:
    data = planned(capsys, "week.yaml", "--bends", "--no-repeats", "--save", "plan.json")
    kept = read_plan("plan.json")
    assert audit(kept) == []
    assert kept.model_dump(mode="json") == data
    assert call("audit", "plan.json", capsys=capsys).code == DONE
    # No dish twice holds among the equal plans too.
    assert sorted(dishes(data)) == ["Bowl", "Soup", "Tart"]
    assert [one["date"] for one in data["bends"]["lunches"]] == data["days"]
    plain = planned(capsys, "week.yaml", "--no-repeats")
    assert plain["bends"] is None
    named = [one for one in plain["priorities"] if one["name"] != "file_order"]
    assert named == [one for one in data["priorities"] if one["name"] != "file_order"]


ONE_EATER = """
if one fails if Mon or Tue falls through: still nothing wasted
             if Wed falls through: 100 g left over
             the best of 12 equal plans
"""


def test_the_lines_for_one_eater(folder: Path, capsys: Capture) -> None:
    words = ("plan", "week.yaml", "--no-repeats", "--no-reasons", "--bends")
    out = call(*words, capsys=capsys).done().out
    assert ONE_EATER in out
    assert call(*words, capsys=capsys).out == out


SEVERAL = """
if one fails if Mon, Ada; Mon, Bo; Tue, Ada or Tue, Bo falls through: still
             nothing wasted
             if Wed, Ada or Wed, Bo falls through: 100 g left over
             the best of 8 equal plans
"""


def test_the_lines_for_several_eaters(folder: Path, capsys: Capture) -> None:
    (folder / "two").write_text(TWO, encoding="utf-8")
    out = call("plan", "two", "--no-reasons", "--bends", capsys=capsys).done().out
    assert SEVERAL in out
    data = planned(capsys, "two", "--bends")
    said = Counter(one["eater"] for one in data["bends"]["lunches"])
    assert said == {"Ada": 3, "Bo": 3}


def test_all_of_it_fits_a_terminal_and_is_the_same_each_time(folder: Path) -> None:
    words = ("plan", "two", "--no-repeats", "all", "--bends", "--no-reasons")
    (folder / "two").write_text(TWO, encoding="utf-8")
    ran = run(*words, folder=folder).done()
    no_control(ran.out)
    assert columns(ran.out) <= 80
    again = spawn(*words, folder=folder, more={"PYTHONHASHSEED": "4711"}).done()
    assert again.out == ran.out
