"""The lines of a text of JSON, worked out only where something in it is wrong.

What the standard library reads has no lines; a second look finds them, once for all faults.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from functools import cached_property

from models.words.document import Steps

_NO_NUMBERS = frozenset({"NaN", "Infinity", "-Infinity"})
_TOKEN = re.compile(r'[][{},:]|"(?:[^"\\]|\\.)*"|[^][{},:"\s]+')


class JsonLines(Mapping[Steps, int]):
    r"""The line, from 1, of each key and entry of a text that was read as JSON.

    Parameters
    ----------
    text
        Valid JSON.
    under
        Keys that lead to the part in which paths begin.

    Examples
    --------
    >>> JsonLines('{"a":\n [1,\n 2]}')["a", 1], JsonLines('{"a":\n {"b": 1}}', "a")[("b",)]
    (3, 2)
    """

    def __init__(self, text: str, *under: str) -> None:
        self._text, self._under = text, under

    def __getitem__(self, path: Steps) -> int:
        """Find the line of a path of keys."""
        return self._lines[(*self._under, *path)]

    def __iter__(self) -> Iterator[Steps]:
        """Give every path there is."""
        above = len(self._under)
        return (path[above:] for path in self._lines if path[:above] == self._under)

    def __len__(self) -> int:
        """Count the paths."""
        return sum(1 for _ in self)

    @cached_property
    def _lines(self) -> dict[Steps, int]:
        lines: dict[Steps, int] = {}
        for path, line, _, _ in _places(self._text):
            lines.setdefault(path, line)
        return lines


def odd_place(text: str) -> tuple[Steps, int, str] | None:
    r"""Find the first key that is there twice in one mapping, or the first number that is none.

    Parameters
    ----------
    text
        What was read as JSON.

    Returns
    -------
    Where it stands, its line, and how it is written there; None where all is well.

    Examples
    --------
    >>> odd_place('{"a": 1,\n"b": NaN}'), odd_place('[{"a": 1, "a": 2}]')
    ((('b',), 2, 'NaN'), ((0, 'a'), 1, '"a"'))
    """
    seen = set[Steps]()
    for path, line, mark, is_key in _places(text):
        if mark in _NO_NUMBERS or (is_key and path in seen):
            return path, line, mark
        seen.add(path)
    return None


def _places(text: str) -> Iterator[tuple[Steps, int, str, bool]]:
    """Give each key and value with its path, its line, how it begins and whether it is a key."""
    path: list[str | int | None] = []
    line, at = 1, 0
    for token in _TOKEN.finditer(text):
        line += text.count("\n", at, token.start())
        at, mark = token.start(), token[0]
        if mark in "]}":
            path.pop()
        elif mark == ",":
            path[-1] = path[-1] + 1 if isinstance(path[-1], int) else None
        elif path and path[-1] is None:
            path[-1] = json.loads(mark)
            yield _known(path), line, mark, True
        elif mark != ":":
            yield _known(path), line, mark, False
            if mark in "[{":
                path.append(0 if mark == "[" else None)


def _known(path: list[str | int | None]) -> Steps:
    return tuple(step for step in path if step is not None)
