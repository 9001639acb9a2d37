"""The answers of `why` as a cook reads them."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.plan import RuleLine
from models.answers.why import Answer, Loss, LunchWhy, Paid, WhyFile
from models.words.days import day_name
from models.words.numbers import counted
from optimiser.priorities import MONEY, PRIORITIES
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, glued, rendered, words
from optimiser.report.phrases import cut_short, money, sourced


def text(why: WhyFile, *, colour: bool = False, width: int = 80) -> str:
    """Write an answer as text.

    Parameters
    ----------
    why
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: the question, then the answer, one lunch or a
        table of all.

    Examples
    --------
    >>> from optimiser import why
    >>> print(text(why("minimal")).splitlines()[3])
    Of 3 lunches 3 could have another dish and nothing would be lost.
    """
    parts: list[RenderableType] = [words((why.name or UNNAMED, "bold")), ""]
    parts.append(Text(why.question[:1].upper() + why.question[1:], style="bold"))
    if why.status in ("infeasible", "unknown"):
        parts += list(_none(why))
    if len(why.lunches) == 1 and (why.lunches[0].amounts or why.lunches[0].reasons):
        parts += list(_lunch(why, why.lunches[0]))
    elif why.lunches:
        parts += list(_matrix(why))
    if why.counted:
        parts += list(_by_number(why))
    if why.answer is not None:
        parts += list(_answer(why, why.answer))
    if ended := cut_short(why):
        parts += ["", Text(f"{ended}: what is 'open' was not found out.")]
    return rendered(parts, colour=colour, width=width)


def _none(why: WhyFile) -> Iterator[RenderableType]:
    if why.status == "unknown":
        yield Text("No plan was found in time. Allow more time (--seconds).")
    elif not why.conflict:
        yield Text("No plan is possible. What stands in the way was not found in time.")
    else:
        count = len(why.conflict)
        all_of = f"These {count} cannot all be kept; giving up any one frees the others:"
        yield Text("This cannot be kept:" if count == 1 else all_of)
        yield _rules(why.conflict)
        yield Text("What would mend it: clearfridge mend FILE")


def _rules(rules: list[RuleLine]) -> RenderableType:
    return Group(*(beside("-", Text(sourced(rule)), width=1) for rule in rules))


# -- one lunch -----------------------------------------------------------------------


def in_a_sentence(why: WhyFile, lunch: LunchWhy) -> str:
    """Say what keeps a dish where it is, as one cook would to another.

    Parameters
    ----------
    why
        The answer.
    lunch
        One of its lunches.

    Returns
    -------
    str
        One sentence with its full stop, not wrapped.

    Examples
    --------
    >>> from optimiser import why
    >>> answer = why("minimal")
    >>> in_a_sentence(answer, answer.lunches[0])
    'Monday could have Rice, beans and apple instead, and nothing would be lost.'
    """
    others = [answer for answer in lunch.dishes if answer.verdict != "planned"]
    day = f"{lunch.date:%A}"
    if not others:
        return f"There is no other dish for {day}."
    as_good = [answer.what for answer in others if answer.verdict == "as good"]
    if as_good:
        named = " or ".join(as_good[:2]) + (", among others" if len(as_good) > 2 else "")
        return f"{day} could have {named} instead, and nothing would be lost."
    found_out = (
        "" if all(other.verdict != "open" for other in others) else ", as far as was found out"
    )
    worse = [(answer.loss, answer) for answer in others if answer.loss is not None]
    if not worse:
        return f"No other dish can come on {day}{found_out}."
    rank = {name: at for at, name in enumerate(why.priorities)}
    # Best is what loses last in the order of priorities, and least of that.
    _, best = min(worse, key=lambda pair: (-rank[pair[0].priority], pair[0].amount))
    return f"No other dish does as well on {day}{found_out}: with {best.what}, {best.text}."


def _lunch(why: WhyFile, lunch: LunchWhy) -> Iterator[RenderableType]:
    sentence = in_a_sentence(why, lunch)
    yield Text(sentence)
    for reason in lunch.reasons:
        if reason.alternative and reason.alternative in sentence:
            continue
        yield beside("because", Text(reason.text, style="italic"), width=8)
    yield ""
    yield Text("Every other dish there", style="bold")
    for answer in lunch.dishes:
        if answer.verdict != "planned":
            yield beside(answer.what, _outcome(answer), width=22)
    for title, answers in (("Other amounts", lunch.amounts), ("Other choices", lunch.choices)):
        if answers:
            yield ""
            yield Text(f"{title}, the dish the same", style="bold")
            for answer in answers:
                yield beside(answer.what, _outcome(answer), width=30)


def _outcome(answer: Answer) -> RenderableType:
    verdict = answer.text
    if answer.verdict == "impossible" and answer.rules:
        return Group(Text("impossible, since:"), _rules(answer.rules))
    return Text(verdict)


# -- every dish at every lunch -------------------------------------------------------------


def _matrix(why: WhyFile) -> Iterator[RenderableType]:
    free = [
        lunch for lunch in why.lunches if any(dish.verdict == "as good" for dish in lunch.dishes)
    ]
    asked = f"{len(why.lunches)} lunches"
    yield Text(
        f"Of {asked} {len(free)} could have another dish and nothing would be lost."
        if free
        else f"No other dish is as good at any of {asked}, as far as was found out."
    )
    for eater in dict.fromkeys(lunch.eater for lunch in why.lunches):
        lunches = [lunch for lunch in why.lunches if lunch.eater == eater]
        yield ""
        table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
        table.add_column(eater)
        for lunch in lunches:
            table.add_column(day_name(lunch.date), justify="right")
        for at, row in enumerate(lunches[0].dishes):
            table.add_row(Text(row.what), *(_cell(why, lunch.dishes[at]) for lunch in lunches))
        yield Columns(table, split=True)
    yield ""
    yield beside("PLAN", Text("what the plan has"), width=10)
    whose = " --eater EATER" if len(why.eaters) > 1 else ""
    answers = [dish for lunch in why.lunches for dish in lunch.dishes]
    yield from _legend(why, answers, f"no week has it there: ask  why FILE DAY{whose} --not DISH")


def _legend(why: WhyFile, answers: list[Answer], never: str) -> Iterator[RenderableType]:
    yield beside("as good", Text("a week with it is as good in every priority"), width=10)
    yield beside("never", Text(never), width=10)
    for name in dict.fromkeys(dish.loss.priority for dish in answers if dish.loss is not None):
        priority = PRIORITIES[name]
        first = f"what the best week with it loses first: {priority.title}"
        yield beside(f"+ {priority.column_unit(why.currency) or MONEY}", Text(first), width=10)


# -- lunches by number -----------------------------------------------------------------------


def _by_number(why: WhyFile) -> Iterator[RenderableType]:
    yield Text(
        "The lunches of an entry are counted: one more with a dish is one fewer with another."
    )
    for part in why.counted:
        yield ""
        day = "" if part.date is None else f", {day_name(part.date)}"
        table = Table(box=None, padding=(0, 1, 0, 0), header_style="dim")
        table.add_column(f"{part.eater}{day}: {counted(part.lunches, 'lunch')}")
        for head in ("planned", "one more", "one fewer"):
            table.add_column(head, justify="right")
        for line in part.dishes:
            fewer = Text("") if line.fewer is None else _cell(why, line.fewer)
            table.add_row(Text(line.dish), str(line.times), _cell(why, line.more), fewer)
        yield Columns(table)
    asked = [line for part in why.counted for line in part.dishes]
    answers = [line.more for line in asked]
    answers += [line.fewer for line in asked if line.fewer is not None]
    yield ""
    yield from _legend(why, answers, "no week has it: ask  why FILE DAY --eater ENTRY --not DISH")


def _cell(why: WhyFile, answer: Answer) -> Text:
    if answer.verdict == "planned":
        return Text("PLAN", style="bold")
    if answer.loss is not None:
        return Text(_short(why, answer.loss))
    return Text({"impossible": "never", "as good": "as good"}.get(answer.verdict, "open"))


def _short(why: WhyFile, loss: Loss) -> str:
    least = "" if loss.exact else ">="
    number, _, unit = PRIORITIES[loss.priority].short(loss.amount, why.currency).rpartition(" ")
    # "+410 g left" breaks into "+410 g" and "left", no further.
    return f"{least}{glued(number)} {unit}"


# -- one answer ------------------------------------------------------------------------------


def paid_said(why: WhyFile, paid: Paid) -> str:
    """Say what is paid otherwise for an item in a week with a foil.

    Parameters
    ----------
    why
        The answer it is of.
    paid
        The item.

    Returns
    -------
    str
        How much more or less, and where a whole pack is the cause.

    Examples
    --------
    >>> from optimiser import why
    >>> cheese = Paid(item="hard cheese", more=1.45, pack="200 g", whole=True)
    >>> paid_said(why("minimal", "mon"), cheese)
    '1.45 more: a pack of 200 g is paid whole'
    """
    change = f"{money(why.currency, abs(paid.more))} {'more' if paid.more > 0 else 'less'}"
    return f"{change}: a pack of {paid.pack} is paid whole" if paid.whole else change


def _answer(why: WhyFile, answer: Answer) -> Iterator[RenderableType]:
    yield Text(answer.text[:1].upper() + answer.text[1:])
    # That the loss itself is not allowed goes without saying.
    lost = f"priority:{answer.loss.priority}" if answer.loss else ""
    rules = [rule for rule in answer.rules if rule.key != lost]
    if rules:
        cannot = "It cannot be had without that loss, because of"
        these = "this" if len(rules) == 1 else "these, none of them needless"
        yield Text(f"{cannot} {these}:" if answer.loss else "Since:")
        yield _rules(rules)
    if why.paid:
        yield ""
        yield Text("What is paid otherwise", style="bold")
        yield from (beside(paid.item, Text(paid_said(why, paid)), width=18) for paid in why.paid)
    if why.others:
        yield ""
        yield Text("In a week with it that loses no more, these lunches change", style="bold")
        for lunch in why.others:
            whose = f", {lunch.eater}" if len(why.eaters) > 1 else ""
            label = f"{day_name(lunch.date)}{whose}"
            yield beside(label, Text(f"{lunch.would_be}, instead of {lunch.was}"), width=18)
