"""Plain data as a file, a plan or a notebook gives it, with the line each thing stands on.

One form whatever it came from: keys are text, numbers are decimals, dates are text, and no text
has blanks around it. Whoever judges the data places a fault by asking where a path of keys is.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, TypeAlias

from models.words.errors import InputError, Where
from models.words.text import quoted, trimmed

Plain: TypeAlias = dict[str, Any] | list[Any] | str | Decimal | bool | None
Steps: TypeAlias = tuple[str | int, ...]

DEEPEST = 20


class WrittenNumber(Decimal):
    """A number that remembers how it was written, should it turn out to be a name.

    Parameters
    ----------
    text
        Its digits, as they stand in the file.

    Examples
    --------
    >>> number = WrittenNumber("1.10")
    >>> number == Decimal("1.1"), str(number)
    (True, '1.10')
    """

    text: str

    def __new__(cls, text: str) -> WrittenNumber:
        """Make the number of its text."""
        made = super().__new__(cls, text)
        made.text = text
        return made

    def __str__(self) -> str:
        """Give it as it was written: what is judged is the same before it travels and after."""
        return self.text

    def __reduce__(self) -> tuple[type[WrittenNumber], tuple[str]]:
        """Travel to another process as the text."""
        return WrittenNumber, (self.text,)


@dataclass(frozen=True, slots=True)
class Document:
    """Plain data with the line of every key and entry.

    Attributes
    ----------
    name
        What to call where it came from.
    data
        Mappings, lists, text, decimals, truth values and None.
    lines
        Line, from 1, of the value at each path of keys; empty where there are no lines.
    text
        The text it was made of, where it was YAML.
    columns
        Column, from 1, of the key or entry at each path.
    """

    name: str
    data: Plain
    lines: Mapping[Steps, int] = field(default_factory=dict)
    text: str = ""
    columns: Mapping[Steps, int] = field(default_factory=dict, repr=False)

    def where(self, path: tuple[object, ...]) -> Where:
        """Find the innermost known place on the way to a path of keys.

        Parameters
        ----------
        path
            Keys, and numbers of entries from 0, outermost first; the last may be missing there.

        Returns
        -------
        Where
            With line and column where the text was read from a file.

        Examples
        --------
        >>> Document("w", {"eaters": {"Ann": {}}}, {("eaters",): 3}).where(("eaters", "Bob"))
        Where(source='w', line=3, path=('eaters',))
        """
        steps: list[str | int] = []
        inside: Any = self.data
        for step in path:
            entries = range(len(inside)) if isinstance(inside, list) else inside
            is_there = isinstance(entries, (range, dict)) and step in entries
            if is_there and isinstance(step, (str, int)):
                inside = inside[step]
                steps.append(step)
        known = tuple(steps)
        # What was changed since it was read stands where its mapping began.
        ways = (known[:length] for length in range(len(known), -1, -1))
        stands = next((way for way in ways if way in self.lines), None)
        if stands is None:
            return Where(self.name, None, known)
        return Where(self.name, self.lines[stands], known, self.columns.get(stands))

    def as_json(self) -> dict[str, Any]:
        """Turn the data into what JSON can hold.

        Digits that a number would lose, as in a box named 1.10, travel as text.

        Returns
        -------
        Of mappings, lists, text, int, float, truth values and None, in the order of the data.

        Raises
        ------
        TypeError
            When the data are no mapping.

        Examples
        --------
        >>> Document("w", {"most": Decimal(3), "box": WrittenNumber("1.10")}).as_json()
        {'most': 3, 'box': '1.10'}
        """
        data = _as_json(self.data)
        if not isinstance(data, dict):
            raise TypeError("only a mapping of names is written")
        return data

    def as_yaml(self) -> str:
        """Give the text it was made of; plain data as JSON, which is YAML too.

        Returns
        -------
        A whole document, `text` to the letter where there is one.

        Raises
        ------
        TypeError
            When there is no text and the data are no mapping.

        Examples
        --------
        >>> print(Document("w", {"most": Decimal(3)}).as_yaml())
        {
         "most": 3
        }
        """
        return self.text or json.dumps(self.as_json(), ensure_ascii=False, indent=1)


def _as_json(data: Plain) -> Any:
    if isinstance(data, dict):
        return {key: _as_json(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_as_json(item) for item in data]
    if isinstance(data, Decimal):
        number = int(data) if data == data.to_integral_value() else float(data)
        return number if str(Decimal(str(number))) == str(data) else str(data)
    return data


_NUMBER = re.compile(r"[-+]?[0-9_]*\.?[0-9_]*(?:[eE][-+]?[0-9]{1,4})?", re.ASCII)
_LONGEST_NUMBER, _MOST_ADJUSTED = 30, 12


def number_of(text: str) -> WrittenNumber | None:
    """Read a text as the number that it is in YAML 1.2, whether it stands in quotes or not.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    The number, below 10^13 and of 30 characters at the most; None where it is none.

    Examples
    --------
    >>> number_of(".5") == Decimal("0.5"), number_of("1_000") == 1000, number_of("five")
    (True, True, None)
    """
    if len(text) > _LONGEST_NUMBER or not _NUMBER.fullmatch(text):
        return None
    try:
        number = WrittenNumber(text)
    except InvalidOperation:
        return None
    return number if number.adjusted() <= _MOST_ADJUSTED else None


# Blanks that part words; a tab or a line break has no place in a key and is named where it stands.
_BLANKS = re.compile("[ \u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]+")


def key_of(text: str) -> str:
    r"""Give a key as it is compared: the same however many blanks are around its words.

    Parameters
    ----------
    text
        As it is written.

    Returns
    -------
    Single blanks between its words, none before or after them.

    Examples
    --------
    >>> key_of("  pea \u00a0 soup ")
    'pea soup'
    """
    return _BLANKS.sub(" ", text).strip(" ")


def document_of(data: Mapping[Any, Any], name: str = "the week") -> Document:
    """Make a document of plain Python data: of JSON, or of what a notebook wrote.

    Parameters
    ----------
    data
        Mappings, lists, text, numbers, dates, truth values and None, at most `DEEPEST` levels deep.
    name
        What to call it in messages, which name the path of keys.

    Returns
    -------
    Document
        Without lines, for there are none.

    Raises
    ------
    InputError
        When it holds anything else, or is nested too deeply.

    Examples
    --------
    >>> document_of({"starts": date(2026, 11, 30), "price": 1.2}).data
    {'starts': '2026-11-30', 'price': Decimal('1.2')}
    """
    return Document(name, _plain(data, name, ()))


def _plain(data: Any, name: str, path: Steps) -> Plain:
    if len(path) > DEEPEST:
        what = "it is nested too deeply"
        raise InputError(Where(name, None, path[:3]), what, "A week is about 5 levels deep.")
    if isinstance(data, Mapping):
        return _plain_mapping(data, name, path)
    if isinstance(data, (list, tuple)):
        return [_plain(item, name, (*path, at)) for at, item in enumerate(data)]
    if data is None or isinstance(data, (bool, WrittenNumber)):
        return data
    if isinstance(data, str):
        return trimmed(data)
    if isinstance(data, date):
        return data.isoformat()
    if isinstance(data, (int, float, Decimal)):
        number = Decimal(str(data))
        if number.is_finite() and number.adjusted() <= _MOST_ADJUSTED:
            return number
        what, mend = f"{str(data)[:30]} is not a usable number", "Write an ordinary number."
        raise InputError(Where(name, None, path), what, mend)
    what = f"a value of type {type(data).__name__} has no place here"
    raise InputError(Where(name, None, path), what, "Write text, numbers, dates, lists or dicts.")


def _plain_mapping(data: Mapping[Any, Any], name: str, path: Steps) -> dict[str, Any]:
    mapping: dict[str, Any] = {}
    for word, value in data.items():
        key = key_of(str(word))
        if key in mapping:
            what = f"{quoted(key)} is there twice in one mapping"
            raise InputError(Where(name, None, path), what, "Keep one of the two.")
        mapping[key] = _plain(value, name, (*path, key))
    return mapping
