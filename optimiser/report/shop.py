"""The shopping list as text, Markdown with boxes to tick, and CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.shop import BuyLine, BuyPart, ShopFile
from models.words.days import day_name
from models.words.names import as_bought, plain_name
from models.words.numbers import counted, keeping, listed, singular
from models.words.text import isolated
from optimiser.report.console import UNNAMED, beside, rendered, words
from optimiser.report.phrases import NO_PRICES, money, weighed
from optimiser.report.safe import cell, markdown

PIECES = ("piece", "pieces")
NEARLY = 0.02
"""Of a piece, that rounding to grams may lose."""
NO_AMOUNT = "no amount is written, so see that some is there"


def text(answer: ShopFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the list as a terminal shows it.

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
        Lines wrapped at `width`, the last one ended: what to buy by part of the shop, then what to
        check, and what to pay.

    Examples
    --------
    >>> from optimiser import shop
    >>> print(text(shop("minimal")).splitlines()[3])
    - 1 medium onion
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), "  to buy"),
    ]
    for part in worth(answer):
        parts += ["", Text(part.part, style="bold")]
        parts += [beside("-", Group(*_entry(answer, line)), width=1) for line in part.lines]
    if few := little(answer):
        parts += ["", beside("check", Text(f"that you have {', '.join(few)}"), width=9)]
    if has := there(answer):
        parts += ["", beside("there", Text(", ".join(has)), width=9)]
    if names := to_taste(answer):
        parts += ["", beside("to taste", Text(f"{', '.join(names)}: {NO_AMOUNT}"), width=9)]
    if answer.unlisted:
        note = f"{', '.join(answer.unlisted)}: the week file does not say what goes in"
        parts += ["", beside("not listed", Text(note), width=9)]
    if later := trips(answer):
        parts += ["", beside("trips", Text(later), width=9)]
    parts += ["", beside("to pay", Text(cost(answer)), width=9)]
    return rendered(parts, colour=colour, width=width)


LITTLE = 5
"""Grams below which what has no pack is hardly bought for the week (common practice, no source).

What keeps, and is taken by the spoon, is hardly bought for it either.
"""


def worth(answer: ShopFile) -> list[BuyPart]:
    """Give the parts of the list with what is worth a line of it.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    list of BuyPart
        Parts with at least one line, in their order.

    Examples
    --------
    >>> from optimiser import shop
    >>> [part.part for part in worth(shop("minimal"))]
    ['vegetables and fruit', 'chilled', 'dry goods']
    """
    parts = [
        part.model_copy(update={"lines": [line for line in part.lines if not _is_little(line)]})
        for part in answer.parts
    ]
    return [part for part in parts if part.lines]


def little(answer: ShopFile) -> list[str]:
    """Name what is needed of in so small amounts that it is there, or is not missed.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    list of str
        As "salt (5 g)", in the order of the list.

    Examples
    --------
    >>> from optimiser import shop
    >>> little(shop("starter"))
    ['salt (1/4 tsp)', 'rapeseed oil (2 tbsp)', 'mild curry powder (1 tbsp)']
    """
    return [
        f"{line.name} ({line.spoons or amount(line.need, line.unit)})" for line in _little(answer)
    ]


def _little(answer: ShopFile) -> list[BuyLine]:
    return [line for part in answer.parts for line in part.lines if _is_little(line)]


def _is_little(line: BuyLine) -> bool:
    loose = not line.packs and line.unit == "g" and line.need < LITTLE and line.cost is None
    return line.at_hand or loose


def to_pay(answer: ShopFile) -> float:
    """Add up what the lines of the list cost, without what is only to be checked.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    float
        Of packs with a price.

    Examples
    --------
    >>> from optimiser import shop
    >>> to_pay(shop("minimal"))
    3.7
    """
    return round(answer.cost - sum(line.cost or 0.0 for line in _little(answer)), 2)


def there(answer: ShopFile) -> list[str]:
    """Say what the cupboard has of what is needed, and how much that is.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    list of str
        As "rice (300 g)"; what has no amount is left out.

    Examples
    --------
    >>> from optimiser import shop
    >>> shopping = shop("minimal")
    >>> there(shopping.model_copy(update={"there": shopping.parts[0].lines}))
    ['onion (122 g)', 'apple (2 pieces)']
    """
    kept = (line for line in answer.there if not _is_unmeasured(line))
    return [f"{line.name} ({amount(line.need, line.unit)})" for line in kept]


def to_taste(answer: ShopFile) -> list[str]:
    """Name what recipes want without an amount, of which the cupboard says nothing.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    list of str
        In the order of the answer.

    Examples
    --------
    >>> from optimiser import shop
    >>> shopping = shop("minimal")
    >>> pepper = shopping.parts[0].lines[0].model_copy(update={"name": "pepper", "need": 0.0})
    >>> to_taste(shopping.model_copy(update={"there": [pepper]}))
    ['pepper']
    """
    return [line.name for line in answer.there if _is_unmeasured(line)]


def _is_unmeasured(line: BuyLine) -> bool:
    return not line.need and line.have == 0


def _entry(answer: ShopFile, line: BuyLine) -> Iterator[RenderableType]:
    yield words((buy(line), "bold"), f" {name(line)}{_price(answer, line)}")
    yield Text(why(line) + apart(answer, line), style="dim")


def _price(answer: ShopFile, line: BuyLine) -> str:
    return "" if line.cost is None else f", {money(answer.currency, line.cost)}"


def buy(line: BuyLine) -> str:
    """Say what to take from the shelf: "2 x 500 g", "1 bunch", or the bare amount.

    Parameters
    ----------
    line
        A line of the answer.

    Returns
    -------
    str
        One line, not wrapped; of loose food what lacks beside what is there.

    Examples
    --------
    >>> from optimiser import shop
    >>> [buy(line) for line in shop("minimal").parts[0].lines]
    ['1 medium onion', '2 x']
    """
    if not line.packs:
        missing = amount(line.need - (line.have or 0), line.unit)
        if line.pieces and not line.as_written:
            return f"{line.pieces} {line.called} ({missing})"
        return line.as_written or missing
    return " and ".join(_packs(packs.count, packs.pack) for packs in line.packs)


def name(line: BuyLine) -> str:
    """Name it; nothing where what to take says so already.

    Parameters
    ----------
    line
        A line of the answer.

    Returns
    -------
    str
        Its name, or nothing.

    Examples
    --------
    >>> from optimiser import shop
    >>> [name(line) for line in shop("minimal").parts[0].lines]
    ['', 'apple']
    """
    return "" if not line.packs and (line.as_written or line.pieces) else line.name


def _packs(count: int, pack: str) -> str:
    number, _, rest = pack.partition(" ")
    if rest in PIECES:
        # As a card says it: "2 x apple"; several in one pack are bought together.
        each = f"{count}" + (" x" if count > 1 else "")
        return each if number == "1" else f"{counted(count, 'pack')} of {number}"
    if number == "1" and rest.isalpha() and len(rest) > 2:
        return counted(count, rest)
    return pack if count == 1 else f"{count} x {pack}"


def amount(number: float, unit: str) -> str:
    """Say an amount: 45 g, 3 pieces, 120 mL.

    Parameters
    ----------
    number
        How many.
    unit
        Of what: "g", "mL" or "piece".

    Returns
    -------
    str
        The number as a kitchen weighs it, then the unit; pieces in their plural.

    Examples
    --------
    >>> amount(45.0, "g"), amount(3.0, "piece"), amount(2.5, "mL")
    ('45 g', '3 pieces', '2.5 mL')
    """
    if unit == "piece" and number.is_integer():
        return counted(int(number), "piece")
    return f"{weighed(number)} {unit}"


def amount_of(line: BuyLine, number: float) -> str:
    """Say an amount of what is bought, in pieces where it comes by the piece and is weighed.

    Parameters
    ----------
    line
        A line of the answer.
    number
        How many, in its unit.

    Returns
    -------
    str
        As "3 pieces" of 170 g of eggs, where that is a whole number of them, else "170 g".

    Examples
    --------
    >>> from optimiser import shop
    >>> onion, apple = shop("minimal").parts[0].lines
    >>> amount_of(onion, 122.0), amount_of(apple, 2.0)
    ('122 g', '2 pieces')
    """
    held = [packs.pack.partition(" ") for packs in line.packs]
    if line.unit == "g" and held and all(n.isdigit() and of in PIECES for n, _, of in held):
        count = sum(packs.count * int(n) for packs, (n, _, _) in zip(line.packs, held, strict=True))
        pieces = number * count / (line.need - (line.have or 0) + line.rest)
        if abs(pieces - round(pieces)) < NEARLY:
            return counted(round(pieces), "piece")
    return amount(number, line.unit)


def why(line: BuyLine) -> str:
    """Say what it is for, what is there and what the packs leave.

    Parameters
    ----------
    line
        A line of the answer.

    Returns
    -------
    str
        One line, not wrapped, its parts parted by semicolons; no full stop.

    Examples
    --------
    >>> from optimiser import shop
    >>> [why(line) for line in shop("minimal").parts[0].lines]
    ['need 122 g for rice and beans (1 medium onion)', 'need 2 pieces for lunches']
    """
    uses = [f"{what} ({'; '.join(texts)})" if texts else what for what, texts in _lines(line)]
    # That a vegetable is bought raw goes without saying.
    other = line.food and plain_name(as_bought(line.food)) != plain_name(line.name)
    read = f"read as {line.food}; " if other else ""
    sentence = f"{read}need {amount_of(line, line.need)} for {', '.join(uses)}"
    if line.have:
        sentence += f"; {amount_of(line, line.have)} there"
    if line.rest > 0.05 and line.packs:
        keeps = "" if line.keeps is None else f", once opened it {keeping(line.keeps)}"
        sentence += f"; {amount_of(line, line.rest)} over{keeps}"
    if line.buy_on is not None and line.raw_keeps is not None:
        low, high = line.raw_keeps
        days = counted(high, "day") if low == high else f"{low} to {counted(high, 'day')}"
        sentence += f"; buy it on {day_name(line.buy_on)}, for raw it keeps {days}"
    return sentence


def apart(answer: ShopFile, line: BuyLine) -> str:
    """Say of what is bought twice, for recipes and for lunches, that it is no slip.

    Parameters
    ----------
    answer
        What the command answers.
    line
        A line of it.

    Returns
    -------
    str
        Begins with a semicolon, to stand behind `why`; empty where nothing else is called so.

    Examples
    --------
    >>> from optimiser import shop
    >>> answer = shop("minimal")
    >>> onion, apple = answer.parts[0].lines
    >>> twice = onion.model_copy(update={"name": "apples"})
    >>> part = answer.parts[0].model_copy(update={"lines": [twice, apple]})
    >>> apart(answer.model_copy(update={"parts": [part]}), apple)
    '; counted apart from 1 medium onion for rice and beans'
    """
    lines = [other for part in worth(answer) for other in part.lines if other != line]
    alike = [other for other in lines if singular(other.name) == singular(line.name)]
    bought = [
        f"{buy(other)} for {listed(list(dict.fromkeys(use.what for use in other.uses)))}"
        for other in alike
    ]
    return f"; counted apart from {listed(bought)}" if bought else ""


def _lines(line: BuyLine) -> Iterator[tuple[str, list[str]]]:
    """Give the lines of each recipe that it is for; what a recipe says again, once."""
    texts: dict[str, dict[str, list[float]]] = {}
    for use in line.uses:
        told = texts.setdefault(use.what, {})
        if use.text:
            told.setdefault(use.text, []).append(use.amount)
    for what, told in texts.items():
        # A line that names a food twice, "40 g butter, plus a knob", is one line all the same.
        times = {text: max(map(each.count, each)) for text, each in told.items()}
        yield (
            what,
            [f"{text}, on {many} lines" if many > 1 else text for text, many in times.items()],
        )


def trips(answer: ShopFile) -> str:
    """Say what is bought on a later trip; empty where one trip is enough.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        One line, not wrapped: the days in their order, each with what is bought then.

    Examples
    --------
    >>> from datetime import date
    >>> from optimiser import shop
    >>> shopping = shop("minimal")
    >>> later = shopping.parts[0].lines[1].model_copy(update={"buy_on": date(2026, 12, 1)})
    >>> part = shopping.parts[0].model_copy(update={"lines": [later]})
    >>> trips(shopping.model_copy(update={"parts": [part]}))
    'A trip more, for what does not keep raw. Tue 1 Dec: apple.'
    """
    by_day = [f"{day_name(day)}: {', '.join(names)}" for day, names in answer.later.items()]
    return f"A trip more, for what does not keep raw. {'; '.join(by_day)}." if by_day else ""


def cost(answer: ShopFile) -> str:
    """Say what the list comes to, and beside it what the lunches cost.

    They are sums of other things: packs are paid whole, and some of what the lunches hold is in
    the cupboard or has a price in the file and no pack.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        One line, not wrapped; without any price in the week, that there is none.

    Examples
    --------
    >>> from optimiser import shop
    >>> cost(shop("minimal")).partition(";")[0]
    'at least 3.70'
    """
    if answer.unpriced and not answer.cost and not answer.used:
        return NO_PRICES
    paid = to_pay(answer)
    total = money(answer.currency, paid)
    if answer.cost > paid:
        more = money(answer.currency, round(answer.cost - paid, 2))
        total += f", and {more} where you lack what is to be checked"
    checked = {line.name for line in _little(answer)}
    if unpriced := [name for name in answer.unpriced if name not in checked]:
        total = f"at least {total}; no price for {', '.join(unpriced)}"
    least = "" if answer.used_complete else "at least "
    lunches = f"{least}{money(answer.currency, answer.used)}"
    return f"{total}. The lunches cost {lunches}: {_COUNTED}"


_COUNTED = (
    "batches and what spoils whole, of packs that keep the share used, and what was there already"
)


def as_markdown(answer: ShopFile) -> str:
    """Write the list as Markdown with boxes to tick.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        Lines not wrapped, the last one ended; a heading for each part of the shop.

    Examples
    --------
    >>> from optimiser import shop
    >>> print(as_markdown(shop("minimal")).splitlines()[5])
    - [ ] **2 x** apple, 0.80 (need 2 pieces for lunches)
    """
    lines = [f"# {markdown(answer.name or UNNAMED)}: to buy", ""]
    for part in worth(answer):
        lines += [f"## {markdown(part.part[:1].upper() + part.part[1:])}", ""]
        for line in part.lines:
            told = why(line) + apart(answer, line)
            entry = f"**{markdown(buy(line))}** {markdown(name(line))}".rstrip()
            lines.append(f"- [ ] {entry}{markdown(_price(answer, line))} ({markdown(told)})")
        lines.append("")
    if few := little(answer):
        lines += ["## Check that you have", "", *(f"- [ ] {markdown(thing)}" for thing in few), ""]
    if has := there(answer):
        lines += ["## There already", "", *(f"- {markdown(thing)}" for thing in has), ""]
    if names := to_taste(answer):
        lines += ["## To taste", "", f"{markdown(', '.join(names))}: {NO_AMOUNT}.", ""]
    if later := trips(answer):
        lines += [markdown(later), ""]
    lines.append(f"To pay: {markdown(cost(answer))}")
    return isolated("\n".join(lines) + "\n")


def as_csv(answer: ShopFile) -> str:
    """Write the list as CSV (RFC 4180), a row for each thing to buy.

    Parameters
    ----------
    answer
        What the command answers.

    Returns
    -------
    str
        A row of heads, then the rows, each ended by CR LF; what a spreadsheet would reckon is made
        text.

    Examples
    --------
    >>> from optimiser import shop
    >>> print(as_csv(shop("minimal")).splitlines()[2])
    vegetables and fruit,apple,2,2,1 piece,2,piece,0,0,,0.80,,lunches
    """
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(
        [
            *("part", "name", "buy", "count", "pack", "need", "unit", "there", "over"),
            *("keeps_days", "cost", "currency", "for"),
        ]
    )
    for part in answer.parts:
        for line in part.lines:
            row = [
                part.part,
                line.name,
                # The name stands in a column of its own, so nothing follows the "x" here.
                buy(line).removesuffix(" x"),
                "; ".join(str(packs.count) for packs in line.packs),
                "; ".join(packs.pack for packs in line.packs),
                f"{line.need:g}",
                line.unit,
                "plenty" if line.have is None else f"{line.have:g}",
                f"{line.rest:g}",
                "" if line.keeps is None else str(line.keeps),
                "" if line.cost is None else f"{line.cost:.2f}",
                "" if line.cost is None else answer.currency,
                "; ".join(use.what for use in line.uses),
            ]
            writer.writerow([cell(field) for field in row])
    return stream.getvalue()
