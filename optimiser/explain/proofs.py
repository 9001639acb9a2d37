"""What of a plan's proof travels with it, written down so that anyone can add it up again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal

from models.answers.plan import ForkLine, LeafLine, ProofLine, Proofs
from optimiser.solve.certificate import Fork, Tree, digest
from optimiser.solve.program import Program
from optimiser.solve.proving import certificates


def proofs_of(program: Program, reached: Mapping[str, Decimal]) -> Proofs:
    """Write down what of a plan's proof anyone can add up again.

    Parameters
    ----------
    program
        The program of its week, with no rows but those of rules and priorities.
    reached
        What the plan reaches, for each priority's name.

    Returns
    -------
    Proofs
        A line for each priority that has a bound, in their order, its duals as text: "row:dual",
        in parts of `UNIT`.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> program, solved = solve_week(read_week("minimal"))
    >>> proofs = proofs_of(program, {value.name: value.value for value in solved.values})
    >>> [(line.name, line.value) for line in proofs.levels][:1], proofs.program == digest(program)
    ([('left_over', 0)], True)
    """
    return Proofs(
        program=digest(program),
        levels=[
            ProofLine(
                name=made.name,
                value=made.value,
                adds_up_to=str(made.exact),
                rows=_multiplied(made.rows),
                before=_multiplied(made.before),
                tree=list(_lines(made.tree)),
            )
            for made in certificates(program, reached)
        ],
    )


def _lines(tree: Tree | None) -> Iterator[ForkLine | LeafLine]:
    if isinstance(tree, Fork):
        yield ForkLine(counts=" ".join(map(str, tree.counts)), most=tree.most)
        yield from (*_lines(tree.below), *_lines(tree.above))
    elif tree is not None:
        yield LeafLine(
            adds_up_to=str(tree.exact),
            rows=_multiplied(tree.rows),
            before=_multiplied(tree.before),
            forks=_multiplied(tree.forks),
        )


def _multiplied(duals: Mapping[int, int]) -> str:
    return " ".join(f"{at}:{dual}" for at, dual in duals.items())
