"""What a week file says of food: batches, larder items, ingredients, prices and own foods."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from itertools import takewhile
from typing import Annotated, Any, ClassVar

from pydantic import (
    BeforeValidator,
    Field,
    WithJsonSchema,
)

from models.file.scalars import (
    Allergens,
    Cereal,
    Day,
    DayOrDate,
    Days,
    Degrees,
    Density,
    Entry,
    ExactNutrients,
    FamilyList,
    FoodName,
    FreeOf,
    Lasting,
    LifeInDays,
    Mass,
    Money,
    Months,
    Name,
    NameOrNames,
    Nutrients,
    OpenedDays,
    Packs,
    Range,
    Room,
    ShareInPercent,
    Stuff,
    Suits,
    Text,
    YesNo,
    Yield,
    fault,
    read_name,
    short,
    uncut,
)
from models.foods.lines.phrases import adds_nothing
from models.foods.vocabulary import is_adverb
from models.week.kitchen import NOTHING, READY
from models.week.week import Texture
from models.words.errors import suggestion
from models.words.names import spelt, split
from models.words.raw import RAW

FREE_OF: Any = Field(
    default=[],
    description="Families or foods that it is free of, once you have read its label: [pork]; or "
    "others: nothing else is in it that someone may not eat.",
)
SUITS: Any = Field(
    default=[], description="Ways of eating that it suits by its label: [vegetarian]."
)

READY_TO_EAT: Any = Field(
    default=False, description="Yes where its label calls raw fish, sprouts, egg ready to eat."
)


class _Schema:
    """What an editor shows, worked out where it is asked for: reading a week needs none of it."""

    def __init__(self, any_of: Callable[[], list[dict[str, Any]]]) -> None:
        self._any_of = any_of

    def __get_pydantic_json_schema__(self, core: object, handler: object) -> dict[str, Any]:
        return {"anyOf": self._any_of()}


class IngredientEntry(Entry):
    """One line of a recipe."""

    what: Text = Field(description="Amount and food: 400 g onions, 1 cup dried green lentils.")
    refuse: ShareInPercent | None = Field(
        default=None, description="Share of it that is peeled off or thrown away: 10 %."
    )
    drained: ShareInPercent | None = Field(
        default=None, description="Share of it that stays once it is drained: 60 %."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens its label names, or none, once you have read it."
    )
    free_of: FreeOf = FREE_OF
    suits: Suits = SUITS
    ready_to_eat: YesNo = READY_TO_EAT


def _ingredient(data: object) -> object:
    if isinstance(data, dict) and [*data.values()] == [None]:
        raise fault("braces stand around this line", f"Write '- {next(iter(data))}'.")
    if isinstance(data, dict) and any(value is None for value in data.values()):
        raise fault(
            "a comma cuts this line short",
            'Put quotes around what holds a comma: {what: "100 g soba noodles, dry"}.',
        )
    if isinstance(data, dict) and len(data) == 1 and not data.keys() & IngredientEntry.model_fields:
        ((food, amount),) = data.items()
        if isinstance(amount, (str, int, Decimal)) and str(amount)[:1].isdecimal():
            raise fault("the amount stands behind the food", f"Write '- {amount} {food}'.")
        if isinstance(amount, str):
            raise fault("a colon parts this line", f"Write '- \"{food}: {amount}\"'.")
    return {"what": data} if isinstance(data, str) else data


PARTED = "a comma parts "


def is_preparation(data: object) -> bool:
    """Tell whether an entry of a list only says how the food before it is prepared.

    Parameters
    ----------
    data
        What stands there.

    Returns
    -------
    True where no word of it tells of a food or an amount.

    Examples
    --------
    >>> is_preparation("peeled and finely chopped"), is_preparation("plus extra for frying")
    (True, True)
    >>> is_preparation("drained capers"), is_preparation("2 onions, chopped")
    (False, False)
    """
    words = split(data) if isinstance(data, str) and not re.search("[0-9]", data) else []
    pairs = zip(spelt(str(data)), words, strict=False)
    return bool(words) and all(
        adds_nothing(word) or is_adverb(spelling) or word in _BETWEEN for spelling, word in pairs
    )


_BETWEEN = frozenset(
    split(
        "and or to for with in into plus serve serving garnish garnishing taste decorate frying "
        "greasing brushing sprinkling cooking topping dusting"
    )
)


def _ingredients(data: object) -> object:
    if not isinstance(data, list):
        mend = "Write a line for each: '- 400 g onions'."
        if isinstance(data, str):
            dashed = " - " in data
            first = data.partition(" - ")[0]
            mend = f"Write 'ingredients: [{data}]'."
            mend = f"Write a dash before the first line too: '- {first}'." if dashed else mend
        raise fault(f"{short(data)} is no list", mend)
    if not 1 <= len(data) <= MOST_INGREDIENTS:
        raise fault(
            f"{len(data)} ingredients are too many" if data else "there are no ingredients here",
            f"List 1 to {MOST_INGREDIENTS}, a line each, or remove 'ingredients'.",
        )
    uncut(data)
    for at in range(1, len(data)):
        if is_preparation(data[at]) and isinstance(data[at - 1], str):
            asides = takewhile(is_preparation, data[at:])
            whole = ", ".join([data[at - 1], *asides]).replace('"', "'")
            mend = f'Put quotes round the whole line: "{whole}".'
            raise fault(f"{PARTED}{data[at]!r} from the line before it", mend, at)
    return data


MOST_INGREDIENTS = 60


IngredientGiven = Annotated[
    IngredientEntry,
    BeforeValidator(_ingredient),
    _Schema(
        lambda: [
            {"type": "string", "examples": ["400 g onions"]},
            IngredientEntry.model_json_schema(),
        ]
    ),
]
Ingredients = Annotated[list[IngredientGiven], BeforeValidator(_ingredients)]


def _names_or_all(data: object) -> object:
    return ["all"] if data == "all" else data


def _touches(data: object) -> tuple[str, ...]:
    """Read what a step touches: a list, or one of it, or nothing."""
    parts = data if isinstance(data, list) else [data]
    known = (*RAW, READY)
    named = [read_name(part).casefold() for part in parts]
    for name in named if named != [NOTHING] else ():
        if name not in known:
            raise fault(f"{name!r} is not what a step touches", suggestion(name, [*known, NOTHING]))
    return () if named == [NOTHING] else tuple(name for name in known if name in named)


Touches = Annotated[
    tuple[str, ...],
    BeforeValidator(_touches),
    WithJsonSchema(
        {
            "anyOf": [
                {"enum": [*RAW, READY, NOTHING]},
                {"type": "array", "items": {"enum": [*RAW, READY]}},
            ]
        }
    ),
]


class StepEntry(Entry):
    """One step of a prep day."""

    like = "Write it as '{do: chop the onions, lasts: 10 min}'."

    do: Text = Field(description="What is done: simmer the pot.")
    name: Name | None = Field(default=None, description="What other steps call it; else as 'do'.")
    lasts: Lasting = Field(description="25 min, 1 h 30 min; 8 to 24 hours where it may wait.")
    hands: YesNo = Field(default=True, description="Does it need a pair of hands all the time?")
    oven: Degrees | None = Field(default=None, description="Heat of the oven: 200 °C.")
    trays: Packs = Field(default=1, description="Trays it takes up in the oven.")
    rings: Packs = Field(default=0, description="Rings of the hob it takes up.")
    blender: YesNo = Field(default=False, description="Does it need the blender?")
    after: NameOrNames | None = Field(
        default=None, description="Steps it comes after; the one above where left out, [] for none."
    )
    gap: Lasting | None = Field(
        default=None, description="Between those and this, at least and at most: 0 to 2 hours."
    )
    touches: Touches | None = Field(
        default=None,
        description="What hands and board touch: raw poultry, ready food, nothing. Worked out "
        "from the ingredients where left out.",
    )


class SizesEntry(Entry):
    """How much of a batch may be cooked."""

    least: Range | None = Field(default=None, description="At least so much: 8 pieces.")
    most: Range | None = Field(
        default=None, description="At most, what the tray or the pot holds: 24 pieces."
    )
    by: Range | None = Field(default=None, description="Only multiples of this: 6 pieces.")
    split: Annotated[list[Name], BeforeValidator(_names_or_all)] = Field(
        default=[],
        description="Ingredients that need not stay whole tins, packs or eggs: [eggs], or all.",
    )


class BatchLimits(Entry):
    """Limits of a batch, each read by the rule of its name alone; carried as they are."""

    eaten_within: Days | None = Field(
        default=None,
        description="Most days between the first and the last lunch with it; 0: all on one day.",
    )

    freezer_months: Months | None = Field(
        default=None,
        description="Months it keeps its quality in the freezer; as its storage class if left "
        "out. A matter of quality, not of safety.",
    )

    def given(self) -> dict[str, int]:
        """Give the limits that are stated, by key.

        Returns
        -------
        Days or months, as the key says; empty where the file states none.
        """
        stated = {key: getattr(self, key) for key in BatchLimits.model_fields}
        return {key: limit for key, limit in stated.items() if limit is not None}


class FrozenLaterEntry(Entry):
    """Portions that were frozen after the day a batch was made."""

    day: DayOrDate = Field(description="The day.")
    portions: Range = Field(description="How many: 2 portions.")


class BatchEntry(BatchLimits):
    """Something cooked in bulk on a prep day."""

    like = "Write it as '{yield: 6 portions, ingredients: [400 g onions]}'."
    called: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("serves", "servings", "makes", "portions", "feeds"), "yield"),
        **dict.fromkeys(("keeps", "lasts", "keeps_for", "shelf_life"), "fridge_life"),
        **dict.fromkeys(("cooked", "cooked_on", "date"), "made"),
        "price": "cost",
    }

    made: DayOrDate | None = Field(
        default=None,
        description="The date it is cooked, or the day, as sun; it is packed from the next day on. "
        "Left out: the day before the week.",
    )
    yield_: Yield = Field(
        alias="yield", description="What it comes to: 18 pieces, 12 portions or 1200 g."
    )
    cook: Yield | None = Field(
        default=None,
        description="How much of it to cook this time, where that is not the whole yield: 14 "
        "pieces. Ingredients and cost go with it.",
    )
    steps: list[StepEntry] = Field(
        default=[], max_length=60, description="How it is cooked, for the prep day."
    )
    sizes: SizesEntry | None = Field(
        default=None, description="How much of it may be cooked, for 'size'."
    )
    portion: Mass | None = Field(
        default=None,
        description="Mass of one piece or of one portion. Left out, ingredients tell it roughly; "
        "without them 50 g a piece and 250 g a portion are taken.",
    )
    ingredients: Ingredients | None = Field(
        default=None, description="What the whole batch is made of, a line each."
    )
    not_read: list[Text] = Field(
        default=[],
        max_length=MOST_INGREDIENTS,
        description="Ingredients of a recipe that could not be read, to be mended and moved to "
        "'ingredients'. As long as one stands here all figures are 'at least' and the allergens "
        "are not known.",
    )
    source: Text = Field(default="", description="Where the recipe comes from.")
    nutrition: Nutrients = Field(
        default={}, description="Nutrients of one piece or portion; goes before the ingredients."
    )
    nutrition_source: Text = Field(default="mine", description="Where those figures come from.")
    cost: Money | None = Field(default=None, description="What the whole batch costs.")
    keeps_as: Name | None = Field(
        default=None,
        examples=["soups and stews", "leftovers, plant", "cooked rice", "cooked pasta"],
        description="Storage class, as 'cooked rice'. Left out: proposed from the ingredients; "
        "without them the shortest life of what is cooked is taken.",
    )
    fridge_life: LifeInDays | None = Field(
        default=None,
        description="Days it keeps in the fridge, 3 or 3 to 4; by the guidance if left out.",
    )
    life_source: Text = Field(default="mine", description="Who says so.")
    own_risk: YesNo = Field(
        default=False,
        description="Yes where the days stated here are more than the guidance gives.",
    )
    freezes: YesNo | None = Field(
        default=None, description="Does it freeze well? As its storage class if left out."
    )
    freezer: Range | None = Field(
        default=None, description="How many portions the freezer takes, as 6 portions."
    )
    frozen: Range | None = Field(
        default=None,
        description="How many portions were frozen the day it was made, once that is done.",
    )
    frozen_later: list[FrozenLaterEntry] = Field(
        default=[], description="What was frozen on a day after that: {day: wed, portions: 2}."
    )
    thawed: Range = Field(
        default=(0, 0),
        description="How many portions were thawed for a lunch that fell through: no lunch has "
        "them, for they are good on that day only.",
    )
    gone: Range = Field(
        default=(0, 0),
        description="How many portions are gone without having been a lunch: snacks, spills.",
    )
    earlier: YesNo = Field(
        default=False,
        description="Yes where it was cooked in an earlier week and 'frozen' of it are in the "
        "freezer: nothing of it is bought, cooked, frozen or paid again.",
    )
    texture: Texture = Field(default=Texture.PLAIN, description="wet, crisp or plain.")
    room: Room | None = Field(
        default=None, description="Room one portion takes in a box; none: it travels beside it."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    foods: list[Name] = Field(default=[], description="Foods in it that someone may not eat.")
    free_of: FreeOf = FREE_OF
    suits: Suits = SUITS
    chilled: YesNo = Field(
        default=True,
        description="Must it stay cold until it is eaten? No needs 'own_risk: yes'.",
    )


class ItemEntry(Entry):
    """A bought food that goes in as it is."""

    like = "Write it as '{pack: 250 g}'."
    called: ClassVar[Mapping[str, str]] = {
        **dict.fromkeys(("size", "amount", "quantity", "weight", "holds"), "pack"),
        **dict.fromkeys(("cost", "costs"), "price"),
        **dict.fromkeys(("opened", "once_opened"), "opened_life"),
    }

    shop: Text = Field(default="", description="Part of the shop, for the shopping list.")
    pack: Stuff = Field(description="What one pack holds: 6 pieces or 500 g.")
    price: Money | None = Field(default=None, description="What one pack costs.")
    food: FoodName | None = Field(default=None, description="The food of the table that it is.")
    ingredients: Ingredients | None = Field(
        default=None, description="What one pack is made of, a line each."
    )
    keeps_as: Name | None = Field(
        default=None,
        examples=["fresh milk", "cupboard"],
        description="Storage class; that of its food if left out.",
    )
    opened_life: OpenedDays | None = Field(
        default=None,
        description="Days it keeps once opened, or 'keeps' (or is frozen). Left out: as its "
        "storage class says, else it keeps.",
    )
    own_risk: YesNo = Field(
        default=False,
        description="Yes where the days stated here are more than the guidance gives.",
    )
    use_by: Day | None = Field(default=None, description="Last date it may be eaten, if bought.")
    piece: Mass | None = Field(default=None, description="Mass of one piece.")
    per: Stuff | None = Field(
        default=None, description="What nutrition and room are stated for; 100 g or 1 piece."
    )
    nutrition: Nutrients = Field(default={}, description="Nutrients in that amount.")
    nutrition_source: Text = Field(default="mine", description="Where those figures come from.")
    texture: Texture = Field(default=Texture.PLAIN, description="wet, crisp or plain.")
    room: Room | None = Field(
        default=None, description="Room that amount takes in a box; none: it travels beside it."
    )
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    foods: list[Name] = Field(default=[], description="Foods in it that someone may not eat.")
    free_of: FreeOf = FREE_OF
    suits: Suits = SUITS
    chilled: YesNo | None = Field(
        default=None,
        description="Must it stay cold until it is eaten? As its storage class if left out.",
    )
    ready_to_eat: YesNo = READY_TO_EAT


class HeldEntry(Entry):
    """Some of a thing that is there already."""

    belongs: ClassVar[Mapping[str, str]] = dict.fromkeys(
        ("pack", "price", "food"),
        "What is bought by the pack goes under 'larder'; here stands only how much there is: "
        "'amount: 300 mL'.",
    )

    amount: Text = Field(description="How much: 300 mL, 4 pieces, or plenty.")
    use_by: Day | None = Field(
        default=None, description="Last date it may be eaten or cooked; it counts until then."
    )


def _held(data: object) -> object:
    each = data if isinstance(data, list) else [data]
    return [item if isinstance(item, dict) else {"amount": item} for item in each]


HeldEntries = Annotated[
    list[HeldEntry],
    BeforeValidator(_held),
    Field(min_length=1, max_length=20),
    _Schema(
        lambda: [
            {"type": "string", "examples": ["300 mL", "plenty"]},
            HeldEntry.model_json_schema(),
            {
                "type": "array",
                "minItems": 1,
                "items": {"anyOf": [{"type": "string"}, HeldEntry.model_json_schema()]},
            },
        ]
    ),
]


class PriceEntry(Entry):
    """What a pack of an ingredient costs."""

    pack: Text = Field(description="What the pack holds: 500 g, 6 pieces, 1 tin.")
    price: Money = Field(description="What it costs.")


def _prices(data: object) -> object:
    return data if isinstance(data, list) else [data]


Prices = Annotated[
    list[PriceEntry],
    BeforeValidator(_prices),
    Field(min_length=1, max_length=20),
    _Schema(
        lambda: [
            PriceEntry.model_json_schema(),
            {"type": "array", "minItems": 1, "items": PriceEntry.model_json_schema()},
        ]
    ),
]


class FoodEntry(Entry):
    """A food of your own, as its label gives it."""

    nutrition: ExactNutrients = Field(description="Nutrients in 100 g.")
    also: list[FoodName] = Field(default=[], description="Other names for it.")
    allergens: Allergens | None = Field(
        default=None, description="Allergens in it, or none. Left out means not known."
    )
    families: FamilyList | None = Field(
        default=None,
        description="What it belongs to: [pork], with a question mark what may be in it; or none. "
        "Left out, its names tell.",
    )
    cereals: list[Cereal] = Field(
        default=[], description="Which cereals its gluten is of: wheat, oats, ..."
    )
    shop: Text = Field(default="", description="Part of the shop; 'none' where it is free.")
    check_label: YesNo = Field(
        default=False, description="Yes where recipes differ, so that more may be in it."
    )
    measures: dict[Name, Mass] = Field(
        default={}, description="Mass of a measure of it: {cup: 120 g, piece: 30 g}."
    )
    density: Density | None = Field(default=None, description="Grams in a millilitre: 1.03.")
    refuse: ShareInPercent | None = Field(
        default=None, description="Share that is thrown away: 10 %."
    )
    water: ShareInPercent | None = Field(
        default=None, description="Share of water, for mass balances."
    )
    keeps_as: Name | None = Field(default=None, description="Storage class.")
    source: Text = Field(default="label", description="Where the figures come from.")
    source_id: Text = Field(default="", description="Its number there.")
    group: Text = Field(default="own", description="What sort of food it is: pulses, fish, ...")
    state: Text = Field(default="", description="dry, raw, cooked or tinned.")
