"""Stop each command at a hundred moments, once and twice: `python -m tests.moments [TIMES] [WORD]`.

Too long for the gate. The moments are spread evenly over the time that the command takes by
itself, and what is sent takes turns: Ctrl-C or a request to terminate, once, or twice in a row
with one of several gaps. Each run that ends otherwise than by its own answer or by being stopped
is printed: a traceback, an abort of the solver, a file that is half written or left behind, a
plan that is changed in place and is no plan any more. The exit code is 1 where there is one.
"""

from __future__ import annotations

import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.cli.command import environment

COMMANDS = (
    "plan demo --save new.json",
    "plan family --seconds 2 --save new.json",
    "plan weeks -o plans --no-reasons",
    "why demo --all",
    "mend impossible",
    "what-if demo --yield leek\xa0bake=3..12 --svg new.svg",
    "size demo -o new.yaml",
    "others demo -n 2 --save new.json --week 1",
    "trade-off demo cost minutes",
    "change plan.json --today wed -o new.json",
    "change plan.json --today wed --no-lunch thu --in-place",
    "next plan.json -o new.yaml",
    "page demo -o new.html",
    "shop plan.json -o new.txt",
    "prep demo",
    "labels plan.json -o new.txt",
    "pack plan.json",
    "calendar plan.json -o new.ics",
    "share plan.json -o new.md",
    "freezer plan.json",
    "audit plan.json",
    "check demo",
    "new new.yaml",
    "open week.yaml --no-browser",
    "food lentils",
    "schema",
)
STOPPED = (0, 130, -signal.SIGINT, -signal.SIGTERM)
FRAME = re.compile(r'File "([^"]+)", line \d+, in (\S+)')
LOADS = ("optimiser/__init__.py", "optimiser/abrupt.py")
"""What is loaded before the program can take an interrupt."""
GAPS = (0, 0.0005, 0.01, 0.1)
LAST_SECONDS = 60
"""Only a guard: what was stopped has to end by then."""
OPEN_SECONDS = 1.5
"""How long what runs until it is stopped is watched."""
START = "from optimiser.cli import main\nmain()\n"
ENDS = {".html": "\n</html>", ".svg": "\n</svg>", ".ics": "\nEND:VCALENDAR"}


def start(words: list[str], folder: Path) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "clearfridge", *words],
        cwd=folder,
        env=environment(PYTHONPATH=str(Path.cwd())),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    )


def moment(words: list[str], folder: Path, at: float, number: int, gap: float | None) -> str:
    """Run a command, stop it, and say how it ended; empty where as it should."""
    running = start(words, folder)
    time.sleep(at)
    running.send_signal(number)
    if gap is not None:
        time.sleep(gap)
        running.send_signal(number)
    try:
        _, error = running.communicate(timeout=LAST_SECONDS)
    except subprocess.TimeoutExpired:
        # What it began may go on without it.
        os.killpg(running.pid, signal.SIGKILL)
        running.communicate()
        return f"it went on for {LAST_SECONDS} seconds"
    told = error.decode()
    if is_pythons_own(told):
        return ""
    if "Traceback" in told or "terminate called" in told or running.returncode not in STOPPED:
        return f"code {running.returncode}\n{told[-800:]}"
    return ""


def is_pythons_own(told: str) -> bool:
    """Tell whether an interrupt came while Python started, before a line of the program."""
    of_program = [(path, name) for path, name in FRAME.findall(told) if "/optimiser/" in path]
    loading = all(path.endswith(LOADS) and name == "<module>" for path, name in of_program)
    return "KeyboardInterrupt" in told and "Exception ignored" not in told and loading


def broken(path: Path) -> str:
    """Say what is wrong with a file that a stopped run wrote; empty where it is whole."""
    text = path.read_text(encoding="utf-8")
    if not text:
        return f"{path.name} is empty"
    try:
        if path.suffix == ".json":
            json.loads(text)
    except ValueError:
        return f"{path.name} is no JSON"
    ends = ENDS.get(path.suffix, "")
    return "" if ends in text else f"{path.name} is not whole"


def made(folder: Path) -> None:
    """Lay out what the commands read."""
    (folder / "clearfridge").write_text(START, encoding="utf-8")
    for words in ("plan demo --no-reasons --save plan.json", "new week.yaml --from starter"):
        running = start(words.split(), folder)
        _, error = running.communicate()
        assert running.returncode == 0, error.decode()
    (folder / "weeks").mkdir()
    for name in "abcd":
        shutil.copy(folder / "week.yaml", folder / "weeks" / f"{name}.yaml")


def seconds(words: list[str], folder: Path) -> float:
    """Tell how long a command takes by itself, the shorter of two runs."""
    if words[0] == "open":
        return OPEN_SECONDS
    took = []
    for _ in range(2):
        began = time.monotonic()
        start(words, folder).communicate()
        took.append(time.monotonic() - began)
        fresh(folder)
    return min(took)


KEPT = {"clearfridge", "plan.json", "week.yaml", "weeks", "first"}


def fresh(folder: Path) -> list[str]:
    """Put the folder back as it was; give what is wrong with what stands in it."""
    wrong = []
    for path in sorted(folder.iterdir()):
        if path.is_dir() and path.name == "plans":
            wrong += [broken(plan) for plan in path.glob("*.json")]
            shutil.rmtree(path)
        elif path.name not in KEPT:
            known = path.name.startswith("new.")
            wrong.append(broken(path) if known else f"{path.name} is left behind")
            path.unlink()
    wrong.append(broken(folder / "plan.json"))
    shutil.copy(folder / "first", folder / "plan.json")
    return [what for what in wrong if what]


def tried(command: str, times: int, folder: Path, dice: random.Random) -> int:
    """Stop one command at so many moments, once and twice each; give how often it ended wrongly."""
    words = [word.replace("\xa0", " ") for word in command.split(" ")]
    took, faults = seconds(words, folder), 0
    for at in range(times):
        # In the middle of each part of its time, and a little beyond its end.
        when = 1.05 * took * (at + 0.5) / times
        for gap in (None, dice.choice(GAPS)):
            number = dice.choice((signal.SIGINT, signal.SIGTERM))
            wrong = [moment(words, folder, when, number, gap), *fresh(folder)]
            if any(wrong):
                faults += 1
                twice = "" if gap is None else f", twice, {gap} s apart"
                told = "\n".join(what for what in wrong if what)
                print(f"{command}: signal {number} after {when:.3f} s{twice}: {told}", flush=True)
    print(f"{2 * times - faults:4} of {2 * times} ended as they should: {command} ({took:.2f} s)")
    return faults


def main(times: int, word: str) -> int:
    # What runs behind a shell ignores interrupts, and what it begins would ignore them too.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    began, dice, faults = time.monotonic(), random.Random(5), 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made(folder)
        shutil.copy(folder / "plan.json", folder / "first")
        for command in COMMANDS:
            if command.startswith(word):
                faults += tried(command, times, folder, dice)
                sys.stdout.flush()
    print(f"{faults} ended otherwise, in {(time.monotonic() - began) / 60:.0f} minutes")
    return int(bool(faults))


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(int(given[0]) if given else 100, given[1] if len(given) > 1 else ""))
