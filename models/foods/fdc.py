"""USDA FoodData Central as it is published: a folder or a zip of CSV files, read as they are.

Thousands of foods more than the program's own table has, with no conversion in between that
somebody would have to trust. The download is large and a stranger's all the same: it is read
row by row, a zip without being unpacked, and what is no figure of a food is refused with its
file and line.

Layout: FoodData Central Download Field Descriptions, October 2020. Downloads of the survey
are said to name nutrients by their number (208) where the others give their id (1008); both
are read.
"""

from __future__ import annotations

import csv
import re
import struct
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import Decimal
from functools import partial
from io import StringIO
from operator import itemgetter
from pathlib import Path
from typing import IO

from models.foods.food import Food
from models.foods.own_table import HEAVIEST_MEASURE, MOST
from models.words.errors import InputError, Where
from models.words.text import is_printable, quoted

SOURCE = "USDA FoodData Central"

LARGEST_BYTES = 1_500_000_000
"""Of the files that are read, unpacked."""
LONGEST_LINE = 1_000_000
"""Bytes."""
MOST_LINES = 40_000_000
"""Of one file; the largest that is published has 26 million or so (from memory)."""
LONGEST_DESCRIPTION = 500
LONGEST_NAME = 250
MOST_FOODS = 100_000

_BLOCK = 1 << 20

_NEEDED = ("food.csv", "nutrient.csv", "food_nutrient.csv")
_OPTIONAL = ("food_portion.csv", "measure_unit.csv", "food_category.csv")
_FILES = (*_NEEDED, *_OPTIONAL)

# Samples, and what was bought for them, are steps on the way to a food; branded foods are
# single products, by the million.
_TYPES = frozenset({"sr_legacy_food", "foundation_food", "survey_fndds_food"})

# Nutrient id to our column and, where several ids mean the same, which is taken first: energy
# as published, else by general, else by specific Atwater factors; sugars as a label counts
# them, else summed.
_IDS: Mapping[str, tuple[str, int]] = {
    "1051": ("WATER", 0),
    "1008": ("ENERC", 0),
    "2047": ("ENERC", 1),
    "2048": ("ENERC", 2),
    "1003": ("PROCNT", 0),
    "1004": ("FAT", 0),
    "1005": ("CHOCDF", 0),
    "1079": ("FIBTG", 0),
    "2000": ("SUGAR", 0),
    "1063": ("SUGAR", 1),
    "1093": ("NA", 0),
    "1210": ("TRP", 0),
    "1211": ("THR", 0),
    "1212": ("ILE", 0),
    "1213": ("LEU", 0),
    "1214": ("LYS", 0),
    "1215": ("MET", 0),
    "1216": ("CYS", 0),
    "1217": ("PHE", 0),
    "1218": ("TYR", 0),
    "1219": ("VAL", 0),
    "1221": ("HISTN", 0),
}
_UNITS = {"ENERC": "KCAL", "NA": "MG"}
# By difference, carbohydrate is what is left of 100 g: errors of all the others add up there,
# and it is said to come out below nothing for some meats (from memory).
_BELOW_NOTHING = {"CHOCDF": Decimal(-5)}
# A measured figure may lie a little above what there can be.
_ABOVE = Decimal("1.05")

_NUMBER = re.compile(r"-?[0-9]{1,9}(\.[0-9]{0,20})?([eE][+-]?[0-9]{1,2})?")

_UNDETERMINED = "9999"
_HEADS = {
    **dict.fromkeys(("cup", "cups"), "cup"),
    **dict.fromkeys(("tbsp", "tbsps", "tablespoon", "tablespoons"), "tbsp"),
    **dict.fromkeys(("tsp", "tsps", "teaspoon", "teaspoons"), "tsp"),
    **dict.fromkeys(("slice", "slices"), "slice"),
    **dict.fromkeys(("piece", "pieces"), "piece"),
    **dict.fromkeys(("fl oz", "fl. oz", "floz"), "floz"),
    **{size: size for size in ("small", "medium", "large")},
}
_SIZES = frozenset({"small", "medium", "large"})
_MEASURE = re.compile(
    rf"({'|'.join(re.escape(head) for head in sorted(_HEADS, key=len, reverse=True))})"
    r"(?:(\s*,\s*|\s+)(.+))?"
)
_QUALIFIER = re.compile(r"[^\W\d_][^\W\d_]*([ ,'/-]+[^\W\d_]+)*")
_LONGEST_QUALIFIER = 40
_ASIDE = re.compile(r"\([^()]*\)")
_COUNTED = re.compile(r"([0-9]+(?:\.[0-9]+)?)(?:/([1-9][0-9]?))?\s+(.+)")

_FETCH = "Fetch the download again, or take the row out."
_NAME_IT = "Name the folder or the zip of a FoodData Central download in CSV."

# What opening and reading a zip ends in that was cut short, or made to do harm.
_BROKEN = (
    *(OSError, EOFError, RuntimeError, ValueError, struct.error),
    *(zipfile.BadZipFile, zlib.error),
)


def read_fdc(folder: str) -> tuple[Food, ...]:
    """Read a download of FoodData Central.

    Parameters
    ----------
    folder
        A folder with food.csv, nutrient.csv, food_nutrient.csv and, where present,
        food_portion.csv, measure_unit.csv and food_category.csv; or a zip of them, as it
        comes or in a folder. At most 1.5 GB unpacked, counting these files alone.

    Returns
    -------
    tuple[Food, ...]
        SR Legacy, Foundation and survey foods in the order of food.csv, amounts for 100 g in
        the units of `models.words.nutrients`; other kinds are passed over. Allergens are not known.
        Where foods share a name, the one published last keeps it and the others have their
        number beside it.

    Raises
    ------
    InputError
        When a file or a column is missing, when the zip is none or too large, and for the
        first thing that cannot be, with its file and line.

    Examples
    --------
    >>> try:
    ...     read_fdc("no such folder")
    ... except InputError as fault:
    ...     print(fault.mend)
    Name the folder or the zip of a FoodData Central download in CSV.
    """
    with _opened(folder) as download:
        items = _foods(download)
        _add_figures(download, items)
        _add_measures(download, items)
        groups = _named(download, "food_category.csv", "description")
    names = _names(items.values())
    return tuple(
        _food(item, names[number], groups.get(item.category, "")) for number, item in items.items()
    )


@dataclass(slots=True)
class _Found:
    """What the files say of one food, as far as they have been read."""

    number: str
    name: str
    category: str
    published: str
    figures: dict[str, tuple[int, Decimal]] = field(default_factory=dict)
    measures: dict[str, tuple[bool, Decimal]] = field(default_factory=dict)


# The groups that storage classes are proposed by.
_GROUPS = {
    "dairy and egg products": "dairy",
    "spices and herbs": "spices",
    "fats and oils": "oils",
    "poultry products": "poultry",
    "soups, sauces, and gravies": "sauces",
    "sausages and luncheon meats": "meat",
    "fruits and fruit juices": "fruit",
    "pork products": "meat",
    "vegetables and vegetable products": "vegetables",
    "nut and seed products": "nuts",
    "beef products": "meat",
    "beverages": "drinks",
    "finfish and shellfish products": "fish",
    "legumes and legume products": "pulses",
    "lamb, veal, and game products": "meat",
    "baked products": "bread",
    "sweets": "sweet",
    "cereal grains and pasta": "grains",
}


def _food(item: _Found, name: str, group: str) -> Food:
    figures = {tag: amount for tag, (_, amount) in item.figures.items()}
    return Food(
        name=name,
        # Published names are long; the number is the same in every release.
        aliases=(f"fdc {item.number}",),
        group=_GROUPS.get(group.casefold(), group),
        shop="",
        state="",
        source=SOURCE,
        source_id=item.number,
        nutrients={tag: figures[tag] for tag in MOST if tag in figures and tag != "WATER"},
        measures={measure: grams for measure, (_, grams) in item.measures.items()},
        density=None,
        refuse=None,
        allergens=frozenset(),
        check_label=False,
        allergens_known=False,
        storage="",
        note="",
        water=figures.get("WATER"),
    )


def _foods(download: _Download) -> dict[str, _Found]:
    """Read food.csv: number to food, of the kinds that are taken."""
    items: dict[str, _Found] = {}
    needed = ("fdc_id", "data_type", "description", "food_category_id", "publication_date")
    for line, (number, kind, description, category, published) in _rows(
        download, "food.csv", needed
    ):
        if kind not in _TYPES:
            continue
        where = download.where("food.csv", line)
        if not re.fullmatch(r"[0-9]{1,12}", number):
            raise InputError(where, f"{quoted(number)} is not the number of a food", _FETCH)
        if number in items:
            raise InputError(where, f"the food {number} stands here a second time", _FETCH)
        if len(items) == MOST_FOODS:
            raise InputError(where, f"more than {MOST_FOODS} foods are here", _FETCH)
        items[number] = _Found(number, _description(where, description), category, published)
    return items


def _description(where: Where, text: str) -> str:
    name = _printable(text).casefold()
    if not name:
        raise InputError(where, "this food has no description", _FETCH)
    if len(name) > LONGEST_DESCRIPTION:
        raise InputError(
            where, f"a description is longer than {LONGEST_DESCRIPTION} characters", _FETCH
        )
    # A week file takes texts of 300 characters, with an amount before the name.
    return name[:LONGEST_NAME].strip()


def _names(listed: Iterable[_Found]) -> dict[str, str]:
    """Give each food, by number, a name that no other has."""
    latest: dict[str, _Found] = {}
    items = tuple(listed)
    for item in items:
        rival = latest.setdefault(item.name, item)
        if item.published > rival.published:
            latest[item.name] = item
    return {
        item.number: item.name if latest[item.name] is item else f"{item.name} (fdc {item.number})"
        for item in items
    }


# -- figures -------------------------------------------------------------------------


def _add_figures(download: _Download, items: Mapping[str, _Found]) -> None:
    name = "food_nutrient.csv"
    wanted = _wanted(download)
    for line, (number, nutrient, amount) in _rows(
        download, name, ("fdc_id", "nutrient_id", "amount")
    ):
        use = wanted.get(nutrient)
        if use is None or not amount:
            continue
        item = items.get(number)
        if item is None:
            continue
        tag, rank = use
        figure = _figure(download.where(name, line), tag, amount)
        if tag not in item.figures or rank < item.figures[tag][0]:
            item.figures[tag] = (rank, figure)


def _wanted(download: _Download) -> dict[str, tuple[str, int]]:
    """Read nutrient.csv: the ids and numbers of what is read, to its column and rank."""
    wanted: dict[str, tuple[str, int]] = {}
    for line, (nutrient, unit, number) in _rows(
        download, "nutrient.csv", ("id", "unit_name", "nutrient_nbr")
    ):
        if nutrient in _IDS:
            expected = _UNITS.get(_IDS[nutrient][0], "G")
            if unit.upper() != expected:
                raise InputError(
                    download.where("nutrient.csv", line),
                    f"nutrient {nutrient} is in {quoted(unit)}, not in {expected}",
                    _FETCH,
                )
            wanted[nutrient] = _IDS[nutrient]
            if number:
                wanted[number] = _IDS[nutrient]
    if not wanted:
        raise InputError(
            download.where("nutrient.csv", None),
            "it has none of the nutrients that are read (1003 is protein)",
            _FETCH,
        )
    return wanted


def _figure(where: Where, tag: str, text: str) -> Decimal:
    figure = _number(where, text, least=_BELOW_NOTHING.get(tag, Decimal(0)))
    if figure > MOST[tag] * _ABOVE:
        raise InputError(
            where, f"{quoted(text)} is more {tag} than 100 g of food can hold ({MOST[tag]})", _FETCH
        )
    return max(figure, Decimal(0))


def _number(where: Where, text: str, least: Decimal = Decimal(0)) -> Decimal:
    if not _NUMBER.fullmatch(text):
        raise InputError(where, f"{quoted(text)} is not a number", _FETCH)
    number = Decimal(text)
    if number < least:
        raise InputError(where, f"{quoted(text)} is negative", _FETCH)
    return number


# -- measures ------------------------------------------------------------------------


def _add_measures(download: _Download, items: Mapping[str, _Found]) -> None:
    name = "food_portion.csv"
    units = _named(download, "measure_unit.csv", "name")
    units.pop(_UNDETERMINED, None)
    needed = ("fdc_id", "amount", "measure_unit_id", "portion_description", "modifier")
    for line, (number, amount, unit, description, modifier, weight) in _rows(
        download, name, (*needed, "gram_weight")
    ):
        item = items.get(number)
        if item is None:
            continue
        count, text = _portion(amount, units.get(unit, ""), description, modifier)
        measure = _measure(text)
        if measure is None or not count or not weight:
            continue
        grams = _grams(download.where(name, line), count, weight)
        # "1 cup" was weighed; "0.33 cup" was rounded before it is divided here.
        whole = count in {"1", "1.0"}
        if grams and (measure not in item.measures or (whole and not item.measures[measure][0])):
            item.measures[measure] = (whole, grams)


def _portion(amount: str, unit: str, description: str, modifier: str) -> tuple[str, str]:
    """Find how many of which measure a row is about; where that is depends on the kind of food.

    Foundation foods name a unit and may qualify it, SR Legacy writes both as the modifier;
    the survey's modifier is a code, and its description has the number too: "1 cup, diced".
    """
    if unit:
        return amount, f"{unit}, {modifier}" if modifier else unit
    if modifier and not modifier.isdigit():
        return amount, modifier
    counted = _COUNTED.fullmatch(_printable(description))
    if counted is None:
        return amount, description
    return counted[1] + (f"/{counted[2]}" if counted[2] else ""), counted[3]


def _measure(text: str) -> str | None:
    """Name a measure as the food table does, "cup" or "cup:chopped", or None for others."""
    plain = _printable(_ASIDE.sub(" ", text.casefold())).strip(" ,")
    match = _MEASURE.fullmatch(plain)
    if match is None:
        return None
    head, gap, qualifier = _HEADS[match[1]], match[2], match[3]
    if qualifier is None:
        return head
    # A "medium slice" is a slice; "medium, sliced" is a medium one.
    if head in _SIZES and "," not in gap:
        return None
    fits = len(qualifier) <= _LONGEST_QUALIFIER and _QUALIFIER.fullmatch(qualifier)
    return f"{head}:{qualifier}" if fits else None


def _grams(where: Where, count: str, weight: str) -> Decimal | None:
    """Give the grams in one; None where the row has a nought in place of a figure."""
    above, _, below = count.partition("/")
    share = _number(where, above) / Decimal(below or 1)
    whole = _number(where, weight)
    if not share or not whole:
        return None
    grams = whole if share == 1 else round(whole / share, 3)
    if grams > HEAVIEST_MEASURE:
        raise InputError(where, f"a measure of {grams} g is none", _FETCH)
    return grams


# -- rows ----------------------------------------------------------------------------


def _named(download: _Download, name: str, column: str) -> dict[str, str]:
    """Read a file that gives ids a name, or nothing where it is not there."""
    return {
        number: _printable(text).casefold()
        for _, (number, text) in _rows(download, name, ("id", column))
    }


def _printable(text: str) -> str:
    if not text.isprintable():
        text = "".join(letter if is_printable(letter) else " " for letter in text)
    return " ".join(text.split())


def _rows(
    download: _Download, name: str, needed: tuple[str, ...]
) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Give the needed cells of each row, and the line it starts on."""
    if name not in download.files:
        return
    reader = csv.reader(_lines(download, name), strict=True)
    line = 1
    try:
        header = next(reader, [])
        width, pick = len(header), _picker(download.where(name, 1), header, needed)
        line = reader.line_num + 1
        for cells in reader:
            if len(cells) == width:
                yield line, pick(cells)
            elif cells:
                what = f"this row has {len(cells)} cells, the header has {width}"
                raise InputError(download.where(name, line), what, _FETCH)
            line = reader.line_num + 1
    except csv.Error as fault:
        what = f"this row cannot be read ({fault})"
        raise InputError(download.where(name, line), what, _FETCH) from None


def _picker(
    where: Where, header: list[str], needed: tuple[str, ...]
) -> Callable[[list[str]], tuple[str, ...]]:
    for column in needed:
        if column not in header:
            raise InputError(
                where,
                f"the column {column!r} is missing",
                "Take the download in CSV as it is published.",
            )
    return itemgetter(*(header.index(column) for column in needed))


def _lines(download: _Download, name: str) -> Iterator[str]:
    line, rest = 1, b""
    for block in _blocks(download, name):
        whole, end, rest = (rest + block).rpartition(b"\n")
        yield from _decoded(download, name, line, whole + end)
        line += whole.count(b"\n") + len(end)
        if line > MOST_LINES:
            what = f"it has more than {MOST_LINES // 1_000_000} million lines"
            raise InputError(download.where(name, line), what, _FETCH)
        if len(rest) > LONGEST_LINE:
            raise InputError(
                download.where(name, line),
                f"this line is longer than {LONGEST_LINE // 1000} kB",
                _FETCH,
            )
    yield from _decoded(download, name, line, rest)


def _decoded(download: _Download, name: str, line: int, data: bytes) -> StringIO:
    """Decode whole lines, the first of which is `line`."""
    try:
        text = data.decode("utf-8-sig" if line == 1 else "utf-8")
    except UnicodeDecodeError as fault:
        line += data.count(b"\n", 0, fault.start)
        raise InputError(download.where(name, line), "it is not UTF-8 text", _FETCH) from None
    return StringIO(text, newline="\n")


def _blocks(download: _Download, name: str) -> Iterator[bytes]:
    try:
        with download.files[name]() as stream:
            while block := stream.read(_BLOCK):
                yield block
    except _BROKEN as fault:
        what = f"it cannot be read ({_reason(fault)})"
        raise InputError(download.where(name, None), what, "Fetch the download again.") from None


# -- files ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Download:
    """The files of a download, wherever they lie, and their size together."""

    place: str
    files: Mapping[str, Callable[[], IO[bytes]]]
    size: int

    def where(self, name: str, line: int | None) -> Where:
        return Where(f"{self.place}/{name}", line)


@contextmanager
def _opened(place: str) -> Iterator[_Download]:
    path = _path(place)
    if path.is_dir():
        yield _checked(_in_folder(path))
        return
    try:
        archive = zipfile.ZipFile(path)
    except _BROKEN as fault:
        raise InputError(place, f"this is not a zip ({_reason(fault)})", _NAME_IT) from None
    with archive:
        yield _checked(_in_zip(path, archive))


def _path(place: str) -> Path:
    path = Path(place)
    try:
        if not path.exists():
            raise InputError(place, "there is no such folder or zip", _NAME_IT)
        if not path.is_dir() and not path.is_file():
            raise InputError(place, "this is neither a folder nor a zip", _NAME_IT)
    except (OSError, ValueError) as fault:
        raise InputError(place, f"it cannot be read ({_reason(fault)})", _NAME_IT) from None
    return path


def _in_folder(path: Path) -> _Download:
    try:
        held = [file for name in _FILES if (file := path / name).is_file()]
        size = sum(file.stat().st_size for file in held)
    except OSError as fault:
        raise InputError(str(path), f"it cannot be read ({_reason(fault)})", _NAME_IT) from None
    return _Download(str(path), {file.name: partial(_open, file) for file in held}, size)


def _open(file: Path) -> IO[bytes]:
    return file.open("rb")


def _in_zip(path: Path, archive: zipfile.ZipFile) -> _Download:
    """Find the files in a zip, in the one folder of it that has them or in none."""
    folders: dict[str, dict[str, zipfile.ZipInfo]] = {}
    for member in archive.infolist():
        folder, _, name = member.filename.rpartition("/")
        if name in _FILES and "/" not in folder:
            if name in folders.setdefault(folder, {}):
                raise InputError(str(path), f"this zip holds {name} twice", _NAME_IT)
            # The other ways to pack let the packer say how much memory unpacking takes.
            if member.compress_type not in {zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED}:
                what = f"{name} is packed in a way that is not read here"
                raise InputError(str(path), what, "Pack it anew, as an ordinary zip.")
            folders[folder][name] = member
    if len(folders) > 1:
        raise InputError(str(path), "several folders of this zip hold such files", _NAME_IT)
    held = folders.popitem()[1] if folders else {}
    return _Download(
        str(path),
        {name: partial(archive.open, member) for name, member in held.items()},
        sum(member.file_size for member in held.values()),
    )


def _checked(download: _Download) -> _Download:
    for name in _NEEDED:
        if name not in download.files:
            raise InputError(download.where(name, None), "there is no such file", _NAME_IT)
    if download.size > LARGEST_BYTES:
        raise InputError(
            download.place,
            f"its files come to more than {LARGEST_BYTES // 1_000_000} MB",
            "Take the download of one kind of food: SR Legacy, Foundation or survey foods.",
        )
    return download


def _reason(fault: Exception) -> str:
    reason = getattr(fault, "strerror", None) or str(fault)
    return str(reason)[:80] or type(fault).__name__
