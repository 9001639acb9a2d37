"""From a week file to a week: names are looked up, dates set, nonsense refused.

pydantic judges each entry by itself; what one entry says of another is judged
here. Either way the user gets one message with the line it is about.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date, time, timedelta
from decimal import Decimal
from math import prod
from pathlib import Path
from typing import Any

from pydantic import ValidationError

import scenarios
from models.file import yamltext
from models.file.avoided import Avoided, avoided
from models.file.entries import (
    DailyProtein,
    DishEntry,
    EaterEntry,
    PlaceEntry,
    WeekFile,
    WhatIfEntry,
)
from models.file.facts import Unclear, entry_of
from models.file.food import FoodReader
from models.file.kitchen import kitchen_of
from models.file.knobs import floor_of, lunches_knob, yield_of
from models.foods.food import Food
from models.week.knobs import Knob
from models.week.week import (
    Batch,
    Bound,
    Box,
    Choice,
    Dish,
    Eater,
    Extra,
    Helping,
    LarderItem,
    Lunch,
    NoLunch,
    Place,
    Take,
    Times,
    Variety,
    Week,
)
from models.words.days import DAY_NAMES
from models.words.document import Document, document_of
from models.words.errors import InputError, Where
from models.words.names import plain as plain_name
from models.words.needs import LEAST_BODY_MASS, STANDARDS, Standard
from models.words.numbers import plain
from models.words.nutrients import NUTRIENTS, PROTEIN
from models.words.priorities import PRIORITY_NAMES, TIE_BREAK, ranked
from models.words.units import GRAM, Quantity, fits, magnitude, quantity, sayable

MOST_SERVINGS = 2_000
MOST_LUNCHES = 2_000
MOST_PORTIONS = 2_000
MILLIGRAM = Decimal("0.001")


_READY = Path(scenarios.__file__).parent


def ready_weeks() -> tuple[str, ...]:
    """List the names of the weeks that come with the program."""
    return tuple(sorted(path.stem for path in _READY.glob("*.yaml")))


def ready_text(name: str) -> str:
    """Give the file of a ready week."""
    return (_READY / f"{name}.yaml").read_text(encoding="utf-8")


def read_document(file: str) -> Document:
    """Read a week file, a ready week by its name, or standard input for "-".

    Raises
    ------
    InputError
        When it cannot be read or is not YAML.
    """
    if file in ready_weeks():
        return yamltext.parse(file, ready_text(file))
    source, text = yamltext.read_text(file)
    return yamltext.parse(source, text)


def read_week(file: str, own: Iterable[Food] = ()) -> Week:
    """Read a week.

    Parameters
    ----------
    file
        Path of a week file, name of a ready week ("demo"), or "-" for standard input.
    own
        Foods of the user's own tables, which go before those of the program.

    Raises
    ------
    InputError
        With the line, what is wrong there and how to mend it.

    >>> read_week("demo").source.name
    'demo'
    """
    return week_of(read_document(file), own)


def week_of(document: Document | Mapping[str, Any], own: Iterable[Food] = ()) -> Week:
    """Make a week of what a file says.

    Parameters
    ----------
    document
        A document that has been read, or the same as plain Python data: mappings, lists, text,
        numbers and dates. Of plain data a fault is placed by its keys, without a line.
    own
        Foods of the user's own tables, which go before those of the program.

    Raises
    ------
    InputError
        With the place, what is wrong there and how to mend it.

    >>> from datetime import date
    >>> week = week_of({
    ...     "week": {"starts": date(2026, 11, 30), "days": ["mon"]},
    ...     "eaters": {"Ann": {}},
    ...     "larder": {"apple": {"pack": "4 pieces", "price": 2.4, "allergens": "none"}},
    ...     "dishes": {"fruit": {"kind": "cold", "goes_in": {"apple": "2 pieces"}}},
    ... })
    >>> [lunch.eater for lunch in week.lunches]
    ['Ann']
    """
    if isinstance(document, Mapping):
        document = document_of(document)
    if not isinstance(document.data, dict):
        raise InputError(
            Where(document.name, 1),
            "this is not a week file: it must be 'key: value' lines",
            "Start from a ready one: clearfridge new FILE",
        )
    try:
        entry = WeekFile.model_validate(document.data)
    except ValidationError as wrong:
        raise explain(document, wrong) from None
    return _Reader(document, entry, tuple(own)).week()


def read_again(week: Week, document: Document) -> Week:
    """Make a week of a document that was changed, with the own tables that `week` was read with.

    Raises
    ------
    InputError
        When the changed document has a fault.
    """
    return week_of(document, week.tables)


def explain(
    document: Document, wrong: ValidationError, schema: str = "clearfridge schema"
) -> InputError:
    """Turn pydantic's findings into one message about the first place that is wrong."""
    found = [_place(document, dict(item)) for item in wrong.errors(include_url=False)]
    where, item = min(found, key=lambda pair: pair[0].line or 0)
    what, mend = _words(item, schema)
    more = len({str(place) for place, _ in found}) - 1
    if more:
        mend += f" ({more} more {'fault' if more == 1 else 'faults'} in this file after this one.)"
    return InputError(where, what, mend)


def _place(document: Document, item: dict[str, Any]) -> tuple[Where, dict[str, Any]]:
    path = tuple(item["loc"])
    key = (item.get("ctx") or {}).get("key")
    if key is not None:
        path = (*path, key)
    return document.where(path), item


def _words(item: dict[str, Any], schema: str) -> tuple[str, str]:
    context = item.get("ctx") or {}
    if item["type"] == "cook":
        return str(context["what"]), str(context["mend"])
    if item["type"] == "missing":
        return f"{str(item['loc'][-1])!r} is missing", "Add it here."
    value = json.dumps(item.get("input"), default=str, ensure_ascii=False)
    value = value if len(value) <= 40 else value[:37] + "..."
    return f"{value} does not fit here: {item['msg'][:1].lower()}{item['msg'][1:]}", (
        f"See what belongs here with: {schema}"
    )


class _Reader(FoodReader):
    """Builds a week from a file's entries; `fail` knows the lines."""

    def __init__(self, document: Document, entry: WeekFile, own: tuple[Food, ...]) -> None:
        self.document = document
        self.entry = entry
        self.tables = own
        self.days = self._days()
        self.facts = self.read_facts(own)

    def week(self) -> Week:
        entry = self.entry
        larder = {name: self.item(name, item) for name, item in entry.larder.items()}
        batches = {name: self.batch(name, item) for name, item in entry.batches.items()}
        self.larder, self.batches = larder, batches
        self.loose_names = {}
        choices = {name: self.choice(name, items) for name, items in entry.choices.items()}
        self.choices = choices
        dishes = {name: self.dish(name, item) for name, item in entry.dishes.items()}
        for name in batches:
            if not any(take.batch == name for dish in dishes.values() for take in dish.takes):
                raise self.fail(
                    ("batches", name),
                    f"no dish takes {name!r}",
                    "Name it under 'takes' of a dish, or remove the batch.",
                )
        self.dishes = dishes
        boxes = {
            name: Box(name, tuple(box.compartments), tuple(box.pots))
            for name, box in entry.boxes.items()
        }
        self.boxes = boxes
        eaters = {name: self.eater(name, item) for name, item in entry.eaters.items()}
        no_lunch = tuple(self.no_lunch())
        week = Week(
            name=entry.week.name,
            note=entry.week.note,
            guidance=entry.week.guidance or "",
            currency=entry.week.currency,
            days=self.days,
            no_lunch=no_lunch,
            lunches=self.lunches(no_lunch),
            eaters=eaters,
            batches=batches,
            larder=larder,
            choices=choices,
            dishes=dishes,
            boxes=boxes,
            variety=self.variety(),
            priorities=self.priorities(),
            cups=entry.week.cups,
            protein_said=self.facts.protein_said,
            own_foods=self.facts.foods.own,
            source=self.document,
            tables=self.tables,
            packs=self.packs,
            kitchen=kitchen_of(entry.kitchen),
            times=Times(
                entry.times.zone,
                time.fromisoformat(entry.times.morning),
                time.fromisoformat(entry.times.evening),
            ),
            cupboard=dict(self.there(name, said) for name, said in entry.cupboard.items()),
        )
        kept = {name: self.what_if(week, name, item) for name, item in entry.what_ifs.items()}
        return replace(week, what_ifs=kept) if kept else week

    def what_if(self, week: Week, name: str, entry: WhatIfEntry) -> tuple[Knob, ...]:
        """Read a what-if that is kept in the file."""
        path = ("what_ifs", name)

        def where(*steps: str) -> Where:
            return self.document.where((*path, *steps))

        knobs = [
            yield_of(week, batch, values, where("yield", batch))
            for batch, values in entry.yield_.items()
        ]
        for eater, floors in entry.floors.items():
            for nutrient, values in floors.items():
                place = where("floors", eater, nutrient)
                knobs.append(floor_of(week, eater, nutrient, values, place))
        if entry.lunches is not None:
            knobs.append(lunches_knob(week, entry.lunches, where("lunches")))
        if not knobs:
            raise self.fail(path, "nothing is turned", "Write as in 'yield: {NAME: 8..20}'.")
        return tuple(knobs)

    # -- days -----------------------------------------------------------------

    def _days(self) -> tuple[date, ...]:
        starts, wanted = self.entry.week.starts, self.entry.week.days
        if starts.year < 1970 or starts.year > 9000:
            raise self.fail(
                ("week", "starts"), f"{starts} is no week to cook for", "Mend the year."
            )
        if DAY_NAMES[starts.weekday()] not in wanted:
            raise self.fail(
                ("week", "starts"),
                f"{starts} is a {starts:%A}, which is not among the days of this week",
                f"Start on a {', '.join(wanted)}, or add {DAY_NAMES[starts.weekday()]} to 'days'.",
            )
        if len(set(wanted)) < len(wanted):
            raise self.fail(("week", "days"), "a day is named twice", "Name each day once.")
        span = (starts + timedelta(days=ahead) for ahead in range(7))
        return tuple(day for day in span if DAY_NAMES[day.weekday()] in wanted)

    def day(self, said: str | date, path: tuple[object, ...]) -> date:
        for day in self.days:
            if said in (day, DAY_NAMES[day.weekday()]):
                return day
        raise self.fail(
            path,
            f"{said} is not a day of this week",
            f"Its days are {', '.join(day.isoformat() for day in self.days)}.",
        )

    def no_lunch(self) -> Iterable[NoLunch]:
        for at, off in enumerate(self.entry.no_lunch):
            if off.eater is not None:
                self.look_up(off.eater, self.entry.eaters, ("no_lunch", at, "eater"), "eater")
            yield NoLunch(self.day(off.day, ("no_lunch", at, "day")), off.eater, off.why)

    def lunches(self, no_lunch: tuple[NoLunch, ...]) -> tuple[Lunch, ...]:
        everywhere = _place_of(self.entry.place)
        places: dict[tuple[date, str], Place] = {}
        for at, other in enumerate(self.entry.elsewhere):
            path = ("elsewhere", at)
            if other.eater is not None:
                self.look_up(other.eater, self.entry.eaters, (*path, "eater"), "eater")
            for name in [other.eater] if other.eater else list(self.entry.eaters):
                places[self.day(other.day, (*path, "day")), name] = _place_of(other)
        not_needed = {
            (off.day, name)
            for off in no_lunch
            for name in ([off.eater] if off.eater else self.entry.eaters)
        }
        lunches = tuple(
            Lunch(name, day, places.get((day, name), everywhere))
            for day in self.days
            for name in self.entry.eaters
            if (day, name) not in not_needed
        )
        if not lunches:
            raise self.fail(("no_lunch",), "no lunch is left", "Leave at least one to plan.")
        if len(lunches) > MOST_LUNCHES:
            raise self.fail(
                ("eaters",), f"{len(lunches)} lunches are too many", f"Plan up to {MOST_LUNCHES}."
            )
        return lunches

    # -- dishes ---------------------------------------------------------------

    def helping(self, name: str, amount: Quantity, path: tuple[object, ...]) -> Helping:
        self.look_up(name, self.larder, path, "larder item")
        item = self.larder[name]
        if not fits(amount, item.unit):
            raise self.fail(
                path,
                f"{sayable(amount)} of {name!r} cannot come from a pack of {sayable(item.pack)}",
                f"Say it in {item.unit}s.",
            )
        if magnitude(amount, item.unit) > 50 * magnitude(item.pack, item.unit):
            raise self.fail(
                path, f"{sayable(amount)} is more than 50 packs", "Check the amount and the pack."
            )
        return Helping(name, amount)

    def choice(self, name: str, entries: list[dict[str, Quantity]]) -> Choice:
        path = ("choices", name)
        options = []
        for at, entry in enumerate(entries):
            ((item, amount),) = entry.items()
            options.append(self.helping(item, amount, (*path, at, item)))
        if not options:
            raise self.fail(
                path, "this choice has no options", "Add lines like '- apple: 1 piece'."
            )
        if len({option.item for option in options}) < len(options):
            raise self.fail(path, "the same item is offered twice", "Offer each item once.")
        return Choice(name, tuple(options))

    def dish(self, name: str, entry: DishEntry) -> Dish:
        path = ("dishes", name)
        takes = tuple(
            self.take(batch, low, high, (*path, "takes", batch))
            for batch, (low, high) in entry.takes.items()
        )
        servings = prod(max(0, take.most - take.least + 1) for take in takes)
        if servings > MOST_SERVINGS:
            raise self.fail(
                (*path, "takes"),
                f"these ranges make {servings} different servings",
                f"Narrow them to {MOST_SERVINGS} or fewer.",
            )
        for at, choice in enumerate(entry.choices):
            self.look_up(choice, self.choices, (*path, "choices", at), "choice")
        if len(set(entry.choices)) < len(entry.choices):
            raise self.fail((*path, "choices"), "a choice is named twice", "Name each once.")
        recipe = self.recipe(entry.ingredients, path)
        added: dict[str, Helping] = {}
        for at, line in enumerate(recipe.ingredients if recipe is not None else ()):
            one = self.loose(name, line, at)
            more = added.get(one.item)
            added[one.item] = one if more is None else Helping(one.item, more.amount + one.amount)
        return Dish(
            name=name,
            kind=entry.kind,
            takes=takes,
            goes_in=(
                *(
                    self.helping(item, amount, (*path, "goes_in", item))
                    for item, amount in entry.goes_in.items()
                ),
                *added.values(),
            ),
            choices=tuple(entry.choices),
            extras=tuple(
                Extra(self.helping(item, extra.portion, (*path, "extras", item)), extra.most)
                for item, extra in entry.extras.items()
            ),
            minutes=entry.minutes,
            microwave=entry.microwave,
            most=entry.most,
            recipe=recipe,
        )

    def take(self, batch: str, low: int, high: int, path: tuple[object, ...]) -> Take:
        self.look_up(batch, self.batches, path, "batch")
        portions = self.batches[batch].portions
        # Where less is cooked this once, a dish that needs more just cannot come.
        if low > portions and self.batches[batch].whole is None:
            raise self.fail(
                path,
                f"it takes at least {low} of {batch!r}, which comes to {portions} in all: "
                "this dish can never be packed",
                f"Write at most {portions}, or cook more.",
            )
        return Take(batch, low, min(high, portions), written=high)

    # -- people ---------------------------------------------------------------

    def eater(self, name: str, entry: EaterEntry) -> Eater:
        path = ("eaters", name)
        if entry.box is not None:
            self.look_up(entry.box, self.boxes, (*path, "box"), "box")
        for dish in entry.likes:
            self.look_up(dish, self.dishes, (*path, "likes", dish), "dish")
        written = self._written_for(name)
        floors = _bounds(written, "floors", entry.floors, entry.week_floors)
        if entry.daily_protein is not None:
            if PROTEIN in entry.floors:
                raise self.fail(
                    (*path, "daily_protein"),
                    "there is a floor of protein as well as a daily need",
                    "Keep one of the two.",
                )
            floors.append(self.protein_floor(entry.daily_protein, (*path, "daily_protein")))
        ceilings = _bounds(written, "ceilings", entry.ceilings, entry.week_ceilings)
        if self.facts.quality is not None and any(one.nutrient == PROTEIN for one in ceilings):
            raise self.fail(
                path,
                "a ceiling on protein cannot be held against corrected protein",
                "Remove the ceiling, or 'protein_quality' under 'week'.",
            )
        for ceiling in ceilings:
            self.figures_known(ceiling.nutrient, path)
            for floor in floors:
                if (floor.nutrient, floor.weekly) == (ceiling.nutrient, ceiling.weekly):
                    self.above(floor, ceiling, path)
        avoided = self.avoided(entry.must_not.foods, (*path, "must_not", "foods"))
        return Eater(
            name=name,
            floors=tuple(floors),
            ceilings=tuple(ceilings),
            avoids_allergens=entry.must_not.allergens | avoided.allergens,
            avoids_foods=avoided.foods,
            diet=entry.must_not.diet or "",
            likes=entry.likes,
            box=entry.box,
        )

    def avoided(self, words: list[str], path: tuple[object, ...]) -> Avoided:
        """Read the foods that someone must not have."""
        contents = [(one.name, one.contents) for one in self.batches.values()]
        contents += [(one.name, one.contents) for one in self.larder.values()]
        names = {word for name, held in contents for word in (name.casefold(), *held.foods)}
        try:
            return avoided(words, self.facts.foods, frozenset(names))
        except Unclear as wrong:
            raise self.unclear(path, wrong) from None

    def _written_for(self, eater: str) -> object:
        """Give an eater's entry as it stands in the file."""
        data = self.document.data
        eaters = data.get("eaters") if isinstance(data, dict) else None
        known = eaters.items() if isinstance(eaters, dict) else ()
        return next((entry for name, entry in known if " ".join(str(name).split()) == eater), None)

    def above(self, floor: Bound, ceiling: Bound, path: tuple[object, ...]) -> None:
        nutrient = NUTRIENTS[ceiling.nutrient]
        low, high = (magnitude(bound.amount, nutrient.unit) for bound in (floor, ceiling))
        if low > high:
            raise self.fail(
                path,
                f"the floor of {nutrient.name} ({plain(low)} {nutrient.symbol}) is above "
                f"its ceiling ({plain(high)} {nutrient.symbol})",
                "Lower the floor or raise the ceiling.",
            )

    def figures_known(self, nutrient: str, path: tuple[object, ...]) -> None:
        """Refuse a ceiling where a missing figure could hide an excess."""
        foods: tuple[tuple[str, Mapping[str, Batch] | Mapping[str, LarderItem]], ...] = (
            ("batches", self.batches),
            ("larder", self.larder),
        )
        for where, things in foods:
            for name, food in things.items():
                if nutrient not in food.nutrition or nutrient in food.partial:
                    said = NUTRIENTS[nutrient].name
                    raise self.fail(
                        (where, name),
                        f"it gives no {said}, but {path[1]} has a ceiling on {said}",
                        f"Add '{said}' under its nutrition (0 if there is none).",
                    )

    def protein_floor(self, entry: DailyProtein, path: tuple[object, ...]) -> Bound:
        ways = [way for way in (entry.standard, entry.need, entry.need_per_kg) if way is not None]
        of_range = entry.standard is not None and entry.need is None
        if len(ways) != 1 and not of_range:
            raise self.fail(
                path,
                "say the daily need one way",
                "Give 'standard', 'need' or 'need_per_kg', just one of them.",
            )
        if entry.need is not None:
            daily, source = entry.need, f"{sayable(entry.need)} a day"
        else:
            daily, source = self._per_mass(entry, path)
        share = entry.lunch_share
        note = f"{source}, of which lunch carries {plain(share * 100)} %"
        if entry.standard is not None and STANDARDS[entry.standard].ask:
            note += f"; {STANDARDS[entry.standard].ask} first"
        return Bound(PROTEIN, daily * share, weekly=False, note=note)

    def _per_mass(self, entry: DailyProtein, path: tuple[object, ...]) -> tuple[Quantity, str]:
        if entry.body_mass is None:
            raise self.fail(path, "'body_mass' is missing", "Add it, as in 'body_mass: 64 kg'.")
        kilos = magnitude(entry.body_mass, "kilogram")
        if kilos < LEAST_BODY_MASS:
            raise self.fail(
                (*path, "body_mass"),
                f"{plain(kilos)} kg is too little for a need worked out for adults",
                "Ask a dietitian or a doctor, and write the need that they give: 'need: 30 g'.",
            )
        if entry.standard is None:
            per_kilo, more = magnitude(entry.need_per_kg or quantity(0, GRAM), GRAM), Decimal(0)
            said = f"{plain(per_kilo, 2)} g per kg and day"
        else:
            self.look_up(entry.standard, STANDARDS, (*path, "standard"), "standard")
            per_kilo, said = self._of_standard(entry, STANDARDS[entry.standard], path)
            more = STANDARDS[entry.standard].more
        return quantity(per_kilo * kilos + more, GRAM), f"{said}, {plain(kilos)} kg"

    def _of_standard(
        self, entry: DailyProtein, standard: Standard, path: tuple[object, ...]
    ) -> tuple[Decimal, str]:
        """Give the figure that is taken of a standard, per kg, and say which it is."""
        low, high = standard.per_kilo, standard.upper or standard.per_kilo
        if entry.need_per_kg is None:
            taken = f"; the lower end, {low} g, is taken" if standard.upper else ""
            return low, f"{standard.source}{taken}"
        own = magnitude(entry.need_per_kg, GRAM)
        if standard.upper is None:
            raise self.fail(
                path,
                "say the daily need one way",
                "Give 'standard', 'need' or 'need_per_kg', just one of them.",
            )
        if not low <= own <= high:
            raise self.fail(
                (*path, "need_per_kg"),
                f"{plain(own, 2)} g per kg is outside {standard.figure} ({standard.publisher})",
                "Write a figure inside, or leave 'standard' out and state your own.",
            )
        return own, f"{standard.source}; {plain(own, 2)} g is taken"

    # -- wishes ---------------------------------------------------------------

    def variety(self) -> Variety:
        entry = self.entry.variety
        kinds = {dish.kind for dish in self.dishes.values()}
        for at, group in enumerate(entry.kinds_apart):
            for kind in group:
                self.look_up(kind, kinds, ("variety", "kinds_apart", at), "kind of dish")
        return Variety(
            most_times=entry.most_times,
            days_between=entry.days_between,
            kinds_apart=self.kinds_apart(),
            same_choice=entry.same_choice,
            batch_running=entry.batch_running,
        )

    def kinds_apart(self) -> tuple[frozenset[str], ...]:
        known: list[frozenset[str]] = []
        for at, group in enumerate(map(frozenset, self.entry.variety.kinds_apart)):
            if group in known:
                kinds = " and ".join(sorted(group))
                path = ("variety", "kinds_apart", at)
                raise self.fail(path, f"{kinds} is named twice", "Keep one of the two.")
            known.append(group)
        return tuple(known)

    def priorities(self) -> tuple[str, ...]:
        named = self.entry.priorities
        for at, name in enumerate(named):
            self.look_up(name, PRIORITY_NAMES, ("priorities", at), "priority")
        if len(set(named)) < len(named):
            raise self.fail(("priorities",), "a priority is named twice", "Name each once.")
        return (*ranked(named), TIE_BREAK)


def _place_of(entry: PlaceEntry) -> Place:
    return Place(entry.fridge, entry.microwave, entry.cold_packs)


def _bounds(
    written: object, what: str, each: Mapping[str, Quantity], over_week: Mapping[str, Quantity]
) -> list[Bound]:
    """Give the bounds on each lunch, then those on the week; `written` is the eater's entry."""
    found = []
    for key, amounts in ((what, each), (f"week_{what}", over_week)):
        names = written.get(key) if isinstance(written, dict) else None
        salt = any(str(name).strip().casefold() == "salt" for name in names or ())
        for nutrient, amount in amounts.items():
            weekly = key != what
            found.append(Bound(nutrient, amount, weekly, as_salt=salt and nutrient == "NA"))
    return found


def carried(week: Week) -> dict[str, Any]:
    """Give what a week was read from as it travels in a plan.

    Foods of own tables that it uses are written into it, so that it can be read without them.
    """
    data = week.source.as_json()
    own = _foods_used(week, data)
    return {**data, "foods": {**data.get("foods", {}), **own}} if own else data


def _foods_used(week: Week, data: Mapping[str, Any]) -> dict[str, Any]:
    stated = data.get("foods", {})
    recipes = [batch.recipe for batch in week.batches.values()]
    recipes += [item.recipe for item in week.larder.values()]
    names = {food.name for recipe in recipes if recipe is not None for food in recipe.foods}
    priced = {plain_name(str(name)) for name in data.get("prices", {})}
    names |= {
        food.name
        for food in (week.own_foods.values() if priced else ())
        if priced & {plain_name(one) for one in (food.name, *food.aliases)}
    }
    return {
        name: entry_of(food)
        for name in sorted(names)
        if name not in stated and (food := week.own_foods.get(name)) is not None
    }
