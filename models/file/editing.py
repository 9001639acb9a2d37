"""A week file changed in a few places; every other letter of it stays as it is.

What is changed is named by the keys that lead there; the parser says where in the text that
is. The changed text is read again by the ordinary reader before anyone uses it.
"""

from __future__ import annotations

import json
import re
from collections import abc
from collections.abc import Iterable
from typing import TypeAlias

from models.file.composing import Mapping, Node, Scalar, Sequence, composed
from models.words.nutrients import tagname

Stated: TypeAlias = "str | int | abc.Sequence[Stated] | abc.Mapping[str, Stated]"
NewValue: TypeAlias = "Stated | None"
Path: TypeAlias = tuple[str | int, ...]

_PLAIN = re.compile(r"[A-Za-z0-9µ%][A-Za-z0-9µ%._ -]*")


def edited(text: str, edits: Iterable[tuple[Path, NewValue]]) -> str:
    """Change a YAML text in some places.

    Parameters
    ----------
    text
        The text, known to be YAML.
    edits
        Keys that lead to a place, and what is to stand there; None removes an entry of a list or
        a key of a mapping, with the remark behind it.
        A key that is missing is added to its mapping, and so is the mapping itself; to a list is
        added what stands behind its last entry. A nutrient may be named by its tagname, whatever
        name the text uses.

    Returns
    -------
    The new text; all that is not edited stays to the letter, comments too.

    Raises
    ------
    KeyError
        When the mapping or the list that should hold it is not there.

    Examples
    --------
    >>> print(edited("days: 3  # to Wednesday", [(("days",), 4)]))
    days: 4  # to Wednesday
    >>> print(edited("eaters: {Ann: {}, Bo: {}}", [(("eaters", "Bo"), None)]))
    eaters: {Ann: {}}
    """
    # Later entries of a list go first, so that earlier ones keep their place.
    for path, value in sorted(edits, key=lambda edit: _entry(edit[0]), reverse=True):
        text = _edited(text, path, value)
    return text


def _entry(path: Path) -> list[int]:
    return [step for step in path if isinstance(step, int)]


def _edited(text: str, path: Path, value: NewValue) -> str:
    node = composed(text)
    if node is None:
        raise KeyError(path[0])
    for at, step in enumerate(path[:-1]):
        below = _below(node, step)
        if below is None:
            if value is None or at + 2 < len(path):
                raise KeyError(step)
            return _added(text, node, str(step), f"{{{_entered(path[-1], value)}}}")
        node = below
    last = path[-1]
    if value is None:
        return _without(text, node, last)
    if isinstance(node, Sequence) and last == len(node.value):
        return _appended(text, node, _written(value))
    there = _below(node, last)
    if there is not None:
        return _spliced(text, there, _written(value))
    return _added(text, node, _written(str(last)), _written(value))


def _below(node: Node, step: str | int) -> Node | None:
    if isinstance(node, Sequence) and isinstance(step, int):
        items: list[Node] = node.value
        return _here(items[step], node) if step < len(items) else None
    if not isinstance(node, Mapping):
        return None
    exact = {" ".join(str(key.value).split()): (held, key) for key, held in node.value}
    if str(step) in exact:
        return _here(*exact[str(step)])
    entry = next((pair for name, pair in exact.items() if step in _said(name)), None)
    return None if entry is None else _here(*entry)


def _said(name: str) -> tuple[str | None, str]:
    """Give what else a key may be called: its tagname, and in small letters."""
    return tagname(name), name.casefold()


def _here(held: Node, after: Node) -> Node:
    """Refuse what stands elsewhere: a change of what an alias repeats would reach there too."""
    if held.start_mark.index < after.start_mark.index:
        raise KeyError(held.value)
    return held


def _spliced(text: str, node: Node, written: str) -> str:
    start = node.start_mark.index
    # What is empty stands against its colon.
    blank = " " if start and text[start - 1] == ":" else ""
    return text[:start] + blank + written + text[_end(text, node) :]


def _end(text: str, node: Node) -> int:
    """Give where a node ends; a block's mark lies behind the space and remarks after it."""
    if isinstance(node, (Mapping, Sequence)) and not node.flow_style and node.value:
        last = node.value[-1]
        return _end(text, last[1] if isinstance(last, tuple) else last)
    end = int(node.end_mark.index)
    if isinstance(node, Scalar) and node.block:
        return len(text[:end].rstrip())
    return end


def _entered(key: str | int, value: Stated) -> str:
    return f"{_written(str(key))}: {_written(value)}"


def _written(value: Stated) -> str:
    if isinstance(value, abc.Mapping):
        return f"{{{', '.join(_entered(*pair) for pair in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(_written(entry) for entry in value)}]"
    text = str(value)
    return text if _PLAIN.fullmatch(text) else json.dumps(text, ensure_ascii=False)


def _without(text: str, node: Node, at: str | int) -> str:
    """Leave out an entry's own lines, or write a list again without it, on one line."""
    if isinstance(node, Mapping):
        return _without_key(text, node, str(at))
    if not isinstance(node, Sequence) or not isinstance(at, int) or at >= len(node.value):
        raise KeyError(at)
    entry = node.value[at]
    start = text.rfind("\n", 0, entry.start_mark.index) + 1
    alone = text[start : entry.start_mark.index].strip() == "-"
    if not node.flow_style and alone and len(node.value) > 1:
        end = text.find("\n", _end(text, entry))
        return text[:start] + ("" if end < 0 else text[end + 1 :])
    kept = [text[entry.start_mark.index : _end(text, entry)] for entry in node.value]
    del kept[at]
    # A block's entries may stand no further in than their key; a list on one line must.
    before = [line for line in text[: node.start_mark.index].splitlines() if line.strip()]
    indent = len(before[-1]) - len(before[-1].lstrip()) if before else 0
    level = not node.flow_style and indent >= node.start_mark.column
    return _spliced(text, node, f"{'  ' if level else ''}[{', '.join(kept)}]")


def _without_key(text: str, node: Mapping, name: str) -> str:
    """Leave out a key and what it holds: its own lines, or its place on a line that it shares."""
    pairs = node.value
    names = [" ".join(str(key.value).split()) for key, _ in pairs]
    at = names.index(name) if name in names else None
    if at is None:
        raise KeyError(name)
    key, held = pairs[at]
    end, start = _end(text, _here(held, key)), key.start_mark.index
    line = text.rfind("\n", 0, start) + 1
    if len(pairs) == 1:
        return _spliced(text, node, "{}")
    if not node.flow_style and not text[line:start].strip():
        after = text.find("\n", end)
        return text[:line] + ("" if after < 0 else text[after + 1 :])
    if at + 1 < len(pairs):
        return text[:start] + text[pairs[at + 1][0].start_mark.index :]
    return text[: text.rfind(",", 0, start)] + text[end:]


def _appended(text: str, node: Sequence, written: str) -> str:
    """Add an entry to a list, written as those before it are; remarks stay with theirs."""
    entries: list[Node] = node.value
    if not entries:
        return _spliced(text, node, f"[{written}]")
    end = _end(text, entries[-1])
    if node.flow_style:
        return f"{text[:end]}, {written}{text[end:]}"
    line_end = "\r\n" if "\r\n" in text else "\n"
    at = text.find("\n", end) + 1 or len(text)
    before = text[:at] if text[:at].endswith("\n") else text[:at] + line_end
    return f"{before}{' ' * node.start_mark.column}- {written}{line_end}{text[at:]}"


def _added(text: str, node: Node, key: str, written: str) -> str:
    """Add a key to a mapping, beside the yield where it is a batch's."""
    if not isinstance(node, Mapping) or not node.value:
        raise KeyError(key)
    keys = [held[0] for held in node.value]
    before = next((key for key in keys if key.value == "yield"), keys[0])
    at = before.start_mark.index
    line_end = "\r\n" if "\r\n" in text else "\n"
    between = ", " if node.flow_style else line_end + " " * before.start_mark.column
    return f"{text[:at]}{key}: {written}{between}{text[at:]}"
