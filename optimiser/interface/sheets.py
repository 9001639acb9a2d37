"""Kitchen sheets: each is printed from a saved plan, or from a week that is planned first."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from models.words.errors import InputError
from optimiser.interface.background import in_time
from optimiser.interface.given import printed

if TYPE_CHECKING:
    from models.answers.calendar import CalendarFile
    from models.answers.labels import LabelFile
    from models.answers.pack import CardFile
    from models.answers.page import PageFile
    from models.answers.prep import PrepFile
    from models.answers.share import ShareFile
    from models.answers.shop import ShopFile
    from optimiser.interface.given import PlanGiven, Printed


def shop(plan: PlanGiven | Printed) -> ShopFile:
    """List what to buy for the plan and its batches, in whole packs at least cost.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first: a path, text, or either itself.

    Returns
    -------
    ShopFile
        The list by parts of a shop: for each food the packs, what they cost and what they leave.

    Raises
    ------
    NoPlanError
        When the week has no plan.
    InputError
        Saying where, what, and how to mend it.

    Examples
    --------
    >>> shop("minimal").cost > 0
    True
    """
    from optimiser.sheets.shop import shopping  # noqa: PLC0415

    held = printed(plan)
    return shopping(held.week, held.packed)


def prep(plan: PlanGiven | Printed) -> PrepFile:
    """Put the steps of the batches in order, on one oven and one pair of hands.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.

    Returns
    -------
    PrepFile
        For each day of cooking its steps with clock times; where they cannot be done in time, why.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> all(day.possible for day in prep("minimal").days)
    True
    """
    from optimiser.sheets.prep import prep as order  # noqa: PLC0415

    held = printed(plan)
    return order(held.week, held.packed)


def labels(plan: PlanGiven | Printed) -> LabelFile:
    """Write a label for every tub: what, made, use-by, the days it is for, allergens.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.

    Returns
    -------
    LabelFile
        A label for every tub, numbered within its batch.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> all(label.made <= label.use_by for label in labels("minimal").labels)
    True
    """
    from optimiser.sheets.labels import labels as write  # noqa: PLC0415

    held = printed(plan)
    return write(held.week, held.packed)


def pack(
    plan: PlanGiven | Printed, day: str | date | None = None, *, eater: str | None = None
) -> CardFile:
    """Say what goes in which compartment and pot, in the order of packing.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.
    day
        A day of it, as "tue", "2026-12-01" or a date; all when left out.
    eater
        Only the lunches of one eater.

    Returns
    -------
    CardFile
        A card for each lunch, by day and eater.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> cards = pack("minimal").cards
    >>> pack("minimal", cards[0].date).cards == cards[:1]
    True
    """
    from models.week.week import eater_of  # noqa: PLC0415
    from models.words.days import day_matches  # noqa: PLC0415
    from optimiser.sheets.pack import cards  # noqa: PLC0415

    held = printed(plan)
    week, wanted_day = held.week, day.isoformat() if isinstance(day, date) else day
    if eater is not None:
        eater_of(week, eater, "--eater")
    if wanted_day is not None and not any(day_matches(known, wanted_day) for known in week.days):
        known = ", ".join(f"{known:%a}".lower() for known in week.days)
        raise InputError("DAY", f"{wanted_day!r} is not a day of this week", f"Its days: {known}.")
    all_cards = cards(week, held.packed)
    kept = [
        card
        for card in all_cards.cards
        if (wanted_day is None or day_matches(card.date, wanted_day))
        and eater in (None, card.eater)
    ]
    to_buy = [
        lunch
        for lunch in all_cards.to_buy
        if (wanted_day is None or day_matches(lunch.date, wanted_day))
        and eater in (None, lunch.eater)
    ]
    if not kept and not to_buy:
        raise InputError("DAY", "there is no lunch then", "Name another day or eater.")
    return all_cards.model_copy(update={"cards": kept, "to_buy": to_buy})


def calendar(plan: PlanGiven | Printed) -> CalendarFile:
    """Give the plan as entries of a calendar: cook, move to the fridge, pack, use by.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.

    Returns
    -------
    CalendarFile
        Entries with their dates or times; `render` writes them as iCalendar (RFC 5545).

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> {"cook", "pack"} <= {entry.kind for entry in calendar("minimal").entries}
    True
    """
    from optimiser.sheets.calendar import diary  # noqa: PLC0415

    held = printed(plan)
    return diary(held.week, held.packed, held.plan)


def share(plan: PlanGiven | Printed) -> ShareFile:
    """Write the batches as recipes: amounts, steps, yield, what a portion holds; and the list.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.

    Returns
    -------
    ShareFile
        The batches as schema.org Recipe in `recipes`; `render` writes them as Markdown.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> share("minimal").recipes[0]["@type"]
    'Recipe'
    """
    from models.week.cautions import bearing  # noqa: PLC0415
    from optimiser.sheets.share import share as write  # noqa: PLC0415
    from optimiser.written import cautions_said  # noqa: PLC0415

    held = printed(plan)
    cautions = cautions_said(bearing(held.week, held.packed), held.plan.changes, "share")
    return write(held.week, held.packed, cautions)


def page(
    plan: PlanGiven | Printed,
    *,
    sliders: bool = True,
    verdicts: bool = True,
    seconds: float | None = None,
    cluster: str | None = None,
) -> PageFile:
    """Gather all of it for one page for the phone and the fridge door.

    Parameters
    ----------
    plan
        A saved plan, or a week that is planned first.
    sliders
        Whether to plan other volumes of each batch.
    verdicts
        Whether to say what each lunch was not.
    seconds
        Time limit for both; none when left out.
    cluster
        Address of a Dask cluster of your own on which other volumes are planned, "tcp://host:port".

    Returns
    -------
    PageFile
        `render` writes it as HTML that needs no network.

    Raises
    ------
    InputError
        Saying where, what, and how to mend it; a `NoPlanError` where there is no plan.

    Examples
    --------
    >>> answer = page("minimal", sliders=False, verdicts=False)
    >>> answer.cards.cards == pack("minimal").cards
    True
    """
    from optimiser.interface.cluster import on_cluster  # noqa: PLC0415
    from optimiser.paging import page as gather  # noqa: PLC0415

    backend = on_cluster(cluster)
    held = printed(plan, reasons=True)
    return in_time(
        lambda stop, say: gather(
            held.plan,
            held.week,
            held.packed,
            verdicts=verdicts,
            sliders=sliders,
            stop=stop,
            say=say,
            backend=backend,
        ),
        seconds,
    )
