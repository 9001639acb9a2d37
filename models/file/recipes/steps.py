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
    r"(?P<unit>hours?|hrs?|hr|h|minutes?|mins?|min)\b(?P<sides>\s+(?:on each|each|per) side)?",
    re.IGNORECASE,
)
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
_OVEN = re.compile(r"\b(bak(e|ed|ing)|roast(ed|ing)?|oven)\b", re.IGNORECASE)
_WARMING = re.compile(r"\b(pre-?heat|heat (the|your|an) oven|oven (on )?to)\b", re.IGNORECASE)
_HOB = re.compile(
    r"\b(simmer|boil|fry|saut[eé]|sweat|soften|brown|poach|steam|toast|reduce|cook|saucepan|pan"
    r"|frying|boiling|simmering|wok|hob)\b",
    re.IGNORECASE,
)
_ALONE = re.compile(
    r"\b(bake|roast|simmer|boil|poach|steam|chill|cool|rest|soak|marinate|prove|rise|stand|set"
    r"|slow cooker|pressure cooker|leave|freeze|infuse|overnight|oven|simmering|refrigerate)\b",
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
    for paragraph in instructions:
        for step in _steps(paragraph):
            told = _heat(step.do)
            if _WARMING.search(step.do) and told is not None:
                heat = told
            bakes = step.lasts is not None and _OVEN.search(step.do)
            baked = replace(step, oven=told or heat, hands=False, rings=0)
            known.append(baked if bakes else step)
    return tuple(_named(known))


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
            yield DraftStep(_cut(". ".join(before)))
            before = []
        alone = _ALONE.search(text) is not None
        yield DraftStep(_cut(text), lasts, hands=not alone, rings=int(bool(_HOB.search(text))))
    if before:
        yield DraftStep(_cut(". ".join(before)))


def _minutes(text: str) -> int | None:
    """Add up the times of a sentence, of a range the longer; None where it tells none."""
    total = Fraction(0)
    for match in _TIME.finditer(text.translate(_HALVES)):
        if match["often"]:
            continue
        number = match["high"].casefold()
        count = _WORDS[number] if number in _WORDS else Fraction(number)
        each = count * (60 if match["unit"].casefold().startswith("h") else 1)
        total += each * (2 if match["sides"] else 1)
    if not total and "overnight" in text.casefold():
        return OVERNIGHT
    minutes = round(total)
    return minutes if 0 < minutes <= LONGEST_MINUTES else None


def _heat(text: str) -> int | None:
    """Give the heat of an oven in °C, of one without a fan where both are told."""
    degrees: list[tuple[bool, int]] = []
    for match in _HEAT.finditer(text):
        number = int(match["number"])
        if match["scale"].casefold() == "f":
            number = round((number - 32) * 5 / 9 / 5) * 5
        degrees.append((bool(match["fan"] or match["fan_after"]), number))
    gas = _GAS.search(text)
    if gas is not None:
        degrees.append((False, _GAS_MARKS[int(gas["mark"]) - 1]))
    fit = [heat for heat in degrees if 30 <= heat[1] <= 300]
    return min(fit, key=lambda heat: heat[0])[1] if fit else None


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
