"""What moved in a running week, as a cook reads it, and the plan for the rest of it."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Group, RenderableType
from rich.text import Text

from models.answers.change import ChangeFile, MoreToBuy, MovedLunch, Spare
from models.words.days import day_name
from models.words.numbers import counted, plain
from optimiser.report import plan as report
from optimiser.report.console import UNNAMED, beside, glued, rendered, words
from optimiser.report.phrases import count_of, ended_by, for_day_said, sourced, to_carry


def text(answer: ChangeFile, *, colour: bool = False, width: int = 80, full: bool = False) -> str:
    """Write what moved and why, what to do with what is left over, and the new plan.

    Parameters
    ----------
    answer
        The answer.
    colour
        Whether to mark parts for a terminal.
    width
        Columns.
    full
        As of a plan.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: what moved, then the plan as `plan` prints
        it. Where none was found, why.

    Examples
    --------
    >>> from optimiser import change, plan
    >>> answer = change(plan("minimal", reasons=False), "tue", no_lunch="wed")
    >>> print(text(answer).splitlines()[2])
    The one lunch to come moves.
    """
    parts: list[RenderableType] = [
        words(
            (answer.name or UNNAMED, "bold"),
            f"  planned again from {day_name(answer.today)} on",
        ),
        "",
    ]
    if not answer.plan.is_planned:
        parts += list(_no_plan(answer))
        return rendered(parts, colour=colour, width=width)
    parts += list(_conflict(answer))
    parts += list(_moves(answer))
    parts += list(_to_freeze(answer))
    parts += list(_spare(answer))
    parts += list(_to_buy(answer))
    if answer.guests:
        names = " and ".join(answer.guests)
        is_ = "is a guest" if len(answer.guests) == 1 else "are guests"
        parts += [
            "",
            Text(
                f"{names} {is_} of whom the plan knows nothing, so no floors hold: "
                "ask what they must not have."
            ),
        ]
    parts += ["", Text(_where(answer), style="dim"), ""]
    head = rendered(parts, colour=colour, width=width)
    return head + report.text(answer.plan, colour=colour, width=width, full=full)


def _where(answer: ChangeFile) -> str:
    if answer.written is not None:
        return f"Written to {answer.written}."
    return "Nothing was written. To keep it: -o NEW.json, or --in-place."


def _no_plan(answer: ChangeFile) -> Iterator[RenderableType]:
    plan = answer.plan
    if plan.status == "unknown":
        yield Text(f"No plan yet: {ended_by(plan)} before one was found. Nothing was written.")
        return
    yield Text("No plan is possible for what is left of the week.", style="bold")
    if answer.conflict:
        yield from _conflict(answer)
    else:
        yield Text("What stands in the way was not found in time.")
    yield Text(
        "Nothing was written. 'clearfridge mend' mends a week file before it is cooked, not a week "
        "that runs: one of these would have to give way."
    )


def _conflict(answer: ChangeFile) -> Iterator[RenderableType]:
    if answer.conflict:
        many = len(answer.conflict)
        clash = "This rule cannot" if many == 1 else f"These {many} rules cannot all"
        yield Text(f"{clash} hold, with what is eaten as it was:")
        yield from _rules(answer)
        yield from map(Text, to_carry(answer.conflict))
        yield ""


def _rules(answer: ChangeFile) -> Iterator[RenderableType]:
    yield from (beside("-", Text(sourced(rule)), width=1) for rule in answer.conflict)


# -- what moved --------------------------------------------------------------------


def _moves(answer: ChangeFile) -> Iterator[RenderableType]:
    if not answer.moves:
        yield Text(
            "No lunch to come has to change." if answer.to_come else "No lunch is to come any more."
        )
    elif not answer.changed:
        yield Text("Every lunch to come keeps its dish and its portions.")
    else:
        moved = f"{answer.changed} of the {answer.to_come} lunches to come "
        moved += "moves." if answer.changed == 1 else "move."
        if answer.changed == answer.to_come:
            moved = f"{'Every' if answer.to_come > 1 else 'The one'} lunch to come moves."
        yield Text(moved)
    several = len({line.eater for line in answer.plan.lunches}) > 1
    for move in answer.moves:
        yield beside(day_name(move.date), _move(move, several=several), style="bold")
    if answer.moves and answer.plan.status == "feasible":
        yield Text("Why was not asked: the plan is not proven to be the best.")
    yield from _held_against(answer)


def _move(move: MovedLunch, *, several: bool) -> RenderableType:
    whose = f"{move.eater}: " if several else ""
    rows: list[RenderableType] = []
    if move.kind == "new":
        rows.append(Text(f"{whose}new: {move.becomes}"))
    else:
        rows.append(Text(f"{whose}was {move.was}", style="dim"))
        rows.append(Text(f"{'now' if not whose else whose + 'now'} {move.becomes}"))
    if move.why is not None:
        reason = Text(move.why.text + (", since:" if move.why.rules else ""), style="italic")
        rules = [beside("-", Text(sourced(rule)), width=1) for rule in move.why.rules]
        rows.append(beside("because", Group(reason, *rules), width=8))
    return Group(*rows)


def _held_against(answer: ChangeFile) -> Iterator[RenderableType]:
    left = answer.plan.left_over.grams
    stayed = answer.as_they_were
    alone = any(move.why is not None and move.why.verdict == "impossible" for move in answer.moves)
    if stayed is not None and not stayed.possible and not alone:
        yield Text("The other lunches could not all have stayed as they were.")
    elif stayed is not None and stayed.grams is not None and stayed.grams > left:
        now = f", not {_grams(left)}" if left else ""
        yield Text(
            f"Leaving the other lunches as they were would leave {_grams(stayed.grams)} over{now}."
        )
    if answer.least_left is not None and answer.least_left < left:
        least = f"{_grams(answer.least_left)}" if answer.least_left else "nothing"
        yield Text(
            f"With more changed lunches {least} would be left over, not {_grams(left)}: leave out "
            "--fewest-changes."
        )


def _grams(grams: float) -> str:
    return f"{grams:.1f}".rstrip("0").rstrip(".") + " g"


# -- what is left over ---------------------------------------------------------------


def _to_freeze(answer: ChangeFile) -> Iterator[RenderableType]:
    plan, today = answer.plan, answer.today
    tubs = [move for move in plan.moves if (move.move, move.date) == ("freeze", today)]
    if tubs:
        yield ""
        yield Text(f"To freeze today, {glued(day_name(today))}", style="bold")
        for tub in tubs:
            what = glued(f"{count_of(plan, tub.portions, tub.batch)} of {tub.batch}")
            yield beside("-", Text(f"{what}, {for_day_said(tub.for_day)}"), width=1)
        yield Text(
            "The plan counts on it. If less was frozen, say so with the next change: "
            f"--froze '{tubs[0].batch}=0'.",
            style="dim",
        )


def _spare(answer: ChangeFile) -> Iterator[RenderableType]:
    # What is to be frozen is told above, with the day it is for.
    spare = [spare for spare in answer.spare if spare.do != "freeze"]
    if spare:
        yield ""
        yield Text("What no lunch takes", style="bold")
        yield from (beside("-", Text(spare_said(rest)), width=1) for rest in spare)


def _to_buy(answer: ChangeFile) -> Iterator[RenderableType]:
    if answer.to_buy:
        yield ""
        yield Text("To buy, beyond what the plan before asked for", style="bold")
    for more in answer.to_buy:
        yield beside("-", Text(more_said(more)), width=1)


def more_said(more: MoreToBuy) -> str:
    """Say what must be bought that the plan before did not ask for.

    Parameters
    ----------
    more
        An item of the larder.

    Returns
    -------
    str
        How much, and in how many packs.

    Examples
    --------
    >>> more_said(MoreToBuy(item="apple", packs=1, amount=2, unit="piece"))
    '2 pieces apple (1 pack)'
    """
    unit = more.unit + ("s" if more.unit == "piece" and more.amount != 1 else "")
    packs = f" ({counted(more.packs, 'pack')})" if more.packs else ""
    return f"{plain(more.amount)} {unit} {more.item}{packs}"


def spare_said(spare: Spare) -> str:
    """Say what to do with portions that no lunch takes.

    Parameters
    ----------
    spare
        They, and what is best done.

    Returns
    -------
    str
        A clause.

    Examples
    --------
    >>> from optimiser.report.console import unglued
    >>> spare = Spare(batch="pea soup", portions=1, word="portion", do="stays frozen")
    >>> " ".join(unglued(spare_said(spare)).split())
    '1 portion of pea soup is in the freezer and stays there'
    """
    if spare.do == "freeze":
        many = glued(counted(spare.portions, spare.word))
        return f"freeze {many} of {spare.batch} today"
    single = spare.portions == 1
    many = glued(counted(spare.portions, spare.word))
    what = f"{many} of {spare.batch}"
    by = "" if spare.by is None else glued(day_name(spare.by))
    them = "it was" if single else "they were"
    stay = "is in the freezer and stays there" if single else "are in the freezer and stay there"
    return {
        "eat": f"eat {what} by {by}: an extra lunch, or a helping beside a meal",
        "eat today": f"eat {what} today: {them} thawed overnight and will not keep",
        "stays frozen": f"{what} {stay}",
        "cook fewer": f"cook {many} fewer of {spare.batch} on {by}",
        "discard": f"throw out what is there of {what}: good until {by}",
    }[spare.do]
