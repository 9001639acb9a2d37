"""A stranger's YAML made into plain data, with the line each thing stands on.

YAML 1.2 as ruamel.yaml composes it; what a week file has no use for is refused:
tags, keys that are no text, the same key twice, anchors that contain themselves
or unfold to more than a week could hold. Numbers stay decimals.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from models.file.meant import Slip, meant
from models.words.document import DEEPEST, Document, Plain, Steps, key_of, number_of
from models.words.errors import InputError, Where
from models.words.text import trimmed

MOST_NODES = 20_000

_TAG = "tag:yaml.org,2002:"
_WORDS_FOR_TRUTH = {"true": True, "false": False}


def parse(source: str, text: str) -> Document:
    """Make plain data of YAML text.

    Parameters
    ----------
    source
        Name of the file, for errors.
    text
        Its text.

    Raises
    ------
    InputError
        With the line, when the text is not YAML or holds what is refused here.

    Examples
    --------
    >>> parse("mine.yaml", "days: [mon, tue]").data
    {'days': ['mon', 'tue']}
    """
    if not text.strip():
        raise InputError(source, "it is empty", "Start from a ready one: clearfridge new FILE")
    _refuse_brackets(source, text)
    try:
        node = composed(text)
    except MarkedYAMLError as fault:
        mark = fault.problem_mark or fault.context_mark
        line = mark.line + 1 if mark is not None else None
        meaning = slip(text)
        if meaning is not None:
            where = Where(source, meaning.line)
            raise InputError(where, f"this is not YAML: {meaning.what}", meaning.mend) from None
        mend = "Check indentation, colons, quotes and brackets on this line and the one above."
        raise InputError(Where(source, line), f"this is not YAML: {fault.problem}", mend) from None
    except YAMLError as fault:
        at = getattr(fault, "position", None)
        line = text.count("\n", 0, at) + 1 if isinstance(at, int) else None
        raise InputError(
            Where(source, line),
            f"this is not YAML: {_first_line(fault)}",
            "Remove what is not plain text.",
        ) from None
    except (RecursionError, ValueError):
        raise InputError(
            source, "it is nested too deeply", "A week file is 5 levels deep."
        ) from None
    if node is None:
        raise InputError(source, "it holds only comments", "Start from: clearfridge new FILE")
    builder = _Builder(source)
    data = builder.build(node, ())
    return Document(source, data, builder.lines, text, builder.columns)


@lru_cache(maxsize=8)
def composed(text: str) -> Node | None:
    """Compose YAML text once: a week is read, edited and read again, line for line the same.

    Parameters
    ----------
    text
        The whole file.

    Returns
    -------
    The tree of its nodes, shared by all who ask, so to be read only; None where it holds none.

    Raises
    ------
    YAMLError
        When it is not YAML.

    Examples
    --------
    >>> root = composed("days: 3")
    >>> type(root).__name__, root is composed("days: 3")
    ('MappingNode', True)
    """
    root: Node | None = YAML(typ="safe", pure=True).compose(text)
    return root


def _refuse_brackets(source: str, text: str) -> None:
    """Refuse what opens far more brackets than it closes, before a parser descends into it."""
    depth = 0
    for at, letter in enumerate(text):
        if letter in "[{":
            depth += 1
            if depth > 4 * DEEPEST:
                raise InputError(
                    Where(source, text.count("\n", 0, at) + 1),
                    "it is nested too deeply",
                    "A week file is about 5 levels deep; close the brackets.",
                )
        elif letter in "]}":
            depth = max(0, depth - 1)


def _first_line(fault: Exception) -> str:
    return next(iter(str(fault).splitlines()), "unreadable")


def slip(text: str) -> Slip | None:
    r"""Find what was meant where a text is no YAML.

    Parameters
    ----------
    text
        The whole file.

    Returns
    -------
    The line as it should stand; None where it is YAML, or nobody can tell.

    Examples
    --------
    >>> meaning = slip("week:\n  cups:us\n  days: [mon]\n")
    >>> (meaning.line, meaning.mend) if meaning else None
    (2, "Write 'cups: us'.")
    """
    fault = _fault(text)
    if fault is None:
        return None
    begun = fault.context_mark
    mark = fault.problem_mark or begun
    opened = None if begun is None else begun.line + 1
    return None if mark is None else meant(text, mark.line + 1, opened, fails_at)


def _fault(text: str) -> MarkedYAMLError | None:
    try:
        YAML(typ="safe", pure=True).compose(text)
    except MarkedYAMLError as fault:
        return fault
    except (YAMLError, RecursionError, ValueError):
        return None
    return None


def fails_at(text: str) -> int | None:
    r"""Say on which line, from 1, reading a text stops; None where it is YAML.

    Parameters
    ----------
    text
        The whole file.

    Examples
    --------
    >>> fails_at("a: 1\n  b: 2\n"), fails_at("a: 1")
    (2, None)
    """
    fault = _fault(text)
    mark = None if fault is None else fault.problem_mark or fault.context_mark
    return None if mark is None else int(mark.line) + 1


class _Builder:
    """Walks composed nodes once, counting, and refuses what does not belong."""

    def __init__(self, source: str) -> None:
        self.source = source
        self.lines: dict[Steps, int] = {}
        self.columns: dict[Steps, int] = {}
        self.count = 0

    def fail(self, node: Node, what: str, mend: str) -> InputError:
        mark = node.start_mark
        return InputError(Where(self.source, mark.line + 1, (), mark.column + 1), what, mend)

    def build(self, node: Node, path: Steps) -> Plain:
        self.count += 1
        if self.count > MOST_NODES:
            raise self.fail(
                node,
                f"it unfolds to more than {MOST_NODES} entries",
                "Write fewer entries; anchors that repeat anchors are not needed.",
            )
        if len(path) > DEEPEST:
            raise self.fail(
                node, "it is nested too deeply", "A week file is about 5 levels deep; flatten this."
            )
        self.lines.setdefault(path, node.start_mark.line + 1)
        self.columns.setdefault(path, node.start_mark.column + 1)
        if isinstance(node, MappingNode):
            self.expect_tag(node, "map")
            return {key: self.build(value, (*path, key)) for key, value in self.pairs(node, path)}
        if isinstance(node, SequenceNode):
            self.expect_tag(node, "seq")
            return [self.build(item, (*path, at)) for at, item in enumerate(node.value)]
        return self.scalar(node)

    def expect_tag(self, node: Node, kind: str) -> None:
        if str(node.tag) != _TAG + kind:
            raise self.fail(
                node,
                f"the tag {node.tag} has no place here",
                "Remove the tag (the word after '!').",
            )

    def pairs(self, node: MappingNode, path: Steps) -> Iterator[tuple[str, Node]]:
        seen: dict[str, int] = {}
        for key_node, value in node.value:
            if not isinstance(key_node, ScalarNode):
                raise self.fail(key_node, "a key must be a word", "Write 'name: value'.")
            self.whole(key_node)
            key = key_of(str(key_node.value))
            line = key_node.start_mark.line + 1
            if key == "<<":
                raise self.fail(key_node, "'<<' is not used in YAML 1.2", "Write the keys out.")
            if key in seen:
                raise self.fail(
                    key_node,
                    f"{key!r} is already on line {seen[key]}",
                    "Keep one of the two, or give one another name.",
                )
            seen[key] = line
            self.lines[(*path, key)] = line
            self.columns[(*path, key)] = key_node.start_mark.column + 1
            yield key, value

    def whole(self, node: Node) -> None:
        """Join the two halves in which JSON may write a character; refuse one alone."""
        if any("\ud800" <= letter <= "\udfff" for letter in str(node.value)):
            halves = str(node.value).encode("utf-16-le", "surrogatepass")
            try:
                node.value = halves.decode("utf-16-le")
            except UnicodeDecodeError:
                raise self.fail(
                    node, "half a character stands here", "Write printable text only."
                ) from None

    def scalar(self, node: Node) -> Plain:
        self.whole(node)
        tag, text = str(node.tag).removeprefix(_TAG), str(node.value)
        if tag in {"str", "timestamp"}:
            return trimmed(text)
        if tag == "null" and text.lower() in {"", "~", "null"}:
            return None
        if tag == "bool" and text.lower() in _WORDS_FOR_TRUTH:
            return _WORDS_FOR_TRUTH[text.lower()]
        if tag in {"int", "float"}:
            return self.number(node, text)
        raise self.fail(
            node, f"the tag {node.tag} has no place here", "Remove the tag (the word after '!')."
        )

    def number(self, node: Node, text: str) -> Plain:
        number = number_of(text)
        if number is not None:
            return number
        if not re.fullmatch(r"[-+0-9_.eE]+", text):
            return text
        raise self.fail(node, f"{text[:30]} is not a usable number", "Write an ordinary number.")
