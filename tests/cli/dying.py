"""Work that takes its process along: in a module of its own, for each process loads it."""

from __future__ import annotations

import os
import signal
from pathlib import Path


def work(item: int) -> int:
    """Give ten times as much, but the first time end the process, and of 3 each time."""
    once = Path(os.environ["TOLD"])
    if item == 3 or not once.exists():
        once.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return item * 10
