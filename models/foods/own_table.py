"""A user's own food table: the edge where a stranger's CSV is judged.

Foods that no published table has are known to whoever reads their labels. They are written
in the columns of the program's own table, so that a row can be carried from one to the
other. A decimal point that slipped would be planned with in silence for weeks, so each cell
is judged, with its line, before anything is believed.

Sources: lard has 902 kcal in 100 g and table salt 38 758 mg of sodium, USDA National Nutrient
Database for Standard Reference (from memory); cells that a spreadsheet would run as formulas
are made plain as OWASP advises under "CSV Injection".
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from io import StringIO
from pathlib import Path

from models.foods.families import ANYTHING, Families, read_cell, written
from models.foods.figures import AMINO_ACIDS
from models.foods.food import Food
from models.words.allergens import PINE_NUTS, WORDS
from models.words.allergens import allergens as groups_of
from models.words.errors import InputError, Where, suggestion
from models.words.families import WITHIN
from models.words.nutrients import NUTRIENTS, tagname
from models.words.text import (
    LONGEST_NAME,
    LONGEST_TEXT,
    is_printable,
    quoted,
    read_text,
    unprintable,
)

LARGEST_BYTES = 5_000_000
MOST_ROWS = 20_000
HEAVIEST_MEASURE = 20_000
"""Grams."""

MOST: Mapping[str, int] = {
    "WATER": 100,
    "ENERC": 902,
    "PROCNT": 100,
    "FAT": 100,
    "CHOCDF": 100,
    "FIBTG": 100,
    "SUGAR": 100,
    "NA": 40_000,
    **dict.fromkeys(("FASAT", "CHOAVL", "PSACNS", "ALC"), 100),
    **dict.fromkeys(("CA", "MG", "K"), 60_000),
    **dict.fromkeys(("FE", "ZN"), 5_000),
    **dict.fromkeys(("ID", "VITA_RAE", "VITD", "VITB12", "FOLDFE", "FOL"), 1_000_000),
    "VITC": 100_000,
    **dict.fromkeys(AMINO_ACIDS, 100),
}
"""Column to the most that 100 g of food can hold, in the unit of the nutrient."""

# 100 g of food weigh 100 g; each figure was measured and rounded by itself.
_HEAVIEST_SUM = 105
_SUGAR_AND_FIBRE_SLACK = 1

_NUTRIENTS = tuple(tag for tag in MOST if tag != "WATER")
_COLUMNS = (
    *("key", "aliases", "group", "shop", "state", "source", "source_id"),
    *MOST,
    *(
        "refuse",
        "measures",
        "density",
        "allergens_eu",
        "families",
        "storage_class",
        "storage_number",
        "note",
    ),
)
_LONGEST = dict.fromkeys(("source", "note"), LONGEST_TEXT)

_GLUTEN = frozenset({"gluten"})
_ANY_CEREAL = frozenset({"gluten", "cereals containing gluten"})

_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,20})?")
_MEASURE = re.compile(r"[^=:;]+(:[^=:;]+)?")
_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
_SHIELDED = re.compile(r"'+[=+\-@]")
_SIGNED = re.compile(r"[+-][0-9]+(\.[0-9]+)?")


def columns() -> tuple[str, ...]:
    """List the names of all columns that a table may have, in the order of the food table.

    Returns
    -------
    As they stand in the first row, each once.

    Examples
    --------
    >>> columns()[0]
    'key'
    """
    return _COLUMNS


def read_own(file: str, classes: frozenset[str]) -> tuple[Food, ...]:
    r"""Read a user's own food table.

    CSV in UTF-8 with a header line; commas or semicolons between cells, a point before
    decimals. Columns may stand in any order; `key` and at least one nutrient are needed.

    Parameters
    ----------
    file
        Its name, or "-" for standard input. At most 5 MB and 20,000 foods.
    classes
        The storage classes that are known.

    Returns
    -------
    tuple[Food, ...]
        The foods in the order of the file; amounts are for 100 g, in the units of
        `models.words.nutrients`.

    Raises
    ------
    InputError
        For the first thing that cannot be, with its line and how to mend it.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     table = Path(folder, "mine.csv")
    ...     _ = table.write_text("key,PROCNT\noat cakes,10.5\n", encoding="utf-8")
    ...     foods = read_own(str(table), frozenset())
    >>> foods[0].name, foods[0].nutrients["PROCNT"]
    ('oat cakes', Decimal('10.5'))
    """
    source, text = _text(file)
    records = _records(source, text)
    line, names = next(records, (None, []))
    if line is None:
        raise InputError(
            source,
            "it is empty",
            f"Start it with a line that names the columns: {','.join(('key', *_NUTRIENTS))}",
        )
    judge = _Judge(source, _header(Where(source, line), names), classes)
    return tuple(judge.food(line, cells) for line, cells in records)


def plain_cell(text: str) -> str:
    """Make a cell safe to open in a spreadsheet, as OWASP advises under "CSV Injection".

    A cell that begins like a formula gets an apostrophe in front, which `read_own` takes off
    again; so does one that has such apostrophes already, or they would be lost. Plain
    numbers, as -3.5, stay.

    Parameters
    ----------
    text
        The cell.

    Returns
    -------
    The cell, or the cell behind one apostrophe.

    Examples
    --------
    >>> plain_cell("=1+1"), plain_cell("leek")
    ("'=1+1", 'leek')
    """
    if _FORMULA.match(text) and not _SIGNED.fullmatch(text):
        return "'" + text
    return text


def write_rows(rows: Iterable[Food]) -> str:
    """Write foods as CSV with all columns, safe to open in a spreadsheet.

    `read_own` makes the same foods of it, as long as no name holds what separates names:
    a semicolon in an alias or a measure, a colon or an equals sign in a measure.

    Parameters
    ----------
    rows
        The foods.

    Returns
    -------
    A row of names, then a row for each food in the order given; amounts for 100 g.

    Examples
    --------
    >>> from models.foods.food import find
    >>> header, row = write_rows([find("leeks")]).splitlines()
    >>> "key" in header, "leeks" in row
    (True, True)
    """
    text = StringIO()
    # All cells are quoted, which OWASP advises too: a spreadsheet that splits at semicolons
    # would else make a cell of its own of what follows one.
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\n")
    writer.writerow(_COLUMNS)
    for food in rows:
        cells = _cells(food)
        writer.writerow(plain_cell(cells.get(column, "")) for column in _COLUMNS)
    return text.getvalue()


# -- the file ------------------------------------------------------------------------


def _text(file: str) -> tuple[str, str]:
    if _is_missing(file):
        raise InputError(file, "there is no such file", "Check the name of the food table.")
    return read_text(file, LARGEST_BYTES, "Name a food table, a CSV file.")


def _is_missing(file: str) -> bool:
    try:
        return file != "-" and not Path(file).exists()
    except (OSError, ValueError):
        # Whoever opens it learns why it cannot be read.
        return False


def _records(source: str, text: str) -> Iterator[tuple[int, list[str]]]:
    """Give each row that is not blank with the line that it starts on."""
    # A decimal comma has no place in the header, so that what stands there separates.
    head = re.split("[\r\n]", text.lstrip(), maxsplit=1)[0]
    delimiter = ";" if head.count(";") > head.count(",") else ","
    reader = csv.reader(StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = 1
    try:
        for cells in reader:
            # Spreadsheets end a table with rows of nothing but separators.
            if "".join(cells).strip():
                yield line, cells
            line = reader.line_num + 1
    except csv.Error as fault:
        raise InputError(
            Where(source, line),
            f"this row cannot be read ({fault})",
            'Put a cell that holds a quote in double quotes and write the quote twice: "5"" tin".',
        ) from None


def _header(where: Where, cells: Sequence[str]) -> tuple[str, ...]:
    names = tuple(cell.strip() for cell in cells)
    for place, name in enumerate(names, start=1):
        if name not in _COLUMNS:
            raise InputError(where, *_unknown(place, name))
        if name in names[: place - 1]:
            raise InputError(where, f"the column {name!r} stands here twice", "Keep one of them.")
    if "key" not in names:
        raise InputError(
            where, "the column 'key' is missing", "Add it: it holds the name of each food."
        )
    if not set(names) & set(_NUTRIENTS):
        raise InputError(
            where,
            "no column of a nutrient is here",
            f"Add at least one of: {', '.join(_NUTRIENTS)}.",
        )
    return names


def _unknown(place: int, name: str) -> tuple[str, str]:
    """Say what is wrong with a column that is not known, and how to mend it."""
    if not name:
        return f"column {place} has no name", "Name it, or remove it."
    if "\t" in name or "|" in name:
        return (
            f"{quoted(name)} is not the name of a column",
            "Separate the columns by commas or semicolons.",
        )
    if tagname(name) in MOST:
        return f"unknown column {quoted(name)}", f"Did you mean {tagname(name)!r}?"
    mend = suggestion(name, list(_COLUMNS))
    return f"unknown column {quoted(name)}", f"{mend} The first line names the columns."


# -- rows ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _TableRow:
    """One row of the table: its cells, and where it stands."""

    source: str
    line: int
    cells: dict[str, str] = field(default_factory=dict)

    def refusal(self, column: str | None, what: str, mend: str) -> InputError:
        name = self.cells.get("key", "")[:LONGEST_NAME]
        path = tuple(step for step in (name, column) if step)
        return InputError(Where(self.source, self.line, path), what, mend)

    def text(self, column: str) -> str:
        text = self.cells.get(column, "")
        return self.limited(column, text, _LONGEST.get(column, LONGEST_NAME))

    def limited(self, column: str, text: str, longest: int = LONGEST_NAME) -> str:
        if len(text) > longest:
            raise self.refusal(
                column, f"{text[:20] + '...'!r} is longer than {longest} characters", "Shorten it."
            )
        return text

    def parts(self, column: str) -> list[str]:
        """Split a cell that holds several things."""
        cell = self.cells.get(column)
        return [part for part in map(str.strip, cell.split(";")) if part] if cell else []

    def number(self, column: str) -> Decimal | None:
        text = self.cells.get(column)
        return _decimal(self, column, text) if text else None


class _Judge:
    """Makes foods of rows, and knows what earlier rows have said."""

    def __init__(self, source: str, header: tuple[str, ...], classes: frozenset[str]) -> None:
        self.source = source
        self.header = header
        self.classes = {name.casefold(): name for name in classes}
        self.seen: dict[str, int] = {}
        self.rows = 0
        file = "".join(letter for letter in Path(source).name if is_printable(letter))
        self.table = f"own table {file}"[:LONGEST_TEXT]

    def food(self, line: int, cells: Sequence[str]) -> Food:
        row = self.row(line, cells)
        key, *aliases = self.names(row)
        figures = _figures(row)
        allergens = _allergens(row)
        return Food(
            name=key,
            aliases=tuple(aliases),
            group=row.text("group"),
            shop=row.text("shop"),
            state=row.text("state"),
            source=row.text("source") or self.table,
            source_id=row.text("source_id") or ("" if row.text("source") else f"line {line}"),
            nutrients={tag: figures[tag] for tag in _NUTRIENTS if tag in figures},
            measures=_measures(row),
            density=_density(row),
            refuse=_refuse(row),
            allergens=allergens.groups,
            check_label=allergens.check_label,
            allergens_known=allergens.known,
            storage=self.storage(row),
            note=row.text("note"),
            water=figures.get("WATER"),
            cereals=allergens.cereals,
            stated=_families(row),
        )

    def row(self, line: int, cells: Sequence[str]) -> _TableRow:
        row = _TableRow(self.source, line)
        self.rows += 1
        if self.rows > MOST_ROWS:
            raise row.refusal(
                None, f"the table has more than {MOST_ROWS} foods", "Split it, or leave some out."
            )
        if len(cells) != len(self.header):
            raise row.refusal(
                None,
                f"this row has {len(cells)} cells, the header has {len(self.header)}",
                "Put a cell that holds a comma or a semicolon in double quotes; write decimals "
                "after a point.",
            )
        for column, cell in zip(self.header, cells, strict=True):
            if cell:
                if not cell.isprintable():
                    _refuse_unprintable(row, column, cell)
                row.cells[column] = _bare(cell)
        return row

    def names(self, row: _TableRow) -> list[str]:
        if not row.cells.get("key"):
            raise row.refusal("key", "this food has no name", "Write one in the column 'key'.")
        names = [row.text("key")]
        self.claim(row, "key", names[0])
        for alias in row.parts("aliases"):
            self.claim(row, "aliases", row.limited("aliases", alias))
            names.append(alias)
        return names

    def claim(self, row: _TableRow, column: str, name: str) -> None:
        folded = name.casefold()
        if folded in self.seen:
            line = self.seen[folded]
            place = "this line" if line == row.line else f"line {line}"
            raise row.refusal(
                column,
                f"{name!r} is the name of a food on {place} already",
                "Give each food names that no other has, and each name once.",
            )
        self.seen[folded] = row.line

    def storage(self, row: _TableRow) -> str:
        name = row.text("storage_class")
        if name and name.casefold() not in self.classes:
            raise row.refusal(
                "storage_class",
                f"{quoted(name)} is not a storage class",
                f"{suggestion(name, sorted(self.classes.values()))} The cell may stay empty.",
            )
        return self.classes[name.casefold()] if name else ""


def _refuse_unprintable(row: _TableRow, column: str, cell: str) -> None:
    if "\r" in cell or "\n" in cell:
        raise row.refusal(column, "a line break is in this cell", "Write it on one line.")
    if wrong := unprintable(cell, "cell"):
        raise row.refusal(column, wrong, "Write printable text only.")


def _bare(cell: str) -> str:
    """Give what a cell says, without blanks around it and the apostrophe of `plain_cell`."""
    text = " ".join(cell.split())
    return text[1:] if _SHIELDED.match(text) else text


# -- numbers -------------------------------------------------------------------------


def _decimal(row: _TableRow, column: str, text: str) -> Decimal:
    if _NUMBER.fullmatch(text):
        return Decimal(text)
    empty = "" if column == "measures" else " Leave the cell empty where it is not known."
    if re.fullmatch(r"-\s*[0-9.,]+", text):
        raise row.refusal(column, f"{quoted(text)} is negative", f"Write 0 or more.{empty}")
    if "," in text and re.fullmatch(r"[0-9.,'\s]+", text):
        raise row.refusal(
            column,
            f"{quoted(text)} has a comma",
            "Write the decimals after a point, as in 12.5, and nothing between thousands.",
        )
    raise row.refusal(
        column, f"{quoted(text)} is not a number", f"Write a bare number, as in 12.5.{empty}"
    )


def _figures(row: _TableRow) -> dict[str, Decimal]:
    figures: dict[str, Decimal] = {}
    for tag, most in MOST.items():
        number = row.number(tag)
        if number is None:
            continue
        if number > most:
            unit = _symbol(tag)
            raise row.refusal(
                tag,
                f"{number} {unit} is more than 100 g of food can hold ({most} {unit})",
                f"Check the decimal point, and that the figure is in {unit} for 100 g.",
            )
        figures[tag] = number
    _refuse_sums(row, figures)
    return figures


def _symbol(tag: str) -> str:
    return NUTRIENTS[tag].symbol if tag in NUTRIENTS else "g"


def _refuse_sums(row: _TableRow, figures: Mapping[str, Decimal]) -> None:
    whole = _sum(figures, "WATER", "PROCNT", "FAT", "CHOCDF")
    if whole > _HEAVIEST_SUM:
        raise row.refusal(
            None,
            f"water, protein, fat and total carbohydrate come to {whole} g in 100 g",
            "Check them: each is in g for 100 g of the food.",
        )
    parts = _sum(figures, "SUGAR", "FIBTG")
    if "CHOCDF" in figures and parts > figures["CHOCDF"] + _SUGAR_AND_FIBRE_SLACK:
        raise row.refusal(
            None,
            f"sugar and fibre come to {parts} g, total carbohydrate to {figures['CHOCDF']} g",
            "CHOCDF is carbohydrate with its fibre: add the fibre where a label leaves it out.",
        )


def _sum(figures: Mapping[str, Decimal], *tags: str) -> Decimal:
    return sum((figures[tag] for tag in tags if tag in figures), Decimal(0))


def _density(row: _TableRow) -> Decimal | None:
    density = row.number("density")
    if density is not None and not Decimal("0.05") <= density <= 3:
        raise row.refusal(
            "density",
            f"{density} is not the density of a food",
            "Write grams in a millilitre, from 0.05 to 3; water has 1.",
        )
    return density


def _refuse(row: _TableRow) -> Decimal | None:
    refuse = row.number("refuse")
    if refuse is not None and refuse >= 100:
        raise row.refusal(
            "refuse",
            f"{refuse} % thrown away leaves nothing to eat",
            "Write the share that is thrown away in percent, from 0 to below 100.",
        )
    return refuse


def _measures(row: _TableRow) -> dict[str, Decimal]:
    measures: dict[str, Decimal] = {}
    for part in row.parts("measures"):
        left, _, amount = part.partition("=")
        name = ":".join(step.strip() for step in left.casefold().split(":"))
        if not _MEASURE.fullmatch(name) or not amount:
            raise row.refusal(
                "measures",
                f"{quoted(part)} is not a measure with its grams",
                "Write cup=200 or cup:chopped=130, and semicolons between several.",
            )
        grams = _decimal(row, "measures", amount.strip())
        if not 0 < grams <= HEAVIEST_MEASURE:
            raise row.refusal(
                "measures",
                f"a measure of {grams} g is none",
                f"Write grams above 0, {HEAVIEST_MEASURE} at the most.",
            )
        if name in measures:
            raise row.refusal(
                "measures", f"the measure {name!r} stands here twice", "Keep one of them."
            )
        measures[row.limited("measures", name)] = grams
    return measures


# -- allergens -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Allergens:
    """What a cell says of allergens."""

    groups: frozenset[str] = frozenset()
    cereals: frozenset[str] = frozenset()
    check_label: bool = False
    known: bool = False


def _allergens(row: _TableRow) -> _Allergens:
    words = [word.casefold() for word in row.parts("allergens_eu")]
    named = [word for word in words if word not in {"none", "check label"}]
    if "none" in words and len(words) > 1:
        raise row.refusal(
            "allergens_eu",
            "'none' stands beside something else",
            "Write none alone, or what is in it.",
        )
    groups, cereals = set[str](), set[str]()
    for word in named:
        groups |= _groups(row, word)
        cereals |= _cereals(word)
    return _Allergens(
        frozenset(groups), frozenset(cereals), "check label" in words, known=bool(words)
    )


def _groups(row: _TableRow, word: str) -> frozenset[str]:
    """Find the groups in a word such as "milk", "gluten:wheat" or "tree nuts:almond"."""
    general, colon, special = _split(word)
    groups = groups_of(general)
    if groups is None or (colon and not special):
        mend = suggestion(word, [*WORDS, "none", "check label"])
        if "," in word:
            mend = "Put semicolons between them, as in milk;eggs."
        raise row.refusal(
            "allergens_eu",
            f"{quoted(word)} is not one of the fourteen allergens of EU law",
            mend,
        )
    if special and not special.startswith("pine"):
        # Tree nuts are pine nuts too, until somebody says which ones.
        groups -= {PINE_NUTS}
    # "milk:wheat" is a slip; whoever must not have either is safe when both are taken.
    return groups | (groups_of(special) or frozenset())


def _cereals(word: str) -> set[str]:
    """Find the cereal that a word such as "gluten:wheat" or "wheat" names."""
    general, _, special = _split(word)
    meant = special or general
    is_cereal = groups_of(meant) in (None, _GLUTEN) and meant not in _ANY_CEREAL
    return {meant} if is_cereal and groups_of(general) == _GLUTEN else set()


def _split(word: str) -> tuple[str, str, str]:
    general, colon, special = word.partition(":")
    return general.strip(), colon, special.strip()


def _said(food: Food) -> str:
    """Write what is known of allergens as `_allergens` reads it."""
    if not food.allergens_known:
        return ""
    words = sorted(food.allergens - ({"gluten"} if food.cereals else set()))
    words += [f"gluten:{cereal}" for cereal in sorted(food.cereals)]
    return ";".join([*words, *["check label"] * food.check_label]) or "none"


def _families(row: _TableRow) -> Families | None:
    """Read what a food belongs to; None where the cell is empty, so that its names tell."""
    named = [word.casefold() for word in row.parts("families")]
    for word in named:
        if word not in {"none", ANYTHING} and word.removesuffix("?") not in WITHIN:
            raise row.refusal(
                "families", f"{quoted(word)} is no family of foods", suggestion(word, list(WITHIN))
            )
    return read_cell(";".join(named)) if named else None


# -- writing -------------------------------------------------------------------------


def _cells(food: Food) -> dict[str, str]:
    figures = dict(food.nutrients) | ({} if food.water is None else {"WATER": food.water})
    return {tag: f"{figures[tag]:f}" for tag in MOST if tag in figures} | {
        "key": food.name,
        "aliases": ";".join(food.aliases),
        "group": food.group,
        "shop": food.shop,
        "state": food.state,
        "source": food.source,
        "source_id": food.source_id,
        "refuse": "" if food.refuse is None else f"{food.refuse:f}",
        "measures": ";".join(f"{name}={grams:f}" for name, grams in food.measures.items()),
        "density": "" if food.density is None else f"{food.density:f}",
        "allergens_eu": _said(food),
        "families": "" if food.stated is None else written(food.stated),
        "storage_class": food.storage,
        "note": food.note,
    }
