"""Phrases of a plan that several reports print: amounts, sides, allergens, money, what is left."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from datetime import date
from itertools import groupby
from typing import Protocol

from models.answers.labels import Label
from models.answers.pack import Card
from models.answers.plan import (
    BatchInfo,
    BatchLine,
    Bends,
    LunchLine,
    NutrientLine,
    PlanFile,
    RuleLine,
)
from models.words.allergens import say
from models.words.giving import BUY
from models.words.numbers import counted
from models.words.nutrients import printed
from optimiser.report.console import glued


def to_do(plan: PlanFile) -> Iterator[tuple[date, str]]:
    """Say what to freeze and what to thaw, by the day on which a hand is needed.

    Parameters
    ----------
    plan
        The plan.

    Yields
    ------
    tuple of date and str
        A day, and one line for it that is not wrapped, in the order of the plan's moves.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("starter", reasons=False)
    >>> [f"{day:%a}: {text.partition(':')[0]}" for day, text in to_do(made)]
    ['Sun: freeze lentil curry', 'Thu: evening, freezer to fridge']
    """
    by_day = groupby(plan.moves, key=lambda move: (move.date, move.move))
    for (day, kind), moves in by_day:
        if kind == "thaw":
            tubs = (f"{count_of(plan, move.portions, move.batch)} {move.batch}" for move in moves)
            yield day, f"evening, freezer to fridge: {', '.join(map(glued, tubs))}"
            continue
        for batch, tubs_of in groupby(moves, key=lambda move: move.batch):
            tubs = (
                f"{count_of(plan, move.portions, batch)} {for_day_said(move.for_day)}"
                for move in tubs_of
            )
            yield day, f"freeze {batch}: {', '.join(map(glued, tubs))}"


def for_day_said(day: date | None) -> str:
    """Say which day a tub in the freezer is for.

    Parameters
    ----------
    day
        None where it stays there.

    Returns
    -------
    str
        As "for Thu", or "for a later week".

    Examples
    --------
    >>> for_day_said(date(2026, 12, 3)), for_day_said(None)
    ('for Thu', 'for a later week')
    """
    return "for a later week" if day is None else f"for {day:%a}"


def no_lunch_said(plan: PlanFile, day: date) -> Iterator[str]:
    """Say who has no lunch on a day, and why.

    Parameters
    ----------
    plan
        The plan.
    day
        The day.

    Yields
    ------
    str
        A line each, as "Ada: no lunch (away)", or the reason alone where that speaks of lunch;
        nothing where all have one.

    Examples
    --------
    >>> from models.answers.plan import DayOff
    >>> from optimiser import plan
    >>> off = DayOff(date=date(2026, 12, 2), why="lunch is out")
    >>> made = plan("minimal", reasons=False).model_copy(update={"no_lunch": [off]})
    >>> [*no_lunch_said(made, off.date)]
    ['lunch is out']
    """
    # That a guest comes on no other day goes without saying.
    guests = {joining.eater for line in plan.changes for joining in line.joined if joining.new}
    there = [off for off in plan.no_lunch if off.date == day and off.eater not in guests]
    others = "the others: " if any(off.eater for off in there) else ""
    for off in there:
        who = f"{off.eater}: " if off.eater else others
        why = f" ({off.why})" if off.why else ""
        yield f"{who}{off.why}" if "lunch" in off.why.split() else f"{who}no lunch{why}"


def sides_said(line: LunchLine) -> list[str]:
    """List what is added to a lunch, the same item once.

    Parameters
    ----------
    line
        The lunch.

    Returns
    -------
    list of str
        As "2 x egg" or "30 g walnuts": what goes in, choices, then extras.

    Examples
    --------
    >>> from optimiser import plan
    >>> [sides_said(line) for line in plan("minimal", reasons=False).lunches]
    [['40 g hard cheese'], ['1 apple'], ['1 apple']]
    """
    amounts: dict[tuple[str, str], float] = {}
    for item in (*line.goes_in, *line.choices, *line.extras):
        key = (item.item, item.unit)
        amounts[key] = amounts.get(key, 0.0) + item.amount
    return [
        _count(amount, item) if unit == "piece" else f"{tenths(amount)} {unit} {item}"
        for (item, unit), amount in amounts.items()
    ]


def _count(amount: float, item: str) -> str:
    return f"{tenths(amount)} {item}" if amount == 1 else f"{tenths(amount)} x {item}"


def held(line: LunchLine | BatchInfo | Label | Card, guidance: str = "") -> str:
    """Say what allergens are in food, by the law of the EU and the UK, of the US, or of both.

    Parameters
    ----------
    line
        A line of the answer.
    guidance
        "uk" for the fourteen of EU and UK law, "us" for the nine of US law; else both.

    Returns
    -------
    str
        One line, not wrapped: what it contains, and whose label to read where that is not settled.

    Examples
    --------
    >>> from optimiser import plan
    >>> cheese, apple, _ = plan("minimal", reasons=False).lunches
    >>> held(cheese), held(apple, "us")
    ('contains milk', 'contains none of the 9 US allergens')
    """
    groups, us, unknown = line.allergens, line.allergens_us, line.allergens_unknown
    if unknown and not (us if guidance == "us" else groups):
        return f"allergens not settled: {_to_ask(line)}"
    named = say(frozenset(groups), frozenset(line.cereals))
    if "gluten" in groups and not line.cereals:
        named = named.replace("gluten", "gluten (cereal not stated)")
    sentence = f"contains {named}" if groups else "contains none of the 14 allergens"
    if guidance == "us":
        sentence = f"contains {', '.join(sorted(us)) or 'none of the 9 US allergens'}"
    elif guidance != "uk" and (us or (groups and not unknown)):
        by_law = ", ".join(sorted(us)) or "none of the 9"
        # What both laws call alike is said once.
        sentence += "" if by_law == named else f"; US: {by_law}"
    if unknown:
        sentence += f"; {_to_ask(line)}"
    return sentence


def to_carry(rules: Iterable[RuleLine]) -> Iterator[str]:
    """Say what else keeps a lunch cold where a rule that stands in the way is about the cold.

    Parameters
    ----------
    rules
        The rules that a clash names.

    Yields
    ------
    str
        One sentence, or nothing where the rules are about something else.

    Examples
    --------
    >>> list(to_carry([RuleLine(key="supply:stew", sentence="")]))
    []
    """
    if any(rule.key.startswith("cold:") for rule in rules):
        yield (
            "With two cold packs in an insulated bag chilled food may go in: write 'cold_packs: 2' "
            "under 'place', or beside the day under 'elsewhere'."
        )


def _to_ask(line: LunchLine | BatchInfo | Label | Card) -> str:
    """Say whose label tells of allergens, and of which batch nobody said what is in it."""
    # A lunch names the batch, whatever in it asks for a label.
    cooked = {line.batch} if isinstance(line, BatchInfo | Label) else set()
    untold = [food for food in line.allergens_unknown if food in cooked]
    labels = [food for food in line.allergens_unknown if food not in cooked]
    asked = [f"read the label of {', '.join(labels)}"] if labels else []
    return "; ".join([*asked, *(f"nobody said what is in {food}" for food in untold)])


def count_of(plan: PlanFile, number: int, batch: str) -> str:
    """Say a number of portions in the batch's own word.

    Parameters
    ----------
    plan
        The plan.
    number
        How many portions.
    batch
        Of which batch.

    Returns
    -------
    str
        As "2 portions" or "1 piece".

    Examples
    --------
    >>> from optimiser import plan
    >>> count_of(plan("minimal", reasons=False), 2, "rice and beans")
    '2 portions'
    """
    return counted(number, word_of(plan, batch))


def word_of(plan: PlanFile, batch: str) -> str:
    """Give the word for a portion of a batch.

    Parameters
    ----------
    plan
        The plan.
    batch
        Name of one of its batches.

    Returns
    -------
    str
        "portion" or "piece".

    Examples
    --------
    >>> from optimiser import plan
    >>> word_of(plan("minimal", reasons=False), "rice and beans")
    'portion'
    """
    return next(info.word for info in plan.batches if info.batch == batch)


def amounts_said(plan: PlanFile, part: BatchLine) -> str:
    """Say how much of a batch goes into a lunch.

    Parameters
    ----------
    plan
        The plan.
    part
        A batch in one of its lunches.

    Returns
    -------
    str
        As "2 portions pea soup (600 g, thawed)".

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> amounts_said(made, made.lunches[0].batches[0])
    '2 portions rice and beans (400 g)'
    """
    amount = f"{count_of(plan, part.portions, part.batch)} {part.batch}"
    return f"{amount} ({weighed(part.grams)} g{thawed_said(part)})"


def thawed_said(part: BatchLine) -> str:
    """Say what of a batch in a lunch was thawed; nothing where none was.

    Parameters
    ----------
    part
        A batch in a lunch.

    Returns
    -------
    str
        Begins with a comma, to stand behind an amount: ", thawed" or ", 1 of them thawed".

    Examples
    --------
    >>> from models.answers.plan import BatchLine
    >>> part = BatchLine(batch="soup", portions=2, grams=400, from_freezer=1, move_to_fridge=None)
    >>> thawed_said(part)
    ', 1 of them thawed'
    """
    if not part.from_freezer:
        return ""
    some = "" if part.from_freezer == part.portions else f"{part.from_freezer} of them "
    return f", {some}thawed"


def salted(tag: str, line: NutrientLine, guidance: str) -> NutrientLine:
    """Give a line of nutrients in the unit in which the place prints it: salt for sodium.

    Parameters
    ----------
    tag
        INFOODS tagname.
    line
        A nutrient of a lunch.
    guidance
        Whose words: a key of `GUIDANCES`.

    Returns
    -------
    NutrientLine
        Salt in g, to two decimals; any other nutrient, and any other guidance's, is the line as it
        was.

    Examples
    --------
    >>> salted("NA", NutrientLine(amount=800, unit="mg", complete=True), "uk").amount
    2.0
    """
    _, unit, factor = printed(tag, guidance)
    if factor == 1:
        return line
    amounts = {"amount": line.amount, "floor": line.floor, "ceiling": line.ceiling}
    turned = {
        k: None if figure is None else round(figure * float(factor), 2)
        for k, figure in amounts.items()
    }
    return line.model_copy(update={**turned, "unit": unit})


def stock_said(plan: PlanFile) -> str:
    """Say what stays in the freezer for a later week.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        One line, not wrapped; empty where nothing stays.

    Examples
    --------
    >>> from optimiser import plan
    >>> stock_said(plan("starter", reasons=False))
    ''
    """
    frozen = plan.left_over.frozen
    parts = [glued(f"{count_of(plan, rest.portions, rest.batch)} {rest.batch}") for rest in frozen]
    return f"{', '.join(parts)}: in the freezer, for a later week" if parts else ""


def left_over_said(plan: PlanFile) -> str:
    """Say what is left over, in g and by what it is.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        One line, not wrapped: the whole weight, then batches, then opened packs.

    Examples
    --------
    >>> from optimiser import plan
    >>> left_over_said(plan("impossible", nearest=True, reasons=False))
    '480 g: 4 portions mushroom barley'
    """
    left = plan.left_over
    parts = [f"{count_of(plan, rest.portions, rest.batch)} {rest.batch}" for rest in left.batches]
    parts += [
        f"{(tenths if pack.unit == 'piece' else weighed)(pack.amount)} "
        f"{_plural(pack.unit, pack.amount)} {pack.item}, opened"
        for pack in left.packs
    ]
    return f"{weighed(left.grams)} g: {', '.join(parts)}"


def _plural(unit: str, amount: float) -> str:
    return unit + "s" if unit == "piece" and amount != 1 else unit


def sourced(rule: RuleLine) -> str:
    """Write a rule with who says so.

    Parameters
    ----------
    rule
        A rule of the week.

    Returns
    -------
    str
        The sentence, and the source in brackets where there is one.

    Examples
    --------
    >>> sourced(RuleLine(key="box", sentence="the box holds 1 L", source="your file"))
    'the box holds 1 L [your file]'
    """
    return f"{rule.sentence} [{rule.source}]" if rule.source else rule.sentence


_FIGURE = re.compile(r"(?<=\d) |(?<=\bof) (?=\d)|(?<=\b[A-Z][a-z]{2}) (?=\d)")
"""Behind a number, and between a day and its count: no line ends there."""


def unbroken(text: str) -> str:
    """Keep numbers on one line with what they count, for a browser.

    Parameters
    ----------
    text
        One line, not wrapped.

    Returns
    -------
    str
        With no-break spaces behind numbers, and between a day and its number.

    Examples
    --------
    >>> unbroken("Thu 2: 300 g, tub 1 of 2").replace("\N{NO-BREAK SPACE}", "_")
    'Thu_2: 300_g, tub 1_of_2'
    """
    return _FIGURE.sub("\N{NO-BREAK SPACE}", text)


COST = "cost"
"""Name of the priority."""
NO_PRICES = "no prices given"


def priceless(plan: PlanFile) -> bool:
    """Tell whether nothing that a plan uses has a price: then its cost says nothing.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    bool
        False as soon as anything used has a price.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> priceless(made), priceless(made.model_copy(update={"totals": {"cost": 0.0}}))
    (False, True)
    """
    return bool(plan.unpriced) and not plan.totals["cost"]


def totals_said(plan: PlanFile) -> str:
    """Say what the week costs and how long packing takes.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        As "EUR 21.40, 55 min of packing"; "at least" where something has no price.

    Examples
    --------
    >>> from optimiser import plan
    >>> totals_said(plan("minimal", reasons=False))
    'at least 1.38, no packing times given'
    """
    least = "at least " if plan.unpriced else ""
    cost = f"{least}{money(plan.currency, plan.totals['cost'])}"
    cost = NO_PRICES if priceless(plan) else cost
    minutes = plan.totals["minutes"]
    # Where a dish states that it takes none, that is a time given.
    given = minutes or '"minutes"' in json.dumps(plan.week.get("dishes"))
    packing = f"{minutes:.0f} min of packing" if given else "no packing times given"
    return f"{cost}, {packing}"


def money(currency: str, amount: float) -> str:
    """Write a sum of money.

    Parameters
    ----------
    currency
        Of the week; may be empty.
    amount
        How much.

    Returns
    -------
    str
        Two decimals, behind the currency where there is one.

    Examples
    --------
    >>> money("EUR", 2.6)
    'EUR 2.60'
    """
    return f"{currency} {amount:.2f}".strip()


def tenths(number: float) -> str:
    """Write a number to one decimal, where it has one.

    Parameters
    ----------
    number
        Any.

    Returns
    -------
    str
        Without a decimal where it would be 0.

    Examples
    --------
    >>> tenths(2.0), tenths(2.04), tenths(2.06)
    ('2', '2', '2.1')
    """
    return f"{number:.1f}".rstrip("0").rstrip(".")


def weighed(amount: float) -> str:
    """Write grams or millilitres as fine as a kitchen weighs them: from 20 on none is split.

    Parameters
    ----------
    amount
        In g or mL.

    Returns
    -------
    str
        Without its unit: whole from 20 on, else to a tenth.

    Examples
    --------
    >>> weighed(2.56), weighed(433.3), weighed(20.0)
    ('2.6', '433', '20')
    """
    return f"{amount:.0f}" if amount >= 20 else tenths(amount)


def several_eat(plan: PlanFile) -> bool:
    """Tell whether a plan feeds more than one eater.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    bool
        Who has only lunches that are bought counts too.

    Examples
    --------
    >>> from optimiser import plan
    >>> several_eat(plan("minimal", reasons=False))
    False
    """
    return len(eaters_of(plan)) > 1


def eaters_of(plan: PlanFile) -> list[str]:
    """List whose lunches a plan is about, packed or bought, in its order.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    list of str
        Each once; those with no packed lunch last.

    Examples
    --------
    >>> from optimiser import plan
    >>> eaters_of(plan("minimal", reasons=False))
    ['Ilse']
    """
    bought = [] if plan.nearest is None else plan.nearest.bought
    names = [line.eater for line in plan.lunches] + [line.eater for line in bought]
    return list(dict.fromkeys(names))


def bought_said(plan: PlanFile, day: date) -> Iterator[str]:
    """Say whose lunch is to buy on a day.

    Parameters
    ----------
    plan
        The plan.
    day
        The day.

    Yields
    ------
    str
        A line each, naming the eater where several eat; nothing where none is to buy.

    Examples
    --------
    >>> from models.answers.plan import BoughtLunch, Nearest
    >>> from optimiser import plan
    >>> line = BoughtLunch(date=date(2026, 12, 2), eater="Ilse", rules=[])
    >>> near = {"nearest": Nearest(levels=[], bought=[line])}
    >>> [*bought_said(plan("minimal", reasons=False).model_copy(update=near), line.date)]
    ['buy one, or go without']
    """
    for line in () if plan.nearest is None else plan.nearest.bought:
        if line.date == day:
            yield f"{line.eater}: {BUY}" if several_eat(plan) else BUY


def bends_said(plan: PlanFile, bends: Bends) -> Iterator[str]:
    """Say what each lunch leaves if it falls through; those that come to the same together.

    Parameters
    ----------
    plan
        The plan.
    bends
        What each of its lunches leaves.

    Yields
    ------
    str
        A line each, not wrapped, the least loss first; the last says among how many plans it was
        chosen.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False, bends=True)
    >>> [*bends_said(made, made.bends)][1:3]
    ['if Tue falls through: 200 g left over', 'if Wed falls through: 400 g left over']
    """
    alike: dict[float | None, list[str]] = {}
    for bend in bends.lunches:
        name = f"{bend.date:%a}, {bend.eater}" if several_eat(plan) else f"{bend.date:%a}"
        alike.setdefault(bend.more, []).append(name)
    for grams in sorted(alike, key=lambda more: (more is None, more or 0)):
        if grams is None:
            outcome = "no plan for the rest of the week was found"
        elif grams == 0:
            outcome = "nothing more left over" if plan.left_over.grams else "still nothing wasted"
        else:
            outcome = f"{weighed(grams)} g {'more ' if plan.left_over.grams else ''}left over"
        yield f"if {_or(alike[grams])} falls through: {outcome}"
    looked = f"the best of {counted(bends.looked_at, 'equal plan')}"
    yield looked if bends.all_of_them else f"{looked} that were looked at"


def _or(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{'; '.join(names[:-1])} or {names[-1]}"


class Ended(Protocol):
    """An answer that may have been cut short."""

    @property
    def interrupted(self) -> bool:
        """True where the user stopped it."""

    @property
    def late(self) -> bool:
        """True where time was up."""


def cut_short(answer: Ended) -> str:
    """Say what cut an answer short; nothing where nothing did.

    Parameters
    ----------
    answer
        The answer.

    Returns
    -------
    str
        Begins with a capital and has no full stop: "You stopped it", "The time limit struck".

    Examples
    --------
    >>> from optimiser import mend
    >>> answer = mend("minimal")
    >>> cut_short(answer), cut_short(answer.model_copy(update={"late": True}))
    ('', 'The time limit struck')
    """
    if answer.interrupted:
        return "You stopped it"
    return "The time limit struck" if answer.late else ""


def ended_by(plan: PlanFile) -> str:
    """Say what ended a search before all was proven.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        "you stopped it" or "the time limit struck", to stand within a sentence.

    Examples
    --------
    >>> from optimiser import plan
    >>> ended_by(plan("minimal", reasons=False).model_copy(update={"interrupted": True}))
    'you stopped it'
    """
    return "you stopped it" if plan.interrupted else "the time limit struck"
