"""Work that takes its process along: in a module of its own, for each process loads it."""

from __future__ import annotations

import gc
import os
import signal
from pathlib import Path
from typing import Any

from optimiser.interface.folder import WeekText
from optimiser.solve import parallel

KILLS = "kills.yaml"
"""The week of a folder that ends every worker of a cluster that plans it."""


def work(item: int) -> int:
    """Give ten times as much, but the first time end the process, and of 3 each time."""
    once = Path(os.environ["TOLD"])
    if item == 3 or not once.exists():
        once.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return item * 10


def is_deaf(item: int) -> bool:
    """Tell whether this process was begun so that no interrupt ends it while it loads."""
    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, ()) or item < 0


def filled(items: int) -> int:
    """Keep so many things, and count how often all there are were looked through meanwhile."""
    before = gc.get_stats()[-1]["collections"]
    kept = [[at] for at in range(items)]
    assert len(kept) == items
    return int(gc.get_stats()[-1]["collections"]) - before


def dask_setup(worker: object) -> None:
    """Let a worker of a cluster die of that week, and of whatever is no week of a folder."""
    assert worker
    numbered = parallel._numbered

    def dying(work: Any, at: int, item: Any) -> tuple[int, Any]:
        if not isinstance(item, WeekText) or item.name == KILLS:
            os.kill(os.getpid(), signal.SIGKILL)
        return numbered(work, at, item)

    parallel._numbered = dying
