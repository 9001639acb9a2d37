"""A stranger's YAML made into plain data, with the line each thing stands on.

YAML 1.2; what a week file has no use for is refused:
tags, keys that are no text, the same key twice, anchors that contain themselves
or unfold to more than a week could hold. Numbers stay decimals.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from models.file.composing import (
    MOST_NODES,
    TOO_DEEP,
    TOO_MANY,
    Mapping,
    Node,
    NotYamlError,
    Scalar,
    Sequence,
    UnsuitedError,
    composed,
    splits_up_to,
)
from models.file.meant import Slip, meant
from models.words.document import DEEPEST, Document, Plain, Steps, key_of, number_of
from models.words.errors import InputError, Where
from models.words.text import LARGEST_BYTES, trimmed

_TAG = "tag:yaml.org,2002:"
MOST_LETTERS = 10 * LARGEST_BYTES
_TOO_LONG = (
    f"it unfolds to more than {MOST_LETTERS} letters",
    "Write fewer; an anchor that stands for much is not needed.",
)
_HALF = re.compile("[\ud800-\udfff]")
_BRACKET = re.compile(r"[\[\]{}]")
_WORDS_FOR_TRUTH = {"true": True, "false": False}


def parse(source: str, text: str, noted: list[InputError] | None = None) -> Document:
    """Make plain data of YAML text.

    Parameters
    ----------
    source
        Name of the file, for errors.
    text
        Its text.
    noted
        Takes what is wrong with keys, each of which is then left out; without it that is raised.

    Returns
    -------
    Mappings, lists, text, numbers, truth values and None, with line and column of each.

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
    except NotYamlError as fault:
        raise _not_yaml(source, text, fault) from None
    except UnsuitedError as fault:
        raise _unsuited(source, fault) from None
    if node is None:
        raise InputError(source, "it holds only comments", "Start from: clearfridge new FILE")
    builder = _Builder(source, noted)
    data = builder.build(node, ())
    return Document(source, data, builder.lines, text, builder.columns)


def _refuse_brackets(source: str, text: str) -> None:
    """Refuse what opens far more brackets than it closes, before a parser descends into it."""
    depth = 0
    for bracket in _BRACKET.finditer(text):
        depth = depth + 1 if bracket[0] in "[{" else max(0, depth - 1)
        if depth > 4 * DEEPEST:
            raise InputError(
                Where(source, text.count("\n", 0, bracket.start()) + 1),
                "it is nested too deeply",
                "A week file is about 5 levels deep; close the brackets.",
            )


def _not_yaml(source: str, text: str, fault: NotYamlError) -> InputError:
    if alias := re.search(r"undefined alias '?([^']*)'?", str(fault)):
        what = f"nothing is anchored as '{alias[1]}'"
        mend = f"Write it out here, or put &{alias[1]} before what is meant, further up."
        return InputError(Where(source, fault.line), what, mend)
    meaning = slip(text)
    if meaning is not None:
        where = Where(source, meaning.line)
        return InputError(where, f"this is not YAML: {meaning.what}", meaning.mend)
    mend = "Remove what is not plain text."
    if fault.told:
        mend = "Check indentation, colons, quotes and brackets on this line and the one above."
    return InputError(Where(source, fault.line), f"this is not YAML: {fault}", mend)


def _unsuited(source: str, fault: UnsuitedError) -> InputError:
    mark = fault.mark
    where = Where(source) if mark is None else Where(source, mark.line + 1, (), mark.column + 1)
    return InputError(where, str(fault), fault.mend)


@lru_cache(maxsize=8)
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
    try:
        composed(text)
    except NotYamlError as fault:
        if fault.told and fault.line is not None:
            return meant(text, fault.line, fault.begun, splits_up_to)
    except UnsuitedError:
        pass
    return None


class _Builder:
    """Walks composed nodes once, counting, and refuses what does not belong."""

    def __init__(self, source: str, noted: list[InputError] | None) -> None:
        self.source = source
        self.noted = noted
        self.lines: dict[Steps, int] = {}
        self.columns: dict[Steps, int] = {}
        self.count = self.letters = 0

    def fail(self, node: Node, what: str, mend: str, path: Steps = ()) -> InputError:
        mark = node.start_mark
        return InputError(Where(self.source, mark.line + 1, path, mark.column + 1), what, mend)

    def build(self, node: Node, path: Steps) -> Plain:
        self.count += 1
        if self.count > MOST_NODES:
            raise self.fail(node, *TOO_MANY)
        if len(path) > DEEPEST:
            raise self.fail(node, *TOO_DEEP)
        self.lines.setdefault(path, node.start_mark.line + 1)
        self.columns.setdefault(path, node.start_mark.column + 1)
        if isinstance(node, Mapping):
            self.expect_tag(node, "map")
            return {key: self.build(value, (*path, key)) for key, value in self.pairs(node, path)}
        if isinstance(node, Sequence):
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

    def pairs(self, node: Mapping, path: Steps) -> Iterator[tuple[str, Node]]:
        seen: dict[str, int] = {}
        for key_node, value in node.value:
            if wrong := self.unfit(key_node, seen, path):
                if self.noted is None:
                    raise wrong
                self.noted.append(wrong)
                continue
            key = key_of(str(key_node.value))
            line = key_node.start_mark.line + 1
            seen[key] = line
            self.lines[(*path, key)] = line
            self.columns[(*path, key)] = key_node.start_mark.column + 1
            yield key, value

    def unfit(self, node: Node, seen: dict[str, int], path: Steps) -> InputError | None:
        """Say why a key cannot stand beside those before it."""
        if not isinstance(node, Scalar):
            return self.fail(node, "a key must be a word", "Write 'name: value'.")
        self.whole(node)
        key = key_of(str(node.value))
        if key == "<<":
            return self.fail(node, "'<<' is not used in YAML 1.2", "Write the keys out.")
        if key in seen:
            what = f"{key!r} is already on line {seen[key]}"
            return self.fail(node, what, "Keep one of the two, or give one another name.", path)
        return None

    def whole(self, node: Node) -> None:
        """Join the two halves in which JSON may write a character; refuse one alone."""
        text = str(node.value)
        self.letters += len(text)
        if self.letters > MOST_LETTERS:
            raise self.fail(node, *_TOO_LONG)
        if not text.isascii() and _HALF.search(text):
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
