"""Like work spread over the cores, by joblib: which backend does it is for the caller to choose.

The solver lets go of Python's lock while it searches, so threads do; `joblib.parallel_config`
puts processes or a cluster in their place. What comes back does not depend on either.
"""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import islice, takewhile
from queue import Empty, Queue
from typing import Any, TypeVar

from models.words.errors import InputError
from optimiser.solve.limits import Stop

LOOK_SECONDS = 0.5
"""How often a process that works for another looks whether that one is still there."""
ALONE_SECONDS = 60
"""How long a cluster may be without a worker: a guess; what restarts those that died is quicker."""
SELDOM = 50_000
"""After how many new objects such a process looks for what nothing leads to."""

Item = TypeVar("Item")
Result = TypeVar("Result")


def each(
    work: Callable[[Item], Result],
    items: Sequence[Item],
    *,
    stop: Stop | None = None,
    tick: Callable[[int, int], None] = lambda done, of: None,
    shared: bool = False,
    backend: Mapping[str, Any] | None = None,
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
    backend
        Where else than in threads of this process, as `spread` takes it.

    Returns
    -------
    list
        An answer for each item, or for the first of them where it was stopped.

    Raises
    ------
    InputError
        When what works elsewhere on an item dies again and again: there is no answer without it.

    Examples
    --------
    >>> each(len, ["pea", "leek"], shared=True)
    [3, 4]
    """
    import joblib  # noqa: PLC0415 - a sixth of a second, only where there is work to spread

    results: list[Result] = []
    tick(0, len(items))
    if backend is not None:
        came: dict[int, Result] = {}
        for at, result in spread(work, items, backend=backend, stop=stop):
            if result is None:
                mend = "Leave the option out, or see what ends them: is there memory enough?"
                raise InputError("--cluster", "the workers that planned for it died", mend)
            came[at] = result
            tick(len(came), len(items))
        return [came[at] for at in takewhile(came.__contains__, range(len(items)))]
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


def spread(
    work: Callable[[Item], Result],
    items: Iterable[Item],
    *,
    backend: Mapping[str, Any] | None = None,
    stop: Stop | None = None,
) -> Iterator[tuple[int, Result | None]]:
    """Do long work on every item in processes of their own, and give each answer as it comes.

    Parameters
    ----------
    work
        What is done with each; it, the items and what comes of them can be pickled.
    items
        On what; each is asked for when it is about to be begun.
    backend
        Where, as `joblib.parallel_config` takes it: another number of processes as `n_jobs`, a
        cluster as `backend`; a process for each core of this machine when left out.
    stop
        Where it is asked, nothing more is begun.

    Yields
    ------
    tuple
        The place of an item, and what came of it: None where its process died, and died again
        with nothing else in it. What else was being done then is done again. A cluster tries
        an item several times before it gives it up.

    Raises
    ------
    InputError
        When a cluster has lost all its workers for a while, or does not answer any more.
    Exception
        Whatever the work raises.

    Examples
    --------
    >>> sorted(spread(len, ["pea", "leek"], backend={"n_jobs": 1}))
    [(0, 3), (1, 4)]
    """
    import joblib  # noqa: PLC0415

    if backend and "client" in backend:
        yield from _there(backend["client"], work, items, stop)
        return
    begun: dict[int, Item] = {}

    def waiting() -> Iterator[Any]:
        for at, item in numbered:
            begun[at] = item
            yield joblib.delayed(_numbered)(work, at, item)
            if stop is not None and stop.over:
                return

    here = {
        "backend": "loky",
        "n_jobs": workers(),
        "initializer": _begin,
        "initargs": (os.getpid(),),
    }
    where = dict(backend) if backend and "backend" in backend else here | dict(backend or {})
    numbered = enumerate(items)
    whole = False
    try:
        while not whole and not (stop is not None and stop.over):
            try:
                with joblib.parallel_config(**where):
                    running = joblib.Parallel(return_as="generator_unordered", batch_size=1)
                    for at, result in _deaf(running, waiting()):
                        del begun[at]
                        yield at, result
                whole = True
            except BrokenProcessPool:
                # One of those that were begun took its process along; it cannot be told which.
                yield from _one_by_one(work, begun)
                begun.clear()
    finally:
        if where["backend"] == "loky" and where["n_jobs"] != 1:
            # They would wait for more work, and hold open what this process writes to.
            from joblib.externals import loky  # noqa: PLC0415

            loky.get_reusable_executor().shutdown(kill_workers=True)


def _deaf(running: Callable[[Iterator[Any]], Any], begun: Iterator[Any]) -> Any:
    """Begin processes that take no interrupt, until `_begin` says that for good.

    While one loads Python it would end with a traceback of its own.
    """
    if not hasattr(signal, "pthread_sigmask"):
        return running(begun)
    from multiprocessing import resource_tracker  # noqa: PLC0415

    # Where it is begun later, by the first process, it lets interrupts in again.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        return running(begun)
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _begin(parent: int) -> None:
    """Set up a process that works for another: it ends with that one, and never before."""
    # An interrupt goes to every process of a terminal; the first one decides what ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    # What a week leaves behind goes by itself but for little; to look all that is loaded through
    # for the rest takes a tenth of the time.
    gc.set_threshold(SELDOM)
    threading.Thread(target=_end_with, args=(parent,), daemon=True).start()


def _end_with(parent: int) -> None:
    """End this process once the one that began it has: nobody would ever give it more to do."""
    while os.getppid() == parent:
        time.sleep(LOOK_SECONDS)
    os._exit(1)


def _numbered(work: Callable[[Item], Result], at: int, item: Item) -> tuple[int, Result]:
    return at, work(item)


def _one_by_one(
    work: Callable[[Item], Result], items: Mapping[int, Item]
) -> Iterator[tuple[int, Result | None]]:
    """Do each in a process in which nothing else is being done; None where that dies."""
    context = multiprocessing.get_context("spawn")
    waiting = deque(items.items())
    while waiting:
        with ProcessPoolExecutor(1, context, _begin, (os.getpid(),)) as pool:
            while waiting:
                at, item = waiting.popleft()
                try:
                    yield pool.submit(_numbered, work, at, item).result()
                except BrokenProcessPool:
                    yield at, None
                    break


def _there(
    client: Any,
    work: Callable[[Item], Result],
    items: Iterable[Item],
    stop: Stop | None,
) -> Iterator[tuple[int, Result | None]]:
    """Do it on a Dask cluster, not by joblib: that waits for ever where workers die of an item.

    What was on its way to a worker that died is blamed as well, so it is done again with nothing
    else on the cluster, before any more is begun. How often Dask tries what its worker dies of, its
    scheduler alone knows, from when it was started: no client and no `submit` can say it.
    """
    from distributed import KilledWorker  # noqa: PLC0415 - there is a client

    # What is begun is kept, or the cluster would drop it.
    begun: dict[str, tuple[Any, int, Item]] = {}
    numbered = enumerate(items)
    came: Queue[Any] = Queue()

    def begin(some: Iterable[tuple[int, Item]]) -> None:
        for at, item in some:
            if client.status != "running":
                raise _lost("it does not answer any more")
            future = client.submit(_numbered, work, at, item, pure=False)
            begun[future.key] = future, at, item
            future.add_done_callback(came.put)

    def more(number: int) -> Iterator[tuple[int, Item]]:
        return islice(numbered, 0 if stop is not None and stop.over else number)

    many = 2 * max(1, sum(client.nthreads().values()))
    begin(more(many))
    while begun:
        blamed: list[tuple[int, Item]] = []
        while begun:
            _, at, item = begun.pop((future := _done(client, came)).key)
            try:
                yield future.result()
            except KilledWorker:
                blamed.append((at, item))
            begin(more(0 if blamed else 1))
        for blame in blamed:
            begin([blame])
            try:
                yield _done(client, came).result()
            except KilledWorker:
                yield blame[0], None
            begun.clear()
        begin(more(many))


def _done(client: Any, came: Queue[Any]) -> Any:
    """Wait for the next of what was sent to a cluster; refuse where nobody is left to do it."""
    alone = 0.0
    while True:
        try:
            future = came.get(timeout=LOOK_SECONDS)
        except Empty:
            alone = 0.0 if client.nthreads() else alone + LOOK_SECONDS
            if alone >= ALONE_SECONDS:
                raise _lost(f"it has had no worker for {ALONE_SECONDS} seconds") from None
        else:
            if future.cancelled():
                raise _lost("it does not answer any more")
            return future


def _lost(what: str) -> InputError:
    mend = "See what became of it, start it, and give the command again; a folder goes on."
    return InputError("--cluster", what, mend)


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
