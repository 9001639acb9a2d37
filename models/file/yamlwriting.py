"""A week document written as YAML in one fixed way: the same data, the same text.

A short mapping or list stands on one line, as a cook would write it; a longer one has a line for
each entry. What is written is read again before anyone gets it.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

WIDEST = 100
"""Columns of a line that holds a whole mapping or list."""
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]{0,11})(?:\.[0-9]{1,9})?")
_PLAIN = re.compile(r"[A-Za-z0-9µ][A-Za-z0-9_µ%°.()'/+ -]*(?<! )")
_NUMBER = re.compile(r"[-+]?(?:[0-9][0-9_.]*(?:[eE][-+]?[0-9]+)?|0[xo][0-9A-Fa-f]+|\.[0-9]+)")
_NOT_TEXT = {"true", "false", "null", "~"}


def yaml_of(data: Mapping[str, Any]) -> str:
    """Write a week document as YAML.

    Parameters
    ----------
    data
        Mappings, lists, text, numbers, truth values and None, as JSON has them.

    Returns
    -------
    Whole text, ending in a line end, a blank line between the parts of a week.

    Examples
    --------
    >>> print(yaml_of({"week": {"starts": "2026-12-08", "days": ["tue", "wed"]}}), end="")
    week:
      starts: 2026-12-08
      days: [tue, wed]
    """
    parts = []
    for key, value in data.items():
        if isinstance(value, (dict, list)) and value:
            # The parts of a week stand apart, each below its name.
            parts.append("\n".join([f"{_key(key)}:", *_below(value, 2)]))
        else:
            parts.append(f"{_key(key)}: {_line(value, inside=False)}")
    return "\n\n".join(parts) + "\n"


def _below(value: Any, indent: int) -> Iterator[str]:
    lead = " " * indent
    if isinstance(value, list):
        for item in value:
            yield from _entry(f"{lead}- ", item, indent + 2)
        return
    for key, item in value.items():
        yield from _entry(f"{lead}{_key(key)}: ", item, indent + 2)


def _entry(head: str, value: Any, indent: int) -> Iterator[str]:
    line = f"{head}{_line(value, inside=False)}"
    if not isinstance(value, (dict, list)) or not value or len(line) <= WIDEST:
        yield line
        return
    if head.endswith("- "):
        # A mapping in a list begins on the line of its dash.
        first, *rest = _below(value, indent)
        yield f"{head}{first.lstrip(' ')}"
        yield from rest
        return
    yield head.rstrip(" ")
    yield from _below(value, indent)


def _line(value: Any, *, inside: bool = True) -> str:
    if isinstance(value, dict):
        return (
            "{"
            + ", ".join(f"{_key(key, inside=True)}: {_line(item)}" for key, item in value.items())
            + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(_line, value)) + "]"
    if isinstance(value, date):
        return value.isoformat()
    if value is None or isinstance(value, bool):
        return json.dumps(value)
    return _text(value, inside=inside) if isinstance(value, str) else str(value)


def _key(key: str, *, inside: bool = False) -> str:
    return _text(str(key), inside=inside)


def _text(text: str, *, inside: bool) -> str:
    """Write text bare where it reads as the same text, else in quotes.

    What stands inside brackets ends at a comma.
    """
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) or _DECIMAL.fullmatch(text):
        return text
    looks_like = _NUMBER.fullmatch(text) or text.casefold() in _NOT_TEXT
    bare = _PLAIN.fullmatch(text if inside else text.replace(", ", " "))
    return text if bare and not looks_like else json.dumps(text, ensure_ascii=False)
