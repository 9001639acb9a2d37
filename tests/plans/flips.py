"""Every field of a saved plan, changed one at a time, as a hand or a stranger might.

Leaves become other values of their own type, items of lists are dropped or doubled, keys are
taken away. Each change is a copy of the plan, made as it is asked for.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, TypeAlias

Path: TypeAlias = tuple[str | int, ...]


@dataclass(frozen=True)
class Flip:
    """One change of a plan: where, what is done there, and the plan that comes of it."""

    path: Path
    what: str
    plan: dict[str, Any]

    @property
    def field(self) -> str:
        """The path without the places in lists, and without the names that are keys."""
        return field_of(self.path)


def field_of(path: Path) -> str:
    """Name the field at the end of a path, as in "lunches > batches > portions"."""
    steps = [step for step in path if isinstance(step, str)]
    for at, step in enumerate(steps):
        if step in ("nutrients", "totals", "numbers"):
            steps[at + 1 : at + 2] = ["*"] if steps[at + 1 :] else []
    return " > ".join(steps)


def paths(data: Any, path: Path = ()) -> Iterator[Path]:
    """List the paths of all that is in plain data, outermost first."""
    entries = data.items() if isinstance(data, dict) else ()
    for step, value in enumerate(data) if isinstance(data, list) else entries:
        yield (*path, step)
        yield from paths(value, (*path, step))


def at(data: Any, path: Path) -> Any:
    """Give what is at a path."""
    for step in path:
        data = data[step]
    return data


def flips(plan: dict[str, Any], path: Path) -> Iterator[Flip]:
    """Make every change at one path."""
    above, last = path[:-1], path[-1]
    value = at(plan, path)
    text = json.dumps(plan)

    def changed() -> tuple[dict[str, Any], Any]:
        new = json.loads(text)
        return new, at(new, above)

    new, inside = changed()
    del inside[last]
    yield Flip(path, "dropped", new)
    if isinstance(last, int):
        new, inside = changed()
        inside.insert(last, copy.deepcopy(value))
        yield Flip(path, "doubled", new)
    for other in others(value):
        new, inside = changed()
        inside[last] = other
        yield Flip(path, f"{value!r} -> {other!r}"[:80], new)


def others(value: Any) -> Iterator[Any]:
    """Give other values of the same type."""
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, (int, float)):
        yield from (value + 1, value - 1)
    elif value is None:
        yield from (1, "2026-11-30")
    elif isinstance(value, str):
        if _is_date(value):
            day = date.fromisoformat(value)
            yield from ((day + timedelta(days=step)).isoformat() for step in (-1, 1))
        else:
            yield f"{value} indeed"
            if value:
                yield ""


def _is_date(text: str) -> bool:
    try:
        return bool(date.fromisoformat(text))
    except ValueError:
        return False
