"""One reader under Atheris, in a process of its own, for libFuzzer never comes back from its loop.

What is wrong is written down and the growing goes on, so that one fault does not hide the next.
"""

from __future__ import annotations

import os
import random
import re
import sys
import time
from collections import Counter
from hashlib import sha256
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["models", "optimiser"]):
    from tests.fuzz.readers import BYTES, READERS, SECONDS, wrong_with
    from tests.hostile import broken

SLOWED = 4.0
"""Times as long a text may take under Atheris, which counts every branch."""
EACH = 3
"""Texts that are kept of what ends in one way."""


def main(name: str, seconds: float, seed: int, folder: Path) -> None:
    """Grow texts for so many seconds of the processor: into `grown`, what is wrong into `found`."""
    seeds = READERS[name].seeds()
    ways: Counter[str] = Counter()
    ends = time.process_time() + seconds
    runs = 0

    def judge(text: bytes) -> None:
        nonlocal runs
        if time.process_time() > ends:
            print(f"{name}: {runs} texts", flush=True)
            os._exit(0)
        runs += 1
        wrong = wrong_with(name, text, folder, SLOWED * SECONDS)
        # Figures and quotations differ from text to text.
        way = re.sub(r"'.*'|\d+", "", wrong)[:80]
        ways[way] += 1
        if wrong and ways[way] <= EACH:
            (folder / "found" / sha256(text).hexdigest()[:12]).write_bytes(text)

    def change(text: bytes, longest: int, number: int) -> bytes:
        dice = random.Random(number)
        if dice.random() < 0.5:
            return bytes(atheris.Mutate(text, longest))
        return broken(text, seeds, dice)[:longest]

    for part in ("grown", "found"):
        (folder / part).mkdir()
    for at, text in enumerate(seeds):
        (folder / "grown" / f"seed-{at}").write_bytes(text)
    words = [sys.argv[0], str(folder / "grown"), f"-max_len={BYTES}", f"-seed={seed}"]
    words += ["-timeout=60", "-rss_limit_mb=3000", f"-artifact_prefix={folder}/found/"]
    atheris.Setup(words, judge, custom_mutator=change)
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]), int(sys.argv[3]), Path(sys.argv[4]))
