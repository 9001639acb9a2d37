"""A stranger's YAML becomes plain data with lines, or one message with a line.

This is the first door: whatever gets past it is trusted to be small, finite and plain.
"""

from __future__ import annotations

import io
import json
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.file.composing import MOST_NODES
from models.file.yamltext import MOST_LETTERS, parse
from models.words.document import DEEPEST, Document
from models.words.errors import InputError, Where
from models.words.text import LARGEST_BYTES, read_text
from tests.cases import each
from tests.depth import sized

NAME = "week.yaml"


def data_of(text: str) -> Any:
    return parse(NAME, text).data


def refusal(text: str) -> InputError:
    with pytest.raises(InputError) as caught:
        parse(NAME, text)
    assert caught.value.where.source == NAME
    assert caught.value.mend
    return caught.value


# -- YAML 1.2 ------------------------------------------------------------------------


@pytest.mark.parametrize("word", ["no", "yes", "on", "off", "y", "n", "No", "OFF"])
def test_words_stay_words(word: str) -> None:
    assert data_of(f"country: {word}") == {"country": word}


@each(
    ("text", "value"),
    [
        ("true", True),
        ("False", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("12", Decimal(12)),
        ("-3", Decimal(-3)),
        ("010", Decimal(10)),
        ("4.60", Decimal("4.60")),
        ("1e3", Decimal(1000)),
        ("'12'", "12"),
        ("2026-11-30", "2026-11-30"),
        ("12:30:45", "12:30:45"),
        ("3 to 4", "3 to 4"),
        ("0x1F", "0x1F"),
        (".inf", ".inf"),
        (".nan", ".nan"),
        ('"\\x1b[31m"', "\x1b[31m"),
    ],
)
def test_a_value_is_plain(text: str, value: object) -> None:
    found = data_of(f"key: {text}")["key"]
    assert found == value
    assert isinstance(found, type(value))


def test_a_number_is_kept_as_written() -> None:
    assert str(data_of("key: 4.60")["key"]) == "4.60"


def test_lists_and_mappings_nest() -> None:
    assert data_of("a:\n  - b: 1\n    c: [x, y]\n  - {}\n") == {
        "a": [{"b": Decimal(1), "c": ["x", "y"]}, {}]
    }


def test_an_anchor_may_stand_for_a_value() -> None:
    assert data_of("a: &box {b: 1}\nc: *box\n") == {"a": {"b": Decimal(1)}, "c": {"b": Decimal(1)}}


# -- lines ---------------------------------------------------------------------------

LINED = """\
# a comment
week:
  starts: x

  days: [mon,
         tue]
eaters:
  "long key": >-
    folded
    text
list:
  - a: 1
    b: 2
  -
    c: 3
"""


@each(
    ("path", "line"),
    [
        (("week",), 2),
        (("week", "starts"), 3),
        (("week", "days"), 5),
        (("week", "days", 0), 5),
        (("week", "days", 1), 6),
        (("eaters", "long key"), 8),
        (("list",), 11),
        (("list", 0), 12),
        (("list", 0, "a"), 12),
        (("list", 0, "b"), 13),
        (("list", 1), 15),
        (("list", 1, "c"), 15),
    ],
)
def test_every_path_knows_its_line(path: tuple[str | int, ...], line: int) -> None:
    assert parse(NAME, LINED).where(path) == Where(NAME, line, path)


def test_an_unknown_path_gives_the_innermost_that_is_known() -> None:
    found = parse(NAME, LINED).where(("week", "nonsense", "deeper"))
    assert found == Where(NAME, 2, ("week",))


def test_steps_of_another_reader_are_passed_over() -> None:
    # pydantic names the branches of a union in the path; the file has no such key.
    found = parse(NAME, LINED).where(("week", "function-before[x]", "starts", 3.5))
    assert found == Where(NAME, 3, ("week", "starts"))


def test_a_place_is_said_in_words() -> None:
    assert str(Where(NAME, 12, ("list", 0, "a"))) == "week.yaml, line 12 (list > entry 1 > a)"
    assert str(Where(NAME)) == "week.yaml"


def test_windows_line_ends_count_once() -> None:
    document = parse(NAME, LINED.replace("\n", "\r\n"))
    assert document.where(("list", 1, "c")).line == 15
    assert document.data == data_of(LINED)


# -- what does not belong --------------------------------------------------------------


@each(
    ("text", "line", "what"),
    [
        ("a: 1\nb: 2\na: 3\n", 3, "'a' is already on line 1"),
        ("a:\n  b: 1\n  'b': 2\n", 3, "'b' is already on line 2"),
        ("a: {b: 1,\n  b: 2}\n", 2, "'b' is already on line 1"),
        ("a: 1\n? [b, c]\n: 2\n", 2, "a key must be a word"),
        ("a: &x {b: 1}\nc:\n  <<: *x\n", 3, "'<<' is not used in YAML 1.2"),
        ("a: 1\nb: !!python/object:os.system x\n", 2, "python/object:os.system has no place"),
        ("a: 1\nb: !local x\n", 2, "the tag !local has no place here"),
        ("a: !!set {x, y}\n", 1, "tag:yaml.org,2002:set has no place here"),
        ("a: !!omap [x: 1]\n", 1, "tag:yaml.org,2002:omap has no place here"),
        ("a: !!binary aGk=\n", 1, "tag:yaml.org,2002:binary has no place here"),
        ("a: !<tag:example.org,2026:x> y\n", 1, "tag:example.org,2026:x has no place here"),
        ("a: 1\nb: 1e400\n", 2, "1e400 is not a usable number"),
        ("a: 1\nb: " + "9" * 200 + "\n", 2, "9" * 30 + " is not a usable number"),
        ("a: 0." + "1" * 40 + "\n", 1, "is not a usable number"),
        ("a: 10000000000000\n", 1, "10000000000000 is not a usable number"),
        ("a: 1\nb: *nobody\n", 2, "nothing is anchored as 'nobody'"),
        ("a: 'open\nb: 1\n", 1, "this is not YAML: a quotation mark is not closed"),
        ("a: [1, 2\nb: 1\n", 1, "this is not YAML: '[' is not closed"),
        ("a: 1\n   b: 2\n", 2, "this is not YAML"),
        ("a: 1\n\tb: 2\n", 2, "this is not YAML"),
        ("a: 1\n---\nb: 2\n", 2, "this is not YAML"),
        ("a: 1\n...\nb: 2\n", 3, "this is not YAML"),
    ],
)
def test_what_does_not_belong_is_refused_with_its_line(text: str, line: int, what: str) -> None:
    fault = refusal(text)
    assert what in fault.what
    assert fault.where.line == line


def test_the_same_key_twice_says_how_to_mend_it() -> None:
    assert refusal("a: 1\na: 2\n").mend == "Keep one of the two, or give one another name."


def test_a_tab_is_named_as_the_cause() -> None:
    fault = refusal("a:\n\tb: 1\n")
    assert "a tab indents this line" in fault.what
    assert fault.mend == "Write 2 spaces before 'b: 1'."
    assert "tab" not in refusal("a: [1\nb: 2\n").text


@pytest.mark.parametrize("text", ["a: !!bool maybe\n", "a: !!bool yes\n"])
def test_a_truth_value_that_is_none_is_refused(text: str) -> None:
    assert refusal(text).where.line == 1


def test_an_older_yaml_that_is_asked_for_does_not_break() -> None:
    # There `no` is a truth value; refusing the directive would do as well.
    try:
        found = data_of("%YAML 1.1\n---\nfridge: no\n")
    except InputError as fault:
        assert fault.where.line in (1, 3)
    else:
        assert found["fridge"] in ("no", False)


@pytest.mark.parametrize("text", ["a: !!null some text\n", "a: !!int some\n", "a: !!float some\n"])
def test_a_tag_never_changes_what_is_written(text: str) -> None:
    # Text that a tag turns into nothing would be lost without a word.
    try:
        found = data_of(text)["a"]
    except InputError as fault:
        assert fault.where.line == 1
    else:
        assert found in ("some text", "some")


@pytest.mark.parametrize("character", ["\x00", "\x01", "\x07", "\x1b", "\x7f", "\x9b", "\ufffe"])
def test_a_control_character_is_refused_with_its_line(character: str) -> None:
    fault = refusal(f"a: 1\nb: x{character}y\n")
    assert "this is not YAML" in fault.what
    assert fault.where.line == 2


# -- bombs ---------------------------------------------------------------------------


def test_an_alias_bomb_is_counted_unfolded() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    for at in range(1, 10):
        lines.append(f"a{at}: &a{at} [{', '.join([f'*a{at - 1}'] * 10)}]")
    fault = refusal("\n".join(lines))
    assert fault.what == f"it unfolds to more than {MOST_NODES} entries"
    assert "anchors" in fault.mend


def test_a_long_text_of_many_aliases_is_counted_by_its_letters() -> None:
    times = MOST_LETTERS // 40_000 - 2
    text = f"a: &a {'x' * 40_000}\nb: [{', '.join(['*a'] * times)}"
    assert parse("week.yaml", f"{text}]\n").data
    fault = refusal(f"{text}, *a]\n")
    assert fault.what == f"it unfolds to more than {MOST_LETTERS} letters"


def test_a_flat_bomb_of_one_alias_is_counted_too() -> None:
    row = "a: &a [" + ", ".join(["x"] * 400) + "]\n"
    text = row + "b: [" + ", ".join(["*a"] * 60) + "]\n"
    assert "unfolds to more than" in refusal(text).what


@pytest.mark.parametrize(
    "text",
    ["a: &x [*x]\n", "&x\na: *x\n", "a: &x {b: {c: *x}}\n", "a: &x [1, &y [*x, *y]]\n"],
)
def test_an_anchor_in_itself_is_refused(text: str) -> None:
    fault = refusal(text)
    assert "too deeply" in fault.what
    assert fault.where.line in (1, 2)


@pytest.mark.parametrize("depth", [DEEPEST + 1, 200, 2_000, 10_000])
@pytest.mark.parametrize(("opens", "closes"), [("[", "]"), ("{a: ", "}")])
def test_deep_nesting_is_refused(depth: int, opens: str, closes: str) -> None:
    fault = refusal("a: " + opens * depth + "1" + closes * depth)
    assert "too deeply" in fault.what


def test_unclosed_brackets_are_refused() -> None:
    assert refusal("[" * 10_000).what


def test_nesting_up_to_the_limit_is_read() -> None:
    depth = DEEPEST - 1
    found = data_of("a: " + "[" * depth + "1" + "]" * depth)["a"]
    for _ in range(depth):
        (found,) = found
    assert found == 1


def test_the_limit_of_entries_is_exact() -> None:
    # One mapping, one list and what is in it.
    fits = MOST_NODES - 2
    assert len(data_of("a: [" + "1," * fits + "]")["a"]) == fits
    assert "unfolds" in refusal("a: [" + "1," * (fits + 1) + "]").what


# -- nothing there -------------------------------------------------------------------


@pytest.mark.parametrize("text", ["", "\n", "  \n\t\n", "\r\n"])
def test_an_empty_file_is_refused(text: str) -> None:
    fault = refusal(text)
    assert fault.what == "it is empty"
    assert "clearfridge new" in fault.mend


@pytest.mark.parametrize("text", ["# only\n", "# a\n\n# b", "%YAML 1.2\n# x\n"])
def test_only_comments_are_refused(text: str) -> None:
    fault = refusal(text)
    assert fault.what
    assert "clearfridge new" in fault.mend or fault.where.line is not None


@pytest.mark.parametrize(
    ("text", "data"), [("- a\n- b\n", ["a", "b"]), ("words\n", "words"), ("---\n", None)]
)
def test_what_is_no_mapping_is_left_to_the_reader_of_weeks(text: str, data: object) -> None:
    assert data_of(text) == data


# -- files ---------------------------------------------------------------------------


def refused_file(path: Path) -> InputError:
    with pytest.raises(InputError) as caught:
        read_text(str(path))
    assert caught.value.where.source == str(path)
    return caught.value


def test_a_byte_order_mark_is_no_part_of_the_first_key(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"\xef\xbb\xbfweek: 1\n")
    source, text = read_text(str(path))
    assert parse(source, text).data == {"week": Decimal(1)}


def test_text_that_is_not_utf8_is_refused_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"a: 1\nb: 2\nc: \xe9t\xe9\n")
    fault = refused_file(path)
    assert fault.what == "it is not UTF-8 text"
    assert fault.where.line == 3


def test_utf16_is_refused(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_text("a: 1\n", encoding="utf-16")
    assert refused_file(path).what == "it is not UTF-8 text"


def test_the_largest_file_is_read_and_a_byte_more_is_not(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"# " + b"x" * (LARGEST_BYTES - 2))
    assert len(read_text(str(path))[1]) == LARGEST_BYTES
    path.write_bytes(b"# " + b"x" * (LARGEST_BYTES - 1))
    assert refused_file(path).what == f"it is larger than {LARGEST_BYTES // 1000} kB"


def test_a_missing_file_and_a_directory_are_told_apart(tmp_path: Path) -> None:
    assert refused_file(tmp_path / "none.yaml").what == "there is no such file"
    assert refused_file(tmp_path).what == "this is a directory"


class _Input:
    """Standard input as far as it is read here."""

    def __init__(self, data: bytes) -> None:
        self.buffer = io.BytesIO(data)


def test_standard_input_is_read_as_utf8(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", _Input("a: \u00e9\n".encode()))
    assert read_text("-") == ("standard input", "a: \u00e9\n")


def test_standard_input_has_the_same_limit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", _Input(b"#" * (LARGEST_BYTES + 1)))
    with pytest.raises(InputError, match=r"standard input: it is larger than [0-9]+ kB"):
        read_text("-")


# -- anything ------------------------------------------------------------------------

SCRAPS = (
    *("a", "b: ", ": ", "\n", "  ", "- ", "[", "]", "{", "}", ", ", "&x ", "*x", "!!int ", "! "),
    *("'", '"', "|\n", "#", "%", "---\n", "...\n", "? ", "1", "1e9999", "no", "~", "\t", "<<: "),
    *("!!bool ", "\\", "\u2028", "\ufeff", "@", "`"),
)
scraps = st.lists(st.sampled_from(SCRAPS), max_size=30).map("".join)


@settings(max_examples=sized(100, 1000))
@given(scraps | st.text(max_size=60))
def test_any_text_is_plain_data_or_a_message(text: str) -> None:
    try:
        document = parse(NAME, text)
    except InputError as fault:
        assert fault.what
        assert fault.mend
    else:
        assert isinstance(document, Document)
        _is_plain(document.data)


def _is_plain(data: Any) -> None:
    if isinstance(data, dict):
        assert all(type(key) is str for key in data)
        for value in data.values():
            _is_plain(value)
    elif isinstance(data, list):
        for value in data:
            _is_plain(value)
    elif isinstance(data, Decimal):
        assert data.is_finite()
    else:
        assert data is None or type(data) in (str, bool)


SEEN = st.text(st.characters(categories=["L", "N", "P", "S"]), min_size=1)


@given(st.dictionaries(SEEN, SEEN, min_size=1, max_size=3))
def test_what_json_escapes_is_read_as_what_it_stands_for(data: dict[str, str]) -> None:
    # Other programs write JSON in ASCII: what lies beyond U+FFFF then stands there in two halves.
    assert outcome(json.dumps(data)) == outcome(json.dumps(data, ensure_ascii=False))


def outcome(text: str) -> Any:
    try:
        return data_of(text)
    except InputError as fault:
        return fault.what


def test_halves_that_do_not_fit_are_refused() -> None:
    for halves in ("\\ud83e", "\\udd26", "\\udd26\\ud83e", "\\ud83e\\ud83e\\udd26"):
        assert outcome(f'a: "{halves}"') == "half a character stands here"
    assert data_of('{"a\\ud83e\\udd26": "\\ud83e\\udd26"}') == {"a\U0001f926": "\U0001f926"}
