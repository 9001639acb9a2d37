"""Plans a folder of weeks into a folder of plans, and goes on where an earlier run stopped.

`planned.jsonl` in the folder of plans gets a line as soon as a week's plan is written, so a run
that is killed loses the weeks that it was planning and no other.
"""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
import json
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import typer

from models.words.errors import InputError
from optimiser.cli.app import Exit, tell
from optimiser.interface.background import in_background

if TYPE_CHECKING:
    from models.answers.folder import FolderFile, FolderRow
    from optimiser.interface.asked import Ways
    from optimiser.interface.folder import Folder, OfWeek
    from optimiser.solve.limits import Say, Stop

JOURNAL, SUMMARY = "planned.jsonl", "summary"
_NO_FOLDER = "plans cannot be written there"


def plan_folder(
    path: str,
    ways: Ways,
    foods: list[str],
    *,
    into: Path | None,
    cluster: str | None,
    as_json: bool,
) -> NoReturn:
    """Plan every week file of a folder, say what came of it, and end.

    Parameters
    ----------
    path
        The folder of weeks.
    ways
        How each is planned.
    foods
        Paths of the user's own food tables.
    into
        The folder of plans.
    cluster
        Address of a Dask scheduler; the cores of this machine when None.
    as_json
        Whether to answer as JSON.

    Raises
    ------
    InputError
        When the folder of plans is not named or cannot be written, or no cluster answers.
    typer.Exit
        Always else: 2 where a file was refused, 70 where the program failed, 1 where a week has
        no plan, 3 where time was up, 130 where it was interrupted.

    Examples
    --------
    >>> from optimiser.interface.asked import Ways
    >>> plan_folder(".", Ways(), [], into=None, cluster=None, as_json=False)
    Traceback (most recent call last):
    ...
    models.words.errors.InputError: .: it is a folder of weeks
    Say where its plans are to be kept: -o FOLDER.
    """
    from optimiser.interface.cluster import on_cluster  # noqa: PLC0415
    from optimiser.interface.folder import Folder  # noqa: PLC0415

    if into is None:
        mend = "Say where its plans are to be kept: -o FOLDER."
        raise InputError(path, "it is a folder of weeks", mend)
    folder = Folder.of(path, ways, foods)
    backend = on_cluster(cluster)
    _make(into)
    with _alone(into):
        run = _Run(folder, into, _journal(into))
        answer = in_background(lambda stop, say: run.work(backend, stop, say))
        _write_summary(into, answer.rows)
    tell(answer, as_json=as_json)
    if run.lost is not None:
        raise run.lost
    raise typer.Exit(_code(answer))


def _code(answer: FolderFile) -> Exit:
    if answer.interrupted:
        return Exit.INTERRUPTED
    seen = {row.status for row in answer.rows}
    codes = (
        ("refused", Exit.BAD_INPUT),
        ("fault", Exit.FAULT),
        ("infeasible", Exit.NO_PLAN),
        ("unknown", Exit.NO_TIME),
    )
    return next((code for status, code in codes if status in seen), Exit.DONE)


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise InputError(
            str(folder), f"{_NO_FOLDER} ({fault.strerror})", "Name another folder."
        ) from None


@contextlib.contextmanager
def _alone(into: Path) -> Iterator[None]:
    """Keep a second run out of the same folder; where there are no locks it is let in."""
    try:
        import fcntl  # noqa: PLC0415 - not everywhere

        stream = (into / JOURNAL).open("ab")
    except ImportError:
        yield
        return
    except OSError as fault:
        what = f"{_NO_FOLDER} ({fault.strerror})"
        raise InputError(str(into), what, "Name another folder.") from None
    with stream:
        try:
            fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            what = "another run is planning into this folder"
            raise InputError(str(into), what, "Wait for it, or name another folder.") from None
        except OSError:
            pass
        yield


def _journal(into: Path) -> dict[str, dict[str, Any]]:
    """Read what earlier runs did; a line that was not written to its end says nothing.

    Such a line is ended here, so that the next does not go on in it.
    """
    known: dict[str, dict[str, Any]] = {}
    with contextlib.suppress(OSError, UnicodeDecodeError):
        text = (into / JOURNAL).read_text(encoding="utf-8")
        if text and not text.endswith("\n"):
            with (into / JOURNAL).open("a", encoding="utf-8") as stream:
                stream.write("\n")
        for line in text.splitlines():
            with contextlib.suppress(ValueError, KeyError, TypeError):
                entry = json.loads(line)
                known[entry["row"]["week"]] = entry
    return known


def _digest(path: Path) -> str:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError:
        return ""


@dataclass(slots=True)
class _Run:
    """One run over a folder of weeks."""

    folder: Folder
    into: Path
    known: dict[str, dict[str, Any]]
    rows: dict[str, FolderRow] = field(default_factory=dict)
    aside: list[str] = field(default_factory=list)
    lost: InputError | None = None
    """Why nothing more could be planned."""

    def work(self, backend: dict[str, Any] | None, stop: Stop, say: Say) -> FolderFile:
        from models.answers.folder import FolderFile  # noqa: PLC0415

        say("looking for what is planned already")
        todo = [name for name in self.folder.names if not self._kept(name)]
        kept, began = len(self.rows), time.monotonic()
        try:
            for outcome in self.folder.planned(todo, backend=backend, stop=stop):
                if not outcome.interrupted:
                    self._keep(outcome)
                say(_progress(len(self.rows) - kept, len(todo), time.monotonic() - began))
        except InputError as lost:
            self.lost = lost
        rows = [self.rows[name] for name in sorted(self.rows)]
        return FolderFile(
            folder=str(self.folder.path),
            into=str(self.into),
            interrupted=stop.asked,
            planned=len(rows) - kept,
            kept=kept,
            left=len(self.folder.names) - len(rows),
            rows=rows,
            aside=sorted(self.aside),
            others=self._others(),
        )

    def _others(self) -> list[str]:
        """List what ends as a plan and is of no week, planned now or left for later."""
        from optimiser.interface.folder import plan_of  # noqa: PLC0415

        ours = {row.plan for row in self.rows.values()}
        ours |= {plan_of(name) for name in self.folder.names if name not in self.rows}
        there = (path.relative_to(self.into) for path in self.into.rglob("*.json"))
        return sorted(path.as_posix() for path in there if path.as_posix() not in ours)

    def _set_aside(self, week: str) -> None:
        """Take the plan that an earlier run made of a week out of the way of who hands plans on."""
        from optimiser.interface.folder import plan_of  # noqa: PLC0415

        # Where it lies the week says, not what is noted in a folder that anybody may write to.
        plan, noted = plan_of(week), self.known.get(week, {}).get("plan")
        place = self.into / plan
        if noted and _digest(place) == noted:
            with contextlib.suppress(OSError):
                place.replace(place.with_name(f"{place.name}.old"))
                self.aside.append(plan)

    def _kept(self, name: str) -> bool:
        """Tell whether what an earlier run found still holds: same week, same ways, same plan."""
        from models.answers.folder import FolderRow  # noqa: PLC0415

        entry = self.known.get(name)
        if entry is None or entry.get("asked") != self.folder.asked(self.folder.task(name)):
            return False
        try:
            row = FolderRow.model_validate(entry["row"])
        except ValueError:
            return False
        if row.status == "fault" or (row.plan and _digest(self.into / row.plan) != entry["plan"]):
            return False
        self.rows[name] = row
        return True

    def _keep(self, outcome: OfWeek) -> None:
        from models.answers.folder import FolderRow  # noqa: PLC0415
        from optimiser.interface.whole import plan_target, write_whole  # noqa: PLC0415

        row = outcome.row
        if outcome.plan:
            place = self.into / row.plan
            try:
                _make(place.parent)
                write_whole(plan_target(place, str(self.folder.path / row.week)), outcome.plan)
            except InputError as fault:
                why = f"its plan is not written: {fault.where}: {fault.what}; move that away"
                # Not noted: the next run tries to write it again.
                self.rows[row.week] = FolderRow(week=row.week, status="refused", why=why)
                return
        else:
            self._set_aside(row.week)
        self.rows[row.week] = row
        entry = {
            "asked": outcome.asked,
            "plan": hashlib.sha256(outcome.plan.encode()).hexdigest() if outcome.plan else "",
            "row": row.model_dump(mode="json", exclude_defaults=True),
        }
        with (self.into / JOURNAL).open("a", encoding="utf-8") as stream:
            stream.write(json.dumps(entry, ensure_ascii=False) + "\n")


def _progress(done: int, of: int, seconds: float) -> str:
    rate = done / seconds if seconds else 0.0
    left = (of - done) / rate if rate else 0.0
    remaining = f"{left:.0f} s" if left < 90 else f"{left / 60:.0f} min"
    return f"{done} of {of} weeks, {rate:.1f} a second, {remaining} left"


def _write_summary(into: Path, rows: list[FolderRow]) -> None:
    """Write a row for each week as CSV, and as Parquet where a package for it is installed."""
    from models.answers.folder import FolderRow  # noqa: PLC0415
    from optimiser.interface.whole import target, write_whole  # noqa: PLC0415
    from optimiser.report.safe import cell  # noqa: PLC0415

    data = [row.model_dump(mode="json") for row in rows]
    heads = list(FolderRow.model_fields)
    text = io.StringIO()
    table = csv.DictWriter(text, heads, lineterminator="\r\n")
    table.writeheader()
    for row in data:
        cells = {
            name: cell(value) if isinstance(value, str) else value for name, value in row.items()
        }
        table.writerow(cells)
    write_whole(target(into / f"{SUMMARY}.csv", "a table cannot be written there"), text.getvalue())
    try:
        import pyarrow as arrow  # noqa: PLC0415
        from pyarrow import parquet  # noqa: PLC0415
    except ImportError:
        return
    kinds = {"string": arrow.string(), "integer": arrow.int64(), "number": arrow.float64()}
    properties = FolderRow.model_json_schema()["properties"]
    schema = arrow.schema([(name, kinds[_kind(properties[name])]) for name in heads])
    out = arrow.BufferOutputStream()
    parquet.write_table(arrow.Table.from_pylist(data, schema=schema), out)
    place = target(into / f"{SUMMARY}.parquet", "a table cannot be written there")
    write_whole(place, out.getvalue().to_pybytes())


def _kind(says: dict[str, Any]) -> str:
    """Give the type that a field's schema names first."""
    return str(says["anyOf"][0]["type"] if "anyOf" in says else says["type"])
