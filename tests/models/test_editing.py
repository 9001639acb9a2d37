"""A few places of a week file changed, and not a byte besides.

A cook's file holds remarks, an order and a manner of writing that are not the program's to
touch. So what comes out is compared byte for byte with what went in, and read again.
"""

from __future__ import annotations

import copy
import difflib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, TypeAlias

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from models.file.editing import NewValue, Path, edited
from models.file.reading import ready_text, ready_weeks, week_of
from models.file.yamltext import parse
from models.words.document import document_of
from models.words.units import magnitude, quantity
from tests.cases import each
from tests.depth import sized

from .kitchen import FULL

Edit: TypeAlias = tuple[Path, NewValue]

EVERY = sized(23, 9)
"""Of the values of a ready week every so manieth is changed; all would take too long."""


def data_of(text: str) -> Any:
    return parse("week.yaml", text).data


def scalars(data: Any, path: Path = ()) -> Iterator[Path]:
    """List the paths of all that is neither a mapping nor a list."""
    if isinstance(data, dict):
        for key, held in data.items():
            yield from scalars(held, (*path, key))
    elif isinstance(data, list):
        for at, held in enumerate(data):
            yield from scalars(held, (*path, at))
    else:
        yield path


def put(data: Any, path: Path, value: Any) -> Any:
    """Give data with something else at a path; None takes an entry out of its list."""
    data = copy.deepcopy(data)
    held = data
    for step in path[:-1]:
        held = held[step]
    if value is None:
        del held[path[-1]]
    else:
        held[path[-1]] = value
    return data


def as_read(value: NewValue) -> Any:
    """Say what a value is once it is read from a file."""
    return Decimal(value) if isinstance(value, int) else value


def changed_lines(old: str, new: str) -> tuple[list[str], list[str]]:
    """Give the lines that went and the lines that came, their ends included."""
    lines = list(
        difflib.ndiff(old.splitlines(keepends=True), new.splitlines(keepends=True), None, None)
    )
    gone = [line[2:] for line in lines if line.startswith("- ")]
    come = [line[2:] for line in lines if line.startswith("+ ")]
    return gone, come


# -- ready weeks -------------------------------------------------------------------------


@pytest.mark.parametrize("name", ready_weeks())
def test_of_a_ready_week_only_the_line_that_is_meant_changes(name: str) -> None:
    text = ready_text(name)
    document = parse(name, text)
    paths = list(scalars(document.data))
    assert len(paths) > 30
    for path in paths[::EVERY]:
        new = edited(text, [(path, "7 pieces")])
        assert data_of(new) == put(document.data, path, "7 pieces"), path
        at = document.lines[path] - 1
        before, after = text.split("\n"), new.split("\n")
        assert before[:at] == after[:at], path
        assert before[at + 1 :] == after[at + 1 :], path
        # A remark on the same line stays as well.
        assert before[at].partition(" #")[1:] == after[at].partition(" #")[1:], path


def everything(data: Any, path: Path = ()) -> Iterator[Path]:
    """List the paths of all keys and entries."""
    for step, held in data.items() if isinstance(data, dict) else enumerate(data):
        yield (*path, step)
        if isinstance(held, dict | list):
            yield from everything(held, (*path, step))


@pytest.mark.parametrize("name", ready_weeks())
def test_what_is_taken_out_goes_alone(name: str) -> None:
    text = ready_text(name)
    data = data_of(text)
    for path in list(everything(data))[::EVERY]:
        new = edited(text, [(path, None)])
        assert data_of(new) == put(data, path, None), path
        # What shared a line with it may come on one, no other line does.
        assert len(changed_lines(text, new)[1]) <= 1, path


@pytest.mark.parametrize("name", ready_weeks())
def test_lines_that_end_as_on_windows_go_on_doing_so(name: str) -> None:
    text = ready_text(name)
    paths = list(scalars(data_of(text)))[:: 5 * EVERY]
    edits: list[Edit] = [(path, "7 pieces") for path in paths]
    here = edited(text, edits)
    there = edited(text.replace("\n", "\r\n"), edits)
    assert there == here.replace("\n", "\r\n")
    assert "\n" not in there.replace("\r\n", "")


PLACES: list[tuple[str, Path, NewValue, str]] = [
    ("demo", ("eaters", "Jorun", "floors", "PROCNT"), "23 g", "protein: 23 g"),
    ("demo", ("eaters", "Jorun", "floors", "FIBTG"), "7.5 g", "fibre: 7.5 g"),
    ("demo", ("batches", "leek bake", "freezer"), "7 pieces", "freezer: 7 pieces"),
    ("demo", ("batches", "pea soup", "cook"), "8 portions", "cook: 8 portions"),
    ("demo", ("boxes", "three-tier tin", "pots"), ["70 mL"], "pots: [70 mL]"),
    ("demo", ("variety", "batch_running"), 4, "batch_running: 4"),
    ("demo", ("priorities",), ["cost", "liking"], "priorities: [cost, liking]"),
    ("family", ("eaters", "Pip", "ceilings", "ENERC"), "780 kcal", "{energy: 780 kcal}"),
    ("family", ("boxes", "lunch tin", "compartments"), ["500 mL", "390 mL"], "[500 mL, 390 mL]"),
    ("short", ("eaters", "Wren", "ceilings", "NA"), "940 mg", "{sodium: 940 mg}"),
    ("impossible", ("variety", "kinds_apart", 0), None, "kinds_apart: [grain]"),
    ("starter", ("variety", "most_times"), 3, "most_times: 3                 # a dish comes"),
]
"""Places that a suggestion may name, and what stands there afterwards."""


@each(("name", "path", "value", "there"), PLACES)
def test_a_place_of_a_ready_week_says_what_was_asked(
    name: str, path: Path, value: NewValue, there: str
) -> None:
    text = ready_text(name)
    new = edited(text, [(path, value)])
    gone, come = changed_lines(text, new)
    assert len(come) == 1
    assert there in come[0]
    assert len(gone) == (0 if path[-1] == "cook" else 1)
    # It is a week still.
    week_of(parse(name, new))


def test_a_floor_by_its_tagname_is_the_floor_of_the_week() -> None:
    new = edited(ready_text("demo"), [(("eaters", "Jorun", "floors", "PROCNT"), "22.5 g")])
    week = week_of(parse("demo", new))
    (floor,) = (one for one in week.eaters["Jorun"].floors if one.nutrient == "PROCNT")
    assert magnitude(floor.amount, "gram") == Decimal("22.5")


def test_several_places_at_once() -> None:
    new = edited(
        FULL,
        [
            (("boxes", "tin", "compartments"), ["550 mL", "220 mL"]),
            (("batches", "farls", "cook"), "9 pieces"),
            (("variety", "kinds_apart", 0), None),
            (("eaters", "Ada", "week_floors", "FIBTG"), "2.8 g"),
            (("dishes", "Tart", "most"), 3),
        ],
    )
    gone, come = changed_lines(FULL, new)
    assert gone == [
        "    week_floors: {fibre: 3 g}\n",
        "    most: 2\n",
        "    compartments: [500 mL, 0.2 L]\n",
        "  kinds_apart: [bread, [grain, bread]]\n",
    ]
    assert come == [
        "    week_floors: {fibre: 2.8 g}\n",
        "    cook: 9 pieces\n",
        "    most: 3\n",
        "    compartments: [550 mL, 220 mL]\n",
        "  kinds_apart: [[grain, bread]]\n",
    ]
    week = week_of(parse("full", new))
    assert week.batches["farls"].portions == 9
    assert week.boxes["tin"].compartments[1] == quantity(220, "millilitre")
    assert week.variety.kinds_apart == (frozenset({"grain", "bread"}),)


def test_nothing_asked_is_nothing_changed() -> None:
    for name in ready_weeks():
        assert edited(ready_text(name), []) == ready_text(name)


# -- manners of writing --------------------------------------------------------------------

WRITTEN: list[tuple[str, Path, NewValue, str]] = [
    # Block and flow.
    ("a: x\nb: y # r\nc: z\n", ("b",), "4 g", "a: x\nb: 4 g # r\nc: z\n"),
    ("a: {b: x, c: y} # r\n", ("a", "c"), "4 g", "a: {b: x, c: 4 g} # r\n"),
    ("a: {b: x,\n    c: y}\n", ("a", "b"), 4, "a: {b: 4,\n    c: y}\n"),
    ("a:\n  - x # r\n  - y\n", ("a", 0), "4 g", "a:\n  - 4 g # r\n  - y\n"),
    ("a: [x, {b: y}]\n", ("a", 1, "b"), "4 g", "a: [x, {b: 4 g}]\n"),
    ('{"a": {"b": "x"}}', ("a", "b"), "4 g", '{"a": {"b": 4 g}}'),
    # A list for a list, in block and in flow.
    ("a: [x, y] # r\nb: z\n", ("a",), ["1 mL", "2 mL"], "a: [1 mL, 2 mL] # r\nb: z\n"),
    ("a:\n  - x\n  - y\n\n# r\nb: z\n", ("a",), ["1 mL"], "a:\n  [1 mL]\n\n# r\nb: z\n"),
    # Quotes around the old value and around keys.
    ("a: 'it''s'\n", ("a",), "4 g", "a: 4 g\n"),
    ('a: "q\\"x # no remark" # r\n', ("a",), "4 g", "a: 4 g # r\n"),
    ("'a b': x\n\"c: d\": y\n", ("c: d",), "4 g", "'a b': x\n\"c: d\": 4 g\n"),
    ('"it\'s # one": x\n', ("it's # one",), "4 g", '"it\'s # one": 4 g\n'),
    # What needs quotes gets them.
    ("a: x\n", ("a",), "b: c", 'a: "b: c"\n'),
    ("a: x\n", ("a",), 'say "x"', 'a: "say \\"x\\""\n'),
    ("a: x\n", ("a",), ["x, y", "z"], 'a: ["x, y", z]\n'),
    ("a: {b: x}\n", ("a", "b"), "}", 'a: {b: "}"}\n'),
    # Spaces, empty lines, no line end, other letters.
    ("\n\n  a:   x   \n\n", ("a",), "4 g", "\n\n  a:   4 g   \n\n"),
    ("a: x", ("a",), "4 g", "a: 4 g"),
    ("a: x\r\nb: y # r\r\n", ("b",), "4 g", "a: x\r\nb: 4 g # r\r\n"),
    (
        "a: x # \U0001f34f\n\U0001f34f ä: y\n",
        ("\U0001f34f ä",),
        1,
        "a: x # \U0001f34f\n\U0001f34f ä: 1\n",
    ),
    ("---\na: x\n...\n", ("a",), "µg", "---\na: µg\n...\n"),
    ("? a\n: x\n", ("a",), "4 g", "? a\n: 4 g\n"),
    # Added keys, beside the yield or before all others.
    ("a:\n  b: x\n  # r\n  yield: y\n", ("a", "c"), 4, "a:\n  b: x\n  # r\n  c: 4\n  yield: y\n"),
    ("a: {b: x, yield: y}\n", ("a", "c"), "4 g", "a: {b: x, c: 4 g, yield: y}\n"),
    ("a: # r\n  b: x\n", ("a", "c"), "4 g", "a: # r\n  c: 4 g\n  b: x\n"),
    ("a: {b: x}\n", ("a", "c"), "4 g", "a: {c: 4 g, b: x}\n"),
    ("# r\na: x\n", ("p",), ["y", "z"], "# r\np: [y, z]\na: x\n"),
    # Entries taken out.
    ("a: [x, [y, z], w] # r\n", ("a", 0), None, "a: [[y, z], w] # r\n"),
    ("a: [x, [y, z], w] # r\n", ("a", 1), None, "a: [x, w] # r\n"),
    ("a: ['x, y', z]\n", ("a", 1), None, "a: ['x, y']\n"),
    ("a: [x]\nb: y\n", ("a", 0), None, "a: []\nb: y\n"),
    ("a:\n  - x\n  - [y, z]\n# r\nb: w\n", ("a", 0), None, "a:\n  - [y, z]\n# r\nb: w\n"),
    # What was empty.
    ("a:\nb: y\n", ("a",), "4 g", "a: 4 g\nb: y\n"),
    ("a:  # r\n", ("a",), "4 g", "a: 4 g  # r\n"),
    ("{a: , b: y}\n", ("a",), "4 g", "{a: 4 g, b: y}\n"),
    # Nutrients, whatever name the file uses.
    ("f: {protein: 3 g}\n", ("f", "PROCNT"), "2 g", "f: {protein: 2 g}\n"),
    ("f: {PROCNT: 3 g}\n", ("f", "PROCNT"), "2 g", "f: {PROCNT: 2 g}\n"),
    ("f: {Fibre: 3 g, fat: 1 g}\n", ("f", "FIBTG"), "2 g", "f: {Fibre: 2 g, fat: 1 g}\n"),
    ("f:\n  'vitamin  C': 3 mg\n", ("f", "VITC"), "2 mg", "f:\n  'vitamin  C': 2 mg\n"),
    ("f: {fat: 1 g}\n", ("f", "PROCNT"), "2 g", "f: {PROCNT: 2 g, fat: 1 g}\n"),
]


@each(("text", "path", "value", "new"), WRITTEN)
def test_it_is_written_as_the_file_is(text: str, path: Path, value: NewValue, new: str) -> None:
    assert edited(text, [(path, value)]) == new
    if path[0] != "f":
        found: Any = data_of(new)
        if value is not None:
            for step in path:
                found = found[step]
            assert found == as_read(value)


def test_a_mapping_that_is_missing_is_added() -> None:
    value: NewValue = {"portion": "40 g", "most": 1}
    for text, new in (
        ("a: {b: x}\n", 'a: {e: {"it\'s, so": {portion: 40 g, most: 1}}, b: x}\n'),
        ("a:\n  b: x # so\n", 'a:\n  e: {"it\'s, so": {portion: 40 g, most: 1}}\n  b: x # so\n'),
    ):
        assert edited(text, [(("a", "e", "it's, so"), value)]) == new


def test_entries_are_counted_as_they_were_before_any_was_taken_out() -> None:
    text = "a: [x, y, z, w]\nb: [u, v]\n"
    first, second, third = (("a", 0), None), (("a", 2), None), (("b", 1), None)
    for edits in ([first, second, third], [third, second, first], [second, third, first]):
        assert edited(text, edits) == "a: [y, w]\nb: [u]\n"


@each(
    ("text", "path", "value"),
    [
        ("a: {b: x}\n", ("c", "b"), None),
        ("a: {b: x}\n", ("c", "d", "b"), "4 g"),
        ("a: {b: x}\n", ("a", "b", "c"), "4 g"),
        ("a: x\n", ("a", "b"), "4 g"),
        ("a: {}\n", ("a", "b"), "4 g"),
        ("a: [x]\n", ("a", "b"), "4 g"),
        ("a: [x]\n", ("a", 1, "b"), "4 g"),
        ("a: [x]\n", ("a", 2), "4 g"),
        ("a: [x]\n", ("a", 1), None),
        ("a: [x]\n", ("a", "b"), None),
        ("a: {b: x}\n", ("a", "c"), None),
        ("a: &x {b: 1}\nc: {d: *x, e: 2}\n", ("c", "d"), None),
        ("a: {b: x}\n", ("a", 0), None),
        ("a: x\n", ("a", 0), None),
    ],
)
def test_a_place_that_is_not_there_is_no_place(text: str, path: Path, value: NewValue) -> None:
    with pytest.raises(KeyError):
        edited(text, [(path, value)])


# -- whatever a file looks like --------------------------------------------------------------

KEYS = (
    "a",
    "yield",
    "b c",
    "it's",
    'say "x"',
    "c: d",
    "#e",
    "- f",
    "{g}",
    "ä \U0001f34f",
    "12",
    "x,y",
)
TEXTS = ("x", "3 to 4", "26 g", "it's", 'say "x"', "p: q", "# r", "[s]", "", "ä \U0001f34f", " t ")
AMOUNTS: tuple[NewValue, ...] = (
    "26 g",
    "0.5 pieces",
    4,
    0,
    "x: y",
    'q"',
    ["1 mL", "2 mL"],
    ["a, b"],
)


@dataclass
class Pen:
    """Writes data as YAML in a manner that is thrown anew at each place."""

    draw: st.DrawFn
    remarks: int = 0

    def text(self, data: Any) -> str:
        return "\n".join(self.block(data, 0)) + ("\n" if self.often() else "")

    def often(self) -> bool:
        return self.draw(st.booleans())

    def block(self, data: Any, deep: int) -> Iterator[str]:
        pad = " " * deep
        pairs = data.items() if isinstance(data, dict) else ((None, held) for held in data)
        for key, held in pairs:
            if not self.draw(st.integers(0, 5)):
                yield self.draw(st.sampled_from(["", f"{pad}{self.remark()}", self.remark()]))
            start = f"{pad}- " if key is None else f"{pad}{self.word(key, key=True)}:"
            if isinstance(held, (dict, list)) and held and key is not None and self.often():
                yield start + self.after()
                yield from self.block(held, deep + self.draw(st.integers(1, 3)))
            else:
                gap = "" if key is None else " " * self.draw(st.integers(1, 2))
                yield f"{start}{gap}{self.flow(held)}{self.after()}"

    def flow(self, data: Any) -> str:
        if isinstance(data, dict):
            inside = (
                f"{self.word(key, key=True)}: {self.flow(held)}" for key, held in data.items()
            )
            return "{" + ", ".join(inside) + "}"
        if isinstance(data, list):
            return "[" + ", ".join(map(self.flow, data)) + "]"
        return str(data) if isinstance(data, Decimal) else self.word(data)

    def word(self, word: str, *, key: bool = False) -> str:
        plain = word.replace(" ", "").isalnum() and word == word.strip()
        if plain and (key or not word.isdigit()) and self.often():
            return word
        return json.dumps(word, ensure_ascii=False) if self.often() else _single(word)

    def after(self) -> str:
        return f"  {self.remark()}" if not self.draw(st.integers(0, 3)) else ""

    def remark(self) -> str:
        self.remarks += 1
        return f"# remark {self.remarks}: [it's {{"


def _single(word: str) -> str:
    return "'" + word.replace("'", "''") + "'"


numbers = st.integers(0, 99).map(Decimal)
leaves = st.one_of(st.sampled_from(TEXTS), numbers)
inner = st.recursive(
    leaves,
    lambda below: st.one_of(
        st.lists(below, max_size=3),
        st.dictionaries(st.sampled_from(KEYS), below, max_size=3),
    ),
    max_leaves=8,
)
documents = st.dictionaries(st.sampled_from(KEYS), inner, min_size=1, max_size=5)


def everywhere(data: Any, path: Path = ()) -> Iterator[Path]:
    """List the paths of all that is in some data."""
    if path:
        yield path
    if isinstance(data, (dict, list)):
        for key, held in data.items() if isinstance(data, dict) else enumerate(data):
            yield from everywhere(held, (*path, key))


def at(data: Any, path: Path) -> Any:
    for step in path:
        data = data[step]
    return data


@settings(max_examples=sized(100, 1000))
@given(st.data())
def test_what_is_put_into_any_file_is_read_from_it_and_all_else_is_as_it_was(
    data: st.DataObject,
) -> None:
    held = data.draw(documents)
    text = data.draw(st.composite(lambda draw: Pen(draw).text(held))())
    assert data_of(text) == document_of(held).data, text
    path = data.draw(st.sampled_from(list(everywhere(held))))
    value = data.draw(st.sampled_from(AMOUNTS))
    new = edited(text, [(path, value)])
    assert data_of(new) == document_of(put(held, path, as_read(value))).data, (text, new)
    if not isinstance(at(held, path), (dict, list)):
        # One line differs, and on it what stands before the value and the remark behind it.
        before, after = text.split("\n"), new.split("\n")
        assert len(before) == len(after)
        ((old, now),) = [
            pair for pair in zip(before, after, strict=True) if pair[0] != pair[1]
        ] or [("", "")]
        assert old.partition("# remark")[1:] == now.partition("# remark")[1:]


@settings(max_examples=sized(60, 500))
@given(st.data())
def test_a_key_is_added_to_any_mapping(data: st.DataObject) -> None:
    held = data.draw(documents)
    text = data.draw(st.composite(lambda draw: Pen(draw).text(held))())
    mappings = [path for path in ((), *everywhere(held)) if at(held, path)]
    path = data.draw(st.sampled_from([one for one in mappings if isinstance(at(held, one), dict)]))
    value = data.draw(st.sampled_from(AMOUNTS))
    new = edited(text, [((*path, "cook"), value)])
    wanted = put(held, (*path, "cook"), as_read(value))
    assert data_of(new) == document_of(wanted).data, (text, new)
    # Not a letter of it is gone.
    rest = iter(new)
    assert all(letter in rest for letter in text)
    assert new.count("# remark") == text.count("# remark")


@settings(max_examples=sized(60, 500))
@given(st.data())
def test_an_entry_is_taken_out_of_any_list(data: st.DataObject) -> None:
    entries = data.draw(st.lists(inner, min_size=1, max_size=4))
    held = data.draw(documents) | {"list": entries}
    text = data.draw(st.composite(lambda draw: Pen(draw).text(held))())
    out = data.draw(st.sets(st.integers(0, len(entries) - 1), min_size=1))
    new = edited(text, [(("list", one), None) for one in out])
    kept = [one for number, one in enumerate(entries) if number not in out]
    assert data_of(new) == document_of({**held, "list": kept}).data, (text, new)
    # What stands before the list is as it was, letter by letter.
    first = text.split("\n")[: parse("week.yaml", text).lines["list",] - 1]
    assert new.split("\n")[: len(first)] == first


def test_a_list_that_stands_no_further_in_than_its_key_stays_yaml() -> None:
    text = "variety:\n  kinds_apart:\n  - bread\n  - grain\n  same_choice: 2\n"
    changed = edited(text, [(("variety", "kinds_apart", 0), None)])
    data = YAML(typ="safe", pure=True).load(changed)
    assert data == {"variety": {"kinds_apart": ["grain"], "same_choice": 2}}


def test_a_key_with_two_spaces_is_found() -> None:
    assert edited('"a  b": 1\n', [(("a b",), 4)]) == '"a  b": 4\n'


def test_a_block_of_text_is_replaced_to_its_end() -> None:
    changed = edited("a: >-\n  x\n  y\nb: 1\n", [(("a",), "4 g")])
    assert data_of(changed) == {"a": "4 g", "b": 1}


def test_an_added_line_ends_as_the_others_do() -> None:
    changed = edited("a:\r\n  yield: 2\r\n", [(("a", "cook"), 5)])
    assert "\n" not in changed.replace("\r\n", "")
    assert data_of(changed) == {"a": {"cook": 5, "yield": 2}}


def test_what_an_alias_repeats_is_not_changed_where_it_stands() -> None:
    with pytest.raises(KeyError):
        edited("Ada: &x {protein: 3 g}\nBo: *x\n", [(("Bo", "protein"), "2 g")])


def test_remarks_between_the_entries_of_a_list_stay() -> None:
    changed = edited("k:\n  - a # one\n  - b # two\n  # between\n  - c\n", [(("k", 0), None)])
    assert changed == "k:\n  - b # two\n  # between\n  - c\n"


def test_salt_is_found_by_its_name() -> None:
    assert edited("Salt: 1 g\n", [(("salt",), "2 g")]) == "Salt: 2 g\n"


@each(
    ("text", "at", "then"),
    [
        ("a: 1\nw: [x, y]  # two\n", 2, "a: 1\nw: [x, y, new]  # two\n"),
        ("w: []\n", 0, "w: [new]\n"),
        ("w:\n  - x\n  - y  # last\nz: 1\n", 2, "w:\n  - x\n  - y  # last\n  - new\nz: 1\n"),
        ("w:\n- x", 1, "w:\n- x\n- new\n"),
        ("w:\r\n- x\r\nz: 1\r\n", 1, "w:\r\n- x\r\n- new\r\nz: 1\r\n"),
        ("w: [\n  x,\n  y\n  ]\n", 2, "w: [\n  x,\n  y, new\n  ]\n"),
    ],
)
def test_an_entry_more_stands_behind_the_last(text: str, at: int, then: str) -> None:
    assert edited(text, [(("w", at), "new")]) == then
