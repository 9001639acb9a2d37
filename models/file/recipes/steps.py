"""The method of a recipe made into steps: minutes and heats where its sentences tell them.

Gas marks in °C: the usual table of British cookbooks, from memory. Which work needs hands all
the time is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from models.file.draft import DraftStep

LONGEST = 140
LONGEST_MINUTES = 3 * 24 * 60
OVERNIGHT = 8 * 60

_HALVES = str.maketrans({"½": ".5", "¼": ".25", "¾": ".75"})
_NUMBER = r"[0-9]{1,4}(?:\.[0-9]{1,2})?"
_TIME = re.compile(
    rf"(?:(?P<often>every|after|last|first)\s+)?"
    rf"(?:(?P<low>{_NUMBER})\s*(?:-|–|to|or)\s*)?(?P<high>{_NUMBER}|half an|an|one|two|three)[\s-]*"
    r"(?P<unit>hours?|hrs?|hr|h|minutes?|mins?|min)\b(?P<sides>\s+(?:on each|each|per) side)?"
    r"(?P<than>\s+(?:less|fewer|shorter|under|more|longer) than)?",
    re.IGNORECASE,
)
_OTHERWISE = re.compile(r"\bor (on (the )?\w+ )?((for|about) )*$", re.IGNORECASE)
"""What stands between two times of which a cook takes one: 8 hours on low or 4 on high."""
_WORDS = {
    "half an": Fraction(1, 2),
    "an": Fraction(1),
    "one": Fraction(1),
    "two": Fraction(2),
    "three": Fraction(3),
}
_HEAT = re.compile(
    r"(?P<fan>fan\s+)?(?P<number>[0-9]{2,3})\s*(?:°|º|degrees?)?\s*(?P<scale>[CF])(?![a-z])"
    r"(?P<fan_after>\s*\(?\s*fan)?",
    re.IGNORECASE,
)
_GAS = re.compile(r"gas(?:\s+mark)?\s*(?P<mark>[1-9])", re.IGNORECASE)
_GAS_MARKS = (140, 150, 170, 180, 190, 200, 220, 230, 240)
_OVEN = re.compile(r"\b(bak(e|ed|ing)|roast(ed|ing)?|(?<!dutch )oven)\b", re.IGNORECASE)
_WARMING = re.compile(
    r"\b(pre-?heat|heat (the|your|an) oven|(?<!dutch )oven (on )?to)\b", re.IGNORECASE
)
_OF_THE_FOOD = re.compile(
    r"\b(?<!oven )(until|reads?|registers?|reach(es)?|thermometer|probe|internal|core)\b"
    r"((?!\b(at(?! least)|then)\b).)*$",
    re.IGNORECASE,
)
_FOOD_BEHIND = re.compile(
    r"[°º)\s]*(degrees?\s*)?[CF]?\s+((on|with) (a|the|your|an) (\w+[- ])?"
    r"(thermometer|probe)|inside|internal|in the (cent|core|middle|thick))",
    re.IGNORECASE,
)
"""Words before and behind a temperature that is the food's own and not the oven's."""
_ONLY_WARMS = re.compile(
    r"(first,? )?(pre-?heat|heat|set|turn on)( the| your| an)? oven( (to|at))?"
    r"([\s0-9°ºCF/.,()-]|\b(degrees?|fan|gas|mark|convection|conventional|or|oven)\b)*",
    re.IGNORECASE,
)
"""What the sheet for the day of cooking has a row for, whenever the oven is needed."""
_ONLY_SETS_ASIDE = re.compile(
    r"(then |and )?(set|put) ((it|them|this|these|all|everything|the [\w -]{1,40}) )?"
    r"(aside|to one side)",
    re.IGNORECASE,
)
_SLOW_COOKER = re.compile(r"\b(slow[- ]cooker|crock[- ]?pot)\b", re.IGNORECASE)
_SETTING = re.compile(r"\bon (the )?(low|high)\b(?! heat)", re.IGNORECASE)
_SET_FROM = 2 * 60
"""Minutes from which "on low" is said of a slow cooker, and not of a hob."""
_HOB = re.compile(
    r"\b(simmer|boil|fry|saut[eé]|sweat|soften|brown|poach|steam|toast|reduce|cook|saucepan|pan"
    r"|frying|boiling|simmering|wok|hob)\b",
    re.IGNORECASE,
)
_ALONE = re.compile(
    r"\b(bake|roast|simmer|boil|poach|steam|chill|cool|rest(?! of)|soak|marinate|prove|rise|stand"
    r"|set(?! aside)|pressure cooker|leave|freeze|infuse|overnight|(?<!dutch )oven|simmering"
    r"|refrigerate)\b",
    re.IGNORECASE,
)
_NUMBER_OF_IT = re.compile(r"^(?:step\s*)?[0-9]{1,2}(?:[.):]\s*$|[.):]\s+|$)", re.IGNORECASE)
"""What only numbers a step."""
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z(])|\n+")


def steps_of(instructions: Iterable[str]) -> tuple[DraftStep, ...]:
    """Make steps of the paragraphs of a method.

    A sentence that tells a time is a step of its own; those before it without one are another.

    Parameters
    ----------
    instructions
        Paragraphs, in the order of the recipe.

    Returns
    -------
    In the order of the recipe, no two of the same words.

    Examples
    --------
    >>> [step] = steps_of(["Bake at 200C/180C fan for 20-25 minutes."])
    >>> step.lasts, step.oven, step.hands
    (25, 200, False)
    """
    known: list[DraftStep] = []
    heat: int | None = None
    slow = False
    for paragraph in instructions:
        for step in _steps(paragraph):
            told = _heat(step.do)
            if told is not None and (_WARMING.search(step.do) or _OVEN.search(step.do)):
                heat = told
            slow = slow or _SLOW_COOKER.search(step.do) is not None
            if _is_idle(step):
                continue
            if _is_slow(step, named_before=slow):
                known.append(_slowly(step))
            elif step.lasts is not None and _OVEN.search(step.do):
                known.append(replace(step, oven=told or heat, hands=False, rings=0))
            else:
                known.append(step)
    return tuple(_named(replace(step, do=_cut(step.do)) for step in known))


def _steps(paragraph: str) -> Iterator[DraftStep]:
    before: list[str] = []
    for sentence in _SENTENCE.split(paragraph):
        text = _NUMBER_OF_IT.sub("", sentence.strip()).rstrip(".")
        if not text:
            continue
        lasts = _minutes(text)
        if lasts is None:
            before.append(text)
            continue
        if before:
            yield DraftStep(". ".join(before))
            before = []
        alone = _ALONE.search(text) is not None
        yield DraftStep(text, lasts, hands=not alone, rings=int(bool(_HOB.search(text))))
    if before:
        yield DraftStep(". ".join(before))


def _is_idle(step: DraftStep) -> bool:
    """Tell whether nobody has to do anything but what the sheet says of itself."""
    ways = (_ONLY_WARMS,) if step.lasts is not None else (_ONLY_WARMS, _ONLY_SETS_ASIDE)
    return all(
        any(way.fullmatch(sentence.rstrip(". ")) for way in ways)
        for sentence in _SENTENCE.split(step.do)
    )


def _is_slow(step: DraftStep, *, named_before: bool) -> bool:
    """Tell whether a step is a slow cooker's, which its setting tells where no sentence does."""
    if step.lasts is None:
        return False
    long = step.lasts >= _SET_FROM
    is_set = _SETTING.search(step.do) is not None
    heated = {match[0].casefold() for match in _HOB.finditer(step.do)}
    if _OVEN.search(step.do):
        return False
    if named_before:
        named = _SLOW_COOKER.search(step.do) is not None or (long and bool(heated))
        return is_set or (named and heated <= {"cook", "simmer"})
    return is_set and long and heated <= {"cook"}


def _slowly(step: DraftStep) -> DraftStep:
    """Leave hands and rings free, and name what cooks it: it never boils, whatever is in it."""
    named = re.search(r"\bslow[- ]cooker\b", step.do[:LONGEST], re.IGNORECASE)
    do = step.do if named else f"{_cut(step.do)} (slow cooker)"
    return replace(step, do=do, hands=False, rings=0)


def _minutes(text: str) -> int | None:
    """Add up the times of a sentence, the longer of two ways; None where it tells none."""
    total, end = Fraction(0), 0
    text = text.translate(_HALVES)
    for match in _TIME.finditer(text):
        between, end = text[end : match.start()][-LONGEST:], match.end()
        if match["often"] or match["than"]:
            continue
        number = match["high"].casefold()
        count = _WORDS[number] if number in _WORDS else Fraction(number)
        each = count * (60 if match["unit"].casefold().startswith("h") else 1)
        each *= 2 if match["sides"] else 1
        total = max(total, each) if total and _OTHERWISE.search(between) else total + each
    if not total and "overnight" in text.casefold():
        return OVERNIGHT
    minutes = round(total)
    return minutes if 0 < minutes <= LONGEST_MINUTES else None


def _heat(text: str) -> int | None:
    """Give the heat of an oven in °C, of one without a fan where both are told."""
    degrees: list[tuple[bool, int]] = []
    end = 0
    for match in _HEAT.finditer(text):
        start, scale = match.start(), match.end("scale")
        before, end = text[max(end, start - LONGEST) : start], match.end()
        if _is_the_food_s(before, text[scale : scale + LONGEST]):
            continue
        number = int(match["number"])
        if match["scale"].casefold() == "f":
            number = round((number - 32) * 5 / 9 / 5) * 5
        degrees.append((bool(match["fan"] or match["fan_after"]), number))
    gas = _GAS.search(text)
    if gas is not None:
        degrees.append((False, _GAS_MARKS[int(gas["mark"]) - 1]))
    fit = [heat for heat in degrees if 30 <= heat[1] <= 300]
    return min(fit, key=lambda heat: heat[0])[1] if fit else None


def _is_the_food_s(before: str, behind: str) -> bool:
    """Tell whether a temperature is that of the food, by which a cook knows that it is done."""
    if _WARMING.search(before):
        return False
    return bool(_OF_THE_FOOD.search(before) or _FOOD_BEHIND.match(behind))


def _named(steps: Iterable[DraftStep]) -> Iterator[DraftStep]:
    """Tell apart steps of the same words, for a name is a step's own."""
    seen: dict[str, int] = {}
    for step in steps:
        seen[step.do] = seen.get(step.do, 0) + 1
        again = seen[step.do]
        yield step if again == 1 else replace(step, do=f"{step.do} ({again})")


def _cut(text: str) -> str:
    if len(text) <= LONGEST:
        return text
    return text[:LONGEST].rsplit(" ", 1)[0] + " ..."
