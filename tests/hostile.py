"""Give every command files that were broken at random: `python -m tests.hostile [TIMES] [SEED]`.

Too long for the gate, which tries a few (`test_hostile.py`). A file of each sort (week, saved plan,
recipe, own table, download, line) is changed in one to three places, and a command that reads such
files is asked, in this process. It has to end with its own answer: exit code 0, 1 or 2, no
traceback, nothing that steers a terminal, nothing written where it refuses; and what it writes is
read back. What ended otherwise is printed and kept in `hostile-found`, and then the exit code is 1.
At the end stand the slowest run and how much memory all of them took.
"""

from __future__ import annotations

import csv
import io
import json
import random
import re
import resource
import sys
import tempfile
import time
import zipfile
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from models.file.reading import ready_text, ready_weeks
from tests.cli.command import Ran, no_control, run
from tests.models.test_fdc import FILES as DOWNLOAD
from tests.models.test_saved_recipes import FORMS
from tests.plans.saved import plan
from tests.plans.test_hostile_plans import COMMANDS as OF_A_PLAN
from tests.plans.test_hostile_plans import HOSTILE, NEW

FOUND = Path("hostile-found")
SLOW_SECONDS = 20.0
"""Processor time of a run from which it is a find: far above what any of these files needs."""
WEEKS: tuple[tuple[str, ...], ...] = (
    ("check", "week.yaml"),
    ("check", "week.yaml", "--json"),
    ("plan", "week.yaml", "--no-reasons", "--seconds", "5", "--save", NEW),
    ("shop", "week.yaml", "-o", NEW),
    ("prep", "week.yaml", "-o", NEW),
)
READ_BACK: tuple[tuple[str, ...], ...] = (
    ("audit", NEW),
    *((name, NEW) for name in ("shop", "prep", "labels", "freezer", "pack", "calendar", "share")),
    ("next", NEW, "-o", "next.yaml"),
    ("check", "next.yaml"),
    ("change", NEW, "--today", "wed"),
)
"""What a plan that was made has to pass."""


@dataclass(frozen=True)
class Sort:
    """A sort of file: its name, texts to begin with, and the commands that read it."""

    file: str
    texts: Callable[[], tuple[bytes, ...]]
    commands: tuple[tuple[str, ...], ...]


@cache
def _weeks() -> tuple[bytes, ...]:
    return tuple(ready_text(name).encode() for name in ready_weeks())


@cache
def _plans() -> tuple[bytes, ...]:
    return tuple(plan(name).model_dump_json(indent=2).encode() for name in ("two", "changed"))


@cache
def _tables() -> tuple[bytes, ...]:
    ran = run("food", "dried lentils", "--csv", folder=Path.cwd()).done()
    return (
        ran.out.encode(),
        b"key,ENERC,PROCNT,measures,allergens_eu\nrye cake,250,9,slice=30,none\n",
    )


@cache
def _lines() -> tuple[bytes, ...]:
    with Path(__file__).with_name("lines").joinpath("own.csv").open(encoding="utf-8") as stream:
        return tuple(row["line"].encode() for row in csv.DictReader(stream))


@cache
def _downloads() -> tuple[bytes, ...]:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as packed:
        for name, text in DOWNLOAD.items():
            packed.writestr(name, text)
    return (made.getvalue(),)


SORTS = {
    "week": Sort("week.yaml", _weeks, WEEKS),
    "plan": Sort("plan.json", _plans, tuple(OF_A_PLAN.values())),
    "recipe": Sort(
        "page.html",
        lambda: tuple(text.encode() for text in FORMS.values()),
        (("new", NEW, "--from", "page.html"),),
    ),
    "table": Sort("own.csv", _tables, (("check", "minimal", "--foods", "own.csv"),)),
    "download": Sort("own.zip", _downloads, (("food", "hummus", "--foods", "own.zip"),)),
    "line": Sort("line.txt", _lines, (("food", "LINE"), ("new", NEW, "--from", "line.txt"))),
}
WORDS = (
    *(mark.encode("utf-8", "surrogatepass") for mark in HOSTILE),
    *b"&a *a !!x << ? | > ' \" { } [ ] : - # , ; = % @ \\".split(),
    *b"null NaN 1e999 -1 0 1e-99 .5 1_000 0x10 yes ~ 2026-13-41 9999-12-31 1/0".split(),
    b"9" * 400,
    b"[" * 300,
    b"a" * 5_000,
    b"\n" * 3_000,
    b"\xff\xfe",
    b"\\ud800",
    "½ ٣ 五 Ⅷ 1⁄0".encode(),
    b"10000000000000 kg",
    b"0 portions",
    b"{week: {}}",
)


def broken(text: bytes, others: tuple[bytes, ...], dice: random.Random) -> bytes:
    """Change a text in one to three places."""
    for _ in range(dice.choice((1, 1, 2, 3))):
        text = dice.choice(CHANGES)(text, others, dice)
    return text


def _span(text: bytes, dice: random.Random) -> tuple[int, int]:
    begins = dice.randrange(len(text) + 1)
    return begins, min(len(text), begins + dice.choice((1, 3, 10, 60, 400)))


def _dropped(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    begins, ends = _span(text, dice)
    return text[:begins] + text[ends:]


def _doubled(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    begins, ends = _span(text, dice)
    return text[:ends] + text[begins:ends] * dice.choice((1, 1, 50)) + text[ends:]


def _flipped(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    at = dice.randrange(len(text)) if text else 0
    return text[:at] + bytes([dice.randrange(256)]) + text[at + 1 :]


def _inserted(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    begins, ends = _span(text, dice)
    return text[:begins] + dice.choice(WORDS) + text[dice.choice((begins, ends)) :]


def _value(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    """Put a hostile word, or the value of another line, behind a colon."""
    lines = text.split(b"\n")
    held = [at for at, line in enumerate(lines) if b": " in line]
    if not held:
        return text
    at, other = dice.choice(held), dice.choice(held)
    key = lines[at].partition(b": ")[0]
    end = b"," if lines[at].endswith(b",") else b""
    lines[at] = (
        key + b": " + dice.choice((dice.choice(WORDS), lines[other].partition(b": ")[2])) + end
    )
    return b"\n".join(lines)


def _number(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    """Write another number, or the same in another way."""
    held = list(re.finditer(rb"(?<![\w.-])\d+(?:\.\d+)?(?![\w.-])", text))
    if not held:
        return text
    at = dice.choice(held)
    same = (b"+%b", b"%b.0", b"%b.", b"%be0", b"0%b", b"%b_0", b"%b.25", b"-%b", b"%b00", b"'%b'")
    become = dice.choice(
        (*(way % at[0] for way in same), b".5", b"1", b"0", b"3", b"1/2", b"2 to 3")
    )
    return text[: at.start()] + become + text[at.end() :]


def _shuffled(text: bytes, _: tuple[bytes, ...], dice: random.Random) -> bytes:
    lines = text.split(b"\n")
    at = dice.randrange(len(lines))
    lines.insert(dice.randrange(len(lines)), lines.pop(at))
    return b"\n".join(lines)


def _spliced(text: bytes, others: tuple[bytes, ...], dice: random.Random) -> bytes:
    other = dice.choice(others)
    return text[: _span(text, dice)[0]] + other[_span(other, dice)[0] :]


CHANGES = (_dropped, _doubled, _flipped, _inserted, _value, _value, _number, _shuffled, _spliced)


def wrong_with(sort: Sort, words: tuple[str, ...], text: bytes, folder: Path) -> str:
    """Ask a command about a broken file; say what is wrong with how it ended, or nothing."""
    (folder / sort.file).write_bytes(text)
    shown = text.decode("utf-8", "replace").replace("\0", "")
    asked = tuple(shown if word == "LINE" else word for word in words)
    begun = time.process_time()
    try:
        ran = run(*asked, folder=folder)
    except Exception as fault:  # noqa: BLE001 - whatever it is, it is a find
        return f"it raised {fault!r}"
    if time.process_time() - begun > SLOW_SECONDS:
        return "it is slow"
    return next(_faults(ran, sort, folder), "")


def _faults(ran: Ran, sort: Sort, folder: Path) -> Iterator[str]:
    if ran.code not in (0, 1, 2):
        yield f"code {ran.code}: {ran.err[-2000:]}"
    if "Traceback" in ran.err or "fault of the program" in ran.err:
        yield ran.err[-2000:]
    try:
        no_control(ran.out + ran.err)
    except AssertionError as fault:
        yield str(fault)
    if ran.code == 2 and not ran.err + ran.out:
        yield "refused without a word"
    left = {path.name for path in folder.iterdir()} - {sort.file}
    if ran.code == 2 and left:
        yield f"refused, and left {sorted(left)}"
    if left - {NEW}:
        yield f"it left {sorted(left - {NEW})}"
    if NEW in left:
        yield from _unreadable(folder)


def _unreadable(folder: Path) -> Iterator[str]:
    """Read back what was written, where it is a week or a plan."""
    text = (folder / NEW).read_text(encoding="utf-8")
    if '"clearfridge plan 1"' in text:
        for words in READ_BACK:
            ran = run(*words, folder=folder)
            if ran.code not in (0, 1 if words[0] == "change" else 0):
                yield f"{words[0]} refuses its plan: {ran.code} {ran.out[-800:]} {ran.err[-800:]}"
    elif text.startswith(("# yaml-language-server", "week:")):
        ran = run("check", NEW, folder=folder)
        if ran.code not in (0, 1):
            yield f"its week is refused: {ran.err[-800:]}"


def mutants(times: int, seed: int) -> Iterator[tuple[str, tuple[str, ...], bytes]]:
    """Give so many broken files, each with its sort and the command to ask."""
    dice = random.Random(seed)
    names = list(SORTS)
    for number in range(times):
        name = names[number % len(names)]
        texts = SORTS[name].texts()
        yield name, dice.choice(SORTS[name].commands), broken(dice.choice(texts), texts, dice)


def main(times: int = 1_000, seed: int = 5) -> int:
    """Try so many; say what was found."""
    ended: Counter[str] = Counter()
    slowest = (0.0, "")
    for number, (name, words, text) in enumerate(mutants(times, seed)):
        begun = time.process_time()
        with tempfile.TemporaryDirectory() as folder:
            wrong = wrong_with(SORTS[name], words, text, Path(folder))
        slowest = max(slowest, (time.process_time() - begun, f"{number} {' '.join(words)}"))
        ended["wrong" if wrong else "as it should"] += 1
        if wrong:
            FOUND.mkdir(exist_ok=True)
            (FOUND / f"{seed}-{number}.{name}").write_bytes(text)
            print(f"{number} {json.dumps(words)}: {wrong}", flush=True)
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"{dict(ended)}; slowest {slowest[0]:.1f} s ({slowest[1]}); at most {most} MB")
    return int(bool(ended["wrong"]))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
