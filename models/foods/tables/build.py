"""Builds foods.db, the food table, from everyday.csv and the two releases of figures.

Run by hand, when everyday.csv or a release changes, and the result committed with it:

    python -m models.foods.tables.build SR28.CSV COFID.CSV

The first tier are the foods of everyday.csv, under our own names; the second tier is everything
else in the releases under the release's own description. Which release gives the figures of a
food of the first tier is said by its number there: CoFID (11-886) where the food is British or
missing from SR28 (05062), SR28 everywhere else, as only it has amino acids and household
measures. Figures of the two are never mixed in one food, with one exception that its `like`
names: amino acids and measures of the same food in SR28, the amino acids scaled to the protein.
amino_acids.csv names for foods without amino acids of their own the food of SR28 whose protein is
of the same kind; its amino acids per gram of protein are taken, and the note of the food says so.

Where SR28 and its forerunner SR26 disagree the later analysis is used: dried lentils hold 10.7 g
of fibre, not 30.5 g, for boiled ones hold 7.9 g and take up water to 2.9 times their mass.

CoFID gives sugars and starch as monosaccharides. They are turned into what they weigh: starch
divided by 1.10, the sugars of milk and of sugar itself (lactose, sucrose) by 1.05; sugars of
fruit and vegetables stay, being monosaccharides for the most part.

Sources: USDA National Nutrient Database for Standard Reference, Release 28 (2015); McCance and
Widdowson's Composition of Foods Integrated Dataset 2021 (its introduction gives the factors).
"""

from __future__ import annotations

import csv
import re
import sqlite3
import sys
from collections.abc import Iterable, Mapping
from decimal import Decimal
from pathlib import Path

from models.foods.families import Families, derived, written
from models.foods.figures import AMINO_ACIDS, COLUMNS, NUTRIENT_TAGS, TRACE, WATER
from models.foods.store import Cells
from models.words.families import ALLERGEN_OF
from models.words.names import plain_name, split

HERE = Path(__file__).parent

SR28 = "USDA SR28"
COFID = "CoFID 2021"

_SR28_COLUMNS: Mapping[str, str] = {
    "WATER": "water_g",
    "ENERC": "energy_kcal",
    "PROCNT": "protein_g",
    "FAT": "fat_g",
    "FASAT": "saturated_g",
    "CHOCDF": "carbohydrate_g",
    "FIBTG": "fibre_g",
    "SUGAR": "sugar_g",
    "NA": "sodium_mg",
    "ALC": "alcohol_g",
    "CA": "calcium_mg",
    "FE": "iron_mg",
    "MG": "magnesium_mg",
    "K": "potassium_mg",
    "ZN": "zinc_mg",
    "VITA_RAE": "vitamin_a_rae_ug",
    "VITC": "vitamin_c_mg",
    "VITD": "vitamin_d_ug",
    "VITB12": "vitamin_b12_ug",
    "FOLDFE": "folate_dfe_ug",
    "TRP": "tryptophan_g",
    "THR": "threonine_g",
    "ILE": "isoleucine_g",
    "LEU": "leucine_g",
    "LYS": "lysine_g",
    "MET": "methionine_g",
    "CYS": "cystine_g",
    "PHE": "phenylalanine_g",
    "TYR": "tyrosine_g",
    "VAL": "valine_g",
    "HISTN": "histidine_g",
}
_COFID_COLUMNS: Mapping[str, str] = {
    "WATER": "water_g",
    "ENERC": "energy_kcal",
    "PROCNT": "protein_g",
    "FAT": "fat_g",
    "FASAT": "saturated_g",
    "FIBTG": "fibre_aoac_g",
    "PSACNS": "fibre_nsp_g",
    "NA": "sodium_mg",
    "ALC": "alcohol_g",
    "CA": "calcium_mg",
    "FE": "iron_mg",
    "MG": "magnesium_mg",
    "K": "potassium_mg",
    "ZN": "zinc_mg",
    "ID": "iodine_ug",
    "VITC": "vitamin_c_mg",
    "VITD": "vitamin_d_ug",
    "VITB12": "vitamin_b12_ug",
    "FOL": "folate_ug",
}
# Alcohol that was not looked for is none, but in what may hold some.
_MAY_BE_ALCOHOLIC = re.compile(
    r"beverage|wine|beer|liqueur|rum|extract|sauce|vinegar|fruit cake", re.I
)
# Groups of CoFID whose sugars are those of milk or of sugar itself.
_DISACCHARIDES = ("B", "S")

SCHEMA = """
CREATE TABLE foods (
    id INTEGER PRIMARY KEY, tier INTEGER, name TEXT, aliases TEXT, kind TEXT, shop TEXT,
    state TEXT, source TEXT, number TEXT, figures TEXT, measures TEXT, density TEXT,
    refuse TEXT, allergens TEXT, families TEXT, storage TEXT, note TEXT, words TEXT
);
CREATE TABLE names (
    plain TEXT, region TEXT, mark TEXT, food INTEGER, name TEXT,
    PRIMARY KEY (plain, region, food, name)
) WITHOUT ROWID;
CREATE INDEX by_name ON foods (name);
"""


def _build(sr28: Path, cofid: Path, into: Path) -> tuple[int, int]:
    """Write the table and give how many foods each of its tiers has.

    Parameters
    ----------
    sr28
        USDA SR28 as CSV, a row for each food.
    cofid
        UK CoFID 2021 as CSV, a row for each food.
    into
        Where the table is written; what is there is replaced.

    Returns
    -------
    Everyday foods, then all others.
    """
    american = {row["ndb_no"]: row for row in _rows(sr28)}
    british = {row["food_number"]: row for row in _rows(cofid)}
    everyday = list(_rows(HERE / "everyday.csv"))
    alike = {row["food"]: american[row["like"]] for row in _rows(HERE / "amino_acids.csv")}
    into.unlink(missing_ok=True)
    with sqlite3.connect(into) as table:
        table.executescript(SCHEMA)
        for at, row in enumerate(everyday, start=1):
            _write_names(table, at, row)
            food = _first(row, american, british, _meaning_it(table, at))
            _write(table, at, _with_amino_acids(food, alike.get(row["key"])))
        for at, row in enumerate(everyday, start=1):
            _write_bare_name(table, at, row["key"])
        taken = {row["number"] for row in everyday}
        rest = list(_second(american, british, taken))
        for at, food in enumerate(rest, start=len(everyday) + 1):
            _write(table, at, food)
    table.execute("VACUUM")
    table.close()
    return len(everyday), len(rest)


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def _write(table: sqlite3.Connection, at: int, food: Mapping[str, object]) -> None:
    columns = ", ".join(food)
    marks = ", ".join("?" for _ in range(len(food) + 1))
    table.execute(f"INSERT INTO foods (id, {columns}) VALUES ({marks})", (at, *food.values()))  # noqa: S608


def _write_names(table: sqlite3.Connection, at: int, row: Cells) -> None:
    """Write the names of a food: "uk:~bacon" is what bacon usually means in Britain."""
    for alias in (row["key"], *filter(None, row["aliases"].split(";"))):
        region, _, name = alias.rpartition(":")
        mark = name[0] if name[0] in "~?" else ""
        name = name.lstrip("~?")
        if region[:1] in ("~", "?"):
            raise ValueError(f"{alias!r}: write the region first")
        table.execute(
            "INSERT OR IGNORE INTO names VALUES (?, ?, ?, ?, ?)",
            (plain_name(name), region, mark, at, name),
        )


def _meaning_it(table: sqlite3.Connection, at: int) -> list[str]:
    """Give the names that mean a food wherever one is, but for its own: the first come has them."""
    rows = table.execute(
        "SELECT name FROM names WHERE food = ? AND region = '' AND mark != '?' AND NOT EXISTS "
        "(SELECT 1 FROM names AS other WHERE other.name = names.name AND other.food < names.food)",
        (at,),
    )
    return [name for (name,) in rows]


def _write_bare_name(table: sqlite3.Connection, at: int, key: str) -> None:
    """Let "kiwi fruit" mean "kiwi fruit, raw" where nothing else is called that."""
    bare = key.partition(",")[0]
    taken = table.execute("SELECT 1 FROM names WHERE plain = ?", (plain_name(bare),)).fetchone()
    if taken is None:
        table.execute("INSERT INTO names VALUES (?, '', '~', ?, ?)", (plain_name(bare), at, bare))


# -- foods ---------------------------------------------------------------------------


def _first(
    row: Cells, american: Mapping[str, Cells], british: Mapping[str, Cells], names: list[str]
) -> dict[str, object]:
    """Give a food of everyday.csv with the figures of its release."""
    number, like = row["number"], american.get(row["like"])
    given: dict[str, object]
    if number in american:
        given = _american(american[number])
    elif number in british:
        given = _british(british[number], like)
    else:  # water, which no release has to define
        nothing = dict.fromkeys(NUTRIENT_TAGS, "0") | {WATER: "100"}
        given = {"source": "definition", "number": "", "figures": _figures(nothing)}
        given |= {"measures": "", "density": "", "refuse": ""}
    ours = dict(_pairs(row["measures"]))
    units = {name.partition(":")[0] for name in ours}
    theirs = dict(_pairs(str(given["measures"])))
    # Our own measures of a unit stand in place of the release's.
    measures = {
        name: grams for name, grams in theirs.items() if name.partition(":")[0] not in units
    } | ours
    return given | {
        "tier": 1,
        "name": row["key"],
        "aliases": ";".join(name for name in names if name != row["key"]),
        "kind": row["group"],
        "shop": row["shop"],
        "state": row["state"],
        "measures": ";".join(f"{name}={grams}" for name, grams in measures.items()),
        "density": row["density"] or given["density"] or _poured(measures),
        "refuse": row["refuse"] or given["refuse"],
        "allergens": row["allergens_eu"],
        "families": row["families"] or _families(row["key"], names, row["group"]),
        "storage": row["storage_class"],
        "note": row["note"],
    }


def _second(
    american: Mapping[str, Cells], british: Mapping[str, Cells], taken: Iterable[str]
) -> Iterable[dict[str, object]]:
    """Give every other food of the releases; those that name a brand are left out."""
    known = set(taken)
    for row in american.values():
        if row["ndb_no"] not in known and not _BRAND.search(row["description"]):
            yield _other(_american(row), row["description"], row["also"], row["group"])
    for row in british.values():
        if row["food_number"] not in known and not _BRAND.search(row["description"]):
            yield _other(_british(row, None), row["description"], "", _COFID_KINDS[row["group"][0]])


_BRAND = re.compile(
    r"[A-Z]{4,}(?!\s*\d)|Muscle Milk|Reddi Wip|Creamsicle|Propel|Powerade|Whopper|Big Mac|"
    r"Quarter Pounder|Horlicks|Ovaltine|Complan|Build.?up|Lucozade|Mars |Milky|Snickers|Bounty|"
    r"Maltesers|Smartie|Weetabix|Shredded Wheat|Ricicles|Cheerios|Guinness|Twiglets|Creme egg|"
    r"Cornetto|Dream Topping|Topic"
)
_COFID_KINDS: Mapping[str, str] = {
    "A": "cereals and cereal products",
    "B": "milk and milk products",
    "C": "eggs",
    "D": "vegetables",
    "F": "fruit",
    "G": "nuts and seeds",
    "H": "herbs and spices",
    "J": "fish and shellfish",
    "M": "meat",
    "O": "fats and oils",
    "P": "drinks",
    "Q": "alcoholic drinks",
    "S": "sugars and sweets",
    "W": "soups and sauces",
}


def _families(name: str, names: Iterable[str], kind: str) -> str:
    """Derive what a food belongs to from its names, where everyday.csv does not say it."""
    return written(derived((name, *names), kind, told=True))


def _allergens(name: str, families: Families) -> str:
    """Give the groups of law in a food whose names alone are known, as a cell of the table."""
    groups = sorted(ALLERGEN_OF[family] for family in families.holds if family in ALLERGEN_OF)
    groups += ["sulphites"] if re.search(r"\bsul(f|ph)ured", name) else []
    settled = families.told and not families.may
    return ";".join(
        [*(groups or (["none"] if settled else [])), *([] if settled else ["check label"])]
    )


def _other(given: dict[str, object], name: str, also: str, kind: str) -> dict[str, object]:
    words = split(f"{name} {also}")
    families = derived((name, *([also] if also else [])), kind)
    return given | {
        "tier": 2,
        "allergens": _allergens(name, families),
        "families": written(families),
        "name": name,
        "aliases": also,
        "kind": kind,
        "words": f" {' '.join(dict.fromkeys(words))} ",
    }


def _american(row: Cells) -> dict[str, object]:
    figures = {tag: row[column] for tag, column in _SR28_COLUMNS.items()}
    if not figures["ALC"] and not _MAY_BE_ALCOHOLIC.search(f"{row['group']} {row['description']}"):
        figures["ALC"] = "0"
    measures = household(row["household_measures"], row["description"])
    return {
        "source": SR28,
        "number": row["ndb_no"],
        "figures": _figures(figures),
        "measures": ";".join(f"{name}={grams}" for name, grams in measures.items()),
        "density": _poured(measures),
        "refuse": row["refuse_pct"],
    }


def _british(row: Cells, like: Cells | None) -> dict[str, object]:
    figures = {tag: _trace(row[column]) for tag, column in _COFID_COLUMNS.items()}
    figures |= _carbohydrate(row)
    measures: Mapping[str, str] = {}
    if like is not None:
        measures = household(like["household_measures"], like["description"])
        figures |= _amino_acids(like, row["protein_g"])
    edible = row["edible_part"]
    return {
        "source": COFID,
        "number": row["food_number"],
        "figures": _figures(figures),
        "measures": ";".join(f"{name}={grams}" for name, grams in measures.items()),
        "density": row["specific_gravity"] or _poured(measures),
        "refuse": _said((1 - Decimal(edible)) * 100) if edible else "",
    }


def _trace(cell: str) -> str:
    return TRACE if cell == "trace" else cell


def _carbohydrate(row: Cells) -> dict[str, str]:
    """Turn carbohydrate as monosaccharides into what it weighs."""
    total, sugar = row["carbohydrate_mono_g"], row["sugar_mono_g"]
    if not _is_number(total) or not _is_number(sugar):
        return {"CHOAVL": _trace(total) if total == "trace" else "", "SUGAR": _trace(sugar)}
    factor = Decimal("1.05") if row["group"][0] in _DISACCHARIDES else Decimal(1)
    sugars = Decimal(sugar) / factor
    starch = max(Decimal(0), Decimal(total) - Decimal(sugar)) / Decimal("1.10")
    return {"CHOAVL": _said(starch + sugars), "SUGAR": _said(sugars)}


def _amino_acids(like: Cells, protein: str) -> dict[str, str]:
    """Give the amino acids of the same food in SR28, scaled to the protein there is here."""
    if not _is_number(protein) or not Decimal(like["protein_g"]):
        return {}
    share = Decimal(protein) / Decimal(like["protein_g"])
    known = {tag: like[_SR28_COLUMNS[tag]] for tag in AMINO_ACIDS}
    return {tag: str(round(Decimal(grams) * share, 3)) for tag, grams in known.items() if grams}


def _with_amino_acids(food: dict[str, object], like: Cells | None) -> dict[str, object]:
    """Lend a food the amino acids of a like one, for each gram of its protein, and say so."""
    if like is None:
        return food
    cells = str(food["figures"]).split(",")
    figures = dict(zip(COLUMNS, [*cells, *[""] * len(COLUMNS)], strict=False))
    figures |= _amino_acids(like, figures["PROCNT"])
    lent = f"amino acids per gram of protein as in {SR28} {like['ndb_no']}, {like['description']}"
    note = "; ".join(filter(None, (str(food["note"]), lent)))
    return food | {"figures": _figures(figures), "note": note}


def _is_number(cell: str) -> bool:
    return bool(re.fullmatch(r"[0-9.]+", cell))


def _said(number: Decimal) -> str:
    return format(round(number, 2).normalize(), "f")


def _figures(figures: Mapping[str, str]) -> str:
    return ",".join(figures.get(tag, "") for tag in COLUMNS).rstrip(",")


# -- measures ------------------------------------------------------------------------

_VOLUMES = {"cup": "cup", "tbsp": "tbsp", "tablespoon": "tbsp", "tsp": "tsp", "teaspoon": "tsp"}
_US_ML = {
    "cup": Decimal("236.5882365"),
    "tbsp": Decimal("14.78676478"),
    "tsp": Decimal("4.92892159"),
    "floz": Decimal("29.5735296"),
}
_WAYS = (
    *("chopped", "sliced", "slices", "diced", "cubed", "cubes", "grated", "shredded", "mashed"),
    *("pureed", "ground", "halves", "quarters", "pieces", "whole", "packed", "sifted", "crushed"),
    *("cooked", "drained", "crumbled", "crumbs", "whipped", "melted", "slivered", "leaves"),
    *(
        "fluid",
        "sprigs",
        "julienne",
        "florets",
        "flowerets",
        "sections",
        "chunks",
        "shelled",
        "blanched",
    ),
)
_SAME_WAY = {
    "slices": "sliced",
    "cubes": "cubed",
    "flowerets": "florets",
    "chunks": "pieces",
    "diced": "cubed",
    "unpacked": "loose",
}
_COUNTED = {
    split(word)[0]: unit
    for unit, words_ in {
        "slice": "slice rasher strip",
        "clove": "clove",
        "stalk": "stalk stick rib",
        "head": "head",
        "leaf": "leaf",
        "sprig": "sprig",
        "spear": "spear",
        "bunch": "bunch",
        "tin": "can",
        "pack": "package packet",
        "jar": "jar",
        "cube": "cube",
        "sheet": "sheet",
        "ear": "ear",
        "fillet": "fillet",
        "breast": "breast",
        "thigh": "thigh",
        "drumstick": "drumstick",
        "leg": "leg",
        "wing": "wing",
        "chop": "chop",
        "steak": "steak",
        "piece": "piece fruit each root bulb pod patty link muffin roll tortilla sausage egg "
        "unit bagel croissant shell pepper bird potato mushroom onion artichoke leek fig",
    }.items()
    for word in words_.split()
}
_ONE_SIZE = ("small", "medium", "large", "extra large", "jumbo")


def household(text: str, name: str = "") -> dict[str, str]:
    """Read household measures: "1 cup, chopped = 160 g" is {"cup": "160", "cup:chopped": "160"}.

    Parameters
    ----------
    text
        As the release has them, parted by semicolons.
    name
        The description of the food, for "1 beet" is a piece of beets.

    Returns
    -------
    Measure to grams of one; what is not a measure of the kitchen (3 oz, 1 serving) is left out.

    Examples
    --------
    >>> household("1 cup, chopped = 160 g; 3 oz = 85 g")
    {'cup:chopped': '160', 'cup': '160'}
    """
    measures: dict[str, Decimal] = {}
    for piece in text.split("; "):
        match = re.fullmatch(r"([\d.]+) (.+) = ([\d.]+) g", piece)
        if match is None or not Decimal(match[1]):
            continue
        measure = _measure(match[2].casefold(), frozenset(split(name)))
        if measure:
            measures.setdefault(measure, Decimal(match[3]) / Decimal(match[1]))
    for unit in ("cup", "tbsp", "tsp"):
        ways = [name for name in measures if name.startswith(f"{unit}:")]
        if ways and unit not in measures:
            usual = [f"{unit}:{way}" for way in ("fluid", "chopped", "sliced", "cubed", "pieces")]
            ways = [name for name in ways if not name.endswith(":whipped")]
            best = next((measure for measure in (*usual, *ways) if measure in measures), "")
            if best:
                measures[unit] = measures[best]
    return {name: format(round(grams, 3).normalize(), "f") for name, grams in measures.items()}


def _measure(phrase: str, own: frozenset[str]) -> str:
    """Name a measure as the table does, or nothing where it is none of a kitchen."""
    # What stands in brackets is a size in inches, a mass or a remark.
    if "yield from" in phrase:
        return ""
    outside = re.sub(r"\(.*?\)", " ", phrase)
    words_ = re.findall(r"[a-z]+", outside)
    if not words_:
        return ""
    way = next((word for word in re.findall(r"[a-z]+", phrase) if word in _WAYS), "")
    way = _SAME_WAY.get(way, way)
    if words_[:2] == ["fl", "oz"]:
        return "floz"
    if words_[0] in _VOLUMES:
        return _VOLUMES[words_[0]] + (f":{way}" if way else "")
    size = next((word for word in _ONE_SIZE if re.search(rf"\b{word}\b", outside)), "")
    size = {"extra large": "extra-large"}.get(size, size)
    nouns = [split(word)[0] for word in words_]
    unit = next((_COUNTED[noun] for noun in nouns if noun in _COUNTED), "")
    if not unit and len(nouns) < 4 and own & set(nouns):
        unit = "piece"
    if size and unit in ("", "piece", "ear", "spear"):
        return size
    return unit + (f":{size}" if size and unit else "")


def _pairs(text: str) -> list[tuple[str, str]]:
    return [
        (name, grams)
        for name, _, grams in (pair.partition("=") for pair in text.split(";"))
        if name
    ]


def _poured(measures: Mapping[str, str]) -> str:
    """Work out what a millilitre weighs from a measure of it as it is, not cut or packed."""
    for unit, millilitres in _US_ML.items():
        if unit in measures and not any(name.startswith(f"{unit}:") for name in measures):
            return str(round(Decimal(measures[unit]) / millilitres, 3))
    return ""


if __name__ == "__main__":
    tiers = _build(Path(sys.argv[1]), Path(sys.argv[2]), HERE / "foods.db")
    print(f"{tiers[0]} everyday foods, {tiers[1]} others")  # noqa: T201
