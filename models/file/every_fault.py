"""Every fault of a week file at once, in the order of its lines.

The file is read as ever. What is found to be wrong is noted and taken out, or a stand-in put in
its place, and the rest is read again, until nothing more is found. A fault that only follows from
one taken out is not told.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from itertools import takewhile
from typing import Any

from models.file import yamltext
from models.file.composing import splits_up_to
from models.file.entries import WeekFile
from models.file.food_entries import PARTED, is_preparation
from models.file.meant import INDENT, TAB, Slip, indents
from models.file.reading import week_of
from models.file.scalars import CUT_SHORT
from models.foods.food import Food
from models.week.week import Week
from models.words.days import DAY_NAMES
from models.words.document import Document, Plain, Steps
from models.words.errors import InputError, Where, nearest

MOST_ROUNDS = 200
MOST_READ = 500_000
"""Letters of a file that are read again in search of the next fault, all rounds together."""
_AN_ENTRY = 9
"""Letters that an entry counts for at the least: an alias is short, what it unfolds to is not."""
_SECTIONS = {field.alias or name for name, field in WeekFile.model_fields.items()}
MOST_SLIPS = 20
"""Lines that are no YAML and are told at once."""
_STAND_INS: dict[str, Plain] = {
    "starts": "2026-11-30",
    "days": list(DAY_NAMES),
    "guidance": "strictest",
    "cups": "label",
    "week": {"starts": "2026-11-30", "days": [*DAY_NAMES], "guidance": "us", "cups": "label"},
    "eaters": {"Me": {}},
    "dishes": {"Lunch": {"ingredients": ["1 g salt"]}},
    "yield": "2000 portions",
    "pack": "1000 g",
    "do": "work",
    "lasts": "5 min",
    "compartments": ["500 mL"],
    "price": Decimal(1),
    "portion": "1 g",
    "lunch_share": "35 %",
    "nutrition": {"protein": "1 g"},
    "what": "100 g carrots",
}
_OF_A_YIELD = ("portion", "cook", "sizes", "freezer", "frozen", "frozen_later", "thawed", "gone")
_NAMED = {"batches", "larder", "choices", "dishes", "boxes", "eaters", "foods", "prices"}
_OF_TABLES = {"keeps_as", "food", "texture"}
"""Keys whose words are those of the tables, however the file calls its batches."""
_SETTINGS = ("guidance", "cups")
_MEANT = re.compile(r"Did you mean '(.+)'\?")
_DATES = (("week", "days"), ("week", "starts"))
"""What says which days a week has, in the order in which a stand-in is put there."""


def every_fault(
    source: str, text: str, own: Iterable[Food] = ()
) -> tuple[Week | None, list[InputError]]:
    r"""Read a week file, or find all that is wrong with it.

    Parameters
    ----------
    source
        What to call it in messages.
    text
        YAML.
    own
        Foods of the user's own tables.

    Returns
    -------
    The week and no fault, or no week and its faults in the order of the lines.

    Examples
    --------
    >>> week, faults = every_fault("w", "week: {starts: soon}\neaters: {Ann: {bx: tin}}")
    >>> [fault.where.line for fault in faults]
    [1, 1, 2, 2]
    """
    faults: list[InputError] = []
    own = tuple(own)
    text = _without_tabs(source, text, faults)
    rounds = _rounds(len(text))
    while True:
        keys: list[InputError] = []
        try:
            document = yamltext.parse(source, text, keys)
            slip = _section_inside(document)
            if slip is None:
                break
        except InputError as fault:
            slip = yamltext.slip(text) if "not YAML" in fault.what else None
            if slip is None or len(faults) > min(MOST_SLIPS, rounds):
                return None, [*faults, fault]
        lines = text.splitlines()
        place = Where(source, slip.line, (), len(_blank(lines[slip.line - 1])) + 1)
        if any((told.where, told.what) == (place, slip.what) for told in faults):
            # Mended so, the line is wrong in the same way: nobody can tell what was meant.
            return None, faults
        faults.append(InputError(place, slip.what, slip.mend))
        lines[slip.line - 1] = slip.written
        text = "\n".join(lines) + "\n"
    rounds = _rounds(max(len(text), _AN_ENTRY * len(document.lines))) - len(faults)
    faults += keys
    sweep = _Sweep(document, faults, keys)
    week = sweep.read(own, max(1, rounds))
    if not sweep.faults:
        return week, []
    told: dict[tuple[str, str], InputError] = {}
    for noted in sweep.faults:
        told.setdefault((str(noted.where), noted.what), noted)
    ordered = sorted(
        told.values(), key=lambda fault: (fault.where.line or 0, fault.where.column or 0)
    )
    return None, ordered


def _rounds(letters: int) -> int:
    """Give how often a file of so many letters is read for its faults."""
    return min(MOST_ROUNDS, MOST_READ // (letters + 1))


def _without_tabs(source: str, text: str, faults: list[InputError]) -> str:
    """Indent with spaces where tabs stand, as fits the lines around, and note that they do."""
    tabbed = [at for at, line in enumerate(text.splitlines()) if "\t" in _blank(line)]
    lines = text.splitlines()
    for at in tabbed:
        lines[at] = _blank(lines[at]).expandtabs(2) + lines[at].lstrip()
    for at in tabbed[:MOST_ROUNDS]:
        if not lines[at].strip():
            continue
        first = "" if lines[at].strip().rstrip(":") in _SECTIONS else _blank(lines[at])
        for blank in (first, *indents(lines, at)) if at in tabbed[:MOST_SLIPS] else ():
            tried = [*lines[:at], blank + lines[at].lstrip(), *lines[at + 1 :]]
            stops = splits_up_to("\n".join(tried) + "\n")
            if stops is None or stops > at + 2:
                lines = tried
                break
        faults.append(
            InputError(Where(source, at + 1, (), 1), TAB, Slip(at + 1, TAB, lines[at]).mend)
        )
    return "\n".join(lines) + "\n" if faults else text


def _section_inside(document: Document) -> Slip | None:
    """Find the head of a section that stands as an empty entry of the one before."""
    data = document.data if isinstance(document.data, dict) else {}
    for section, entries in data.items():
        for name, value in entries.items() if isinstance(entries, dict) else ():
            if value is None and section in _NAMED and name in _SECTIONS and name not in data:
                return Slip(document.lines[section, name], INDENT, f"{name}:")
    return None


def _blank(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


def _words(data: Any) -> set[str]:
    """Give every name and word inside."""
    if isinstance(data, (dict, list)):
        inside = [*data, *data.values()] if isinstance(data, dict) else data
        return {word for part in inside for word in _words(part)}
    return {str(data)}


class _Sweep:
    """A document read again and again with less of it."""

    def __init__(
        self, document: Document, faults: list[InputError], twice: list[InputError]
    ) -> None:
        self.document = document
        self.faults = faults
        self.twice = twice
        self.gone: set[Steps] = set()
        self.instead: dict[Steps, Plain] = {}
        self.doubtful: set[str] = set()
        self.renamed: dict[Steps, str] = {}

    def read(self, own: tuple[Food, ...], rounds: int) -> Week | None:
        """Note faults until none is left, none can be got out of the way, or it is too much."""
        for _ in range(rounds):
            rest, back = self.rest()
            try:
                return week_of(rest, own)
            except InputError as fault:
                # What is found in one look at the entries is wrong in itself, whatever else is.
                alone = bool(fault.also)
                moved = [self.take(noted, back, alone) for noted in fault.also or (fault,)]
                if not any(moved):
                    return None
        return None

    def rest(self) -> tuple[Document, dict[Steps, Steps]]:
        """Give the document without what was taken out, and where each part of it stood."""
        lines: dict[Steps, int] = {}
        back: dict[Steps, Steps] = {}

        def build(value: Plain, was: Steps, now: Steps) -> Plain:
            value = self.instead.get(was, value)
            back[now] = was
            if was in self.document.lines:
                lines[now] = self.document.lines[was]
            if isinstance(value, dict):
                more: dict[str, Plain] = {
                    str(way[-1]): put
                    for way, put in self.instead.items()
                    if way and way[:-1] == was
                }
                return {
                    (called := self.renamed.get((*was, key), key)): build(
                        inside, (*was, key), (*now, called)
                    )
                    for key, inside in {**value, **more}.items()
                    if (*was, key) not in self.gone
                }
            if isinstance(value, list):
                kept = [at for at in range(len(value)) if (*was, at) not in self.gone]
                return [
                    build(value[at], (*was, at), (*now, place)) for place, at in enumerate(kept)
                ]
            return value

        data = build(self.document.data, (), ())
        return Document(self.document.name, data, lines), back

    def take(self, fault: InputError, back: dict[Steps, Steps], alone: bool) -> bool:
        """Note a fault unless it follows from another, and get it out of the way."""
        path = back.get(fault.where.path, fault.where.path)
        if not self.follows(fault, path, alone):
            self.faults.append(InputError(self.document.where(path), fault.what, fault.mend))
        return self.clear(fault, path)

    def follows(self, fault: InputError, path: Steps, alone: bool) -> bool:
        """Tell whether a fault is there only because of one that was noted before."""
        if fault.missing and ((*path, fault.missing) in self.gone or path in self.gone):
            return True
        if not alone and any(path[: len(way)] == way for way in self.instead):
            return True
        # What a batch comes to is held against what goes in, and some of that is out.
        ways = (
            {path, (*path[:2], "ingredients")} if not alone and path[-1:] == ("yield",) else {path}
        )
        below = any(way[: len(at)] == at and way != at for way in self.gone for at in ways)
        key = str(path[-1]) if path else ""
        names = {key} if key in _OF_TABLES else {key, str(self.value(path))}
        of_itself = alone or fault.what.startswith(repr(str(self.value(path))))
        doubtful = len(path) > 2 and names & self.doubtful and not of_itself
        if (len(path) > 1 and below) or doubtful:
            return True
        section = (fault.hangs_on,)
        return (
            section in self.gone
            or section in self.instead
            or self.follows_from_dishes(fault, path)
            or self.follows_from_week(fault, key)
        )

    def follows_from_dishes(self, fault: InputError, path: Steps) -> bool:
        """Tell whether a fault is there only because of what was taken out of the dishes."""
        by = {"batches": "takes", "variety": "kind", "wishes": ""}.get(str(path[0]) if path else "")
        if fault.hangs_on != "dishes" or by is None:
            return False
        if any(noted.where.path[:1] == ("dishes",) for noted in self.twice):
            return True
        name, words = str(self.value(path) or path[-1]), self.gone_with_dishes(by)
        wished = not by and any(word in name for word in words)
        return wished or nearest(name, words) is not None

    def gone_with_dishes(self, key: str) -> set[str]:
        """Give every word of what was taken out of the dishes, under a key or whole."""
        words: set[str] = set()
        for way in self.gone:
            if way[:1] == ("dishes",) and way[2:3] in ((), (key,)):
                words |= {str(step) for step in way[1:]} | _words(self.stands(way))
        return words

    def follows_from_week(self, fault: InputError, key: str) -> bool:
        """Tell whether a fault is there only because dates, guidance or cups were at fault."""
        if ("week", fault.hangs_on) in self.gone and fault.hangs_on in _SETTINGS:
            return True
        if fault.hangs_on == "days":
            return any(way in self.instead for way in (("week",), *_DATES))
        return ("week", "guidance") in self.instead and key in {"fridge_life", "opened_life"}

    def value(self, path: Steps) -> Any:
        """Give the word or the number that stands at a path; else nothing."""
        data = self.stands(path)
        return data if isinstance(data, (str, Decimal)) else ""

    def stands(self, path: Steps) -> Any:
        """Give what stands at a path."""
        data: Any = self.document.data
        for step in path:
            known = isinstance(data, dict) and step in data
            listed = isinstance(data, list) and isinstance(step, int) and step < len(data)
            data = data[step] if known or listed else None
        return data

    def clear(self, fault: InputError, path: Steps) -> bool:
        """Take the part at fault out, or put a stand-in there; False where neither helps."""
        setting = ("week", fault.hangs_on)
        if fault.hangs_on in _SETTINGS and setting not in self.instead:
            self.instead[setting] = _STAND_INS[fault.hangs_on]
            self.gone.discard(setting)
            return True
        dates = next((way for way in _DATES if way not in self.instead), None)
        if dates and (*path, fault.missing)[:2] in _DATES:
            self.instead[dates] = _STAND_INS[dates[-1]]
            return True
        if fault.missing:
            return self.stand_in((*path, fault.missing))
        if len(path) > 1 and self.renamed.get(path[:1], path[0]) in _NAMED:
            self.doubtful.add(str(path[1]))
        if not path or path in self.gone:
            return False
        if fault.what.startswith(CUT_SHORT):
            self.gone |= self.empty_beside(path)
        if fault.what.startswith(PARTED):
            lines = self.stands(path[:-1])
            behind = takewhile(
                lambda at: is_preparation(lines[at]), range(int(path[-1]), len(lines))
            )
            self.gone |= {(*path[:-1], at) for at in behind} - {path}
        meant = _MEANT.fullmatch(fault.mend) if fault.what.startswith("unknown key") else None
        if meant is not None and (*path[:-1], meant[1]) not in self.document.lines:
            self.renamed[path] = meant[1]
            return True
        self.gone.add(path)
        if path[-1] in _STAND_INS and path in self.instead:
            del self.instead[path]
        return True

    def empty_beside(self, path: Steps) -> set[Steps]:
        """Give what a comma cut: the value before a key, and the keys beside that say nothing."""
        data: Any = self.document.data
        for step in path[:-1]:
            data = data[step]
        entries = data if isinstance(data, dict) else {}
        empty = [key for key, value in entries.items() if value is None]
        keys = list(entries)
        before = keys[keys.index(empty[0]) - 1 :][:1] if empty and keys[0] != empty[0] else []
        return {(*path[:-1], key) for key in (*before, *empty)}

    def stand_in(self, path: Steps) -> bool:
        """Put something in the place of a key that has to be there; else its entry goes."""
        key = str(path[-1])
        if key in _STAND_INS and path not in self.instead:
            self.gone.discard(path)
            self.instead[path] = _STAND_INS[key]
            if key == "yield":
                self.gone |= {(*path[:-1], other) for other in _OF_A_YIELD}
            if len(path) > 2:
                self.doubtful.add(str(path[1]))
            return True
        entry = path[:-1]
        if not entry or entry in self.gone:
            return False
        self.gone.add(entry)
        return True
