"""Like work spread over the cores, by joblib: which backend does it is for the caller to choose.

The solver lets go of Python's lock while it searches, so threads do; `joblib.parallel_config`
puts processes or a cluster in their place. What comes back does not depend on either.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

from optimiser.solve.limits import Stop

Item = TypeVar("Item")
Result = TypeVar("Result")


def each(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    *,
    stop: Stop | None = None,
    tick: Callable[[int, int], None] = lambda done, of: None,
    shared: bool = False,
) -> list[Result]:
    """Do work on every item, and give the answers in the order of the items.

    Parameters
    ----------
    work
        What is done with each; it and the items can be pickled where processes are to do it.
    items
        On what.
    stop
        Where it is asked, the answers so far are given: those of the first items.
    tick
        Is told how many are done, and of how many.
    shared
        The work cannot be pickled, so threads do it whatever backend the caller has chosen.

    Returns
    -------
    list
        An answer for each item, or for the first of them where it was stopped.

    Examples
    --------
    >>> each(len, ["pea", "leek"], shared=True)
    [3, 4]
    """
    import joblib  # noqa: PLC0415 - a sixth of a second, only where there is work to spread

    results: list[Result] = []
    tick(0, len(items))
    running = joblib.Parallel(
        n_jobs=workers(),
        backend="threading" if shared else None,
        prefer=None if shared else "threads",
        return_as="generator",
        pre_dispatch="n_jobs",
    )
    for result in running(joblib.delayed(work)(item) for item in _until(items, stop)):
        results.append(result)
        tick(len(results), len(items))
    return results


def _until(items: Sequence[Item], stop: Stop | None) -> Iterator[Item]:
    for item in items:
        if stop is not None and stop.over:
            return
        yield item


def in_threads(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    tick: Callable[[int, int], None] = lambda done, of: None,
) -> list[Result]:
    """Do short work on every item in threads, without joblib: many questions about one plan.

    Parameters
    ----------
    work
        What is done with each.
    items
        On what.
    tick
        Is told how many are done, and of how many.

    Returns
    -------
    list
        The answers in the order of the items; they do not depend on how many threads there are.

    Examples
    --------
    >>> in_threads(len, ["pea", "leek"])
    [3, 4]
    """
    results: list[Result] = []
    with ThreadPoolExecutor(workers()) as pool:
        for done, result in enumerate(pool.map(work, items), start=1):
            tick(done, len(items))
            results.append(result)
    return results


def workers() -> int:
    """Tell how many solves run at a time: one for each core that this process may use.

    Returns
    -------
    int
        1 or more.

    Examples
    --------
    >>> 1 <= workers() <= (os.cpu_count() or 1)
    True
    """
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
