"""Stop each command at many moments, once and twice: `python -m tests.moments [TIMES]`.

Too long for the gate. It counts how the runs ended, and prints each that ended otherwise than by
its own answer or by being stopped: a traceback, an abort of the solver, a file left behind. Its
exit code is 1 where there is one. Moments come from a fixed seed; where they fall hangs on the
machine.
"""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.cli.command import environment

COMMANDS = (
    "plan family --save p.json",
    "plan demo --save q.json",
    "why demo --all",
    "mend impossible",
    "what-if demo --yield leek\xa0bake=3..12",
    "size demo",
    "others demo -n 2",
    "trade-off demo cost minutes",
    "change plan.json --today wed -o n.json",
    "next plan.json -o w.yaml",
    "page demo -o w.html",
    "shop plan.json",
    "prep demo",
    "pack plan.json",
    "audit plan.json",
    "check demo",
    "food lentils",
)
STOPPED = (130, -signal.SIGINT, -signal.SIGTERM)
START = "from optimiser.cli import main\nmain()\n"


def moment(words: list[str], folder: Path, dice: random.Random) -> str:
    """Run a command, stop it, and say how it ended; empty where as it should."""
    running = subprocess.Popen(
        [sys.executable, str(folder / "clearfridge"), *words],
        cwd=folder,
        env=environment(PYTHONPATH=str(Path.cwd())),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    time.sleep(dice.choice([dice.uniform(0.05, 0.7), dice.uniform(0.3, 3)]))
    number = dice.choice([signal.SIGINT, signal.SIGINT, signal.SIGTERM])
    gap = dice.choice([0, 0.0005, 0.01, 0.1])
    for _ in range(dice.choice([1, 2, 2, 3])):
        running.send_signal(number)
        time.sleep(gap)
    try:
        _, error = running.communicate(timeout=60)
    except subprocess.TimeoutExpired:
        running.kill()
        return "it went on for a minute"
    told = error.decode()
    if "Traceback" in told or "terminate" in told or running.returncode not in (0, *STOPPED):
        return f"code {running.returncode}\n{told[-800:]}"
    return ""


def main(times: int) -> int:
    dice = random.Random(5)
    ended: Counter[bool] = Counter()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "clearfridge").write_text(START, encoding="utf-8")
        subprocess.run(
            [
                sys.executable,
                "clearfridge",
                *["plan", "demo", "--no-reasons", "--save", "plan.json"],
            ],
            cwd=folder,
            env=environment(PYTHONPATH=str(Path.cwd())),
            check=True,
            stdout=subprocess.DEVNULL,
        )
        for command in COMMANDS * times:
            words = [word.replace("\xa0", " ") for word in command.split(" ")]
            wrong = moment(words, folder, dice)
            written = {words[words.index(at) + 1] for at in ("-o", "--save") if at in words}
            left = {path.name for path in folder.iterdir()} - {"clearfridge", "plan.json"} - written
            if left:
                wrong += f"\nleft behind: {', '.join(sorted(left))}"
            ended[not wrong] += 1
            if wrong:
                print(f"{command}: {wrong}")
            for other in (*left, *written):
                (folder / other).unlink(missing_ok=True)
    print(f"{ended[True]} of {ended.total()} ended as they should")
    return int(bool(ended[False]))


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 6))
