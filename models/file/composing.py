"""The tree of a YAML text's entries, each with the place it stands at.

libyaml splits the text, in a thirtieth of the time that a parser written in Python takes. What it
refuses, and what asks for another version of YAML, is split by ruamel.yaml: its sentences say best
what is wrong, and it knows the characters that JSON writes in two halves. Both give the same
events, and the tree is made of those here: within bounds, and with the scalars of YAML 1.2.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Protocol, TypeAlias

import yaml

from models.words.document import DEEPEST

MOST_NODES = 20_000
TOO_MANY = (
    f"it unfolds to more than {MOST_NODES} entries",
    "Write fewer entries; anchors that repeat anchors are not needed.",
)
TOO_DEEP = ("it is nested too deeply", "A week file is about 5 levels deep; flatten this.")
# What the two parsers take differently: odd blanks and line ends, tags, names of anchors with a
# colon, remarks against the sign of a block or at its head, and a document that ends twice.
_TAKEN_DIFFERENTLY = re.compile(
    r"[\t\x85\u2028\u2029\ufeff]|\r(?!\n)|(?:^|[\s,\[{])!|[&*][^\s&*:]*:|[|>][-+\d]*\s*#|^\.\.\.",
    re.MULTILINE,
)
# Where nobody could say any more on which line of the week it went wrong.
_DEEPEST = 10 * DEEPEST

_TAG = "tag:yaml.org,2002:"
# YAML 1.2.2, chapter 10.3, core schema; with the underscores and binary numbers of YAML 1.1, which
# are refused in a sentence of their own and so have to be known.
_PLAIN = (
    ("null", re.compile(r"~|null|Null|NULL|")),
    ("bool", re.compile(r"true|True|TRUE|false|False|FALSE")),
    ("int", re.compile(r"(?!_)[-+]?(?:0b[0-1_]+|[0-9_]+|0o[0-7_]+|0x[0-9a-fA-F_]+)")),
    (
        "float",
        re.compile(
            r"[-+]?(?:[0-9][0-9_]*\.[0-9_]*(?:[eE][-+]?[0-9]+)?|[0-9][0-9_]*[eE][-+]?[0-9]+"
            r"|\.[0-9_]+(?:[eE][-+][0-9]+)?|\.(?:inf|Inf|INF))|\.(?:nan|NaN|NAN)"
        ),
    ),
    ("merge", re.compile("<<")),
    ("value", re.compile("=")),
)


class UnsuitedError(ValueError):
    """The text is nested deeper, or holds more entries, than anything that a week has a use for."""

    def __init__(self, what: str, mend: str, mark: Mark | None = None) -> None:
        super().__init__(what)
        self.mend, self.mark = mend, mark


class NotYamlError(ValueError):
    """The text cannot be split.

    `line` is where, from 1, and `begun` where what it belongs to began; `told` says that a rule of
    YAML is broken, and not that there is a letter that no text holds.
    """

    def __init__(self, what: str, line: int | None, begun: int | None, *, told: bool) -> None:
        super().__init__(what)
        self.line, self.begun, self.told = line, begun, told


class _OtherwiseError(Exception):
    """What a second parser has the better words for."""


class Mark(Protocol):
    """A place in a text, as a parser tells it: letters before it; its line, its column from 0."""

    index: int
    line: int
    column: int


@dataclass(slots=True, eq=False)
class Scalar:
    """A word or a number, as it is written without its quotes."""

    tag: str
    value: str
    start_mark: Mark
    end_mark: Mark
    block: bool


@dataclass(slots=True, eq=False)
class Sequence:
    """A list, on one line or an entry a line."""

    tag: str
    value: list[Node]
    start_mark: Mark
    end_mark: Mark
    flow_style: bool


@dataclass(slots=True, eq=False)
class Mapping:
    """Keys and what stands at them, in the order of the text."""

    tag: str
    value: list[tuple[Node, Node]]
    start_mark: Mark
    end_mark: Mark
    flow_style: bool


Node: TypeAlias = Scalar | Sequence | Mapping


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
    NotYamlError
        When it cannot be split, with the line.
    UnsuitedError
        When it is nested too deeply or holds too many entries.

    Examples
    --------
    >>> root = composed("days: 3")
    >>> type(root).__name__, root is composed("days: 3")
    ('Mapping', True)
    """
    made = _composed(text)
    if isinstance(made, Exception):
        raise made.with_traceback(None)
    return made


@lru_cache(maxsize=8)
def _composed(text: str) -> Node | NotYamlError | UnsuitedError | None:
    """Give the tree, or why there is none: what is no YAML takes longest and is asked for twice."""
    try:
        if not _TAKEN_DIFFERENTLY.search(text):
            with suppress(yaml.YAMLError, UnicodeError, _OtherwiseError):
                return _Composer(yaml.parse(text, Loader=yaml.CBaseLoader)).tree()
        return _slowly(text)
    except (NotYamlError, UnsuitedError) as fault:
        return fault


def splits_up_to(text: str) -> int | None:
    r"""Say on which line splitting a text into YAML stops, without making anything of it.

    Parameters
    ----------
    text
        The whole file.

    Returns
    -------
    The line, from 1; None where all of it is split, and where it stops at no line.

    Examples
    --------
    >>> splits_up_to("a: 1\n  b: 2\n"), splits_up_to("a: 1")
    (2, None)
    """
    if not _TAKEN_DIFFERENTLY.search(text):
        try:
            for _ in yaml.parse(text, Loader=yaml.CBaseLoader):
                pass
        except yaml.MarkedYAMLError as fault:
            mark = fault.problem_mark or fault.context_mark
            return None if mark is None else int(mark.line) + 1
        except (yaml.YAMLError, UnicodeError):
            return None
        return None
    try:
        _slowly(text)
    except NotYamlError as fault:
        return fault.line if fault.told else None
    except UnsuitedError:
        pass
    return None


def _slowly(text: str) -> Node | None:
    from ruamel.yaml import YAML  # noqa: PLC0415
    from ruamel.yaml.error import MarkedYAMLError, YAMLError  # noqa: PLC0415

    try:
        try:
            return _Composer(YAML(typ="safe", pure=True).parse(text)).tree()
        except _OtherwiseError:
            # An alias of nothing, or a second document: its own composer has the words for that.
            YAML(typ="safe", pure=True).compose(text)
            raise
    except MarkedYAMLError as fault:
        at, begun = (
            None if mark is None else mark.line + 1
            for mark in (fault.problem_mark or fault.context_mark, fault.context_mark)
        )
        raise NotYamlError(str(fault.problem), at, begun, told=True) from None
    except YAMLError as fault:
        letter = getattr(fault, "position", None)
        line = text.count("\n", 0, letter) + 1 if isinstance(letter, int) else None
        what = next(iter(str(fault).splitlines()), "unreadable")
        raise NotYamlError(what, line, None, told=False) from None
    except RecursionError:
        raise UnsuitedError(*TOO_DEEP) from None


class _Composer:
    """Makes a tree of the events of one document, whichever parser they come from."""

    def __init__(self, events: Iterator[Any]) -> None:
        self.events = events
        self.anchors: dict[str, Node] = {}
        self.count = 0

    def tree(self) -> Node | None:
        root: Node | None = None
        documents = 0
        for event in self.events:
            kind = type(event).__name__
            if kind == "DocumentStartEvent":
                documents += 1
                if documents > 1:
                    raise _OtherwiseError
                root = self.node(next(self.events), 0)
        return root

    def node(self, event: Any, depth: int) -> Node:
        kind = type(event).__name__
        if kind == "AliasEvent":
            if event.anchor not in self.anchors:
                raise _OtherwiseError
            return self.anchors[event.anchor]
        self.count += 1
        start, end = event.start_mark, event.end_mark
        if depth > _DEEPEST:
            raise UnsuitedError(*TOO_DEEP, start)
        if self.count > 2 * MOST_NODES + 1:
            raise UnsuitedError(*TOO_MANY, start)
        tag = None if event.tag in (None, "!") else str(event.tag)
        node: Node
        if kind == "ScalarEvent":
            tag = tag or _TAG + (_kind(event.value) if event.implicit[0] else "str")
            node = Scalar(tag, event.value, start, end, event.style in ("|", ">"))
        elif kind == "SequenceStartEvent":
            node = Sequence(tag or _TAG + "seq", [], start, end, bool(event.flow_style))
        else:
            node = Mapping(tag or _TAG + "map", [], start, end, bool(event.flow_style))
        if event.anchor is not None:
            self.anchors[event.anchor] = node
        if isinstance(node, Sequence):
            node.value.extend(self.below("SequenceEndEvent", node, depth))
        elif isinstance(node, Mapping):
            inner = self.below("MappingEndEvent", node, depth)
            node.value.extend(zip(inner, inner, strict=True))
        return node

    def below(self, closing: str, node: Sequence | Mapping, depth: int) -> Iterator[Node]:
        for event in self.events:
            if type(event).__name__ == closing:
                node.end_mark = event.end_mark
                return
            yield self.node(event, depth + 1)


@lru_cache(maxsize=1024)
def _kind(text: str) -> str:
    """Give what a word without quotes is: a number, a truth, nothing, or text."""
    return next((kind for kind, form in _PLAIN if form.fullmatch(text)), "str")
