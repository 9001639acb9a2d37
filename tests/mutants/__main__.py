"""Mutate a room of the house and see which mutants no test notices.

    python -m tests.mutants                       every room that has a goal
    python -m tests.mutants rules guards          these rooms
    python -m tests.mutants solve --share 5       five in a hundred of its mutants, drawn by --seed
    python -m tests.mutants rules --again         those that lived the last time, with today's tests

`mutmut` changes one thing in one function, and runs the tests that reach it, as `running` says.
Nothing is changed where one works: it goes on in a copy under `build/mutants`, where a list of
those that live is left for each room. A mutant that the gate's types refuse counts as killed. What
changes nothing that anybody could notice stands in `equivalent.csv` with its reason. Ends with 1
where a room is under its goal or a row of that list is out of date.
"""

from __future__ import annotations

import argparse
import csv
import difflib
import json
import os
import random
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import chdir
from dataclasses import dataclass
from pathlib import Path

from tests.mutants.rooms import ROOMS, Room

ROOT = Path(__file__).parents[2]
COPIES = ROOT / "build" / "mutants"
EQUIVALENT = Path(__file__).with_name("equivalent.csv")
TESTS, TYPES, ENDLESS, LIVES = "tests", "types", "endless", "lives"
BY_EXIT = {1: TESTS, 3: TESTS, 37: TYPES, -24: ENDLESS, -9: ENDLESS, -11: TESTS, -6: TESTS}
"""mutmut's exit codes; what is not here lives: no test failed, or none reaches it."""
TYPING = (
    "--output=json",
    f"--cache-dir={COPIES / '.types'}",
    "--no-warn-unused-ignores",
)
PYTEST = ("-p", "tests.mutants.running", "-p", "no:cacheprovider", "-p", "no:unraisableexception")
"""The last spares two thirds of a start: that plugin looks through all things for cycles."""
COLUMNS = ("function", "was", "becomes")


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change, named by its function and its text: a line number would soon be another's."""

    function: str
    was: str
    becomes: str
    fate: str

    @property
    def key(self) -> tuple[str, str, str]:
        return self.function, self.was, self.becomes


# -- the copy ------------------------------------------------------------------------------


def copied(name: str, room: Room, *, again: bool) -> Path:
    """Copy the house as it stands, its caches written so that mutmut sees what is cached.

    Once more, only what is written otherwise is copied: mutmut keeps what it knows of the rest.
    """
    folder = COPIES / name
    if not again:
        shutil.rmtree(folder, ignore_errors=True)
    listed = ["git", "ls-files", "-co", "--exclude-standard", "-z"]
    files = subprocess.run(listed, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    for file in filter(None, files.split("\0")):
        if (ROOT / file).is_file():
            text = (ROOT / file).read_bytes()
            if any(Path(file).match(pattern) for pattern in room.files):
                text = uncached(text.decode()).encode()
            write(folder / file, text)
    project = folder / "pyproject.toml"
    # mutmut itself writes what the first refuses; a branch that is forced is tried, not refused;
    # and no plugin is loaded that no test needs.
    unwanted = r'"ignore-without-code", |"redundant-expr", | --dist=worksteal'
    text = re.sub(unwanted, "", project.read_text())
    project.write_text(text.replace("warn_unreachable = true", "") + settings(folder, room))
    return folder


def write(path: Path, text: bytes) -> None:
    """Write a file, but leave one alone that says the same."""
    if not path.exists() or path.read_bytes() != text:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text)


def mutated(folder: Path, room: Room) -> Iterator[Path]:
    for pattern in room.files:
        yield from sorted(folder.glob(pattern))


def uncached(text: str) -> str:
    """Write `@cache` above a function as a call below it, for mutmut passes decorated ones by."""
    lines = text.splitlines(keepends=True)
    for at in reversed([at for at, line in enumerate(lines) if re.match(r"@(lru_)?cache\b", line)]):
        cached, name = lines[at][1:].strip(), re.match(r"def (\w+)", lines[at + 1])
        assert name is not None, lines[at + 1]
        end = at + 2
        while end < len(lines) and (lines[end].strip() == "" or lines[end][0] in " )"):
            end += 1
        below = f"{name[1]} = {cached}({name[1]})  # type: ignore\n"
        lines[end:end] = [below, "\n", "\n"]
        del lines[at]
    return "".join(lines)


def settings(folder: Path, room: Room) -> str:
    """Give mutmut's part of `pyproject.toml`."""
    files = [str(file.relative_to(folder)) for file in mutated(folder, room)]
    modules = (file.removesuffix(".py").replace("/", ".") for file in files)
    names = (name.removesuffix(".__init__") for name in modules)
    examples = [f"tests/mutants/examples.py::test_examples[{name}]" for name in names]
    told = {
        "source_paths": ["models", "optimiser"],
        "only_mutate": files,
        "also_copy": ["scenarios", "README.md", "DEVELOPERS.md"],
        "pytest_add_cli_args": list(PYTEST),
        "pytest_add_cli_args_test_selection": [*room.tests, *examples],
        "process_isolation": "forkserver",
        "use_git_change_detection": False,
        "on_dependency_change": "ignore",
        "track_dependencies": False,
        "type_check_command": [
            sys.executable,
            "-m",
            "tests.mutants.typed",
            "mypy",
            *TYPING,
            *files,
        ],
    }
    written = "\n".join(f"{key} = {json.dumps(value)}" for key, value in told.items())
    return f"\n[tool.mutmut]\n{written}\n"


# -- running mutmut ------------------------------------------------------------------------


def run(folder: Path, names: list[str], budget: float) -> None:
    """Let mutmut try mutants; all that were not tried where none is named."""
    beside = Path(sys.executable).parent
    tool = shutil.which("mutmut", path=str(beside)) or "mutmut"
    ways = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    ways |= {"PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1", "MUTANT_BUDGET": str(budget)}
    ways["PATH"] = f"{beside}{os.pathsep}{ways['PATH']}"
    subprocess.run([tool, "run", "--max-children=1", *names], cwd=folder, env=ways, check=True)


def drawn(folder: Path, room: Room, share: float, seed: int) -> list[str]:
    """Draw so many in a hundred of the mutants that there are; none means all."""
    if share >= 100:
        return []
    with chdir(folder):
        from mutmut.mutation.file_mutation import mutate_file_contents  # noqa: PLC0415
        from mutmut.utils.format_utils import get_mutant_name  # noqa: PLC0415

        every = list[str]()
        for file in mutated(folder, room):
            at = file.relative_to(folder)
            made = mutate_file_contents(str(at), file.read_text())
            every += [get_mutant_name(at, name) for name in made.mutant_names]
    return sorted(random.Random(seed).sample(every, max(1, round(len(every) * share / 100))))


def results(folder: Path, room: Room, names: list[str]) -> Iterator[Mutant]:
    """Read what became of each mutant that was tried."""
    with chdir(folder):
        from mutmut.mutation.data import MutantLineSpans, SourceFileMutationData  # noqa: PLC0415

        for file in mutated(folder, room):
            data = SourceFileMutationData(path=file.relative_to(folder))
            data.load()
            spans = MutantLineSpans.load(data.path)
            seen = Counter[tuple[str, str, str]]()
            for name, code in data.exit_code_by_key.items():
                assert spans is not None
                function, _, made = name.rpartition(".")[2].rpartition("__mutmut_")
                original = f"{function}__mutmut_orig"
                old, new = spans.read_function_sources([original, f"{function}__mutmut_{made}"])
                was, becomes = changed(old, new)
                said = f"{name.rpartition('.')[0]}.{function[2:].strip('ǁ').replace('ǁ', '.')}"
                seen[said, was, becomes] += 1
                nth = seen[said, was, becomes]
                becomes += f"  [{nth}]" if nth > 1 else ""
                if not names or name in names:
                    yield Mutant(said, was, becomes, BY_EXIT.get(code, LIVES))


def changed(old: str, new: str) -> tuple[str, str]:
    """Give the lines that differ, before and after, each as one line."""
    before, after = (re.sub(r"def \w+__mutmut_\w+", "def", text) for text in (old, new))
    unlike = difflib.ndiff(before.splitlines(), after.splitlines())
    parts = {"-": list[str](), "+": list[str]()}
    for line in unlike:
        if line[0] in parts:
            parts[line[0]].append(line[2:].strip())
    return " ".join(parts["-"]), " ".join(parts["+"])


# -- what came of it -----------------------------------------------------------------------


def told() -> dict[tuple[str, str, str], str]:
    """Read which mutants are told to change nothing, and why."""
    with EQUIVALENT.open(newline="") as file:
        rows = list(csv.DictReader(file))
    assert all(row["why"] for row in rows), "a row without a reason"
    return {(row["function"], row["was"], row["becomes"]): row["why"] for row in rows}


def report(name: str, room: Room, mutants: list[Mutant], whole: bool) -> bool:
    """Print a room's line, list what lives and what is told for nothing; True where all is well."""
    equivalent = told()
    fates = Counter(mutant.fate for mutant in mutants)
    living = [mutant for mutant in mutants if mutant.fate == LIVES]
    open_ = [mutant for mutant in living if mutant.key not in equivalent]
    same = len(living) - len(open_)
    score = 1 - len(open_) / max(1, len(mutants) - same - fates[TYPES])
    cells = (fates[TESTS], fates[TYPES], fates[ENDLESS], len(open_), same)
    print(LINE.format(name, len(mutants), *cells, f"{100 * score:.1f} %"))
    with (COPIES / f"{name}.csv").open("w", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(
            [COLUMNS, *(mutant.key for mutant in open_)]
        )
    stale = []
    if whole:
        left = {mutant.key for mutant in living}
        stale = [key for key in equivalent if key not in left and of_room(key[0], room)]
    for key in stale:
        print("told equivalent, and is not there or is killed:", *key, sep="\n    ")
    return score >= room.goal and not stale


def of_room(function: str, room: Room) -> bool:
    """Tell whether a function stands in a file of a room."""
    parts = function.split(".")
    paths = [Path(*parts[:at]) for at in range(1, len(parts))]
    return any(
        (path.with_suffix(".py")).match(pattern) or (path / "__init__.py").match(pattern)
        for path in paths
        for pattern in room.files
    )


LINE = "{:<12}{:>9}{:>9}{:>9}{:>9}{:>9}{:>12}{:>9}"
HEADS = ("room", "mutants", "tests", "types", "endless", "live", "equivalent", "score")


def forget(folder: Path, room: Room) -> None:
    """Let mutmut try again what lived, and note anew which tests reach what."""
    for file in mutated(folder, room):
        kept = Path(f"{folder / 'mutants' / file.relative_to(folder)}.meta")
        data = json.loads(kept.read_text()) if kept.exists() else {"exit_code_by_key": {}}
        codes = data["exit_code_by_key"]
        codes |= {name: None for name, code in codes.items() if code not in BY_EXIT}
        if kept.exists():
            kept.write_text(json.dumps(data))
    (folder / "mutants" / "mutmut-stats.json").unlink(missing_ok=True)


def main() -> int:
    asked = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    asked.add_argument("rooms", nargs="*", choices=[*ROOMS, []])
    asked.add_argument("--share", type=float, default=100.0, help="in a hundred")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--again", action="store_true", help="those that lived, by today's tests")
    given = asked.parse_args()
    well, lines = True, []
    for name in given.rooms or [name for name, room in ROOMS.items() if room.goal]:
        room = ROOMS[name]
        folder = copied(name, room, again=given.again)
        names = drawn(folder, room, given.share, given.seed)
        if given.again:
            forget(folder, room)
        run(folder, names, room.budget)
        lines.append((name, room, list(results(folder, room, names)), not names))
    print(LINE.format(*HEADS))
    for line in lines:
        well &= report(*line)
    return 0 if well else 1


if __name__ == "__main__":
    sys.exit(main())
