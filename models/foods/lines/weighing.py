"""What an amount of a food weighs, and how that came about.

In this order: a mass that is written; a volume, by a measure of the food itself, its density or
what foods of its kind weigh; a count, by what one weighs. Tables say where each figure is from:
foods.db (household measures of the release), pieces.csv, poured.csv, vague.csv, tins.csv; most
weights of one are "common practice, no source".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache, lru_cache

from models.foods.food import Food
from models.foods.lines.written import Amount, Measure
from models.foods.measures import CUPS, GALLON
from models.foods.tabled import rows
from models.foods.vocabulary import AGREES, KINDS, NOTHING, PORTIONS, STATES
from models.words.names import split
from models.words.numbers import plain

Region = str
PIECES, POURED, TINS = "pieces.csv", "poured.csv", "tins.csv"
GRAMS: Mapping[str, Decimal] = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "oz": Decimal("28.349523125"),
    "lb": Decimal("453.59237"),
}
LENGTHS: Mapping[str, Decimal] = {"cm": Decimal(1), "mm": Decimal("0.1"), "inch": Decimal("2.54")}
_METRIC: Mapping[str, Decimal] = {
    "mL": Decimal(1),
    "cL": Decimal(10),
    "dL": Decimal(100),
    "L": Decimal(1000),
    "dsp": Decimal(10),
}
# Imperial pint, NIST Handbook 44: 20 imperial fluid ounces of 28.4130625 mL.
_IMPERIAL_PINT = Decimal("568.26125")
_HEAPED = Decimal("1.5")
_SIZES: Mapping[str, Decimal] = {
    "small": Decimal("0.7"),
    "medium": Decimal(1),
    "large": Decimal("1.35"),
    "extra-large": Decimal("1.6"),
    "extra-small": Decimal("0.5"),
    "jumbo": Decimal("1.6"),
}
_SMALL_TIN = Decimal("0.5")  # 200 g beside 400 g: common practice, no source
_WAYS = frozenset(("ground", "packed", "whole"))


@dataclass(frozen=True, slots=True)
class Weighed:
    """Grams, how they came about, and what a cook should know of it.

    Attributes
    ----------
    written
        True where a mass was written.
    tins
        True where it is the mass of whole tins, liquid and all.
    """

    grams: Decimal
    how: str
    remarks: tuple[str, ...] = ()
    written: bool = False
    tins: bool = False


@dataclass(frozen=True, slots=True)
class Measuring:
    """What the week says of measures: its cups and spoons, and its region."""

    cups: str | None
    region: Region

    def millilitres(self, unit: str) -> Decimal | None:
        """Give the millilitres of a unit of volume; None where it is none.

        Parameters
        ----------
        unit
            As `read_written` has it: "cup", "tbsp", "mL", "pint".

        Returns
        -------
        In mL, above 0; cups, spoons and fluid ounces by `CUPS`, pints US or imperial.
        """
        sizes = CUPS[self.cups or "label"]
        if unit in sizes:
            return sizes[unit]
        if unit in _METRIC:
            return _METRIC[unit]
        american = self.cups in ("us", "label") if self.cups else self.region == "us"
        pint = GALLON / 8 if american else _IMPERIAL_PINT
        return {"pint": pint, "quart": pint * 2, "gallon": pint * 8}.get(unit)


class Unweighed(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """An amount that no table makes grams of, with what was asked for."""


@dataclass(frozen=True, slots=True)
class Thing:
    """What is weighed: the food, the words of the line for it, and how it is prepared."""

    food: Food
    words: tuple[str, ...]
    prepared: str
    phrase: str = ""
    exact: bool = False
    """True where the whole name of the food is written: then it is weighed as the table has it."""

    @property
    def line_words(self) -> frozenset[str]:
        """Every word of the line for it."""
        return frozenset((*self.words, *split(self.phrase)))

    @property
    def known(self) -> frozenset[str]:
        """Every word that a weight of one may be found by."""
        return self.line_words | frozenset(split(self.food.name))


def weigh(
    amounts: Iterable[Amount], spare: tuple[Measure, ...], thing: Thing, measuring: Measuring
) -> Weighed:
    """Weigh all amounts of a line together.

    Parameters
    ----------
    amounts
        In the order of the line.
    spare
        Measures in brackets or behind "about": the same amount again, or that of one.
    thing
        What is weighed.
    measuring
        Whose cups and whose tins are meant.

    Returns
    -------
    Weighed
        Grams as they lie there, with liquid, shell and bone.

    Raises
    ------
    Unweighed
        When one of them cannot be weighed.

    Examples
    --------
    >>> from models.foods.food import find
    >>> leek = Thing(find("leek"), ("leek",), "")
    >>> from models.foods.lines.written import read_written
    >>> weigh(read_written("250 g leeks").amounts, (), leek, Measuring(None, "uk")).grams
    Decimal('250')
    """
    all_ = tuple(amounts) or (Amount(),)
    total = _total(all_)
    if total is not None:
        return total
    parts = [_amount(amount, spare if len(all_) == 1 else (), thing, measuring) for amount in all_]
    return Weighed(
        sum((part.grams for part in parts), Decimal(0)),
        " + ".join(part.how for part in parts if part.how),
        tuple(remark for part in parts for remark in part.remarks),
        all(part.written for part in parts),
        any(part.tins for part in parts),
    )


def _total(amounts: tuple[Amount, ...]) -> Weighed | None:
    """Find the mass of the whole behind the last part: 1 cup plus 2 tbsp (212 g)."""
    if len(amounts) < 2:
        return None
    masses = _masses(amounts[-1].measures)
    others = [measure for measure in amounts[-1].measures if measure.unit not in GRAMS]
    return Weighed(masses[0], "", written=True) if masses and others else None


def _amount(
    amount: Amount, spare: tuple[Measure, ...], thing: Thing, measuring: Measuring
) -> Weighed:
    count = amount.count.middle if amount.count is not None else Decimal(1)
    amount = _by_the_jigger(amount, thing, measuring)
    remarks = _ranges(amount, spare)
    written = _mass(amount, spare, count)
    if written is not None:
        grams, doubt = written
        tins = amount.holder in ("tin", "jar")
        return Weighed(grams, "", (*remarks, *doubt), written=True, tins=tins)
    volume = _volume((*amount.measures, *spare), measuring)
    if volume is not None:
        millilitres = volume * (count if amount.each else 1)
        again = not _volume(amount.measures, measuring)
        grams, how = poured(
            millilitres, thing, (*amount.measures, *spare)[0].unit, as_prepared=again
        )
        return Weighed(grams, how, remarks, tins=amount.holder == "tin")
    return _pieces(amount, spare, count, thing, measuring, remarks)


def _by_the_jigger(amount: Amount, thing: Thing, measuring: Measuring) -> Amount:
    """Take the few ounces of a syrup for fluid ones, as American bars pour them."""
    poured_so = measuring.region == "us" and thing.words[-1:] and thing.words[-1] in _POURED_IN_BARS
    ounces = [measure for measure in amount.measures if measure.unit == "oz"]
    if not poured_so or len(amount.measures) != 1 or not ounces or amount.count is not None:
        return amount
    if ounces[0].count.middle > _JIGGERS:
        return amount
    return replace(amount, measures=(replace(ounces[0], unit="floz"),))


_POURED_IN_BARS = frozenset(split("syrup cordial grenadine"))
_JIGGERS = Decimal(4)
"""Ounces of a syrup above which they are weighed: common practice, no source."""


def _pieces(
    amount: Amount,
    spare: tuple[Measure, ...],
    count: Decimal,
    thing: Thing,
    measuring: Measuring,
    remarks: tuple[str, ...],
) -> Weighed:
    """Weigh what is neither a mass nor a volume: juice of one, centimetres, tins, pieces."""
    if amount.part:
        return _part(amount, count, thing, measuring, remarks)
    long = next(
        (measure for measure in (*amount.measures, *spare) if measure.unit in LENGTHS), None
    )
    disc = _best(PIECES, thing, "disc", "", measuring.region) if long is not None else None
    if long is not None and disc is not None:
        return _disc(long, count, disc, remarks)
    by_length = _best(PIECES, thing, "cm", "", measuring.region) is not None
    if long is not None and (by_length or amount.count is None):
        return _length(long, count if amount.each else Decimal(1), thing, measuring, remarks)
    if amount.holder == "tin":
        return _tin(amount.size, count, thing, measuring, remarks)
    sticks = next((measure for measure in amount.measures if measure.unit == "stick"), None)
    if sticks is not None and amount.count is None:
        amount, count = Amount(holder="stick"), sticks.count.middle
    return _counted(amount, count, thing, measuring, remarks)


def _ranges(amount: Amount, spare: tuple[Measure, ...]) -> tuple[str, ...]:
    """Say that a range was read as its middle."""
    counts = [
        measure.count for measure in (*amount.measures[:1], *(spare if not amount.measures else ()))
    ]
    counts += [amount.count] if amount.count is not None else []
    return tuple(
        f"{plain(count.least)} to {plain(count.most)}: {plain(count.middle)} is taken"
        for count in counts[:1] + counts[-1:] * (len(counts) > 1)
        if count.is_range
    )[:1]


# -- masses --------------------------------------------------------------------------


def _masses(measures: Iterable[Measure]) -> list[Decimal]:
    """Give every mass among some measures in grams, those in g and kg first."""
    masses = [
        (measure.unit not in ("g", "kg"), _grams(measure))
        for measure in measures
        if measure.unit in GRAMS
    ]
    return [grams for _, grams in sorted(masses, key=lambda pair: pair[0])]


def _grams(measure: Measure) -> Decimal:
    more = _grams(measure.more) if measure.more is not None and measure.more.unit in GRAMS else 0
    return measure.count.middle * GRAMS[measure.unit] + more


def _mass(
    amount: Amount, spare: tuple[Measure, ...], count: Decimal
) -> tuple[Decimal, tuple[str, ...]] | None:
    own = _masses(amount.measures)
    if own:
        # A mass between the count and the name is that of one: 2 (400 g) tins, 4 x 150 g.
        together = any(measure.all_ for measure in amount.measures if measure.unit in GRAMS)
        return own[0] * (1 if together or amount.count is None else count), _doubts(own)
    again = _masses(spare)
    if not again:
        return None
    each = any(measure.each for measure in spare if measure.unit in GRAMS)
    return again[0] * (count if each else 1), _doubts(again)


def _doubts(masses: list[Decimal]) -> tuple[str, ...]:
    """Say where two systems of one line differ by more than a tenth: "35g/13oz"."""
    least, most = min(masses), max(masses)
    if most <= least * Decimal("1.1") or most - least < 5:
        return ()
    both = " and ".join(f"{plain(mass, 0)} g" for mass in masses[:2])
    return (f"it says {both} for the same: {plain(masses[0], 0)} g is taken",)


# -- volumes -------------------------------------------------------------------------


def _volume(measures: Iterable[Measure], measuring: Measuring) -> Decimal | None:
    for measure in measures:
        size = measuring.millilitres(measure.unit)
        if size is not None:
            heaped = _HEAPED if measure.full.startswith(("heap", "round")) else 1
            more = _volume([measure.more], measuring) if measure.more is not None else None
            return measure.count.middle * size * heaped + (more or 0)
    return None


def poured(
    millilitres: Decimal, thing: Thing, unit: str = "", *, as_prepared: bool = False
) -> tuple[Decimal, str]:
    """Weigh a volume of a food, before what is done to it behind the comma or after.

    Parameters
    ----------
    millilitres
        The volume.
    thing
        What is weighed.
    unit
        The cup or spoon that was written, whose own weight goes before that of others.
    as_prepared
        True where it is measured as it is prepared: "1 cup chopped onion".

    Returns
    -------
    tuple of Decimal and str
        Grams, and how they came about.

    Raises
    ------
    Unweighed
        When no table knows what it weighs.

    Examples
    --------
    >>> from models.foods.food import find
    >>> grams, how = poured(Decimal(250), Thing(find("whole milk"), ("milk",), ""))
    >>> 250 < grams < 265
    True
    """
    made = _made_of(thing)
    if made is not None:
        return _by_row(millilitres, made)
    order = ("tsp", "tbsp", "cup", "floz") if millilitres < 40 else ("cup", "floz", "tbsp", "tsp")
    for wanted in dict.fromkeys((unit, *order)):
        name = _household(thing, wanted, as_prepared=as_prepared)
        if name is not None:
            size = CUPS["us"].get(wanted, GALLON / 8)  # else a pint, of berries
            mass = thing.food.measures[name]
            label = name.replace(":", ", ")
            how = f"{label} of {plain(size, 1)} mL = {plain(mass, 2)} g"
            return millilitres * mass / size, how
    if thing.food.density is not None:
        return millilitres * thing.food.density, f"1 mL = {plain(thing.food.density, 3)} g"
    row = _best(POURED, thing, "mL", "", "") or _kind(thing.food)
    if row is None:
        raise Unweighed("cup")
    return _by_row(millilitres, row)


def _by_row(millilitres: Decimal, row: Mapping[str, str]) -> tuple[Decimal, str]:
    grams = Decimal(row["grams"])
    return millilitres * grams, f"1 mL = {plain(grams, 2)} g ({row['source']})"


def _made_of(thing: Thing) -> Mapping[str, str] | None:
    """Find what is made of the food, where the line names it so: strawberry puree."""
    last = thing.words[-1:]
    if last == ("cheese",):
        return None  # mascarpone cheese is made of no mascarpone
    if last and (last[0] not in _lasts(POURED) or last[0] in split(thing.food.name)):
        return None
    row = _best(POURED, thing, "mL", "", "")
    return row if row is not None and split(row["name"])[-1:] == list(last) else None


@cache
def _lasts(table: str) -> frozenset[str]:
    """Give the last words of the names in a table."""
    return frozenset(last for all_ in _index(table).values() for _, last, _ in all_)


# What is done after measuring where it stands behind the comma: cream, whipped.
_AFTERWARDS = frozenset(split("whipped melted cooked drained mashed pureed crumbs sifted"))
# A cup of leaves is filled with them whole, and what is cut behind the comma is cut after.
_WHOLE_LEAVES = frozenset(split("leaves packed"))
_CUT_AFTER = frozenset(split("chopped minced sliced shredded"))


def _household(thing: Thing, unit: str, *, as_prepared: bool) -> str | None:
    """Choose among a food's measures of one unit: as prepared, else as it is."""
    ways = [name for name in thing.food.measures if name.partition(":")[0] == unit]
    prepared = frozenset(split(thing.prepared)) - (frozenset() if as_prepared else _AFTERWARDS)
    if unit == "cup" and not as_prepared and _WHOLE_LEAVES & frozenset(split(thing.phrase)):
        prepared -= _CUT_AFTER
    prepared |= frozenset(word.removeprefix("bread") for word in split(thing.phrase))
    prepared |= frozenset(_CUT_ALIKE[word] for word in prepared if word in _CUT_ALIKE)
    for name in ways:
        way = name.partition(":")[2]
        if way and frozenset(split(way)) <= prepared:
            return name
    usual = [name for name in (unit, f"{unit}:whole") if name in ways]
    return next(iter((*usual, *(ways if unit in CUPS["us"] else ()))), None)


_CUT_ALIKE = {
    split(word)[0]: split(alike)[0]
    for word, alike in (
        *(("shredded", "grated"), ("grated", "shredded"), ("julienned", "sliced")),
        *(("diced", "cubed"), ("minced", "chopped"), ("crumbled", "chopped")),
        *(("milled", "ground"), ("meal", "ground")),
    )
}
"""Ways to cut that fill a cup alike, where only the other was measured."""


def _kind(food: Food) -> Mapping[str, str] | None:
    return _kinds().get(food.group)


@cache
def _kinds() -> Mapping[str, Mapping[str, str]]:
    return {row["name"][1:]: row for row in rows(POURED) if row["name"].startswith("@")}


# -- counts --------------------------------------------------------------------------


def _part(
    amount: Amount, count: Decimal, thing: Thing, measuring: Measuring, remarks: tuple[str, ...]
) -> Weighed:
    """Weigh the juice or the zest of so many fruits."""
    total, hows = Decimal(0), []
    for part in amount.part.replace("rind", "zest").replace("peel", "zest").split(" and "):
        row = _best(PIECES, thing, part, "", measuring.region)
        if row is None:
            raise Unweighed(f"{part} of one")
        total += count * Decimal(row["grams"]) * _SIZES.get(amount.size, Decimal(1))
        hows.append(f"{part} of one = {row['grams']} g ({row['source']})")
    return Weighed(total, ", ".join(hows), remarks)


def _disc(
    measure: Measure, count: Decimal, row: Mapping[str, str], remarks: tuple[str, ...]
) -> Weighed:
    """Weigh what is round and flat by its diameter: two 10-inch tortillas."""
    across = measure.count.middle * LENGTHS[measure.unit]
    grams = across * across * Decimal(row["grams"])
    how = f"1 of {plain(across, 1)} cm = {plain(grams, 0)} g ({row['source']})"
    return Weighed(count * grams, how, remarks)


def _length(
    measure: Measure, count: Decimal, thing: Thing, measuring: Measuring, remarks: tuple[str, ...]
) -> Weighed:
    row = _best(PIECES, thing, "cm", "", measuring.region)
    if row is None:
        raise Unweighed("centimetre")
    length = measure.count.middle * LENGTHS[measure.unit] * count
    how = f"1 cm = {row['grams']} g ({row['source']})"
    return Weighed(length * Decimal(row["grams"]), how, remarks)


def _tin(
    size: str, count: Decimal, thing: Thing, measuring: Measuring, remarks: tuple[str, ...]
) -> Weighed:
    own = thing.food.measures.get(f"tin:{size}") if size else None
    if own is not None:
        return Weighed(count * own, f"1 {size} tin = {plain(own, 2)} g", remarks, tins=True)
    row = tin(thing, measuring.region)
    if row is None and thing.food.state != "tinned":
        raise Unweighed("tin")
    whole = Decimal(row["whole"]) if row is not None else Decimal(400)
    small = size in ("small", "extra-small")
    whole *= _SMALL_TIN if small else 1
    remark = f"a {'small ' if small else ''}tin is taken to hold {plain(whole, 0)} g"
    return Weighed(count * whole, "", (*remarks, remark), tins=True)


def _counted(
    amount: Amount, count: Decimal, thing: Thing, measuring: Measuring, remarks: tuple[str, ...]
) -> Weighed:
    # "1 piece" of a food is one of it: what a pack of one weighs is what one in a line weighs.
    cut = _best(PIECES, thing, "piece", amount.size, measuring.region) is not None
    holder = "" if amount.holder == "piece" and not cut else amount.holder
    grams, how = _one(holder, amount.size, thing, measuring)
    return Weighed(count * grams, how, remarks)


def _one(holder: str, size: str, thing: Thing, measuring: Measuring) -> tuple[Decimal, str]:
    """Weigh one: by our own table of the region, else by a measure of the food."""
    what = " ".join(part for part in (size, holder) if part) or "piece"
    row = _best(PIECES, thing, holder, size, measuring.region)
    cut = _cut(holder, thing)
    own = None if cut else _own_measure(holder, size, thing)
    if cut and (row is None or cut not in split(row["name"])):
        raise Unweighed(f"{size} {cut}".strip())
    ours = (
        row is not None
        and not (own is not None and _of_another(row, thing))
        and (
            measuring.region != "us"
            or bool(row["region"])
            or not frozenset(split(row["name"])) <= frozenset(split(thing.food.name))
        )
    )
    if row is not None and ours and row["size"] == size:
        return Decimal(row["grams"]), f"1 {what} = {row['grams']} g ({row['source']})"
    if own is not None and not (ours and size):
        grams = thing.food.measures[own]
        return grams, f"1 {own.replace(':', ', ')} = {plain(grams, 2)} g"
    if row is None and holder in _ALIKE:
        return _one(_ALIKE[holder], size, thing, measuring)
    if row is not None:
        factor = Decimal(1) if row["size"] == size else _SIZES.get(size, Decimal(1))
        grams = Decimal(row["grams"]) * factor
        return grams, f"1 {what} = {plain(grams, 2)} g ({row['source']})"
    unsized = _own_measure(holder, "", thing) if size else None
    if unsized is not None:
        grams = thing.food.measures[unsized] * _SIZES.get(size, Decimal(1))
        return grams, f"1 {what} = {plain(grams, 2)} g"
    return _roughly(holder, size, thing, what)


def _cut(holder: str, thing: Thing) -> str:
    """Name the cut that is counted, where the food is the whole: four breasts are no pheasants."""
    last = thing.words[-1] if thing.words else ""
    return last if holder == "" and last in _CUTS and last not in split(thing.food.name) else ""


_CUTS = frozenset(
    split(
        "breast leg thigh wing steak cutlet escalope medallion cheek loin haunch claw tail "
        "tentacle crown top"
    )
)


def _of_another(row: Mapping[str, str], thing: Thing) -> bool:
    """Tell whether a row is of another sort than the food: a roll is no fig roll."""
    if row["region"]:
        return False
    words = frozenset(split(row["name"]))
    same = words <= frozenset(split(thing.food.name))
    fresh = same and thing.food.state == "tinned" and not words & AGREES["tinned"]
    names = (thing.phrase, re.split(r",| in ", thing.food.name)[0])
    return fresh or not any(_telling(name) <= words for name in names)


@lru_cache(maxsize=4096)
def _telling(name: str) -> frozenset[str]:
    """Give the words of a name that say which sort it is."""
    return frozenset(
        word
        for word in split(name)
        if not any(word in words for words in (NOTHING, KINDS, STATES, PORTIONS))
    )


def _roughly(holder: str, size: str, thing: Thing, what: str) -> tuple[Decimal, str]:
    """Weigh one by what one of its kind weighs, or by what a handful holds."""
    usual = _usual(thing.food.group, holder)
    if usual is not None:
        grams = Decimal(usual["grams"]) * _SIZES.get(size, Decimal(1))
        return grams, f"1 {what} = {plain(grams, 2)} g ({usual['source']})"
    if holder in _vague():
        return _vaguely(holder, size, thing)
    raise Unweighed(what)


_ALIKE = {"stem": "sprig", "stalk": "stick", "rasher": "slice", "strip": "slice", "round": "slice"}
_SIDE = Decimal(200)
"""Grams from which a fillet of a release is a whole side: common practice, no source."""
_ONE = ("head", "piece", "medium")
_ENDS = ("clove", "leaf", "stalk", "sprig", "slice", "head", "spear", "fillet", "sheet", "bulb")


def _own_measure(holder: str, size: str, thing: Thing) -> str | None:
    measures = thing.food.measures
    if holder == "fillet" and measures.get("fillet", Decimal(0)) > _SIDE:
        return None
    if holder:
        held = {"stick": "stalk", "rasher": "slice", "bulb": "head"}.get(holder, holder)
        names = [f"{held}:{size}"] if size else [held, f"{held}:medium"]
        return next((name for name in names if name in measures), None)
    if size:
        return next((name for name in (size, f"piece:{size}") if name in measures), None)
    end = thing.words[-1] if thing.words else ""
    return next(
        (
            name
            for name in (*_ONE, *(noun for noun in _ENDS if split(noun)[0] == end))
            if name in measures
        ),
        None,
    )


def _vaguely(holder: str, size: str, thing: Thing) -> tuple[Decimal, str]:
    row = _vague()[holder]
    millilitres = Decimal(row["millilitres"]) * _SIZES.get(size, Decimal(1))
    grams, how = poured(millilitres, thing)
    return grams, f"1 {holder} = {plain(millilitres, 2)} mL ({row['source']}); {how}"


# -- the tables ----------------------------------------------------------------------


def tin(thing: Thing, region: Region) -> Mapping[str, str] | None:
    """Find what a tin of a food holds, and what stays of it once drained.

    Parameters
    ----------
    thing
        What is in the tin.
    region
        uk or us.

    Returns
    -------
    mapping or None
        The row of tins.csv, in g; None where no row is of it.

    Examples
    --------
    >>> from models.foods.food import find
    >>> row = tin(Thing(find("tinned chickpeas"), ("chickpea",), ""), "uk")
    >>> (row["whole"], row["drained"]) if row else None
    ('400', '240')
    """
    return _best(TINS, thing, "", "", region)


def flesh(thing: Thing, region: Region, told: str = "") -> Mapping[str, str] | None:
    """Find which share of a food in its shell, or of a whole bird, is eaten.

    Parameters
    ----------
    thing
        What is weighed.
    region
        uk or us.
    told
        The line: prawns have their shells on where it says so, mussels wherever it does not.

    Returns
    -------
    mapping or None
        The row of pieces.csv, with a share from 0 to 1 under "grams"; None where all is eaten.

    Examples
    --------
    >>> from models.foods.food import find
    >>> row = flesh(Thing(find("mussels"), ("mussel",), ""), "uk")
    >>> row["grams"] if row else None
    '0.25'
    """
    in_shell = thing.food.group == "shellfish" and thing.food.state != "tinned"
    whole = in_shell or "meat and skin" in thing.food.name
    units = [unit for unit, words in _SHELLS if in_shell and words.search(told)]
    shares = (_best(PIECES, thing, unit, "", region) for unit in (*units, "in shell"))
    row = next(filter(None, shares), None)
    named = row is not None and split(row["name"])[-1:] == list(thing.words[-1:])
    return row if whole and named else None


_SHELLS = (
    ("head on", re.compile(r"\bheads?[ -]on\b|\bheads? (and|&) shells?[ -]on\b", re.IGNORECASE)),
    (
        "shell on",
        re.compile(
            r"\bshells?[ -](left )?on\b(?! (some|a few|half))|"
            r"\bin (their|its|the) shells?\b|\bunpeeled\b",
            re.IGNORECASE,
        ),
    ),
)
"""Units of pieces.csv for what has its head or its shell on, and how a line says so."""


def bones(thing: Thing, region: Region) -> Mapping[str, str] | None:
    """Find which share of meat that is weighed on the bone is eaten.

    Parameters
    ----------
    thing
        What is weighed.
    region
        uk or us.

    Returns
    -------
    mapping or None
        The row of pieces.csv, with a share from 0 to 1 under "grams"; None where none is of it.

    Examples
    --------
    >>> from models.foods.food import find
    >>> row = bones(Thing(find("lamb chops"), ("lamb", "chop"), ""), "uk")
    >>> row["source"] if row else None
    'USDA SR28 17001: 23 % is bone'
    """
    return _best(PIECES, thing, _ON_THE_BONE, "", region) or _usual(thing.food.group, _ON_THE_BONE)


_ON_THE_BONE = "on the bone"


def _usual(group: str, unit: str) -> Mapping[str, str] | None:
    """Find what one of a kind of food weighs where no row names the food: a fillet of fish."""
    return _usually().get((group, unit))


@cache
def _usually() -> Mapping[tuple[str, str], Mapping[str, str]]:
    return {(row["name"][1:], row["unit"]): row for row in rows(PIECES) if row["name"][:1] == "@"}


@cache
def _vague() -> Mapping[str, Mapping[str, str]]:
    return {row["unit"]: row for row in rows("vague.csv")}


Indexed = Mapping[str, tuple[tuple[frozenset[str], str, Mapping[str, str]], ...]]


@cache
def _index(name: str) -> Indexed:
    """Sort a table by the units of its rows, each with the words of its name and the last."""
    by_unit: dict[str, list[tuple[frozenset[str], str, Mapping[str, str]]]] = {}
    for row in rows(name):
        if not row["name"].startswith("@"):
            words = split(row["name"])
            by_unit.setdefault(row.get("unit", ""), []).append((frozenset(words), words[-1], row))
    return {unit: tuple(all_) for unit, all_ in by_unit.items()}


def _best(
    table: str, thing: Thing, unit: str, size: str, region: Region
) -> Mapping[str, str] | None:
    """Find the row that says most of a thing: of most words, of the size, of the region.

    The last word of the row's name, which says what sort of thing it is, has to be the last of
    the line's or of the food's own name: an egg is no weight for egg noodles.
    """
    heads, known = _heads(thing), thing.known
    own, telling = thing.line_words, frozenset(thing.words)
    best: tuple[tuple[int, ...], Mapping[str, str]] | None = None
    for words, last, row in _index(table).get(unit, ()):
        if last not in heads or not words <= known:
            continue
        if row.get("region", "") not in ("", region) or row.get("size", "") not in ("", size):
            continue
        rank = (
            len(words & telling),
            len(words & own),
            len(words),
            row.get("size", "") == size,
            row.get("region", "") == region,
        )
        if best is None or rank > best[0]:
            best = (rank, row)
    return None if best is None else best[1]


def _heads(thing: Thing) -> frozenset[str]:
    """Give the words that say what sort of thing it is, in the line and in the food's name."""
    own = split(re.split(r",| in ", thing.food.name)[0])
    last = split(thing.phrase)[-1:]
    words = thing.words[:-1] if thing.words[-1:] and thing.words[-1] in _PARTS else thing.words
    return frozenset(
        (*last, *thing.words[-1:], *words[-1:], *own[-1:], *split(thing.food.name)[-1:])
    )


_PARTS = frozenset(
    split(
        "leaf clove sprig stick stalk stem sheet fillet slice head bulb rasher root loaf pod spear "
        "heart"
    )
)
