"""An ingredient line as a cook writes it, read: which foods, what they weigh, and what was taken.

Each line ends as one or more items, or as a fault that says what to write instead. What a reader
should know (a range, a bare name in its usual meaning, an alternative) is a remark.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache
from itertools import product

from models.foods.families import Families
from models.foods.food import Food, Foods, builtin
from models.foods.lines.phrases import (
    CUT,
    LESS_SALT,
    adds_nothing,
    citrus_parts,
    egg_part,
    fruit,
    hints,
    is_held,
    is_name,
    phrases,
    several,
    wrapped_in,
)
from models.foods.lines.weighing import (
    GRAMS,
    Measuring,
    Thing,
    Unweighed,
    Weighed,
    bones,
    flesh,
    tin,
    weigh,
)
from models.foods.lines.written import Amount, Measure, Unwritten, Written, read_written
from models.foods.measures import CUPS, describe_cups
from models.foods.naming import Hints, Named, Unnamed
from models.foods.tabled import rows
from models.foods.vocabulary import BLOCKING, NOTHING, PORTIONS, STATES
from models.words.errors import nearest
from models.words.names import split
from models.words.numbers import plain

HEAVIEST = 100_000
"""Grams of one item."""
BEARING = Decimal(5)
"""Grams of protein in 100 g from which a food without an amount is asked for one."""
_SWELLS = frozenset({"pulses", "grains", "pasta"})
_TINNED = frozenset({"fruit", "vegetables", "leaves", "fish", "shellfish"})
_SWOLLEN = frozenset({"cooked", "tinned"})
_TRACES = frozenset({"herbs", "spices", "flour", "sauces", "store cupboard", "drinks", "oils"})


@dataclass(frozen=True, slots=True)
class LineItem:
    """One food of a line.

    Attributes
    ----------
    name
        The words of the line for it.
    food
        The food they mean.
    amounts
        How much of it, as written; none where nothing is.
    part
        "juice" or "zest", where only that is used.
    preparation
        What the line says of how it is prepared.
    grams
        What goes in: edible, drained, in g; 0 where no amount is written.
    gross
        The same with the liquid of a tin, with shells and bones, in g.
    how
        How the grams came about; empty where they were written.
    whole
        Tins, packs or eggs, where it is whole ones.
    remarks
        What was taken, in sentences without a full stop.
    """

    name: str
    food: Food
    amounts: tuple[Amount, ...]
    part: str
    preparation: tuple[str, ...]
    grams: Decimal
    gross: Decimal
    how: str = ""
    whole: Decimal | None = None
    remarks: tuple[str, ...] = ()
    written: bool = False
    """True where a mass was written."""

    @property
    def protein(self) -> Decimal | None:
        """Grams of protein in it; None when not measured."""
        known = self.food.nutrients.get("PROCNT")
        return None if known is None else known * self.grams / 100


@dataclass(frozen=True, slots=True)
class Line:
    """A line, read.

    Attributes
    ----------
    comments
        What stands in brackets and was not needed.
    purpose
        "to serve", "for dusting".
    """

    text: str
    items: tuple[LineItem, ...]
    comments: tuple[str, ...] = ()
    purpose: str = ""
    optional: bool = False
    remarks: tuple[str, ...] = ()


class Unread(ValueError):  # noqa: N818 - a finding, not a fault of the program
    """A line that cannot be read, and what to write instead."""

    def __init__(self, what: str, mend: str, *, hangs_on: str = "") -> None:
        self.what = what
        self.mend = mend
        self.hangs_on = hangs_on
        super().__init__(what)


def read_line(
    text: str,
    *,
    cups: str | None = "metric",
    region: str = "uk",
    pick: str = "middle",
    foods: Foods | None = None,
) -> Line:
    """Read an ingredient line.

    Parameters
    ----------
    text
        "2 x 400 g tins chickpeas, drained", "a handful of parsley", "salt and pepper".
    cups
        Which cup and spoons are meant, of `models.foods.measures.CUPS`; None when nobody said.
    region
        uk or us: which tins, eggs, bunches and names are meant.
    pick
        Of a range: "middle" or "most".
    foods
        Where names are looked up, where one has foods of one's own; it knows its region.

    Returns
    -------
    The line with its items, at least one.

    Raises
    ------
    Unread
        When it names no food of the table, or an amount that no table makes grams of.

    Examples
    --------
    >>> read_line("2 large eggs, yolks only").items[0].grams
    Decimal('34')
    """
    known = builtin(region) if foods is None else foods
    # The tables of the program stay as they are, and so does a line; own foods are of one week.
    read = _read if known.own else _read_before
    return read(text, cups, known.region or region, pick, known)


def _read(text: str, cups: str | None, region: str, pick: str, foods: Foods) -> Line:
    try:
        written = read_written(text)
    except Unwritten as fault:
        raise Unread(f"{text!r} {fault}", fault.mend) from fault
    middle = written
    if pick == "most":
        written = _most(written)
    line = _Reading(text, written, cups, region, foods).line()
    if written == middle:
        return line
    return replace(line, remarks=(*line.remarks, "of a range the most is taken"))


_read_before = lru_cache(maxsize=2_048)(_read)


def _most(written: Written) -> Written:
    """Take the upper end of every range."""

    def top(measure: Measure) -> Measure:
        return replace(measure, count=replace(measure.count, least=measure.count.most))

    amounts = tuple(
        replace(
            amount,
            count=None if amount.count is None else replace(amount.count, least=amount.count.most),
            measures=tuple(map(top, amount.measures)),
        )
        for amount in written.amounts
    )
    return replace(written, amounts=amounts, spare=tuple(map(top, written.spare)))


# -- one line ------------------------------------------------------------------------


@dataclass(slots=True)
class _Reading:
    text: str
    written: Written
    cups: str | None
    region: str
    foods: Foods

    @property
    def measuring(self) -> Measuring:
        return Measuring(self.cups, self.region)

    def line(self) -> Line:
        written = self.written
        cups_needed(written, self.cups, self.text)
        items = [*self._foods(written)]
        for more in written.also:
            if not _is_of_these(more, written):
                items += self._more(more, written)
        remarks = [f"{item_remark}" for item_remark in self._remarks(written)]
        return Line(
            self.text,
            tuple(items),
            written.comments,
            written.purpose or written.extra,
            written.optional,
            tuple(remarks),
        )

    def _remarks(self, written: Written) -> Iterator[str]:
        if written.other is not None and written.name and is_name(written.other.name):
            yield f"{written.other.name} may be used instead; the first is counted"
        if written.extra:
            yield "the extra is not counted"
        if written.optional:
            yield "optional, and counted"
        if (written.amounts or written.spare) and _TO_FRY_IN.search(self.text):
            yield "all of the fat is counted, though most of it stays in the pan"

    def _more(self, more: Written, written: Written) -> Iterator[LineItem]:
        """Give the items of what is used too; behind a mere comma it may be no food at all."""
        clause = _named_alike(more, written)
        if not more.text and clause.name == written.name:
            return
        try:
            yield from self._foods(clause)
        except Unread:
            if more.text:
                raise

    # -- foods ------------------------------------------------------------------------

    def _foods(self, written: Written) -> Iterator[LineItem]:
        """Give the items of a clause: mostly one, several for "salt and pepper"."""
        if written.each_of:
            listed = several(" , ".join((written.name, *written.asides)))
            names = [name for name in listed if not all(map(adds_nothing, split(name)))]
            how = names[0].split()[0] if names else ""
            for name in names:
                same = f"{how} {name}"
                named_alike = same if is_name(same) and adds_nothing(how.casefold()) else name
                yield from self._food(replace(written, name=named_alike, asides=()))
            return
        if not written.amounts and not written.spare:
            yield from self._listed(written)
            return
        try:
            yield from self._food(written)
        except Unread as fault:
            names = several(written.name)
            if len(names) < 2:
                raise
            share = Decimal(1) / len(names)
            try:
                for name in names:
                    for item in self._food(replace(written, name=name)):
                        yield replace(
                            item,
                            grams=item.grams * share,
                            gross=item.gross * share,
                            remarks=(*item.remarks, "shared evenly")
                            if item.grams
                            else item.remarks,
                        )
            except Unread:
                raise fault from None

    def _listed(self, written: Written) -> Iterator[LineItem]:
        """Read a list without amounts: "salt, pepper and oil" are three foods."""
        names = several(written.name)
        try:
            yield from self._food(written)
            names = []
        except Unread:
            if len(names) < 2:
                raise
        for name in names:
            yield from self._food(replace(written, name=name))
        for aside in written.asides:
            for name in several(aside.removeprefix("and ")):
                if is_name(name) and " with " not in aside:
                    yield from self._food(replace(written, name=name, asides=()))

    def _food(self, written: Written) -> Iterator[LineItem]:
        yield from self._unwrapped(written)
        wrapper = wrapped_in(written)
        if wrapper:
            yield from self._wrapper(written, wrapper)

    def _wrapper(self, written: Written, name: str) -> Iterator[LineItem]:
        """Give what something is wrapped in, of which nobody said how much."""
        try:
            yield from self._food(Written(name, name=name, purpose=written.purpose))
        except Unread as fault:
            raise Unread(
                f"{self.text!r} names two foods, and does not say how much of the second",
                f"Write a line for each, the second as '100 g {name}'.",
            ) from fault

    def _unwrapped(self, written: Written) -> Iterator[LineItem]:
        egg = egg_part(written)
        if egg:
            yield from self._food(replace(written, name=egg, asides=(), rest=egg))
            return
        written, food, meant = self._whole_name(written) or (written, None, None)
        if food is not None and meant is not None:
            yield self._item(written, food, meant, written.name, exact=True)
            return
        parts = citrus_parts(written)
        if parts:
            for part in parts:
                yield self._part(written, part)
            return
        yield self._item(written, *self._named(written))

    def _whole_name(self, written: Written) -> tuple[Written, Food, Named] | None:
        """Find a food by its whole name as the table has it, commas and all."""
        parts = written.rest.split(",")
        for held, end in product(dict.fromkeys((written.held, "")), range(len(parts), 0, -1)):
            name = (held + ",".join(parts[:end])).strip()
            food = self._with_brackets(name, written.comments) or self.foods.whole(name)
            if food is not None:
                asides = tuple(part.strip() for part in parts[end:])
                called = food.name if food.name in self.foods.own else name
                clause = replace(written, name=called, asides=asides, other=None, rest="")
                if held:
                    last = replace(written.amounts[-1], holder="")
                    clause = replace(clause, amounts=(*written.amounts[:-1], last))
                return clause, food, Named(0)
        return None

    def _with_brackets(self, name: str, comments: Iterable[str]) -> Food | None:
        """Find a food of one's own whose name has what the line has in brackets."""
        foods = (self.foods.exact(f"{name} ({comment})") for comment in comments)
        return next((food for food in foods if food and food.name in self.foods.own), None)

    def _part(self, written: Written, part: str) -> LineItem:
        """Read the juice or the zest of so many fruits."""
        whole = fruit(written)
        amounts = tuple(
            replace(amount, part=part, count=amount.count, holder="") for amount in written.amounts
        )
        clause = replace(
            written, name=f"fresh {whole} {part}", amounts=amounts, asides=(), other=None
        )
        food, meant, _ = self._named(clause)
        thing = Thing(food, tuple(split(whole)), "")
        return self._weighed(clause, meant, thing, f"{whole} {part}", part)

    def _named(self, written: Written) -> tuple[Food, Named, str]:
        """Find the food of a clause, trying its words alone and with those beside them."""
        told = hints(written)
        fault: Unnamed | None = None
        for phrase in phrases(written):
            try:
                return *self._as_it_is(*self.foods.named(phrase, told), phrase, told), phrase
            except Unnamed as wrong:
                fault = fault or wrong
        if fault is None:
            raise Unread(f"{self.text!r} names no food", "Write what it is: 400 g onions.")
        instead = self._cooked(written, told) or self._instead(written, told)
        if instead is not None:
            return instead
        if not fault.near:
            for phrase in phrases(written):
                mended = self.foods.mended(phrase)
                if len(mended) == 1:
                    return self.foods.by_name[mended[0]], Named(0, read_as=True), phrase
            known = self._known_part(written, told)
            if known is not None:
                return known
            fault.near = self._fitting(self.foods.near(fault.name), told)
        elif len(split(fault.name)) == 1 and not set(fault.near) & set(self.foods.own):
            # "Sauce" alone: the everyday ones help more than the first of a release.
            fault.near = self.foods.near(fault.name) or fault.near
        raise _unknown(fault, written)

    def _fitting(self, near: tuple[str, ...], told: Hints) -> tuple[str, ...]:
        """Keep those of the foods that are tinned, where the line is of a tin; else all."""
        tinned = "tinned" in told.states
        fit = tuple(name for name in near if tinned and self.foods.by_name[name].state == "tinned")
        return fit or near

    def _cooked(self, written: Written, told: Hints) -> tuple[Food, Named, str] | None:
        """Find "cooked udon noodles" as udon noodles, cooked, where those are in the table."""
        for phrase in phrases(written):
            words = phrase.split()
            rest = " ".join(word for word in words if STATES.get(word.casefold()) != "cooked")
            if rest in ("", phrase):
                continue
            cooked = replace(told, states=told.states | {"cooked"})
            try:
                food, meant = self._as_it_is(*self.foods.named(rest, cooked), rest, cooked)
            except Unnamed:
                continue
            if food.state == "cooked":
                return food, replace(meant, read_as=True), phrase
        return None

    def _instead(self, written: Written, told: Hints) -> tuple[Food, Named, str] | None:
        """Take what may be used instead, where the table has it and not the first.

        Nobody said what is in the first, so the food counts as one that nobody described.
        """
        other = written.other
        if other is None or other.amounts or "or" not in other.text.split("/"):
            return None
        for phrase in phrases(other):
            try:
                food, meant = self.foods.named(phrase, told)
            except Unnamed:
                continue
            unsaid = (written.name,)
            return _untold(food), replace(meant, read_as=False, unsaid=unsaid), phrase
        return None

    def _known_part(self, written: Written, told: Hints) -> tuple[Food, Named, str] | None:
        """Find the food without the words that are strange here: its maker's, or of its sort.

        What a maker puts in nobody said; a sort of a fruit or vegetable is as good as another.
        """
        if re.search(BLOCKING, written.name, re.IGNORECASE):
            return None
        for phrase in phrases(written):
            strange = [word for word in phrase.split() if self._is_strange(word)]
            known = " ".join(word for word in phrase.split() if word not in strange)
            # The last word says what it is: carrot xylophones are no carrots.
            if not strange or not is_name(known) or phrase.split()[-1] in strange:
                continue
            try:
                food, meant = self._as_it_is(*self.foods.named(known, told), known, told)
            except Unnamed:
                continue
            plant = food.group in _PLANTS and food.state == "raw"
            named = all(word[:1].isupper() for word in strange)
            # In small letters a word behind a number may be what holds them: 1 barrel leeks.
            if not named and not (plant and all(amount.measures for amount in written.amounts)):
                continue
            food = food if plant else _untold(food)
            return food, replace(meant, read_as=False, unsaid=(*strange, *meant.unsaid)), known
        return None

    def _is_strange(self, word: str) -> bool:
        return not _WAYS.search(word) and self.foods.is_strange(word)

    def _as_it_is(self, food: Food, meant: Named, phrase: str, told: Hints) -> tuple[Food, Named]:
        """Take the boiled food where the line says cooked or tinned and the name means the dry.

        So of a fruit that the line has in a tin, and the name fresh, where the table has both.
        """
        if food.state == "raw" and "tinned" in told.states and food.group in _TINNED:
            try:
                other, how = self.foods.named(f"tinned {phrase}", told)
            except Unnamed:
                return food, replace(meant, read_as=True)
            return other, replace(how, read_as=True)
        if food.state != "dry" or food.group not in _SWELLS or not told.states & _SWOLLEN:
            return food, meant
        kind = food.name.partition(",")[0]
        for name in (f"{kind}, boiled", f"cooked {phrase}", f"cooked {kind}"):
            try:
                other, how = self.foods.named(name, told)
            except Unnamed:
                continue
            if other.state != "dry":
                return other, replace(how, read_as=True)
        raise Unnamed(phrase, "is in the table only dry", (food.name,))

    def _item(
        self, written: Written, food: Food, meant: Named, phrase: str, *, exact: bool = False
    ) -> LineItem:
        if is_held(written, phrase):
            last = replace(written.amounts[-1], holder="")
            written = replace(written, amounts=(*written.amounts[:-1], last))
        plain_phrase = split(CUT.sub("", phrase)) or split(phrase)
        words = tuple(word for word in plain_phrase if word not in NOTHING and word not in STATES)
        prepared = " ".join((phrase, written.name, *written.asides))
        thing = Thing(food, words or tuple(split(phrase)), prepared, phrase, exact)
        return self._weighed(written, meant, thing, phrase, "")

    def _weighed(
        self, written: Written, meant: Named, thing: Thing, phrase: str, part: str
    ) -> LineItem:
        remarks = [f"read as {thing.food.name}"] if meant.read_as else []
        if meant.unsaid:
            remarks.append(
                f"read as {thing.food.name}: the table knows no {' '.join(meant.unsaid)}"
            )
        if LESS_SALT.search(written.name) and not _FREE_OF_SALT.search(thing.food.name):
            remarks.append("salt is counted as in the usual kind, for the table has no other")
        amounts = written.amounts
        if not amounts and not written.spare:
            return self._without_amount(written, thing, phrase, tuple(remarks))
        try:
            weighed = weigh(_held(amounts, meant, thing), written.spare, thing, self.measuring)
        except Unweighed as fault:
            raise no_weight(thing.food, str(fault)) from None
        gross = weighed.grams
        weighed = self._flesh(self._drained(weighed, written, thing), written, thing)
        if weighed.grams > HEAVIEST:
            raise Unread(
                f"{self.text!r} is more than a kitchen holds ({HEAVIEST // 1000} kg at the most)",
                "Check the number and the unit.",
            )
        if weighed.grams <= 0:
            raise Unread(f"{self.text!r} is nothing", "Write an amount above nothing.")
        return LineItem(
            name=phrase,
            food=thing.food,
            amounts=amounts,
            part=part,
            preparation=written.asides,
            grams=weighed.grams,
            gross=gross,
            how=weighed.how,
            whole=_whole(amounts, thing.food),
            remarks=(*remarks, *weighed.remarks),
            written=weighed.written,
        )

    def _without_amount(
        self, written: Written, thing: Thing, phrase: str, remarks: tuple[str, ...]
    ) -> LineItem:
        food = thing.food
        protein = food.nutrients.get("PROCNT", Decimal(0))
        if protein >= BEARING and food.group not in _TRACES and not written.purpose:
            raise Unread(
                f"{self.text!r} does not say how much, and {food.name} holds protein",
                f"Write an amount in front: 100 g {phrase}.",
            )
        return LineItem(
            name=phrase,
            food=food,
            amounts=(),
            part="",
            preparation=written.asides,
            grams=Decimal(0),
            gross=Decimal(0),
            remarks=(*remarks, "no amount is written: counted as none"),
        )

    # -- tins and shells --------------------------------------------------------------

    def _drained(self, weighed: Weighed, written: Written, thing: Thing) -> Weighed:
        """Take what stays of a tin: where the line says drained, or the food is without liquid."""
        drained = re.search(
            r"\bdrained\b", " ".join((thing.prepared, *written.comments)).casefold()
        )
        if re.search(
            r"\b(undrained|not drained)\b|\bwith (their|its|the) (liquid|juice)", thing.prepared
        ):
            return weighed
        row = tin(thing, self.region)
        if row is None and drained and weighed.tins:
            row = _TIN
        boiled = weighed.tins and (thing.food.group, thing.food.state) == ("pulses", "cooked")
        if row is None or not (drained or boiled or "drained" in split(thing.food.name)):
            return weighed
        whole, stays = Decimal(row["whole"]), Decimal(row["drained"])
        tins = weighed.tins or (
            weighed.written
            and not thing.exact
            and thing.food.state == "tinned"
            and _near(weighed.grams, whole)
        )
        if not tins or whole == stays or _is_drained_weight(written):
            return weighed
        remark = (
            f"{plain(weighed.grams, 0)} g in the tin: "
            f"{plain(weighed.grams * stays / whole, 0)} g drained ({row['source']})"
        )
        return replace(
            weighed, grams=weighed.grams * stays / whole, remarks=(*weighed.remarks, remark)
        )

    def _flesh(self, weighed: Weighed, written: Written, thing: Thing) -> Weighed:
        """Take off shells and bones of what is weighed whole, and the flesh of preserved lemons."""
        if "preserved" in thing.line_words and _RIND_ALONE.search(self.text):
            remark = "half of it is rind (common practice, no source)"
            return replace(weighed, grams=weighed.grams / 2, remarks=(*weighed.remarks, remark))
        row = flesh(thing, self.region, " ".join((written.text, *written.comments)))
        loose = re.search(
            r"\b(shelled|meat|cooked|tinned|peeled|boneless|shell removed|picked|lump|backfin)\b",
            thing.prepared,
        )
        if row is not None and row["unit"] != "in shell":
            loose = None  # the line says itself that the shell is on, whatever else it says
        if row is None and thing.food.group in _BONY and self._is_on_the_bone(written):
            row, loose = bones(thing, self.region), None
        if row is None or not weighed.written or loose or thing.exact:
            return weighed
        share = Decimal(row["grams"])
        remark = f"{plain(share * 100)} % of it is eaten ({row['source']})"
        return replace(weighed, grams=weighed.grams * share, remarks=(*weighed.remarks, remark))

    def _is_on_the_bone(self, written: Written) -> bool:
        line = " ".join((self.written.text, *written.comments))
        return bool(_BONE.search(line)) and not _BONED.search(line)


_FREE_OF_SALT = re.compile(
    r"\b(reduced salt|no added salt|unsalted|low sodium|without salt|dry|raw|boiled)\b"
)
_PLANTS = frozenset({"vegetables", "leaves", "fruit"})
_WAYS = re.compile(r"(ed|ing|less|free|ish|style)$", re.IGNORECASE)
"""How words end that say what was done to a food, or what is not in it."""


def _untold(food: Food) -> Food:
    """Let a food count as one of which nobody said what is in it."""
    held = food.families
    return replace(food, allergens_known=False, stated=Families(held.holds, held.may, told=False))


def _named_alike(more: Written, written: Written) -> Written:
    """Lend what stands behind "plus" the name before it: plus 2 tablespoons; plus 1 tbsp juice."""
    words = split(CUT.sub("", more.name))
    if all(adds_nothing(word) or word in PORTIONS for word in words):
        return replace(more, name=written.name)
    if words and set(words) <= {"juice", "zest"} and fruit(written) != written.name:
        return replace(more, name=f"fresh {fruit(written)} {words[-1]}")
    return more


def _is_of_these(more: Written, written: Written) -> bool:
    """Tell whether a clause says what is done with some of them: 3 limes, 2 juiced and 1 sliced."""
    counts = [amount.count for part in (more, written) for amount in part.amounts[:1]]
    if len(counts) < 2 or None in counts or any(amount.measures for amount in more.amounts):
        return False
    some, all_ = (count.middle for count in counts if count is not None)
    words = split(CUT.sub("", more.name))
    handled = bool(words) and all(map(adds_nothing, words))
    return handled and some < all_ and more.text in ("", "and")


_TO_FRY_IN = re.compile(
    r"\b(oil|fat|lard|ghee|dripping|butter)\b.*\bfor [a-z -]{0,20}frying\b", re.IGNORECASE
)
_RIND_ALONE = re.compile(
    r"\b(pulp|flesh|insides?|seeds)( and \w+)? (discarded|removed|scooped out)|"
    r"\b(rind|peel|skin|zest) only|^(the )?(rind|peel|skin) of",
    re.IGNORECASE,
)
_TIN = {"whole": "1", "drained": "0.6", "source": "common practice, no source"}
_BONY = frozenset({"meat", "poultry"})
_BONE = re.compile(r"\bbone[- ]in\b|\bon the bone\b|\bwith (the )?bones?\b", re.IGNORECASE)
_BONED = re.compile(r"\b(boned|boneless|bones? removed)\b", re.IGNORECASE)


# -- amounts --------------------------------------------------------------------------


def _held(amounts: Iterable[Amount], meant: Named, thing: Thing) -> tuple[Amount, ...]:
    """Take a part that stands in the name as what is counted: 2 garlic cloves, 4 basil leaves."""
    left = meant.left[0] if meant.left else ""
    if not left and len(thing.words) > 1 and thing.words[-1] in _HOLDING:
        left = thing.words[-1]
    if not left and (threads := set(split(thing.phrase)) & _THREADS):
        left = threads.pop()
    noun = _HOLDING.get(left, "")
    return tuple(
        replace(amount, holder=noun)
        if noun and not amount.holder and not amount.measures
        else amount
        for amount in amounts
    )


_HOLDING = {
    split(word)[0]: word
    for word in (
        "clove",
        "leaf",
        "stalk",
        "stick",
        "sprig",
        "slice",
        "head",
        "sheet",
        "fillet",
        "rasher",
        "bulb",
        "stem",
        "strip",
        "wedge",
        "root",
        "cube",
        "ear",
        "spear",
        "floret",
        "heart",
        "half",
        "loaf",
    )
}
_THREADS = frozenset(split("strand thread"))
_HOLDING |= dict.fromkeys(_THREADS, "thread")


def _whole(amounts: tuple[Amount, ...], food: Food) -> Decimal | None:
    """Count tins, packs or eggs; None for what is measured or cut."""
    if len(amounts) != 1 or amounts[0].count is None:
        return None
    amount = amounts[0]
    whole = amount.holder in ("tin", "jar", "pack") or (
        not amount.holder and "egg" in split(food.name)
    )
    return amount.count.middle if whole and amount.count is not None else None


def _near(grams: Decimal, whole: Decimal) -> bool:
    tins = max(Decimal(1), (grams / whole).to_integral_value())
    return abs(grams - tins * whole) <= whole * Decimal("0.06")


def _is_drained_weight(written: Written) -> bool:
    notes = " ".join((*written.asides, *written.comments)).casefold()
    return bool(re.search(r"drained weight|weight when drained|once drained", notes))


# -- faults --------------------------------------------------------------------------


def cups_needed(written: Written, cups: str | None, text: str) -> None:
    """Refuse what is measured by cup or spoon where nobody said which are meant.

    Parameters
    ----------
    written
        A line, taken apart.
    cups
        Which are meant; None when nobody said.
    text
        The line, for the message.

    Raises
    ------
    Unread
        With the settings there are.

    Examples
    --------
    >>> try:
    ...     cups_needed(read_written("1 cup rice"), None, "1 cup rice")
    ... except Unread as fault:
    ...     print(fault)
    '1 cup rice' is measured by cup or spoon, and the week does not say which
    """
    units = {measure.unit for amount in written.amounts for measure in amount.measures}
    if cups is None and units & CUPS["us"].keys() and not units & GRAMS.keys():
        raise Unread(
            f"{text!r} is measured by cup or spoon, and the week does not say which",
            f"Write 'cups: label' under 'week', or one of {', '.join(CUPS)}: "
            f"{describe_cups('label')}.",
            hangs_on="cups",
        )


def _unknown(fault: Unnamed, written: Written) -> Unread:
    name = fault.name or written.text
    what = f"{name!r} {fault.why}"
    words = split(name)
    while len(words) > 1 and words[-1] in PORTIONS - {"leaf"}:
        words = words[:-1]
    strangers = ((split(row["name"]), row["instead"]) for row in rows("strangers.csv"))
    instead = next(
        (
            told
            for stranger, told in strangers
            if {*stranger} <= {*words} and stranger[-1] == words[-1]
        ),
        "",
    )
    if instead:
        return Unread(what, instead)
    if fault.near:
        which = "Write one of: " if len(fault.near) > 1 else "Write "
        mend = f"{which}{'; '.join(fault.near)}."
        if len(fault.near) == 1 < len(words) and not nearest(words[-1], split(fault.near[0])):
            mend = f"The nearest is {fault.near[0]}: write it only where that is what goes in."
        if any(not amount.measures for amount in written.amounts):
            mend += f" What one weighs may be unknown; then its mass, as 100 g {fault.near[0]}."
        return Unread(what, mend)
    return Unread(
        what,
        "Nothing like it is there: write what it is without its maker's name, as orange liqueur; "
        "or state its figures under 'foods', or leave it out.",
    )


def no_weight(food: Food, measure: str) -> Unread:
    """Make the fault of an amount that no table makes grams of.

    Parameters
    ----------
    food
        The food.
    measure
        What was asked for of it: "cup", "large slice".

    Returns
    -------
    To be raised; its mend lists the measures that the table knows, in g.

    Examples
    --------
    >>> from models.foods.food import find
    >>> no_weight(find("leek"), "barrel").what
    "the table does not know what one barrel 'leek, raw' weighs"
    """
    measures = ", ".join(
        f"{name.replace(':', ', ')} ({plain(grams, 2)} g)" for name, grams in food.measures.items()
    )
    known = f"Its measures: {measures}." if measures else "It has no measures."
    return Unread(
        f"the table does not know what one {measure} {food.name!r} weighs",
        f"Write its mass in g, as 100 g {food.name}. {known}",
    )
