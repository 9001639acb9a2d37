"""A kitchen and the steps of a prep day, as plain data.

A step takes minutes, perhaps within a range, as a soak does; it may need a pair of hands, trays
in the oven at one temperature, rings of the hob, a blender; it comes after others, with a gap.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, time
from decimal import Decimal

from models.foods.food import Food
from models.foods.raw import raw_kind
from models.words.names import spelt, words
from models.words.raw import RAW


@dataclass(frozen=True, slots=True)
class Kitchen:
    """What there is to cook with, and when.

    Attributes
    ----------
    hands
        Pairs of hands.
    oven_trays, rings, blenders
        How many at a time; 0 where there is none.
    starts, ends
        When hands may work on the prep day.
    evening
        When hands may work on the evening before: putting something to soak.
    hot_day
        True where the kitchen is above 32 °C (90 °F): food cools an hour at the most.
    own
        Weekdays with hours of their own, from 0 for Monday: when hands begin and end.
    """

    hands: int = 1
    oven_trays: int = 2
    rings: int = 4
    blenders: int = 1
    starts: time = time(9)
    ends: time = time(21)
    evening: tuple[time, time] = (time(18), time(22))
    hot_day: bool = False
    own: tuple[tuple[int, time, time], ...] = ()

    def on(self, day: date) -> Kitchen:
        """Give the kitchen with the hours of a day.

        Parameters
        ----------
        day
            The day of the cooking.

        Returns
        -------
        A copy with the hours that its weekday has of its own, or else the same kitchen.

        Examples
        --------
        >>> Kitchen(own=((2, time(18, 30), time(21)),)).on(date(2026, 12, 2)).starts
        datetime.time(18, 30)
        """
        hours = [(starts, ends) for at, starts, ends in self.own if at == day.weekday()]
        return replace(self, starts=hours[0][0], ends=hours[0][1]) if hours else self


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a recipe.

    Attributes
    ----------
    name
        What other steps call it; unique within its batch.
    work
        What is done, in words.
    least, most
        Minutes it takes; the same unless it may wait.
    oven
        Temperature in °C, or None.
    trays, rings, blenders
        How many of each it takes up.
    after
        Names of the steps it comes after.
    gap
        Least and most minutes between the last of those and this; None for no most.
    touches
        What hands, board and knife touch: some of `RAW`, or `READY`; nothing that matters where
        it is empty; None where the file does not say.
    sharing
        Most pairs of hands that may share the work in equal parts, as tubs are filled: it takes
        `most` minutes alone, `least` where all of them share it.
    """

    name: str
    work: str
    least: int
    most: int
    hands: bool = True
    oven: int | None = None
    trays: int = 0
    rings: int = 0
    blenders: int = 0
    after: tuple[str, ...] = ()
    gap: tuple[int, int | None] = (0, None)
    touches: tuple[str, ...] | None = None
    sharing: int = 1

    @property
    def raw(self) -> bool:
        """True where it leaves traces of raw meat, fish or egg."""
        return self.hands and bool(set(self.touches or ()) & set(RAW))

    @property
    def ready(self) -> bool:
        """True where what it touches is eaten as it is."""
        return self.hands and READY in (self.touches or ())

    @property
    def slow_cooks(self) -> bool:
        """True where it never boils: its words speak of a slow cooker, or the oven is too cool."""
        named = words(self.work)
        cool = self.oven is not None and self.oven < BOILS and not self.rings
        return cool or ("slow" in named and bool(named & {"cook", "cooker"}))

    @property
    def heats(self) -> bool:
        """True where there is fire under it."""
        return self.oven is not None or self.rings > 0 or self.slow_cooks

    @property
    def leaves_raw(self) -> bool:
        """True where heat cooks nothing through: an oven made hot, meat left rare or only seared.

        Examples
        --------
        >>> works = ("heat the oven to 200 °C", "fry until no longer pink", "fry it, still pink")
        >>> [Step("", work, 9, 9, rings=1).leaves_raw for work in (*works, "sear the chicken")]
        [True, False, True, True]
        """
        cool = self.oven is not None and self.oven < COOKS_FROM and not self.rings
        named = words(self.work)
        underdone = _UNDERDONE.search(self.work) and not named & _NOT
        outside = named & _OUTSIDE and not named & ((_COOKING | _DONE) - _OUTSIDE)
        return cool or bool(underdone or outside) or self.heats_up

    @property
    def cooks_by_fire(self) -> bool:
        """True where food is cooked through over fire that the kitchen counts."""
        return self.heats and not self.leaves_raw

    @property
    def heats_up(self) -> bool:
        """True where it makes hot what food goes in later: "heat the oil"."""
        return _HEATS_UP.fullmatch(" ".join(spelt(self.work))) is not None

    @property
    def cooks(self) -> bool:
        """True where food is cooked in it, be it with what no kitchen here counts: a microwave.

        Examples
        --------
        >>> works = ("microwave the peas", "chop the leek")
        >>> [Step("", work, 4, 4).cooks for work in works]
        [True, False]
        """
        return (self.heats or bool(words(self.work) & _COOKING)) and not self.leaves_raw

    @property
    def warms(self) -> bool:
        """True where food gets warm in it, cooked or not: hot stock over couscous."""
        return self.heats or bool(words(self.work) & (_COOKING | _WARM))

    def pairs(self, lasts: int) -> int:
        """Count the pairs of hands that do it within so many minutes.

        Parameters
        ----------
        lasts
            From `least` to `most`.

        Returns
        -------
        int
            As few as can; 1 where the work is not shared, 0 where it goes on by itself.

        Examples
        --------
        >>> fill = Step("fill", "fill 25 tubs", 7, 25, sharing=4)
        >>> fill.pairs(25), fill.pairs(9), fill.pairs(7)
        (1, 3, 4)
        """
        return -(-self.most // lasts) if self.sharing > 1 else int(self.hands)

    @property
    def ways(self) -> tuple[int, ...]:
        """Minutes that shared work takes one pair of hands, two, and so on; empty where it is not.

        Examples
        --------
        >>> Step("fill", "fill 5 tubs", 2, 5, sharing=4).ways
        (5, 3, 2)
        """
        if self.sharing < 2:
            return ()
        each = (-(-self.most // pairs) for pairs in range(1, self.sharing + 1))
        return tuple(dict.fromkeys(each))

    def uses(self, lasts: int | None = None) -> dict[str, int]:
        """Count what it takes up while it lasts.

        Parameters
        ----------
        lasts
            Minutes, where the work is shared; None for one pair of hands.

        Returns
        -------
        dict of str to int
            Of "hands", "oven" (trays), "rings" and "blenders" those that it takes up.

        Examples
        --------
        >>> Step("boil", "boil the peas", 40, 40, hands=False, rings=1).uses()
        {'rings': 1}
        """
        amounts = {
            "hands": int(self.hands) if lasts is None else self.pairs(lasts),
            "oven": self.trays,
            "rings": self.rings,
            "blenders": self.blenders,
        }
        return {name: number for name, number in amounts.items() if number}


BOILS, COOKS_FROM = 100, 74
"""Degrees Celsius of an oven: below the first no pot boils (beans have to), below the second no
poultry is ever done (FDA Food Code 2022, 3-401.11)."""
_HEATS_UP = re.compile(
    r"(heat|preheat|melt|warm|boil) (up )?"
    r"((the|a|some|little|olive|rapeseed|vegetable|sunflower) )*"
    r"(oil|fat|butter|ghee|lard|dripping|water|oven|grill|hob|kettle"
    r"|plates?|bowls?|trays?|box|boxes|flasks?)"
    r"( (in|over|to|until|on|a|the|large|small|heavy|frying|pan|pot|saucepan|casserole|wok|medium"
    r"|high|low|heat|hot|melted|c|f|\d+))*"
)
"""What is made hot before food goes in: "heat the oil in a large pan", "preheat the oven"."""
_UNDERDONE = re.compile(
    r"\b(rare|runny|underdone|undercooked|soft[- ]boil(ed)?|pink(?! peppercorn| onion))\b",
    re.IGNORECASE,
)
_COOKING = words(
    "bake boil braise cook fry grill microwave poach pressure roast sear simmer steam stew scramble"
)
_OUTSIDE, _DONE, _NOT = words("sear seal"), words("through done cooked"), words("no not never")
_WARM = words("hot warm heat boiling boiled cooked fried roasted kettle melt toast steep oven hob")

# -- what hands touch ------------------------------------------------------------------

READY = "ready food"
NOTHING = "nothing"
_CALLED = {
    "raw poultry": words("poultry meat mince bird"),
    "raw meat": words("meat mince"),
    "raw fish": words("fish fillets"),
    "raw shellfish": words("shellfish fish"),
    "raw egg": words("eggs"),
}
"""What a cook calls them besides their names."""
_PLAIN_WORK = words(
    "peel scrub trim chop cut dice slice grate shred crush mince rinse drain wash weigh soak put "
    "boil simmer steam fry soften sweat toast melt cook roast bake heat bring until till to the a "
    "an and of in into with for on small large fine finely thin thinly soft tender done golden "
    "pieces cubes strips rings slices water boil pan pot"
)
"""Words that bring nothing more into a step than what it names."""
_EVERYTHING = words("everything ingredients")
_NO_NAME = words("raw fresh dry whole boiled tinned drained in with and or of as bought")


def handled(steps: Sequence[Step], foods: Iterable[Food]) -> tuple[tuple[Step, ...], str]:
    """Work out what hands touch in each step of a batch that does not say so itself.

    A step whose words are all known, as "chop the onion", touches what it names; one that makes
    something hot before food goes in, as "heat the oil", touches and cooks none; any other may
    touch all. Food is raw until a step that heats it, which none does that comes before the food is
    named, if one does after; what is heated no more is ready to eat.

    Parameters
    ----------
    steps
        In an order in which each comes after those that it names.
    foods
        What the batch is made of.

    Returns
    -------
    tuple
        The steps, and what is still raw after all of them, in words; empty where nothing is.

    Examples
    --------
    >>> from models.foods.food import find
    >>> cut = Step("cut", "cut the chicken", 5, 5)
    >>> bake = Step("bake", "bake it", 30, 30, hands=False, oven=200, trays=1, after=("cut",))
    >>> chicken = find("chicken breast, skinless, raw")
    >>> (cut, bake), raw = handled([cut, bake], [chicken])
    >>> cut.touches, raw
    (('raw poultry',), '')
    """
    raw: dict[str, set[str]] = {}
    clean: set[str] = set()
    for food in foods:
        kind, named = raw_kind(food), words(food.name) - _NO_NAME
        if kind is None:
            clean |= named
        else:
            raw.setdefault(kind, set(_CALLED[kind])).update(named)
    for step in steps:
        for kind in set(step.touches or ()) & set(RAW):
            raw.setdefault(kind, set(_CALLED[kind]))
    return _touched(steps, raw, clean)


def _touched(
    steps: Sequence[Step], raw: Mapping[str, set[str]], clean: set[str]
) -> tuple[tuple[Step, ...], str]:
    before = _before(steps)
    cooked: dict[str, set[str]] = {}
    about: dict[str, set[str]] = {}
    made: list[Step] = []
    for step in steps:
        earlier = before[step.name]
        gone = set().union(*(cooked[name] for name in earlier))
        kinds = _about(step, raw, clean)
        if step.cooks_by_fire:
            # What it was mixed with before is cooked with it.
            mixed = [about[name] for name in earlier if about[name] & kinds]
            late = _yet_to_come(step, steps, raw, clean) | _folded_in(step, steps, raw)
            cooked[step.name] = kinds.union(*mixed) - late
            about[step.name] = set()
        else:
            cooked[step.name], about[step.name] = set(), kinds
        made.append(replace(step, touches=tuple(kind for kind in RAW if kind in kinds - gone)))
    heated = {name for step in steps if step.heats for name in before[step.name]}
    last = set(raw) - set().union(*cooked.values())
    judged = [
        old if old.touches is not None else _ready(new, cooked_later=new.name in heated)
        for old, new in zip(steps, made, strict=True)
    ]
    return tuple(judged), " and ".join(kind for kind in RAW if kind in last)


def _before(steps: Sequence[Step]) -> dict[str, set[str]]:
    """Find for each step all that come before it."""
    before: dict[str, set[str]] = {}
    for step in steps:
        before[step.name] = {early for name in step.after for early in (name, *before[name])}
    return before


def _yet_to_come(
    step: Step, steps: Sequence[Step], raw: Mapping[str, set[str]], clean: set[str]
) -> set[str]:
    """Find the raw foods that no step names till after this one, and that are heated then.

    The mince of 'add the mince and brown' was not cooked by 'fry the onions for 10 minutes'.
    """
    before = _before(steps)
    by_now = (other for other in steps if other.name in before[step.name] | {step.name})
    unnamed = set(raw).difference(*(_named(other, raw) for other in by_now))
    heated = [other for other in steps if step.name in before[other.name] and other.cooks_by_fire]
    return {
        kind
        for kind in unnamed
        for heating in heated
        if kind in _about(heating, raw, clean)
        for other in steps
        if kind in _named(other, raw)
        if other == heating or other.name in before[heating.name]
    }


def _folded_in(step: Step, steps: Sequence[Step], raw: Mapping[str, set[str]]) -> set[str]:
    """Find the egg that goes in raw once the last fire is out: no cook whisks a boiled one."""
    before = _before(steps)
    later = [other for other in steps if step.name in before[other.name]]
    if any(other.heats for other in later) or "raw egg" in _named(step, raw):
        return set()
    late = [other for other in later if "raw egg" in _named(other, raw)]
    return {"raw egg"} if any(words(other.work) & _BEATEN for other in late) else set()


_BEATEN = words("fold whisk whip beat")


def _named(step: Step, raw: Mapping[str, set[str]]) -> set[str]:
    """Find the raw foods that a step names, or says that it touches."""
    if step.touches is not None:
        return set(step.touches) & set(RAW)
    work = words(step.work)
    return set(raw) if work & _EVERYTHING else {kind for kind in raw if work & raw[kind]}


def _about(step: Step, raw: Mapping[str, set[str]], clean: set[str]) -> set[str]:
    """Find the raw foods that a step is about."""
    kinds, work = _named(step, raw), words(step.work)
    if not kinds and step.heats_up:
        return set()
    only = bool(work & clean) and work <= clean | _PLAIN_WORK
    return kinds if kinds or only or step.touches is not None else set(raw)


def _ready(step: Step, *, cooked_later: bool) -> Step:
    if step.touches or cooked_later or step.heats or not step.hands:
        return step
    return replace(step, touches=(READY,))


# -- cooling ---------------------------------------------------------------------------

DEPTH = Decimal(5)
"""Centimetres of food in a tub at the most: FDA Food Code 2022, 3-501.15, and USDA FSIS ask for
shallow pans; two inches is what extension services commonly make of it (seen in quotation). The
time to cool goes with the square of the depth (conduction of heat, from memory)."""
TUB_HOLDS = DEPTH * 20 * 15
"""Millilitres in a shallow tub with a base of 20 x 15 cm (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Cooling:
    """How long cooked food may take into the fridge.

    Attributes
    ----------
    minutes
        From the end of cooking.
    source
        Who says so.
    """

    minutes: int
    source: str


LIMITS = {
    "us": Cooling(120, "into the fridge within 2 hours of cooking (USDA FSIS)"),
    "uk": Cooling(90, "cool and into the fridge within 1 to 2 hours (UK FSA)"),
    "strictest": Cooling(90, "cool and into the fridge within 1 to 2 hours (UK FSA)"),
}
HOT = Cooling(60, "above 32 °C into the fridge within 1 hour (USDA FSIS)")
RICE = Cooling(60, "cooked rice cools within 1 hour (NHS, UK FSA)")


def cooling(guidance: str, *, hot: bool, rice: bool) -> Cooling:
    """Find the shortest limit for cooling that holds.

    Parameters
    ----------
    guidance
        Whose advice the week follows; the strictest where nobody said.
    hot
        Is the kitchen above 32 °C?
    rice
        Is it cooked rice?

    Returns
    -------
    Minutes from the end of cooking, and who says so.

    Examples
    --------
    >>> cooling("uk", hot=False, rice=True).minutes <= cooling("uk", hot=False, rice=False).minutes
    True
    """
    limits = [LIMITS.get(guidance, LIMITS["strictest"])]
    limits += [HOT] if hot else []
    limits += [RICE] if rice else []
    return min(limits, key=lambda limit: limit.minutes)


@dataclass(frozen=True, slots=True)
class Placed:
    """A step with its time.

    Attributes
    ----------
    begins, ends
        Minutes from midnight at the start of the day before the prep day.
    """

    batch: str
    step: Step
    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class Timetable:
    """The steps of one prep day in the order of their times.

    Attributes
    ----------
    proven
        True where no timetable ends earlier, or as early and starts later.
    """

    placed: tuple[Placed, ...]
    proven: bool
    limits: dict[str, Cooling] = field(default_factory=dict)
