"""Random small week files, so that the solvers meet weeks that nobody thought of.

The weeks are dicts in the file's own vocabulary, as `models.file.yamltext` would give them:
text, decimals, lists and mappings. So reading a week is tried along with solving it.
Every one can be read; more than half can be planned. They shrink towards less: fewer
eaters, no wishes, no rules.

A week is thrown from bytes and not drawn part by part: Hypothesis then varies nothing it
has drawn before, and no two weeks are near copies of each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, TypeAlias, TypeVar

from hypothesis import strategies as st

from models.words.document import Document
from models.words.priorities import PRIORITY_NAMES, ranked

WeekData: TypeAlias = dict[str, Any]
T = TypeVar("T")

MONDAY = date(2026, 11, 30)
DAY_WORDS = ("mon", "Tuesday", "wed", "Thursday", "fri", "Saturday", "sun")
EATERS = ("Ada", "Bo", "Cy")
BATCHES = ("farls", "beans", "roots")
ITEMS = ("plait", "leaves", "yoghurt", "sauce", "apple", "seeds")
CHOICES = ("fruit", "topping")
DISHES = ("Tart", "Bowl", "Pot", "Salad", "Plate")
KINDS = ("bread", "grain", "salad")
ALLERGENS = ("milk", "gluten", "nuts", "wheat", "shellfish")
FOODS = ("pork pies", "carrot", "Celery, raw")
UNWANTED = ("celery", "Pork", "Pittas", "LEAVES", "bean")
"""Of these words each means a food, a batch or an item here, none as it is written there."""

PRIORITIES = tuple(ranked(PRIORITY_NAMES))

THEMES = ("", "box", "variety", "nutrition", "bans")
"""What a week is mostly about: all rules at once would leave few weeks to plan."""

PATCHY = "fibre"
"""A nutrient that foods need not state, so no ceiling may be put on it."""

AMPLE: dict[str, tuple[str, str]] = dict.fromkeys(
    ("HISTN", "ILE", "LEU", "PHE", "TYR", "THR", "TRP", "VAL"), ("g", "1")
)
AMINO_ACIDS: tuple[dict[str, tuple[str, str]], ...] = (
    AMPLE | {"LYS": ("mg", "110"), "MET": ("mg", "90"), "CYS": ("mg", "90")},
    AMPLE | {"LYS": ("mg", "290"), "MET": ("mg", "30"), "CYS": ("mg", "25")},
    {},
)
"""Foods short of lysine, as grain is, or of methionine, as pulses are, or that state neither."""

LONGEST = 4
"""Days that the guidance of these weeks gives leftovers, the class of a batch that names none."""

THROWS = 420
"""Bytes for one week; what a larger one lacks is nought."""


@dataclass(frozen=True, slots=True)
class Size:
    """How much a week may hold at the most."""

    eaters: int
    days: int
    lunches: int
    batches: int
    items: int
    choices: int
    dishes: int
    reach: int
    extras: int


SMALL = Size(
    eaters=3, days=5, lunches=9, batches=3, items=5, choices=2, dishes=5, reach=2, extras=3
)
TINY = Size(eaters=2, days=3, lunches=4, batches=2, items=3, choices=1, dishes=3, reach=1, extras=1)


def document_of(data: WeekData) -> Document:
    """Make a document of a week's data, as if it had been read from a file."""
    return Document("random", data)


@st.composite
def files(
    draw: st.DrawFn, size: Size = SMALL, theme: str = "", *, earlier: bool = False
) -> WeekData:
    """Draw week files of at most a size that are mostly about one theme.

    With `earlier` a batch of some of them is of an earlier week, frozen in part, or cooked
    otherwise than its recipe.
    """
    return _file(size, theme, draw(dice()), earlier=earlier)


def dice() -> st.SearchStrategy[Dice]:
    """Draw dice, for those who throw something else than a week."""
    return st.binary(min_size=THROWS, max_size=THROWS).map(Dice)


class Dice:
    """Throws that are read off bytes; nought always means the first and the least."""

    def __init__(self, throws: bytes) -> None:
        self.throws = iter(throws)

    def whole(self, low: int, high: int) -> int:
        """Throw a whole number from `low` to `high`."""
        return low + next(self.throws, 0) % (high - low + 1)

    def often(self, tenths: int) -> bool:
        """Throw yes in so many of ten."""
        return self.whole(0, 9) >= 10 - tenths

    def pick(self, values: Sequence[T]) -> T:
        """Pick one."""
        return values[self.whole(0, len(values) - 1)]

    def some(self, values: Sequence[T], least: int, most: int) -> list[T]:
        """Pick some, none of them twice."""
        number = self.whole(min(least, len(values)), min(most, len(values)))
        return self.shuffled(values)[:number]

    def shuffled(self, values: Sequence[T]) -> list[T]:
        """Bring into any order."""
        rest = list(values)
        return [rest.pop(self.whole(0, len(rest) - 1)) for _ in values]


@dataclass(slots=True)
class _Frame:
    """What the parts of a week must know of each other."""

    size: Size
    theme: str
    eaters: list[str]
    days: list[date]
    batches: list[str]
    choices: list[str]
    dishes: list[str]
    portions: dict[str, int] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)

    def tenths(self, theme: str, much: int, little: int = 1) -> int:
        """Tell how often a week has something that belongs to a theme."""
        return much if theme == self.theme else little


def _number(value: int | str) -> Decimal:
    # What yamltext makes of every number, whole or not.
    return Decimal(value)


def _file(size: Size, theme: str, dice: Dice, *, earlier: bool) -> WeekData:
    eaters = list(EATERS[: dice.whole(1, size.eaters)])
    frame = _Frame(
        size=size,
        theme=theme,
        eaters=eaters,
        days=_days(dice, size, theme, len(eaters)),
        batches=list(BATCHES[: dice.whole(1, size.batches)]),
        choices=list(CHOICES[: dice.whole(0, size.choices)]),
        dishes=list(DISHES[: min(size.dishes, dice.pick((3, 4, 5, 2)))]),
    )
    data: WeekData = {"week": _week(dice, frame)}
    if dice.often(7):
        data["place"] = _place(dice, frame)
    data["elsewhere"] = _elsewhere(dice, frame)
    data["no_lunch"] = _no_lunch(dice, frame)
    batches = {name: _batch(dice, frame, name) for name in frame.batches}
    larder = {name: _item(dice, frame, name) for name in ITEMS[: dice.whole(2, size.items)]}
    choices = {name: _choice(dice, frame) for name in frame.choices}
    dishes = {name: _dish(dice, frame, at) for at, name in enumerate(frame.dishes)}
    _take_every_batch(dice, frame, dishes)
    boxes = {name: _box(dice) for name in ("tin", "tub")[: dice.whole(1, 2)]}
    data["eaters"] = _eaters(dice, frame, list(boxes))
    data |= {"batches": batches, "larder": larder, "choices": choices, "dishes": dishes}
    data["boxes"] = boxes
    data["variety"] = _variety(dice, frame, dishes)
    if dice.often(7):
        data["priorities"] = _priorities(dice)
    for batch in batches.values():
        if dice.often(frame.tenths("variety", 4)):
            batch["eaten_within"] = _number(dice.whole(0, 3))
    if earlier and dice.often(3):
        name = dice.pick(frame.batches)
        _of_an_earlier_week(dice, frame, batches[name], frame.portions[name])
    if earlier and dice.often(3):
        name = dice.pick(frame.batches)
        if "earlier" not in batches[name]:
            _frozen_already(dice, frame, batches[name], frame.portions[name])
    if earlier and dice.often(3) and len(frame.dishes) > 1:
        first, *others = frame.dishes
        another = dishes[dice.pick(others)]
        another.pop("most", None)
        another["same_as"] = first
    if earlier and dice.often(3):
        name = dice.pick(frame.batches)
        if "frozen" not in batches[name]:
            _cooked_otherwise(dice, batches[name], frame.portions[name])
    return {key: value for key, value in data.items() if value or key == "priorities"}


# -- the week and its days ----------------------------------------------------


def _days(dice: Dice, size: Size, theme: str, eaters: int) -> list[date]:
    first = MONDAY + timedelta(days=dice.pick((0, 0, 1, 3, 4)))
    number = dice.whole(2, max(2, min(size.days, size.lunches // eaters)))
    # Runs of days are where variety farls; gaps are where it is misread.
    ahead = list(range(1, number))
    if dice.often(2 if theme == "variety" else 4):
        ahead = sorted(dice.shuffled(range(1, 7))[: number - 1])
    return [first, *(first + timedelta(days=days) for days in ahead)]


def _week(dice: Dice, frame: _Frame) -> WeekData:
    return {
        "name": "Random week",
        "starts": frame.days[0].isoformat(),
        "days": dice.shuffled([DAY_WORDS[day.weekday()] for day in frame.days]),
        "currency": "EUR",
        "guidance": "us",
    }


def _said(dice: Dice, day: date) -> str:
    return dice.pick((day.isoformat(), DAY_WORDS[day.weekday()]))


def _place(dice: Dice, frame: _Frame) -> WeekData:
    place: WeekData = {"microwave": dice.pick(("yes", "yes", "no"))}
    if dice.often(frame.tenths("bans", 3)):
        place |= {"fridge": "no", "cold_packs": _number(dice.pick((2, 1, 0)))}
    return place


def _elsewhere(dice: Dice, frame: _Frame) -> list[WeekData]:
    entries: list[WeekData] = []
    while len(entries) < 2 and dice.often(frame.tenths("bans", 5)):
        entry: WeekData = {"day": _said(dice, dice.pick(frame.days))}
        if dice.often(5):
            entry["eater"] = dice.pick(frame.eaters)
        if dice.often(4):
            entry["microwave"] = "yes"
        if dice.often(6):
            entry |= {"fridge": "no", "cold_packs": _number(dice.pick((1, 2, 0)))}
        entries.append(entry)
    return entries


def _no_lunch(dice: Dice, frame: _Frame) -> list[WeekData]:
    # One day is always kept, so that there is a lunch to plan.
    kept = dice.pick(frame.days)
    others = [day for day in frame.days if day != kept]
    entries: list[WeekData] = []
    while len(entries) < 2 and dice.often(2):
        entry: WeekData = {"day": _said(dice, dice.pick(others)), "why": "away"}
        if dice.often(6):
            entry["eater"] = dice.pick(frame.eaters)
        entries.append(entry)
    return entries


# -- food ---------------------------------------------------------------------


def _nutrition(dice: Dice, frame: _Frame, scale: int) -> WeekData:
    amounts = {
        "protein": ("g", dice.pick(("4.1", "6", "2.5", "0.7", "9.25"))),
        "energy": ("kcal", dice.pick(("66", "78", "120", "31"))),
        "salt": ("g", dice.pick(("0.3", "0.45", "0", "1.1"))),
    }
    if dice.often(8):
        amounts[PATCHY] = ("g", dice.pick(("2.2", "1", "0.35")))
    if frame.theme == "nutrition":
        amounts |= dice.pick(AMINO_ACIDS)
    return {name: f"{Decimal(number) * scale} {unit}" for name, (unit, number) in amounts.items()}


def _contents(dice: Dice) -> WeekData:
    unwanted: WeekData = {}
    if dice.often(8):
        unwanted["allergens"] = "none" if dice.often(5) else dice.some(ALLERGENS, 0, 2)
    if dice.often(3):
        unwanted["foods"] = dice.some(FOODS, 1, 2)
    if "allergens" in unwanted:
        unwanted["free_of"] = "others"
    return unwanted


def _texture(dice: Dice) -> str:
    return dice.pick(("wet", "crisp", "plain", "wet", "crisp"))


def _batch(dice: Dice, frame: _Frame, name: str) -> WeekData:
    # A batch made within the week must still leave a day to be packed for.
    latest = (frame.days[-1] - frame.days[0]).days - 1
    ahead = dice.pick((-1, -1, -1, -2, -4, 0, 1))
    portions = dice.whole(2, 2 * frame.size.reach + 2 * min(len(frame.eaters), 2) + 2)
    grams = dice.pick((60, 32, 100))
    frame.portions[name] = portions
    batch: WeekData = {
        "made": (frame.days[0] + timedelta(days=min(latest, ahead))).isoformat(),
        "yield": dice.pick((f"{portions} portions", f"{portions} pieces", f"{portions * grams} g")),
        "portion": f"{grams} g",
        "nutrition": _nutrition(dice, frame, 1),
        "cost": _number(dice.pick(("4.60", "0", "3.9"))),
        "fridge_life": dice.pick(
            ("2 to 4", "3 to 4", "1 to 3", "1 to 2", "2 days", "0 to 2", "1", "3 to 6", "0 to 1")
        ),
        "texture": _texture(dice),
        "chilled": dice.pick(("yes", "no")),
    } | _contents(dice)
    longest = max(int(days) for days in batch["fridge_life"].split() if days.isdigit())
    if longest > LONGEST or batch["chilled"] == "no":
        batch["own_risk"] = "yes"
    if dice.often(7):
        batch["freezes"] = "yes"
        if dice.often(5):
            batch["freezer"] = dice.pick(("1 portion", "3 portions", "0 to 2 portions", "0"))
    if dice.often(9):
        # Nothing goes into less than 0.6 mL a gram.
        batch["room"] = f"{max(dice.pick((45, 65, 30)), grams * 6 // 10)} mL"
    return batch


def _of_an_earlier_week(dice: Dice, frame: _Frame, batch: WeekData, most: int) -> None:
    """Have a batch stand in the freezer, and some of it in the fridge yet."""
    ago = dice.pick((21, 3, 27, 31, 2, 61))
    batch["made"] = (frame.days[0] - timedelta(days=ago)).isoformat()
    frozen = dice.whole(0, most)
    batch |= {"earlier": "yes", "frozen": f"{frozen} portions"}
    batch["gone"] = f"{dice.whole(0, most - frozen)} portions"
    if dice.often(5):
        batch["freezer_months"] = _number(dice.whole(1, 2))
    for key in ("freezes", "freezer"):
        batch.pop(key, None)


def _frozen_already(dice: Dice, frame: _Frame, batch: WeekData, most: int) -> None:
    """Have some of a batch frozen, some of it late, and some thawed in vain."""
    first = frame.days[0]
    batch |= {"made": (first - timedelta(days=1)).isoformat(), "fridge_life": "1 to 4"}
    batch |= {"own_risk": "yes", "freezes": "yes", "freezer": f"{most} portions"}
    for key in ("frozen", "thawed"):
        batch[key] = f"{dice.whole(0, most // 3)} portions"
    day = min(first + timedelta(days=dice.whole(0, 2)), frame.days[-1])
    late = dice.whole(0, most // 2)
    batch["frozen_later"] = [{"day": day.isoformat(), "portions": f"{late} portions"}]


def _cooked_otherwise(dice: Dice, batch: WeekData, portions: int) -> None:
    """Cook more or less of a batch than it yields, of which some may be gone."""
    # No dish takes more than two at the least.
    batch["cook"] = f"{max(2, portions + dice.whole(-2, 2))} portions"
    batch["gone"] = f"{dice.whole(0, 1)} portions"


def _item(dice: Dice, frame: _Frame, name: str) -> WeekData:
    unit = frame.units[name] = dice.pick(("g", "pieces", "mL"))
    packs = {
        "g": ("90 g", "150 g", "0.25 kg", "70 g"),
        "pieces": ("4 pieces", "1 piece", "6 pieces", "3 pieces"),
        "mL": ("240 mL", "70 mL", "0.1 L"),
    }
    item: WeekData = {
        "pack": dice.pick(packs[unit]),
        "price": _number(dice.pick(("1.35", "0.95", "2.0001", "0"))),
        "nutrition": _nutrition(dice, frame, 1 if unit == "pieces" else 2),
        "texture": _texture(dice),
    } | _contents(dice)
    if unit != "mL" and dice.often(6):
        item["opened_life"] = _number(dice.pick((1, 2, 0, 3)))
    if unit == "pieces":
        item["piece"] = dice.pick(("60 g", "45.5 g"))
    elif dice.often(4):
        # Thirds and sevenths, so that not every sum is a round decimal.
        item["per"] = f"{dice.pick((30, 70))} {unit}"
    if dice.often(frame.tenths("bans", 3)):
        item["use_by"] = dice.pick(frame.days).isoformat()
    if dice.often(8):
        item["room"] = f"{dice.pick((65, 120, 80))} mL"
    item["chilled"] = "yes" if dice.often(3) else "no"
    return item


def _amount(dice: Dice, frame: _Frame, item: str) -> str:
    unit = frame.units[item]
    if unit == "pieces":
        return dice.pick(("1 piece", "2 pieces", "0.5 pieces"))
    return f"{dice.pick((30, 50, 75))} {unit}"


def _choice(dice: Dice, frame: _Frame) -> list[WeekData]:
    options = dice.some(list(frame.units), 2, 3)
    return [{item: _amount(dice, frame, item)} for item in options]


def _box(dice: Dice) -> WeekData:
    # About as large as a few portions, so that it matters what lies beside what.
    rooms = [dice.pick((200, 140, 90, 260)) for _ in range(dice.whole(1, 3))]
    box: WeekData = {"compartments": [f"{room} mL" for room in rooms]}
    if dice.often(4):
        pots = [dice.pick((60, 30)) for _ in range(dice.whole(0, 2))]
        box["pots"] = [f"{room} mL" for room in pots]
    return box


# -- dishes -------------------------------------------------------------------


def _range(dice: Dice, frame: _Frame, batch: str) -> Decimal | str:
    low = min(dice.pick((0, 1, 0, 2)), frame.portions[batch])
    high = max(1, low + dice.whole(0, frame.size.reach))
    return _number(high) if low == high else f"{low} to {high}"


def _dish(dice: Dice, frame: _Frame, at: int) -> WeekData:
    batches = dice.some(frame.batches, dice.pick((1, 2, 0)), 2)
    items = dice.some(list(frame.units), 0, 2)
    if not batches and not items:
        # A dish of nothing keeps no floor.
        items = [dice.pick(list(frame.units))]
    dish: WeekData = {
        # Kinds apart leave no week when all dishes are of one kind.
        "kind": dice.pick(KINDS) if dice.often(3) else KINDS[at % len(KINDS)],
        "takes": {batch: _range(dice, frame, batch) for batch in batches},
        "goes_in": {item: _amount(dice, frame, item) for item in items},
        "minutes": _number(dice.whole(0, 9)),
    }
    if frame.choices and dice.often(6):
        dish["choices"] = dice.some(frame.choices, 1, 2)
    if dice.often(3):
        item = dice.pick(list(frame.units))
        extra: WeekData = {"portion": _amount(dice, frame, item)}
        if dice.often(6):
            extra["most"] = _number(dice.whole(1, frame.size.extras))
        dish["extras"] = {item: extra}
    if dice.often(frame.tenths("bans", 4)):
        dish["microwave"] = "yes"
    if dice.often(frame.tenths("variety", 3)):
        dish["most"] = _number(dice.whole(1, 2))
    return dish


def _take_every_batch(dice: Dice, frame: _Frame, dishes: dict[str, WeekData]) -> None:
    # A batch that no dish takes is refused when the file is read.
    for batch in frame.batches:
        if not any(batch in dish["takes"] for dish in dishes.values()):
            dishes[dice.pick(frame.dishes)]["takes"][batch] = f"0 to {frame.size.reach}"


# -- people and wishes --------------------------------------------------------


def _eaters(dice: Dice, frame: _Frame, boxes: list[str]) -> dict[str, WeekData]:
    eaters: dict[str, WeekData] = {}
    for name in frame.eaters:
        alike = bool(eaters) and dice.often(4)
        eaters[name] = dict(eaters[EATERS[0]]) if alike else _eater(dice, frame, boxes)
    return eaters


def _eater(dice: Dice, frame: _Frame, boxes: list[str]) -> WeekData:
    eater: WeekData = {}
    if dice.often(frame.tenths("box", 10, 2)):
        eater["box"] = dice.pick(boxes)
    nutrition = frame.tenths("nutrition", 5)
    if dice.often(nutrition):
        floors: list[WeekData] = [{"PROCNT": "2.05 g"}, {PATCHY: "0.9 g"}]
        floors.append({"energy": "70 kcal", "protein": "3.4 g"})
        if frame.theme == "nutrition":
            floors += [{"usable_protein": "2.3 g"}, {"usable_protein": "1.7 g", PATCHY: "0.4 g"}]
        eater["floors"] = dice.pick(floors)
    elif dice.often(nutrition):
        eater["daily_protein"] = dice.pick(
            (
                {"need": "30 g", "lunch_share": "10 %"},
                {"standard": "uk-1991", "body_mass": "64 kg", "lunch_share": "7.5 %"},
            )
        )
    if dice.often(nutrition):
        eater["ceilings"] = dice.pick(
            ({"energy": "450 kcal"}, {"salt": "2.4 g"}, {"energy": "310 kcal"})
        )
    if dice.often(nutrition):
        eater["week_floors"] = dice.pick(({"protein": "12.3 g"}, {PATCHY: "2.6 g"}))
    if dice.often(nutrition):
        eater["week_ceilings"] = dice.pick(({"energy": "990 kcal"}, {"sodium": "2500 mg"}))
    if dice.often(frame.tenths("bans", 5)):
        eater["must_not"] = _must_not(dice)
    if dice.often(7):
        liked = dice.some(frame.dishes, 0, 3)
        eater["likes"] = {dish: _number(dice.whole(-3, 3)) for dish in liked}
    return eater


def _must_not(dice: Dice) -> WeekData:
    if dice.often(5):
        return {"foods": [dice.pick(UNWANTED)]}
    return {"allergens": dice.some(ALLERGENS, 1, 1)}


def _variety(dice: Dice, frame: _Frame, dishes: dict[str, WeekData]) -> WeekData:
    variety: WeekData = {}
    if dice.often(frame.tenths("variety", 4)):
        variety["most_times"] = _number(dice.pick((2, 1, 3)))
    if dice.often(frame.tenths("variety", 4)):
        variety["days_between"] = _number(dice.pick((1, 2, 0)))
    if dice.often(frame.tenths("variety", 3)):
        group = dice.some(sorted({dish["kind"] for dish in dishes.values()}), 1, 2)
        variety["kinds_apart"] = [group] if len(group) > 1 else group
    if dice.often(frame.tenths("variety", 6)):
        variety["same_choice"] = _number(dice.whole(1, 2))
    if dice.often(frame.tenths("variety", 7)):
        variety["batch_running"] = _number(dice.whole(1, 2))
    return variety


def _priorities(dice: Dice) -> list[str]:
    order = dice.shuffled(PRIORITIES)[: dice.pick((len(PRIORITIES), len(PRIORITIES), 5, 3, 1, 0))]
    # Named early, the order of the file still comes last.
    return ["file_order", *order] if dice.often(2) else order
