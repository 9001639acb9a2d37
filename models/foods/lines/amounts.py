"""What an amount of a food that is known weighs: "300 g", "4 pieces", "2 tins", "1 mL"."""

from __future__ import annotations

from models.foods.food import Food
from models.foods.lines.reading import Unread, cups_needed, no_weight
from models.foods.lines.weighing import Measuring, Thing, Unweighed, Weighed, weigh
from models.foods.lines.written import Unwritten, read_written
from models.words.names import split


def weigh_amount(text: str, food: Food, cups: str | None, region: str) -> Weighed:
    """Weigh an amount that stands beside the name of its food.

    Parameters
    ----------
    text
        "300 g", "4 pieces", "2 x 400 g tins".
    food
        The food.
    cups
        Which cup and spoons are meant; None when nobody said.
    region
        uk or us.

    Returns
    -------
    Weighed
        Grams as they are bought, and how they came about.

    Raises
    ------
    Unread
        When it is no amount, or no table makes grams of it.

    Examples
    --------
    >>> from models.foods.food import find
    >>> weigh_amount("1.5 kg", find("leek"), None, "uk").grams
    Decimal('1500.0')
    """
    try:
        written = read_written(text)
    except Unwritten:
        written = None
    if (
        written is None
        or not written.amounts
        or written.rest
        or written.spare
        or any(amount.vague for amount in written.amounts)
    ):
        raise Unread(f"{text!r} is no amount", "Write it as 300 g, or as 4 pieces.")
    cups_needed(written, cups, text)
    thing = Thing(food, tuple(split(food.name.partition(",")[0])), "")
    try:
        weighed = weigh(written.amounts, (), thing, Measuring(cups, region))
    except Unweighed as fault:
        raise no_weight(food, str(fault)) from None
    if weighed.grams <= 0:
        raise Unread(f"{text!r} is nothing", "Write an amount above nothing.")
    return weighed
