"""Foods that nobody should eat as they are sold: raw animal food, pulses, flour, some plants.

Smoked, cured, pickled and pasteurised food is not raw in that sense. What a label calls ready to
eat is believed of raw fish, shellfish, meat, egg, flour and sprouts, never of poultry and beans.

Sources: raw animal foods, FDA Food Code 2022, 3-401.11, and the UK Food Standards Agency on
cooking; beans of the kidney bean's kin, FDA, Bad Bug Book (2nd edition), phytohaemagglutinin;
cassava, fresh lima beans and bamboo shoots, which give off cyanide, Codex CAC/RCP 73-2013 and
Food Standards Australia New Zealand (2017); green beans, the lectin of which only heat destroys,
the German Federal Institute for Risk Assessment (BfR, its head in a press report of 2021; that
frozen ones are cooked too, common practice); elderberries, CDC, MMWR 33(13), 1984; ferns, CDC,
MMWR 43(37), 1994, and morels, FDA, 2024 (both from memory); taro, yam, pokeweed, wild and
shiitake mushrooms, other pulses and ginkgo nuts, common practice; flour, FDA, Flour Is a Raw Food
(from memory); sprouts, NHS and UK FSA, sprouted seeds (US advice asks it of people at risk
alone); frozen vegetables that no label calls ready to eat, UK FSA (2018, from memory). Which
beans are of the genus Phaseolus: common botany.
"""

from __future__ import annotations

from dataclasses import dataclass

from models.foods.families import derived
from models.foods.food import Food
from models.foods.recipe import Ingredient
from models.words.names import words


@dataclass(frozen=True, slots=True)
class MustCook:
    """Why a food has to be cooked before it is eaten.

    Attributes
    ----------
    kind
        What it is: "raw poultry".
    source
        Who says so.
    label_settles
        True where a label may say that it is ready to eat.
    harms
        False for what nobody would eat raw, and that harms nobody: dried lentils.
    """

    kind: str
    source: str
    label_settles: bool
    harms: bool = True


_CODE = "FDA Food Code 2022, 3-401.11; UK FSA, cooking your food"
_FLOUR = "FDA, Flour Is a Raw Food"
_LECTIN = "FDA, Bad Bug Book, phytohaemagglutinin"
_CYANIDE = "Codex CAC/RCP 73-2013; Food Standards Australia New Zealand"
_PRACTICE = "common practice"
_WHY = {
    why.kind: why
    for why in (
        MustCook("raw poultry", _CODE, label_settles=False),
        MustCook("raw meat", _CODE, label_settles=True),
        MustCook("raw fish", _CODE, label_settles=True),
        MustCook("raw shellfish", _CODE, label_settles=True),
        MustCook("raw egg", _CODE, label_settles=True),
        MustCook("dried beans", _LECTIN, label_settles=False),
        MustCook("raw beans", f"{_LECTIN}; {_CYANIDE}", label_settles=False),
        MustCook("raw green beans", "BfR, 2021, in a press report", label_settles=False),
        MustCook("dried pulses", _PRACTICE, label_settles=True, harms=False),
        MustCook("raw cassava", _CYANIDE, label_settles=False),
        MustCook("raw bamboo shoots", _CYANIDE, label_settles=False),
        MustCook("raw elderberries", "CDC, MMWR 33(13), 1984", label_settles=False),
        MustCook("raw fern", "CDC, MMWR 43(37), 1994", label_settles=False),
        MustCook("raw morels", "FDA, morel mushrooms, 2024", label_settles=False),
        MustCook("raw wild mushrooms", _PRACTICE, label_settles=False),
        MustCook("raw taro or yam", _PRACTICE, label_settles=False),
        MustCook("raw pokeweed", _PRACTICE, label_settles=False),
        MustCook("raw ginkgo nuts", _PRACTICE, label_settles=False),
        MustCook("raw flour", _FLOUR, label_settles=True),
        MustCook("raw dough", _FLOUR, label_settles=True),
        MustCook("frozen vegetables", "UK FSA, 2018", label_settles=True, harms=False),
        MustCook("raw sprouts", "NHS and UK FSA, sprouted seeds", label_settles=True),
    )
}
_RAW_OF = {
    "poultry": "raw poultry",
    "meat": "raw meat",
    "crustaceans": "raw shellfish",
    "molluscs": "raw shellfish",
    "fish": "raw fish",
    "egg": "raw egg",
}
"""By family, the narrower before the wider; what a class of storage says goes before."""
_RAW_CLASS = {
    "raw poultry": "raw poultry",
    "raw meat": "raw meat",
    "raw mince": "raw meat",
    "raw fish": "raw fish",
    "raw shellfish": "raw shellfish",
    "eggs in shell": "raw egg",
    "egg whites and yolks": "raw egg",
}
_MADE_DOUGH = words("toasted ready prepared")
_DOUGH = {"fresh pasta", "puff pastry"}
_RAW_WORDS = words("raw uncooked unprepared")
_EATEN_RAW = words("tartare sashimi ceviche carpaccio")
"""Dishes of meat or fish that nobody cooks."""
_MADE_SAFE = words("pasteurised pasteurized")
_SMOKED_RAW = words("haddock cod kipper bloater finnan")
"""Fish that is smoked cold and cooked before it is eaten (common practice), unlike salmon."""
_NOT_RAW = words("smoked cured pickled gravad gravlax lox prosciutto marinated")
_FILLED = words("ravioli tortellini tortelloni cappelletti agnolotti")
"""Pasta that is sold raw, of which the table has figures once it is boiled."""
_PHASEOLUS = words(
    "kidney cannellini white haricot navy northern pinto borlotti cranberry pink flageolet lima "
    "butter runner anasazi tepary"
)
"""Beans of the genus Phaseolus by what they are called; others are told apart below."""
_PHASEOLUS_RIPE = words("red yellow french")
"""Beans that are of the genus where they are dried: fresh, these are eaten as pods."""
_PODS = words("green french string fine flat bobby dwarf wax snap haricots verts romano")
"""Beans that are eaten as pods, which are of the genus too; of these lectin is only in raw ones."""
_NO_PODS = words("broad fava soya mung coffee winged jelly gram asparagus")
_POISONOUS = (
    ("raw cassava", words("cassava manioc yuca"), words("flour starch")),
    ("raw bamboo shoots", words("bamboo"), frozenset[str]()),
    ("raw elderberries", words("elderberry"), frozenset[str]()),
    ("raw fern", words("fiddlehead"), frozenset[str]()),
    ("raw morels", words("morel"), frozenset[str]()),
    ("raw taro or yam", words("taro eddoe dasheen cocoyam yautia malanga"), frozenset[str]()),
    ("raw taro or yam", words("yam"), words("mountain sweet bean")),
    ("raw wild mushrooms", words("chanterelle girolle porcini cep shiitake"), frozenset[str]()),
    ("raw pokeweed", words("pokeweed pokeberry"), frozenset[str]()),
    ("raw ginkgo nuts", words("ginkgo"), frozenset[str]()),
)
"""Plants that are poisonous raw: what they are called, and words of other plants."""
_PULSES = words("bean pea lentil chickpea dal dhal lupin soybean mothbean broadbean cowpea")
_SAFE_DRY = words("roasted flour protein textured sprouted peanut isolate")
_DRY = words("dry dried mature")
_BOILED = words("boiled cooked tinned canned drained")
_COOKED = words("cooked boiled baked braised fried grilled poached roasted steamed")


def raw_kind(food: Food) -> str | None:
    """Name the sort of raw animal food that a food is, or None.

    Parameters
    ----------
    food
        A food of any table.

    Returns
    -------
    Such as "raw poultry", "raw fish" or "raw egg"; None for what is cooked or made safe.

    Examples
    --------
    >>> from models.foods.food import find
    >>> raw_kind(find("chicken breast, skinless, raw")), raw_kind(find("smoked salmon"))
    ('raw poultry', None)
    """
    named = words(food.name)
    if named & _MADE_SAFE:
        return None
    smoked = named & _SMOKED_RAW and named & words("smoked kipper bloater finnan")
    if smoked and food.state not in {"cooked", "tinned"} and not named & (_COOKED | _BOILED):
        return "raw fish"
    if food.storage:
        return _RAW_CLASS.get(food.storage)
    if food.state != "raw" and not named & _RAW_WORDS:
        return None
    kind = next((kind for family, kind in _RAW_OF.items() if family in food.families.holds), None)
    safe = kind in {"raw fish", "raw shellfish"} and named & _NOT_RAW
    if kind is None or safe or _only_has_egg(food.name, kind) or named & _COOKED:
        return None
    return kind


def has_lectin(name: str, state: str = "") -> bool:
    """Tell whether it is a bean of the kidney bean's kin that was not boiled yet.

    Parameters
    ----------
    name, state
        Of the food, as its table has them.

    Returns
    -------
    False where a word or the state says that it is cooked, boiled or tinned.

    Examples
    --------
    >>> has_lectin("red kidney beans, dry"), has_lectin("butter beans, tinned")
    (True, False)
    """
    named = words(name)
    boiled = state in {"cooked", "tinned"} or named & (_BOILED | _COOKED)
    kin = named & _PHASEOLUS or ("black" in named and not named & words("eyed gram sauce"))
    ripe = named & _PHASEOLUS_RIPE and named & _DRY
    bean = "bean" in named or "lima" in named
    return bean and bool(kin or ripe) and not boiled


def must_cook(food: Food, guidance: str) -> MustCook | None:
    """Look up why a food has to be cooked before it is eaten; None where it need not be.

    Parameters
    ----------
    food
        A food of any table.
    guidance
        Whose advice is followed: us, uk or strictest; empty counts as the strictest.

    Returns
    -------
    What it is and who says so.

    Examples
    --------
    >>> from models.foods.food import find
    >>> why = must_cook(find("red kidney beans, dry"), "us")
    >>> why.kind if why else None
    'dried beans'
    """
    return _WHY.get(_kind(food, guidance))


def to_cook(line: Ingredient, guidance: str) -> MustCook | None:
    """Look up why a line of a recipe has to be cooked, where its label does not settle it.

    Parameters
    ----------
    line
        A line of a recipe, read.
    guidance
        Whose advice is followed: us, uk or strictest; empty counts as the strictest.

    Returns
    -------
    MustCook or None
        None where it may be eaten as it is.

    Examples
    --------
    >>> from models.foods.food import builtin
    >>> from models.foods.recipe import ingredients
    >>> (line,) = ingredients("100 g red kidney beans, dry", builtin(), None)
    >>> why = to_cook(line, "us")
    >>> why.kind if why else None
    'dried beans'
    """
    why = must_cook(line.food, guidance) or _WHY.get(_as_bought(line))
    return None if why is None or (line.ready and why.label_settles) else why


def _as_bought(line: Ingredient) -> str:
    """Name why something has to be cooked that its line calls less cooked than the table has it."""
    named = words(line.name)
    # Of an item that names a food the line is the table's own, with what state that has.
    told = named if line.text.endswith(line.food.name) else named | words(line.text)
    if told & (_COOKED | _BOILED):
        return ""
    if named & _FILLED and line.food.state == "cooked":
        return "raw dough"
    return "raw wild mushrooms" if {"wild", "mushroom"} <= named else ""


def named_raw(name: str) -> MustCook | None:
    """Look up why something has to be cooked of which only a name that says raw is known.

    Parameters
    ----------
    name
        As the file has it.

    Returns
    -------
    What it is and who says so; None where the name does not say raw, or it may be eaten raw.

    Examples
    --------
    >>> why = named_raw("raw chicken strips")
    >>> why.kind if why else None, named_raw("raw carrots"), named_raw("roast chicken")
    ('raw poultry', None, None)
    """
    named = words(name)
    plant = _of_plant(name, "")
    if plant:
        return _WHY[plant]
    dish = bool(named & _EATEN_RAW) and "sauce" not in named
    if not dish and not named & _RAW_WORDS:
        return None
    families = derived((name,))
    holds = families.holds | families.may if dish else families.holds
    kind = next((kind for family, kind in _RAW_OF.items() if family in holds), None)
    return None if kind is None or _only_has_egg(name, kind) else _WHY[kind]


def _only_has_egg(name: str, kind: str) -> bool:
    """Tell what only has egg in it, as dry pasta, from raw egg."""
    return kind == "raw egg" and "egg" not in words(name.partition(",")[0])


def _kind(food: Food, guidance: str) -> str:
    named = words(food.name)
    head = words(food.name.partition(",")[0])
    kind = raw_kind(food) or _of_plant(food.name, food.state)
    if kind:
        return kind
    if food.group == "flour" or (not food.storage and "flour" in head and "tortilla" not in head):
        return "raw flour"
    baked = named & (_COOKED | _MADE_DOUGH)
    unbaked = "dough" in named or (named & _RAW_WORDS and named & words("pastry pizza"))
    if food.storage in _DOUGH or (unbaked and not baked):
        return "raw dough"
    frozen = food.storage == "frozen vegetables and fruit" and food.group == "vegetables"
    if frozen and food.state == "raw" and guidance != "us":
        return "frozen vegetables"
    sprouts = food.storage == "sprouts" or "sprouted" in named
    if sprouts and (food.state == "raw" or named & _RAW_WORDS) and guidance != "us":
        return "raw sprouts"
    return ""


def _of_plant(name: str, state: str) -> str:
    """Name why a plant has to be cooked, by its name and its state; empty where it need not be."""
    named = words(name)
    raw = state == "raw" or bool(named & _RAW_WORDS)
    dry = state == "dry" or bool(named & _DRY)
    if has_lectin(name, state) and (raw or dry):
        return "dried beans" if dry else "raw beans"
    pods = named & _PODS and named & words("bean haricots") and not named & _NO_PODS
    if pods and raw and not named & (_COOKED | _BOILED):
        return "raw green beans"
    if raw and not named & (_COOKED | _BOILED | _DRY):
        for kind, called, other in _POISONOUS:
            if named & called and not named & other:
                return kind
    raw_pulse = state == "dry" or {"mature", "raw"} <= named or {"dried", "raw"} <= named
    pulse = named & _PULSES and not named & (_SAFE_DRY | _COOKED | _BOILED)
    return "dried pulses" if raw_pulse and pulse else ""
