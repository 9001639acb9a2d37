"""Proofs that travel with a plan: they prove what is true, and no part of one can be changed.

A proof that an edited file could make say more than is true would be worse than none. So each
part is changed, the seal made anew, and the audit has to find it or to prove no more than before;
and proofs of chance numbers must never prove more than the best week has.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

import pytest

import optimiser
from models.answers.plan import PlanFile
from models.file.reading import read_week
from optimiser.auditing.proofs import replay
from optimiser.solve.certificate import UNIT, Certificate, Fork, Leaf, Tree, replayed
from optimiser.solve.cpsat import Status
from optimiser.solve.program import Program
from optimiser.solve.proving import certificates
from optimiser.solve.week import solve_week
from tests.depth import sized
from tests.households import Household


@cache
def saved(name: str) -> PlanFile:
    return optimiser.plan(name, reasons=False, proofs=True)


@pytest.mark.parametrize(
    ("name", "number"), [("minimal", 8), ("starter", 8), ("demo", 8), ("family", 5)]
)
def test_most_of_what_is_proven_is_proven_again_without_a_solver(name: str, number: int) -> None:
    plan = saved(name)
    answer = optimiser.audit(PlanFile.model_validate_json(plan.model_dump_json()))
    assert answer.faults == []
    assert len(answer.checked) >= number
    text = " ".join(optimiser.render(answer).split())
    assert f"Proven here, by adding up: no plan is better in {answer.checked[0]}" in text


@pytest.mark.parametrize("name", ["3,5,12,3,5", "4,5,12,3,1", "2,5,20,4,1"])
def test_weeks_of_households_are_proven_whole_without_a_solver(name: str) -> None:
    program, solved = solve_week(Household.named(name).week())
    made = certificates(program, {value.name: value.value for value in solved.values})
    proven = [sums for sums, _ in replayed(Program(program.week), made)]
    assert proven == [proof.value for proof in made]
    assert len(made) == len(program.levels)


def test_without_proofs_it_is_the_solvers_word() -> None:
    bare = optimiser.audit(optimiser.plan("minimal", reasons=False))
    assert (bare.checked, bare.taken_as_written) == ([], ["that no plan is better"])
    wished = optimiser.plan("demo", reasons=False, proofs=True, no_repeats="dish")
    assert wished.proofs is None


Levels = list[dict[str, Any]]


def _first_dual(text: str, change: Callable[[int, int], tuple[int, int] | str]) -> str:
    word, _, rest = text.partition(" ")
    place, dual = map(int, word.split(":"))
    new = change(place, dual)
    return " ".join(filter(None, [new if isinstance(new, str) else f"{new[0]}:{new[1]}", rest]))


def _each(part: str, change: Callable[[int, int], tuple[int, int] | str]) -> Callable[..., None]:
    def edit(levels: Levels) -> None:
        level = next(level for level in levels if level[part])
        level[part] = _first_dual(level[part], change)

    return edit


def _set(at: int, **values: Any) -> Callable[[Levels], None]:
    return lambda levels: levels[at].update(values)


EDITS: Mapping[str, Callable[[Levels], object]] = {
    "a dual turned": _each("rows", lambda at, dual: (at, -dual)),
    "a dual made large": _each("rows", lambda at, dual: (at, 10**6 * dual)),
    "a row that is not there": _each("rows", lambda at, dual: (10**6, dual)),
    "a row twice": _each("rows", lambda at, dual: f"{at}:{dual} {at}:{dual}"),
    "no number": _each("rows", lambda at, dual: f"{at}:x"),
    "a priority that is not before": _each("before", lambda at, dual: (7, dual)),
    "a priority before turned": _each("before", lambda at, dual: (at, -dual)),
    "no rows": _set(4, rows=""),
    "another value": lambda levels: levels[0].update(value=levels[0]["value"] + 1),
    "more than is proven": lambda levels: levels[2].update(adds_up_to=str(9 * UNIT)),
    "less than is proven": _set(2, adds_up_to="0"),
    "what is no sum": _set(2, adds_up_to="much"),
    "another name": _set(0, name="cost"),
    "a name that is none": _set(0, name="dinner"),
    "the first left out": lambda levels: levels.pop(0),
    "two changed over": lambda levels: levels.insert(0, levels.pop(1)),
    "one too many": lambda levels: levels.append(levels[-1]),
}

Tree_ = list[dict[str, Any]]


def _tree(edit: Callable[[Tree_], object]) -> Callable[[Levels], None]:
    """Edit the tree of the third priority of the demo: its freshness."""
    return lambda levels: (edit(levels[2]["tree"]), None)[1]


def _leaf(part: str, change: Callable[[int, int], tuple[int, int] | str]) -> Callable[..., None]:
    def edit(tree: Tree_) -> None:
        leaf = next(leaf for leaf in tree if leaf.get(part))
        leaf[part] = _first_dual(leaf[part], change)

    return _tree(edit)


def _nested(tree: Tree_) -> None:
    """Put a fork before the whole again and again: more in a row than can be read."""
    leaf = next(line for line in tree if "rows" in line)
    tree[:0] = [line for _ in range(2000) for line in ({"counts": "0", "most": 0}, leaf)]


TREE_EDITS: Mapping[str, Callable[[Levels], object]] = {
    "a fork at another number": _tree(lambda tree: tree[0].update(most=tree[0]["most"] + 1)),
    "a fork by other counts": _tree(lambda tree: tree[0].update(counts="1 2")),
    "a fork by a count that is not there": _tree(lambda tree: tree[0].update(counts="99999")),
    "a fork by no count": _tree(lambda tree: tree[0].update(counts="")),
    "two ends changed over": _tree(lambda tree: tree.insert(-1, tree.pop())),
    "the last end left out": _tree(lambda tree: tree.pop()),
    "one end too many": _tree(lambda tree: tree.append(tree[-1])),
    "the first fork left out": _tree(lambda tree: tree.pop(0)),
    "forks without an end": _tree(_nested),
    "a dual of a row turned": _leaf("rows", lambda at, dual: (at, -dual)),
    "a row that is not there, at an end": _leaf("rows", lambda at, dual: (10**6, dual)),
    "a dual of a priority turned": _leaf("before", lambda at, dual: (at, -dual)),
    "a priority of later, at an end": _leaf("before", lambda at, dual: (3, dual)),
    "a dual of a fork turned": _leaf("forks", lambda at, dual: (at, -dual)),
    "a fork that is not on the way": _leaf("forks", lambda at, dual: (99, dual)),
    "what an end comes to": _tree(lambda tree: tree[-1].update(adds_up_to="1")),
    "what is no sum, at an end": _tree(lambda tree: tree[-1].update(adds_up_to="much")),
}


def test_a_proof_that_was_changed_is_found() -> None:
    plan = saved("demo")
    for what, edit in EDITS.items():
        data = plan.model_dump(mode="json")
        edit(data["proofs"]["levels"])
        forged = PlanFile.model_validate_json(PlanFile(**data).sealed().model_dump_json())
        answer = optimiser.audit(forged)
        assert [finding.rule for finding in answer.faults] == ["proofs"], what
        assert answer.checked == [], what


def test_a_tree_that_was_changed_is_found() -> None:
    plan, week = saved("demo"), read_week("demo")
    for what, edit in TREE_EDITS.items():
        data = plan.model_dump(mode="json")
        edit(data["proofs"]["levels"])
        again = replay(PlanFile(**data), week)
        assert [finding.rule for finding in again.findings] == ["proofs"], what
        assert again.checked == (), what


def test_proofs_of_other_rows_prove_nothing() -> None:
    plan = saved("demo")
    assert plan.proofs is not None
    others = plan.proofs.model_copy(update={"program": "0" * 64})
    answer = optimiser.audit(plan.model_copy(update={"proofs": others}).sealed())
    assert (answer.faults, answer.checked) == ([], [])


def test_without_its_last_priorities_a_proof_proves_the_first() -> None:
    plan = saved("demo")
    assert plan.proofs is not None
    fewer = plan.proofs.model_copy(update={"levels": plan.proofs.levels[:1]})
    answer = optimiser.audit(plan.model_copy(update={"proofs": fewer}).sealed())
    assert (answer.faults, answer.checked) == ([], ["left over"])


def test_without_its_tree_a_priority_is_the_solvers_word() -> None:
    plan = saved("demo")
    data = plan.model_dump(mode="json")
    assert data["proofs"]["levels"][2].pop("tree")
    answer = optimiser.audit(PlanFile(**data).sealed())
    assert (answer.faults, "freshness" in answer.checked) == ([], False)
    assert len(answer.checked) == len(plan.priorities) - 1


def test_no_numbers_prove_more_than_the_best_week_has() -> None:
    weeks = [read_week("demo"), Household.named("2,5,5,3,2").week()]
    for week in weeks:
        program, solved = solve_week(week)
        assert solved.status is Status.OPTIMAL
        assert solved.counts is not None
        best = [level.total.value(solved.counts) for level in program.levels]
        made = certificates(program, {value.name: value.value for value in solved.values})
        again = [sums for _, sums in replayed(Program(week), made)]
        assert [proof.sums() for proof in made] == again
        assert any(proof.tree for proof in made)
        for throw in range(sized(12, 200)):
            dice = random.Random(throw)
            forged = [
                Certificate(
                    proof.name,
                    proof.value + dice.choice((0, 0, 1, level.step)),
                    proof.exact,
                    _thrown(dice, proof.rows, len(program.told)),
                    _thrown(dice, proof.before, at),
                    _grown(dice, proof.tree, len(program.told), at + 1),
                )
                for at, (proof, level) in enumerate(zip(made, program.levels, strict=True))
            ]
            proven = [least for least, _ in replayed(program, forged)]
            assert all(least <= value for least, value in zip(proven, best, strict=True)), throw


def _thrown(dice: random.Random, duals: Mapping[int, int], rows: int) -> dict[int, int]:
    """Turn some duals to chance numbers, leave out some, add some of other rows."""
    kept = {at: dual for at, dual in duals.items() if dice.random() < 0.8}
    for at in dice.sample(range(rows), min(rows, 5)):
        kept[at] = dice.randint(-3, 3) * UNIT // dice.choice((1, 2, 100))
    return {at: dual * dice.choice((1, 1, 1, 2)) for at, dual in kept.items()}


def _grown(dice: random.Random, tree: Tree | None, rows: int, levels: int) -> Tree | None:
    """Change some forks of a tree and the duals of its ends."""
    if tree is None:
        return None
    if isinstance(tree, Leaf):
        before = _thrown(dice, tree.before, levels)
        return Leaf(tree.exact, _thrown(dice, tree.rows, rows), before, tree.forks)
    most = tree.most + dice.choice((-1, 0, 0, 1))
    sides = [_grown(dice, side, rows, levels) for side in (tree.below, tree.above)]
    below, above = (side for side in sides if side is not None)
    return Fork(tree.counts, most, below, above)
