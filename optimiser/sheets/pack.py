"""Morning cards: what goes where in the box, in the order in which it is packed.

Wet food goes into the pots first; what they do not take and what is crisp lie in compartments of
their own. Of all ways to part the compartments the one is taken that leaves the crisp food the
least room to spare, which leaves the rest the most.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import combinations

from models.answers.pack import Card, CardFile, CardPart, CardPlace, NothingToPack
from models.answers.plan import LunchLine
from models.answers.shop import Unit
from models.week.cautions import Caution, bearing, on_sheet
from models.week.packed import PackedLunch, PackedWeek, helpings
from models.week.sums import decimal, share
from models.week.week import Box, Helping, LarderItem, Texture, Week
from models.words.days import day_name
from models.words.numbers import counted, in_numbers, listed, plain
from models.words.units import GRAM, MILLILITRE, Quantity, magnitude
from optimiser.rules.giving import not_packed
from optimiser.sheets.shop import spooned
from optimiser.written import SYMBOLS, lunch_line, number

BESIDE = "beside the box"
WHOLE = 20
"""g or mL from which a kitchen splits none."""
_NOTES = {
    "pot": "closed until eaten",
    "crisp": "crisp: stays apart from what is wet until eaten",
}


@dataclass(frozen=True, slots=True)
class _Food:
    """Food of one lunch with the room it takes, in mL; none travels beside the box."""

    part: CardPart
    room: Decimal | None


@dataclass
class _Holder:
    """A pot or a compartment that is being filled."""

    name: str
    room: Decimal
    foods: list[CardPart]
    used: Decimal = Decimal(0)
    note: str = ""

    @property
    def free(self) -> Decimal:
        return self.room - self.used


def cards(week: Week, packed: PackedWeek) -> CardFile:
    """Give a card for every lunch, in the order of the days.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.

    Returns
    -------
    CardFile
        For each lunch what goes in which compartment or pot, in the order of packing.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> week = read_week("starter")
    >>> _, solved = solve_week(week)
    >>> len(cards(week, solved.packed).cards) == len(week.lunches)
    True
    """
    order = sorted(packed.lunches, key=lambda lunch: lunch.day)
    cautions = on_sheet(bearing(week, packed), "pack")
    return CardFile(
        name=week.name,
        cards=[
            _card(week, lunch, whom or lunch.eater, many, cautions)
            for lunch, whom, many in _in_numbers(week, order)
        ],
        to_buy=[NothingToPack(date=day, eater=eater) for eater, day in not_packed(week, packed)],
    )


def _in_numbers(week: Week, order: list[PackedLunch]) -> list[tuple[PackedLunch, str, int]]:
    def group(lunch: PackedLunch) -> str:
        return week.eaters[lunch.eater].group

    return in_numbers(order, group, lambda lunch: repr((group(lunch), replace(lunch, eater=""))))


def _card(week: Week, lunch: PackedLunch, eater: str, times: int, cautions: list[Caution]) -> Card:
    dish = week.dishes[lunch.dish]
    foods = list(_foods(week, lunch))
    line = lunch_line(week, lunch, [])
    return Card(
        date=lunch.day,
        eater=eater,
        dish=lunch.dish,
        minutes=times * dish.minutes,
        before=list(_before(week, line)),
        places=list(_places(week, lunch, foods)),
        carry=list(_carry(week, lunch, line)),
        eat=[_heated(lunch, cautions)] if dish.microwave else [],
        cautions=[
            caution.short for caution in cautions if set(caution.of) & set(_inside(week, lunch))
        ],
        allergens=line.allergens,
        allergens_us=line.allergens_us,
        cereals=line.cereals,
        allergens_unknown=line.allergens_unknown,
    )


def _inside(week: Week, lunch: PackedLunch) -> Iterator[str]:
    """Name the batches and bought foods of a lunch."""
    yield from (part.batch for part in lunch.portions if part.portions)
    yield from (helping.item for helping in helpings(week, lunch))


def _heated(lunch: PackedLunch, cautions: list[Caution]) -> str:
    """Say what is heated, and how hot by the guidance that the week follows."""
    cooked = listed([part.batch for part in lunch.portions if part.portions])
    reheating = next(caution.short for caution in cautions if caution.key == "reheating")
    return f"heat {cooked or 'it'} until steaming hot right through: {reheating.partition(': ')[2]}"


def _before(week: Week, line: LunchLine) -> Iterator[str]:
    for part in line.batches:
        if part.move_to_fridge is not None:
            evening = day_name(part.move_to_fridge)
            count = counted(part.from_freezer, week.batches[part.batch].portion_word)
            yield f"{evening}, evening: {count} of {part.batch} from freezer to fridge"


def _carry(week: Week, lunch: PackedLunch, line: LunchLine) -> Iterator[str]:
    cold = any(week.batches[part.batch].chilled for part in lunch.portions if part.portions)
    cold = cold or any(week.larder[helping.item].chilled for helping in helpings(week, lunch))
    if not cold:
        return
    if line.fridge:
        yield "into the fridge there as soon as you arrive"
    else:
        packs = max(2, line.cold_packs)
        yield f"{counted(packs, 'cold pack')} and an insulated bag: there is no fridge (USDA FSIS)"


# -- what goes in --------------------------------------------------------------------


def _foods(week: Week, lunch: PackedLunch) -> Iterator[_Food]:
    for part in lunch.portions:
        batch = week.batches[part.batch]
        if part.portions:
            grams = part.portions * magnitude(batch.portion, GRAM)
            text = (
                f"{counted(part.portions, batch.portion_word)} {batch.name} ({_weighed(grams)} g)"
            )
            room = None if batch.room is None else magnitude(batch.room, MILLILITRE) * part.portions
            yield _Food(
                CardPart(
                    what=batch.name,
                    amount=number(grams),
                    unit="g",
                    text=text,
                    texture=batch.texture.value,
                    thawed=part.thawed,
                ),
                room,
            )
    for helping in helpings(week, lunch):
        yield _helping(week.larder[helping.item], helping)


def _weighed(amount: Decimal) -> str:
    """Write g or mL as fine as a kitchen weighs them."""
    return plain(amount, 0 if amount >= WHOLE else 1)


def _helping(item: LarderItem, helping: Helping) -> _Food:
    amount = magnitude(helping.amount, item.unit)
    unit: Unit = SYMBOLS[item.unit]
    amount_text = counted(int(amount), "piece") if unit == "piece" else f"{_weighed(amount)} {unit}"
    # As the plan has it: "2 x rye bread".
    times = f"{plain(amount)}{'' if amount == 1 else ' x'}"
    text = f"{times if unit == 'piece' else amount_text} {item.name}{_spooned(item, amount)}"
    room = None
    if item.room is not None:
        room = decimal(Fraction(magnitude(item.room, MILLILITRE)) * share(item, helping))
    part = CardPart(
        what=item.name,
        amount=number(amount),
        unit=unit,
        text=text,
        texture=item.texture.value,
    )
    return _Food(part, room)


def _spooned(item: LarderItem, amount: Decimal) -> str:
    """Say how many spoons that is of what is wet, where half spoons come within a tenth of it."""
    foods = () if item.recipe is None or not item.of_food else item.recipe.foods
    if len(foods) != 1 or item.texture is not Texture.WET or item.unit is not GRAM:
        return ""
    for spoon, most in (("tsp", 4), ("tbsp", 6)):
        if each := foods[0].measures.get(spoon):
            halves = round(2 * amount / each)
            if 0 < halves <= 2 * most and abs(halves * each / 2 - amount) * 10 <= amount:
                return f" ({spooned({spoon: Decimal(halves) / 2})})"
    return ""


# -- where it goes -------------------------------------------------------------------


def _places(week: Week, lunch: PackedLunch, foods: list[_Food]) -> Iterator[CardPlace]:
    eater = week.eaters[lunch.eater]
    beside = [food.part for food in foods if food.room is None]
    inside = [food for food in foods if food.room is not None]
    if eater.box is None:
        beside, inside = [food.part for food in foods], []
    else:
        box = week.boxes[eater.box]
        pots, rooms = _packed(inside, box)
        for holder in (*pots, *rooms):
            if holder.foods:
                yield CardPlace(
                    place=holder.name,
                    room=number(holder.room),
                    used=number(holder.used),
                    parts=holder.foods,
                    note=holder.note,
                )
    if beside:
        yield CardPlace(place=BESIDE if eater.box else "to carry", parts=beside)


def _holder(what: str, at: int, room: Quantity) -> _Holder:
    return _Holder(f"{what} {at}", magnitude(room, MILLILITRE), [])


def _packed(foods: list[_Food], box: Box) -> tuple[list[_Holder], list[_Holder]]:
    """Fill a box: nothing parted where that can be, else what does not fit whole."""
    pots, rooms = _empty(box)
    if _pack(foods, pots, rooms, whole=True):
        return pots, rooms
    pots, rooms = _empty(box)
    _pack(foods, pots, rooms, whole=False)
    return pots, rooms


def _empty(box: Box) -> tuple[list[_Holder], list[_Holder]]:
    return (
        [_holder("pot", at, room) for at, room in enumerate(box.pots, start=1)],
        [_holder("compartment", at, room) for at, room in enumerate(box.compartments, start=1)],
    )


def _pack(foods: list[_Food], pots: list[_Holder], rooms: list[_Holder], *, whole: bool) -> bool:
    """Fill pots and compartments; tell whether all of it found room.

    Where nothing may be parted, sauces and other small wet things take the pots; else the pots
    are filled to the brim, as the rule of the box reckons.
    """
    wet = [food for food in foods if food.part.texture == Texture.WET.value]
    crisp = [food for food in foods if food.part.texture == Texture.CRISP.value]
    other = [food for food in foods if food not in wet and food not in crisp]
    for pot in pots:
        pot.note = _NOTES["pot"]
    order = _largest(wet)[::-1] if whole else _largest(wet)
    spilt = _fill(order, pots, whole=whole)
    for_crisp = _crisp_rooms(rooms, _sum(crisp), _sum(spilt))
    for_wet = [room for room in rooms if room not in for_crisp]
    if crisp and spilt:
        for room in for_crisp:
            room.note = _NOTES["crisp"]
    rest = _fill(_largest(spilt), for_wet or rooms, whole=whole)
    rest += _fill(_largest(crisp), for_crisp, whole=whole)
    # Plain food lies beside either.
    rest += _fill(_largest(other), [*for_wet, *for_crisp], whole=whole)
    for food in rest:
        rooms[-1].foods.append(food.part)
        rooms[-1].used += food.room or 0
    return not rest


def _largest(foods: list[_Food]) -> list[_Food]:
    return sorted(foods, key=lambda food: -(food.room or 0))


def _sum(foods: list[_Food]) -> Decimal:
    return sum((food.room or Decimal(0) for food in foods), Decimal(0))


def _crisp_rooms(rooms: list[_Holder], crisp: Decimal, wet: Decimal) -> list[_Holder]:
    """Choose compartments for what is crisp: enough for it, the others enough for the wet."""
    if not crisp:
        return []
    if not wet:
        return list(rooms)
    total = sum((room.room for room in rooms), Decimal(0))
    ways = [
        list(chosen) for size in range(1, len(rooms) + 1) for chosen in combinations(rooms, size)
    ]

    def held(way: list[_Holder]) -> Decimal:
        return sum((room.room for room in way), Decimal(0))

    fit = [way for way in ways if held(way) >= crisp and total - held(way) >= wet]
    return min(fit, key=held, default=list(rooms))


def _fill(foods: list[_Food], holders: list[_Holder], *, whole: bool) -> list[_Food]:
    """Put foods whole where they fit closest, then parted; give what finds no room."""
    left: list[_Food] = []
    for food in foods:
        size = food.room or Decimal(0)
        fitting = [holder for holder in holders if holder.free >= size]
        if fitting:
            _put(food.part, size, min(fitting, key=lambda holder: holder.free))
            continue
        for roomy in () if whole else sorted(holders, key=lambda holder: -holder.free):
            part = min(roomy.free, size)
            if part > 0:
                _put(_share(food, part), part, roomy)
                size -= part
        if size > 0:
            left.append(replace(food, part=_share(food, size), room=size))
    return left


def _put(part: CardPart, size: Decimal, holder: _Holder) -> None:
    holder.foods.append(part)
    holder.used += size


def _share(food: _Food, room: Decimal) -> CardPart:
    """Give the part of a food that takes so much room, and say which part that is."""
    whole = food.room or Decimal(1)
    if room == whole:
        return food.part
    amount = Decimal(str(food.part.amount)) * room / whole
    return food.part.model_copy(
        update={
            "amount": number(amount),
            "text": f"{plain(room * 100 / whole, 0)} % of the {food.part.what}",
        }
    )
