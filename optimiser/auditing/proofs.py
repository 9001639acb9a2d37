"""The proofs that travel with a plan, added up again in whole numbers; no solver takes part.

The rows are written anew by the rules of the plan's own week, so a proof cannot speak of others.
What it proves is worked out, never read: who edits it proves something else, or nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from models.answers.audit import Finding
from models.answers.plan import LeafLine, PlanFile, PriorityLine, ProofLine
from models.week.week import Week
from models.words.errors import InputError
from optimiser.priorities import PRIORITIES
from optimiser.solve.certificate import Certificate, Fork, Leaf, Tree, digest, replayed
from optimiser.solve.program import Level, Program
from optimiser.written import number

PROOFS = "a proof that travels with a plan proves what it says"

DEEPEST = 400
"""Forks in a row; more no plan has, and no reader of nested things takes."""

_MULTIPLIED = re.compile(r"([0-9]{1,9}):(-?[0-9]{1,40})")


@dataclass(frozen=True, slots=True)
class Replayed:
    """What comes of adding the proofs of a plan up again.

    Attributes
    ----------
    checked
        Titles of the priorities in which no plan is better: added up here.
    by_word
        Of those of which the solver says so.
    findings
        Where a proof does not prove what it says.
    """

    checked: tuple[str, ...]
    by_word: tuple[str, ...]
    findings: tuple[Finding, ...] = ()


def proven(plan: PlanFile) -> tuple[str, ...]:
    """Name the priorities in which a plan says that none is better.

    Parameters
    ----------
    plan
        A plan.

    Returns
    -------
    tuple of str
        Titles, in its order; as it says so itself.

    Examples
    --------
    >>> import optimiser
    >>> proven(optimiser.plan("minimal", reasons=False))[0]
    'left over'
    """
    return tuple(PRIORITIES[line.name].title for line in plan.priorities if line.proven)


def replay(plan: PlanFile, week: Week) -> Replayed:
    """Add up again what proofs travel with a plan.

    Parameters
    ----------
    plan
        A plan in which no audit found a fault.
    week
        Its own week.

    Returns
    -------
    Replayed
        Nothing is checked where a proof is not what it says; then the finding says where.

    Examples
    --------
    >>> import optimiser
    >>> from models.file.planfile import embedded_week
    >>> plan = optimiser.plan("minimal", reasons=False, proofs=True)
    >>> replay(plan, embedded_week(plan)).by_word
    ()
    """
    claimed = proven(plan)
    if plan.proofs is None:
        return Replayed((), claimed)
    program = Program(week)
    if plan.proofs.program != digest(program):
        # Rules are written otherwise by another version of the program: it says nothing here.
        return Replayed((), claimed)
    checked: list[str] = []
    try:
        made = [_certificate(line) for line in plan.proofs.levels]
        for line, level, certificate, (least, sums) in zip(
            plan.priorities, program.levels, made, replayed(program, made), strict=False
        ):
            _agree(line, level, certificate, sums)
            if line.proven and least >= certificate.value:
                checked.append(PRIORITIES[line.name].title)
        if len(made) > len(program.levels):
            raise InputError(made[-1].name, "there are more proofs than priorities", "")
    except InputError as wrong:
        finding = Finding(rule="proofs", sentence=PROOFS, where=str(wrong.where), what=wrong.what)
        return Replayed((), claimed, (finding,))
    return Replayed(tuple(checked), tuple(title for title in claimed if title not in checked))


def _agree(line: PriorityLine, level: Level, made: Certificate, sums: list[int]) -> None:
    title = PRIORITIES[line.name].title
    if (made.name, line.name) != (level.name, level.name):
        raise InputError(title, f"the proof there is of {made.name}", "")
    if number(level.reached(made.value)) != line.value:
        raise InputError(title, "its proof is of another value", "")
    if sums != made.sums():
        raise InputError(title, "its proof adds up to something else than it says", "")


def _certificate(line: ProofLine) -> Certificate:
    rows, before = _multiplied(line.rows, line.name), _multiplied(line.before, line.name)
    tree = _tree(line) if line.tree else None
    return Certificate(line.name, line.value, _sum(line.adds_up_to, line.name), rows, before, tree)


def _sum(text: str, name: str) -> int:
    if not re.fullmatch(r"-?[0-9]{1,60}", text):
        raise InputError(name, "what its proof adds up to is no number", "")
    return int(text)


def _tree(line: ProofLine) -> Tree:
    """Read a tree from its end, where the halves of each fork stand ready when it comes."""
    ready: list[tuple[Tree, int]] = []
    for part in reversed(line.tree):
        if isinstance(part, LeafLine):
            duals = [_multiplied(text, line.name) for text in (part.rows, part.before, part.forks)]
            ready.append((Leaf(_sum(part.adds_up_to, line.name), *duals), 0))
            continue
        if len(ready) < 2 or not re.fullmatch(r"[0-9]{1,9}( [0-9]{1,9})*", part.counts):
            raise InputError(line.name, "a fork of its proof lacks a half or its counts", "")
        (below, deep), (above, deeper) = ready.pop(), ready.pop()
        if (depth := max(deep, deeper) + 1) > DEEPEST:
            raise InputError(line.name, f"its proof has more than {DEEPEST} forks in a row", "")
        counts = tuple(map(int, part.counts.split(" ")))
        ready.append((Fork(counts, part.most, below, above), depth))
    if len(ready) != 1:
        raise InputError(line.name, "its proof has ends that belong to no fork", "")
    return ready[0][0]


def _multiplied(text: str, name: str) -> Mapping[int, int]:
    pairs = [_MULTIPLIED.fullmatch(word) for word in text.split(" ")] if text else []
    places = {int(pair[1]): int(pair[2]) for pair in pairs if pair is not None}
    if len(places) < len(pairs):
        raise InputError(name, "its proof cannot be read, or names a row twice", "")
    return places
