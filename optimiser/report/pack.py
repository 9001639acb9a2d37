"""Morning cards as text."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.pack import Card, CardFile, CardPlace
from models.words.days import day_name
from models.words.giving import BUY
from models.words.numbers import counted
from optimiser.report.console import beside, rendered, words
from optimiser.report.phrases import held


def text(answer: CardFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the cards, one below the other.

    Parameters
    ----------
    answer
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended, a blank line between cards; empty where there
        is no card.

    Examples
    --------
    >>> from optimiser import pack
    >>> print(text(pack("minimal", "tue")).splitlines()[0])
    Tue 1 Dec: Rice, beans and apple
    """
    buyers = {line.eater for line in answer.to_buy}
    several = len({card.eater for card in answer.cards} | buyers) > 1
    parts: list[RenderableType] = []
    for card in answer.cards:
        parts += [*_card(card, several=several), ""]
    for line in answer.to_buy:
        whose = f", {line.eater}" if several else ""
        parts += [words((f"{day_name(line.date)}{whose}: {BUY}", "bold")), ""]
    return rendered(parts[:-1], colour=colour, width=width)


def _card(card: Card, *, several: bool) -> Iterator[RenderableType]:
    whose = f", {card.eater}" if several else ""
    yield words(
        (f"{day_name(card.date)}{whose}: {card.dish}", "bold"),
        f"  {counted(card.minutes, 'minute')}" if card.minutes else "",
    )
    for task in card.before:
        yield beside("before", Text(task))
    for at, place in enumerate(card.places, start=1):
        yield beside(f"{at}. {place.place}", _place(place), width=17)
    for label, lines in (("carry", card.carry), ("to eat", card.eat), ("mind", card.cautions)):
        for entry in lines:
            yield beside(label, Text(entry), width=17)
    yield beside("", Text(held(card), style="dim"), width=17)


def _place(place: CardPlace) -> RenderableType:
    lines = [Text(part.text) for part in place.parts]
    notes = []
    if place.room is not None:
        notes.append(f"{place.used:.0f} of {place.room:.0f} mL")
    if place.note:
        notes.append(place.note)
    if notes:
        lines.append(Text("; ".join(notes), style="dim"))
    return Group(*lines)
