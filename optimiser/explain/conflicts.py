"""Which rules cannot hold together: a smallest conflict, each member of it needed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

from optimiser.board.rows import Row
from optimiser.rules import Rule
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION, Stop
from optimiser.solve.program import Program

Clash = Callable[[Sequence[str]], bool]
"""Tells whether some keys cannot hold together; with more keys it is no less so."""


def quickxplain(clash: Clash, keys: Sequence[str]) -> list[str]:
    """Find keys that clash and of which each is needed for that.

    Of several such sets it is the one that does without the last key where any does, then
    without the one before it, and so on. About ``2 m log2(n / m)`` questions for m of n keys.

    Parameters
    ----------
    clash
        Tells whether keys cannot hold together.
    keys
        Keys that do clash, all together; those that are best blamed come first.

    Returns
    -------
    list of str
        The conflict, in the order of `keys`; empty where nothing clashes already.

    Notes
    -----
    QUICKXPLAIN: Junker, Preferred explanations and relaxations for over-constrained
    problems, AAAI 2004.

    Examples
    --------
    >>> quickxplain(lambda kept: {"floor", "stock"} <= set(kept), ["floor", "box", "stock"])
    ['floor', 'stock']
    """

    def within(sure: list[str], keys: list[str], *, new: bool) -> list[str]:
        # What is `sure` is in every answer; `new` says whether it grew since it was last asked.
        if new and clash(sure):
            return []
        if len(keys) == 1:
            return keys
        first, last = keys[: len(keys) // 2], keys[len(keys) // 2 :]
        late = within([*sure, *first], last, new=True)
        early = within([*sure, *late], first, new=bool(late))
        return [*early, *late]

    return [] if clash([]) else within([], list(keys), new=False)


def smallest_conflict(
    program: Program, extra: Sequence[Row] = (), stop: Stop | None = None
) -> list[Rule]:
    """Find a set of rules that cannot hold together, and of which each is needed.

    Of several such sets it is the one of rules that the cook can change: it does without
    safety rules, then without stock and what else comes early, where it can.

    Parameters
    ----------
    program
        The week and its rules.
    extra
        Rows that have to hold besides: a foil, or the bounds of priorities.
    stop
        Ends the search early from another thread.

    Returns
    -------
    list of Rule
        In the order of the week's rules, the same each time. Empty where all can hold
        together, or where what is asked cannot be whatever the rules.

    Raises
    ------
    TimeoutError
        When a solve was stopped, so that nothing can be claimed.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> conflict = smallest_conflict(Program(read_week("impossible")))
    >>> len(conflict) > 1 and not any(rule.safety for rule in conflict)
    True
    """

    def clash(keys: Sequence[str]) -> bool:
        return impossible(program, extra, stop, only=keys)

    blamed_last = sorted(program.rules.values(), key=lambda rule: not rule.safety)
    keys = [rule.key for rule in reversed(blamed_last)]
    conflict = quickxplain(clash, keys) if clash(keys) else []
    return [rule for key, rule in program.rules.items() if key in conflict]


def impossible(
    program: Program,
    extra: Sequence[Row] = (),
    stop: Stop | None = None,
    *,
    only: Collection[str] | None = None,
) -> bool:
    """Tell whether no week keeps some rows and the rules of a program.

    Parameters
    ----------
    program
        The week and its rules.
    extra
        Rows that have to hold besides.
    stop
        Ends the search early from another thread.
    only
        Keys of the rules that count; all of them when left out.

    Returns
    -------
    bool
        True is proven; False means that a week was found.

    Raises
    ------
    TimeoutError
        When a solve was stopped, so that nothing can be claimed.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> program = Program(read_week("impossible"))
    >>> impossible(program), impossible(program, only=())
    (True, False)
    """
    dropped = () if only is None else program.rules.keys() - set(only)
    model = cpsat.model_of(program.board.sheet, dropped)
    answer = cpsat.solve(model, None, extra=extra, limit=ONE_QUESTION, stop=stop)
    if answer.status is Status.UNKNOWN:
        raise TimeoutError("a question stayed open")
    return answer.status is Status.INFEASIBLE
