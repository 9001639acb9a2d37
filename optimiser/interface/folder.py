"""A folder of week files, each planned as if it stood alone: one that fails is fatal to none.

They are spread over the cores of this machine, or over a cluster. What comes of a week does not
depend on where it was planned, nor in what order.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

from models.answers.folder import FolderRow
from models.words.errors import InputError
from models.words.text import is_printable
from optimiser.interface.asked import Ways
from optimiser.interface.given import own_foods
from optimiser.solve.limits import Stop, silent

if TYPE_CHECKING:
    from models.answers.plan import PlanFile as Plan
    from models.foods.food import Food

ENDINGS = (".yaml", ".yml")


@dataclass(frozen=True, slots=True)
class WeekText:
    """One week file to plan.

    Attributes
    ----------
    name
        Its path in the folder.
    text
        What it says; empty where it cannot be read.
    fault
        Why it cannot be read.
    """

    name: str
    text: str = ""
    fault: InputError | None = None


@dataclass(frozen=True, slots=True)
class OfWeek:
    """What came of one week file.

    Attributes
    ----------
    row
        What is said of it.
    plan
        Its plan as text; empty where there is none.
    asked
        Digest of all that it depends on.
    interrupted
        True where it was not planned to the end.
    """

    row: FolderRow
    plan: str = ""
    asked: str = ""
    interrupted: bool = False


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder of week files, and how they are to be planned.

    Attributes
    ----------
    path
        The folder.
    ways
        How each of them is planned.
    foods
        Paths of the user's own food tables; of a cluster each machine finds them there.
    names
        The week files, as paths in the folder, sorted.
    refused
        Of those that are not read why, in words.
    alike
        What every answer depends on beside its week: the ways, the tables, this program's version.
    """

    path: Path
    ways: Ways
    foods: tuple[str, ...]
    names: tuple[str, ...]
    refused: Mapping[str, str]
    alike: str

    @classmethod
    def of(cls, path: str | os.PathLike[str], ways: Ways, foods: Sequence[str] = ()) -> Folder:
        """Look for the week files of a folder and of all folders in it; hidden ones are left out.

        Parameters
        ----------
        path
            The folder.
        ways
            How each of them is planned.
        foods
            Paths of the user's own food tables.

        Returns
        -------
        Folder
            With one week file or more.

        Raises
        ------
        InputError
            When there is none, or when a food table cannot be read.

        Examples
        --------
        >>> from tempfile import TemporaryDirectory
        >>> with TemporaryDirectory() as there:
        ...     (Path(there) / "june").mkdir()
        ...     (Path(there) / "june" / "first.yaml").touch()
        ...     (Path(there) / "notes.txt").touch()
        ...     Folder.of(there, Ways()).names
        ('june/first.yaml',)
        """
        own_foods(foods)
        folder = Path(path)
        files = (
            file.relative_to(folder)
            for file in folder.rglob("*")
            if file.suffix.lower() in ENDINGS and not file.is_dir()
        )
        shown = sorted(
            file.as_posix()
            for file in files
            if not any(part.startswith(".") for part in file.parts)
        )
        refused: dict[str, str] = {}
        names: list[str] = []
        for there in shown:
            names.append(name := _sayable(there))
            if name != there:
                refused[name] = "its name is no plain text: rename it"
        if not names:
            what = "no week file is in this folder"
            raise InputError(str(path), what, "Name a folder with files that end in .yaml.")
        plans: dict[str, str] = {}
        for name in names:
            other = plans.setdefault(plan_of(name), name)
            if other != name:
                for mine, two in ((name, other), (other, name)):
                    what = f"'{two}' would have the same plan, '{plan_of(name)}'"
                    refused[mine] = f"{what}: rename one of the two"
        tables = [(name, _stamp(Path(name))) for name in foods]
        alike = repr((version("clearfridge"), ways, tables))
        return cls(folder, ways, tuple(foods), tuple(names), refused, alike)

    def task(self, name: str) -> WeekText:
        """Read one week file.

        Parameters
        ----------
        name
            Its path in the folder.

        Returns
        -------
        WeekText
            With its text, or with why it cannot be read.
        """
        from models.words.text import read_text  # noqa: PLC0415

        try:
            if name in self.refused:
                raise InputError(name, self.refused[name], "Rename it.")
            if not (self.path / name).is_file():
                raise InputError(name, "it is no file, or a link to none", "Take it away.")
            return WeekText(name, read_text(str(self.path / name))[1])
        except InputError as fault:
            return WeekText(name, fault=fault)

    def asked(self, task: WeekText) -> str:
        """Tell all that the answer to a week depends on: its text, how it is planned, by what.

        Parameters
        ----------
        task
            The week.

        Returns
        -------
        str
            SHA-256, in hexadecimal.
        """
        return hashlib.sha256(f"{self.alike}\n{task.fault or task.text}".encode()).hexdigest()

    def planned(
        self,
        names: Iterable[str],
        *,
        backend: Mapping[str, Any] | None = None,
        stop: Stop | None = None,
    ) -> Iterator[OfWeek]:
        """Plan weeks, and give what came of each as it comes.

        Parameters
        ----------
        names
            Which, as paths in the folder.
        backend
            Where, as `joblib.parallel_config` takes it; see `cluster`.
        stop
            Where it is asked, no further week is begun.

        Yields
        ------
        OfWeek
            In any order.
        """
        from optimiser.solve.parallel import spread  # noqa: PLC0415

        begun: list[tuple[str, str]] = []

        def tasks() -> Iterator[WeekText]:
            for name in names:
                task = self.task(name)
                begun.append((name, self.asked(task)))
                yield task

        work = partial(outcome_of, self.ways, self.foods)
        for at, outcome in spread(work, tasks(), backend=backend, stop=stop):
            name, asked = begun[at]
            yield replace(_died(name) if outcome is None else outcome, asked=asked)


def _sayable(name: str) -> str:
    """Write what no text holds, what is not seen and what steers a terminal by its code."""
    return "".join(
        letter if is_printable(letter) else letter.encode("unicode_escape").decode()
        for letter in name
    )


def _died(name: str) -> OfWeek:
    why = "the process that planned it ended, twice; is there memory enough?"
    return OfWeek(FolderRow(week=name, status="fault", why=why))


def plan_of(name: str) -> str:
    """Name the plan of a week file.

    Parameters
    ----------
    name
        The week file.

    Returns
    -------
    str
        As it, with another ending.

    Examples
    --------
    >>> plan_of("june/first.yaml")
    'june/first.json'
    """
    return str(Path(name).with_suffix(".json").as_posix())


def _stamp(path: Path) -> list[tuple[int, int]]:
    """Tell a table from what it was before, without reading it again."""
    files = sorted(path.iterdir()) if path.is_dir() else [path]
    return [(file.stat().st_size, file.stat().st_mtime_ns) for file in files]


def outcome_of(ways: Ways, foods: tuple[str, ...], task: WeekText) -> OfWeek:
    r"""Plan one week of a folder; whatever is wrong with it is said, and nothing is raised.

    Parameters
    ----------
    ways
        How.
    foods
        Paths of the user's own food tables.
    task
        The week.

    Returns
    -------
    OfWeek
        Its plan, or why there is none.

    Examples
    --------
    >>> outcome_of(Ways(), (), WeekText("june.yaml", "week: {}\n")).row.why
    "june.yaml, line 1, column 1 (week): 'starts' is missing"
    """
    from models.file.reading import week_of  # noqa: PLC0415
    from models.file.yamltext import parse  # noqa: PLC0415

    try:
        if task.fault is not None:
            raise task.fault
        week = week_of(parse(task.name, task.text), _foods(foods))
        plan = ways.work(week)(Stop(), silent)
    except InputError as fault:
        return OfWeek(
            FolderRow(week=task.name, status="refused", why=f"{fault.where}: {fault.what}")
        )
    except Exception as fault:  # noqa: BLE001 - fatal to none of the others
        why = f"a fault of the program ({type(fault).__name__}: {str(fault)[:200]})"
        return OfWeek(FolderRow(week=task.name, status="fault", why=why))
    row = _row(task.name, plan, eaters=len(week.eaters))
    text = plan.model_dump_json(indent=2) + "\n" if plan.is_planned else ""
    return OfWeek(row, text, interrupted=plan.interrupted)


_held: dict[tuple[str, ...], tuple[Food, ...]] = {}


def _foods(paths: tuple[str, ...]) -> tuple[Food, ...]:
    """Read the user's own tables once a process."""
    if paths not in _held:
        _held[paths] = own_foods(paths)
    return _held[paths]


def _row(name: str, plan: Plan, eaters: int) -> FolderRow:
    planned = plan.is_planned
    return FolderRow(
        week=name,
        status=plan.status,
        plan=plan_of(name) if planned else "",
        days=len(plan.days),
        eaters=eaters,
        lunches=len(plan.lunches),
        left_over=plan.left_over.grams if planned else None,
        cost=plan.totals.get("cost"),
        currency=plan.currency,
        minutes=plan.totals.get("minutes"),
        why="; ".join(rule.sentence for rule in plan.conflict),
    )
