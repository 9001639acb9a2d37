"""Grow texts for some readers, or for all: `python -m tests.fuzz [READER...] [--seconds N]`.

Too long for the gate. Each reader has N seconds of the processor (300 where nothing is said). What
ends otherwise than it should is judged again without Atheris, cut down, printed, and left in
`fuzz-found`; then the exit code is 1. What is mended goes into `kept.json`, which the gate replays.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

from .readers import READERS, SECONDS, wrong_with

FOUND = Path("fuzz-found")
TRIALS = 400
"""Shorter texts that are tried of each that is wrong."""


def cut_down(name: str, text: bytes, folder: Path) -> bytes:
    """Take out of a text what it does not need to end as it does."""
    way = wrong_with(name, text, folder)[:40]
    size, trials = len(text) // 2, 0
    while size and trials < TRIALS:
        at = 0
        while at < len(text) and trials < TRIALS:
            shorter = text[:at] + text[at + size :]
            trials += 1
            if wrong_with(name, shorter, folder)[:40] == way:
                text = shorter
            else:
                at += size
        size //= 2
    return text


def grown(name: str, seconds: float, seed: int, folder: Path) -> int:
    """Grow texts for one reader; say how many ended otherwise than they should."""
    words = ["-m", "tests.fuzz.grow", name, str(seconds), str(seed), str(folder)]
    ran = subprocess.run([sys.executable, *words], stderr=subprocess.PIPE, text=True, check=False)
    (folder / "found").exists() or sys.exit(ran.stderr)
    number = 0
    for path in sorted((folder / "found").iterdir()):
        text = path.read_bytes()
        wrong = wrong_with(name, text, folder, SECONDS)
        # libFuzzer itself stops at what takes a minute, or too much memory.
        if not wrong and not path.name.startswith(("timeout", "oom", "crash")):
            continue
        number += 1
        FOUND.mkdir(exist_ok=True)
        kept = FOUND / f"{name}-{path.name}"
        kept.write_bytes(cut_down(name, text, folder) if wrong else text)
        print(f"{kept}: {wrong or path.name}", flush=True)
    return number


def main() -> int:
    """Grow for each reader that is asked for."""
    asked = argparse.ArgumentParser(prog="python -m tests.fuzz")
    asked.add_argument("readers", nargs="*", help=f"of {', '.join(READERS)}; else all")
    asked.add_argument("--seconds", type=float, default=300)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    if unknown := set(given.readers) - set(READERS):
        asked.error(f"no such reader: {', '.join(sorted(unknown))}")
    number = 0
    for name in given.readers or READERS:
        with tempfile.TemporaryDirectory() as folder:
            number += grown(name, given.seconds, given.seed, Path(folder))
    print(f"{number} found")
    return int(bool(number))


if __name__ == "__main__":
    sys.exit(main())
