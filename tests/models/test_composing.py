"""One tree from two parsers: what libyaml makes of a text is what ruamel.yaml makes of it."""

from __future__ import annotations

import re
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError
from ruamel.yaml.nodes import MappingNode, ScalarNode

from models.file.composing import (
    _TAKEN_DIFFERENTLY,
    Mapping,
    Node,
    NotYamlError,
    Scalar,
    UnsuitedError,
    composed,
)
from models.file.reading import ready_text, ready_weeks
from tests.depth import sized

READY = {name: ready_text(name) for name in ready_weeks()}

PIECES = [*":-#'\"[]{},&*!|>?%@`\\ \n\t\r~<=.01yon_", "\x85", "\u2028", "\ufeff", "é", "😀", ": "]
PIECES += ["- ", "  ", "\r\n", "\\u00e9", "\\/", "&a ", "*a", "!x ", "? ", "---\n", "...\n", "|\n"]
PIECES += [
    "|2\n",
    ">-\n",
    "null",
    "true",
    "0o7",
    "1e3",
    "1_0",
    ".5",
    "<<: ",
    "%YAML 1.2\n",
    "\ud83d",
]


def ours(node: Node) -> Any:
    """Give values, tags and places; what is empty stands at its colon here, after it there."""
    at = (node.start_mark.index, node.start_mark.line, node.start_mark.column)
    if isinstance(node, Scalar):
        return (node.tag, node.value, *(at if node.value else ()))
    if isinstance(node, Mapping):
        return (node.tag, at, node.flow_style, [(ours(a), ours(b)) for a, b in node.value])
    return (node.tag, at, node.flow_style, [ours(held) for held in node.value])


def theirs(node: Any) -> Any:
    at = (node.start_mark.index, node.start_mark.line, node.start_mark.column)
    if isinstance(node, ScalarNode):
        return (str(node.tag).replace("timestamp", "str"), node.value, *(at if node.value else ()))
    flow = bool(node.flow_style)
    if isinstance(node, MappingNode):
        return (str(node.tag), at, flow, [(theirs(a), theirs(b)) for a, b in node.value])
    return (str(node.tag), at, flow, [theirs(held) for held in node.value])


@pytest.mark.parametrize("name", sorted(READY))
def test_a_ready_week_is_one_tree(name: str) -> None:
    root = composed(READY[name])
    assert root is not None
    assert ours(root) == theirs(YAML(typ="safe", pure=True).compose(READY[name]))


@pytest.mark.parametrize("text", ["_", "_1", "__", "-_", "+_1", "1_", "0o_"])
def test_a_number_begins_with_no_underscore(text: str) -> None:
    root = composed(text)
    assert root is not None
    assert ours(root) == theirs(YAML(typ="safe", pure=True).compose(text))


@settings(max_examples=sized(60, 3000))
@given(st.data())
def test_a_line_of_a_week_with_slips_is_one_tree(data: st.DataObject) -> None:
    lines = READY[data.draw(st.sampled_from(sorted(READY)))].splitlines(keepends=True)
    start = data.draw(st.integers(0, len(lines) - 1))
    text = "".join(lines[start : start + data.draw(st.integers(1, 8))])
    for _ in range(data.draw(st.integers(0, 3))):
        at = data.draw(st.integers(0, len(text)))
        cut = at + data.draw(st.sampled_from([0, 0, 0, 1, 2]))
        text = text[:at] + data.draw(st.sampled_from(PIECES)) + text[cut:]
    try:
        root = composed(text)
    except NotYamlError as fault:
        with pytest.raises(YAMLError) as held:
            YAML(typ="safe", pure=True).compose(text)
        assert getattr(held.value, "problem", None) in (None, str(fault))
        return
    expected = YAML(typ="safe", pure=True).compose(text)
    assert root is expected is None or (root and ours(root) == theirs(expected))


def test_a_text_of_a_million_lists_in_one_another_is_refused_where_it_gets_too_deep() -> None:
    with pytest.raises(UnsuitedError, match="nested too deeply") as held:
        composed("- " * 1_000_000)
    assert held.value.mark is not None
    assert held.value.mark.line == 0


def test_a_long_list_is_refused_before_it_is_read_to_its_end() -> None:
    with pytest.raises(UnsuitedError, match="more than 20000 entries") as held:
        composed("a: [" + "1," * 1_000_000 + "]")
    assert held.value.mark is not None
    assert held.value.mark.index < 100_000


def test_what_names_an_anchor_with_a_colon_is_found_without_looking_twice() -> None:
    """The pattern begins anew at each sign alone, and finds what a plain one finds."""
    plain = re.compile(r"[&*]\S*:")
    for many in range(1, 7):
        for letters in product("&*a: ", repeat=many):
            text = "".join(letters)
            assert bool(_TAKEN_DIFFERENTLY.search(text)) is bool(plain.search(text)), text
