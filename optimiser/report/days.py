"""The days of the page: for each what is packed for whom, what to move tonight, what to cook."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from itertools import groupby
from typing import Any

from models.answers.pack import Card, CardPlace
from models.answers.page import PageFile
from models.answers.plan import LunchLine, NutrientLine, PlanFile
from models.answers.prep import PrepDay
from models.words.days import day_name
from models.words.numbers import counted
from models.words.nutrients import NUTRIENTS, printed
from optimiser.report.numbers import lunches_on, named, names_of
from optimiser.report.phrases import (
    bought_said,
    count_of,
    for_day_said,
    held,
    no_lunch_said,
    salted,
    several_eat,
    tenths,
    unbroken,
)

_ORDER = {tag: at for at, tag in enumerate(NUTRIENTS)}
_ON_LABELS = {"ENERC", "FAT", "CHOAVL", "SUGAR", "FIBTG", "PROCNT", "NA"}
"""What is shown of a lunch without a bound: as labels have it, and fibre."""
WIDTH = 120
"""Of a bar over the scale of the week, in units of its drawing."""


def stops(page: PageFile) -> list[date]:
    """List the dates on which a hand is needed: lunches, cooking, moves to the fridge, trips.

    Parameters
    ----------
    page
        What the page shows.

    Returns
    -------
    list of date
        Each once, the earliest first.

    Examples
    --------
    >>> from optimiser import page
    >>> [f"{day:%a}" for day in stops(page("minimal", sliders=False, verdicts=False))]
    ['Sun', 'Mon', 'Tue', 'Wed']
    """
    moves = [move.date for move in page.plan.moves]
    cooked = (day.date for day in cooking(page))
    return sorted({*page.plan.days, *moves, *page.shop.later, *cooked})


def cooking(page: PageFile) -> list[PrepDay]:
    """List the prep days on which there is something to do or to know.

    Parameters
    ----------
    page
        What the page shows.

    Returns
    -------
    list of PrepDay
        In the order of the prep sheet, which is that of their dates.

    Examples
    --------
    >>> from optimiser import page
    >>> [day.without_steps for day in cooking(page("minimal", sliders=False, verdicts=False))]
    [['rice and beans']]
    """
    return [day for day in page.prep.days if day.steps or day.without_steps or not day.possible]


def days(page: PageFile) -> Iterator[dict[str, Any]]:
    """Give what each date shows, in their order.

    Parameters
    ----------
    page
        What the page shows.

    Yields
    ------
    dict of str to Any
        What a template needs of a date: text ready to print, flags, and lists of the like.

    Examples
    --------
    >>> from optimiser import page
    >>> [day["title"] for day in days(page("minimal", sliders=False, verdicts=False))]
    ['Sun 29 Nov', 'Mon 30 Nov', 'Tue 1 Dec', 'Wed 2 Dec']
    """
    plan, several = page.plan, several_eat(page.plan)
    scale = _scale(plan)
    prepared = {day.date: day for day in cooking(page)}
    for day in stops(page):
        # Those of a group that are the same are one on both, in the same order.
        cards = [card for card in page.cards.cards if card.date == day]
        lines = zip(lunches_on(plan, day), cards, strict=True)
        tonight, shops = list(_tonight(plan, day)), page.shop.later.get(day, [])
        buys = [] if plan.nearest is None else plan.nearest.bought
        yield {
            "date": day.isoformat(),
            "id": f"{'day' if day in plan.days or tonight or shops else 'prep'}-{day.isoformat()}",
            "weekday": f"{day:%a}",
            "number": day.day,
            "title": day_name(day),
            "short": f"{day.day} {day:%b}",
            "lunches": [
                {
                    **_lunch(plan, line, card, scale, several=several),
                    "id": f"{line.date.isoformat()}-{number}",
                }
                for number, (line, card) in enumerate(lines)
            ],
            "buys": [
                {"eater": line.eater if several else "", "at": _place(plan, line.eater)}
                for line in buys
                if line.date == day
            ],
            "off": list(_off(plan, day)),
            "tonight": tonight,
            "eve": list(_eve(page, day)),
            "cook": _cook(page, prepared.get(day)),
            "freeze": list(_freeze(plan, day)),
            "shop": shops,
        }


def _cook(page: PageFile, day: PrepDay | None) -> dict[str, str] | None:
    if day is None:
        return None
    names = [info.batch for info in page.plan.batches if info.made == day.date and not info.earlier]
    begins = "" if day.begins is None else f" from {day.begins:%H:%M}"
    return {"when": begins, "what": ", ".join(names), "id": f"prep-{day.date.isoformat()}"}


def _off(plan: PlanFile, day: date) -> Iterator[dict[str, Any]]:
    """Say who has no lunch, with the place of a single eater among all."""
    names = names_of(plan)
    for text in no_lunch_said(plan, day):
        at = next((at for at, name in enumerate(names) if text.startswith(f"{name}: ")), None)
        yield {"text": text, "at": at, "alone": text.partition(": ")[2]}


def _tonight(plan: PlanFile, day: date) -> Iterator[str]:
    for move in plan.moves:
        if move.move == "thaw" and move.date == day:
            yield f"{count_of(plan, move.portions, move.batch)} {move.batch}"


def _eve(page: PageFile, day: date) -> Iterator[str]:
    """Say what hands do in the evening for the cooking of the day after."""
    for cooked in cooking(page):
        for step in cooked.steps:
            if step.hands and step.begins.date() == day != cooked.date:
                yield f"{step.begins:%H:%M} {step.work}"


def _freeze(plan: PlanFile, day: date) -> Iterator[str]:
    frozen = [move for move in plan.moves if move.move == "freeze" and move.date == day]
    for batch, moves in groupby(frozen, key=lambda move: move.batch):
        tubs = (
            f"{count_of(plan, move.portions, batch)} {for_day_said(move.for_day)}" for move in moves
        )
        yield f"{batch}: {', '.join(tubs)}"


# -- a lunch -------------------------------------------------------------------------


def _lunch(
    plan: PlanFile, line: LunchLine, card: Card, scale: dict[str, float], *, several: bool
) -> dict[str, Any]:
    rows = list(_nutrients(line, plan.guidance, scale))
    return {
        "eater": line.eater if several else "",
        "at": _place(plan, line.eater),
        "dish": line.dish,
        # As on the card of the morning: of all that an entry by number takes along.
        "minutes": counted(card.minutes, "minute") if card.minutes else "",
        "min": f"{card.minutes} min" if card.minutes else "",
        "before": list(map(_sentence, card.before)),
        "places": list(_places(card)),
        "carry": list(map(_sentence, card.carry)),
        "notes": list(map(_sentence, (*card.eat, *card.cautions))),
        "bounds": [row for row in rows if row["bound"]],
        "figures": rows,
        "held": _sentence(held(line)),
        "because": line.reasons[0].text if line.reasons else "",
    }


def _place(plan: PlanFile, eater: str) -> int:
    """Give the place of an eater among the names above the dish."""
    return names_of(plan).index(named(plan, eater))


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _places(card: Card) -> Iterator[dict[str, Any]]:
    rooms = [place.room for place in card.places if place.room and "pot" not in place.place]
    for place in card.places:
        yield {
            "place": place.place,
            "shape": _shape(place, max(rooms, default=0.0)),
            "parts": [unbroken(part.text) for part in place.parts],
            "note": place.note,
        }


def _shape(place: CardPlace, largest: float) -> str:
    """Give the shape of a tick: a round pot, a compartment as wide as it is, a bare corner."""
    if place.room is None:
        return "beside"
    if place.place.startswith("pot"):
        return "pot"
    return "wide" if place.room > largest * 2 / 3 else "narrow"


# -- what is in it -------------------------------------------------------------------


def _scale(plan: PlanFile) -> dict[str, float]:
    """Give for each nutrient the most that any bar of the week has to show: one scale."""
    most: dict[str, float] = {}
    for line in plan.lunches:
        for tag, nutrient in line.nutrients.items():
            shown = salted(tag, nutrient, plan.guidance)
            top = max(shown.amount, shown.floor or 0.0, shown.ceiling or 0.0)
            most[tag] = max(most.get(tag, 0.001), top)
    return most


def _nutrients(line: LunchLine, guidance: str, scale: dict[str, float]) -> Iterator[dict[str, Any]]:
    for tag in sorted(line.nutrients, key=lambda nutrient: _ORDER.get(nutrient, 99)):
        shown = salted(tag, line.nutrients[tag], guidance)
        bound = shown.floor is not None or shown.ceiling is not None
        if bound or tag in _ON_LABELS:
            marks = [mark for mark in (shown.floor, shown.ceiling) if mark is not None]
            yield {
                "name": printed(tag, guidance)[0],
                "bound": bound,
                "amount": _amount(shown),
                "bounds": _bounds(shown),
                "kept": _kept(shown),
                "width": round(WIDTH * shown.amount / scale[tag], 1),
                "marks": [round(WIDTH * mark / scale[tag], 1) for mark in marks],
            }


def _amount(line: NutrientLine) -> str:
    least = "" if line.complete else "at least "
    digits = 0 if line.amount >= 100 else 1
    return f"{least}{line.amount:.{digits}f} {line.unit}"


def _bounds(line: NutrientLine) -> str:
    bounds = []
    if line.floor is not None:
        bounds.append(f"at least {tenths(line.floor)}")
    if line.ceiling is not None:
        bounds.append(f"at most {tenths(line.ceiling)}")
    return ", ".join(bounds)


def _kept(line: NutrientLine) -> bool:
    # Half a thousandth of a unit is lost in writing a figure.
    slack = 0.0005
    low = line.floor is None or line.amount >= line.floor - slack
    return low and (line.ceiling is None or line.amount <= line.ceiling + slack)


# -- the week over -------------------------------------------------------------------


def bought(plan: PlanFile) -> list[str]:
    """Say which lunches are to buy and what gives way; nothing where every rule is kept.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    list of str
        A line each, without line breaks: lunches by day first, then what gives way, with its
        place.

    Examples
    --------
    >>> from optimiser import plan
    >>> bought(plan("impossible", nearest=True, reasons=False))[0]
    'Tue 1 Dec, Oda: 0.6 g short of protein: 27.4 g, the floor is 28 g'
    """
    if plan.nearest is None:
        return []
    on = dict.fromkeys(line.date for line in plan.nearest.bought)
    buys = [f"{day_name(day)}: {text}" for day in on for text in bought_said(plan, day)]
    places = [place for line in plan.nearest.gave_way for place in line.places]
    return [*buys, *(f"{place.where}: {place.what}" for place in places)]
