"""The prep day as a cook reads it: clock times in words, and bars over the day."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from datetime import datetime, timedelta

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from models.answers.prep import PrepDay, PrepFile, PrepStep
from models.words.days import day_name
from models.words.numbers import listed, spell
from models.words.raw import RAW
from optimiser.report.chart import bars
from optimiser.report.columns import Columns
from optimiser.report.console import UNNAMED, beside, rendered, words

HANDS, ALONE = "█", "░"


def text(answer: PrepFile, *, colour: bool = False, width: int = 80, chart: bool = True) -> str:
    """Write the timetable of every prep day.

    Parameters
    ----------
    answer
        What the command answers.
    colour
        Whether to colour it.
    width
        Columns of the terminal.
    chart
        Whether to draw a chart, where there is one.

    Returns
    -------
    str
        Lines wrapped at `width`, the last one ended: a timetable a day, the bars below it.

    Examples
    --------
    >>> from optimiser import prep
    >>> print(text(prep("minimal")).splitlines()[2])
    Sun 29 Nov  the file has no steps for rice and beans
    """
    parts: list[RenderableType] = [
        words((answer.name or UNNAMED, "bold"), "  prep day by the clock")
    ]
    for day in answer.days:
        parts += ["", *_day(day, width=width, chart=chart)]
    if not answer.days:
        parts += ["", Text("There is no batch to cook.")]
    return rendered(parts, colour=colour, width=width)


def _day(day: PrepDay, *, width: int, chart: bool) -> Iterator[RenderableType]:
    yield words((day_name(day.date), "bold"), f"  {summary(day)}")
    if day.steps:
        yield ""
        yield _table(day)
        for sentence in (without_steps(day), kept_apart(day)):
            if sentence:
                yield ""
                yield Text(sentence)
        if chart:
            yield ""
            yield Text(gantt(day, width=width))
    if day.cautions:
        yield ""
        yield Text("Cautions", style="bold")
        yield from (beside("-", Text(caution), width=1) for caution in day.cautions)


def summary(day: PrepDay) -> str:
    """Say when a prep day begins and ends, and how long hands are busy.

    Parameters
    ----------
    day
        A prep day.

    Returns
    -------
    str
        One line, as "09:00 to 11:05; hands busy 55 min of 2 h 5 min", or why the day cannot be
        done, or which batches the file has no steps for.

    Examples
    --------
    >>> day = datetime(2026, 11, 29).date()
    >>> summary(PrepDay(date=day, possible=False, why_not="the oven is full"))
    'cannot be done: the oven is full'
    """
    if not day.possible:
        return f"cannot be done: {day.why_not}"
    if day.begins is None or day.ends is None:
        if day.steps or not day.without_steps:
            return "nothing to do by the clock"
        return f"the file has no steps for {listed(day.without_steps)}"
    whole = int((day.ends - day.begins).total_seconds()) // 60
    # Several pairs of hands may be busy for longer than the day lasts.
    of = f"of {spell(whole)}" if day.hands_minutes <= whole else "between them"
    span = f"{clock(day.begins)} to {clock(day.ends)}; hands busy {spell(day.hands_minutes)} {of}"
    return span if day.proven else f"{span}; not proven to be the shortest"


def without_steps(day: PrepDay) -> str:
    """Say for which batches the file has no steps, beside those that have; else nothing.

    Parameters
    ----------
    day
        A prep day.

    Returns
    -------
    str
        One sentence; empty where all have steps, or none: then `summary` says it.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 9, 45)
    >>> chop = PrepStep(batch="soup", name="1", work="chop", begins=start, ends=end, hands=True)
    >>> day = PrepDay(date=start.date(), possible=True, steps=[chop], without_steps=["rice"])
    >>> without_steps(day)
    'The file has no steps for rice: cook it beside these.'
    """
    if not (day.steps and day.without_steps):
        return ""
    it = "it" if len(day.without_steps) == 1 else "them"
    return f"The file has no steps for {listed(day.without_steps)}: cook {it} beside these."


def work(step: PrepStep) -> str:
    """Say what is done, and to which batch where the words do not.

    Parameters
    ----------
    step
        One of the steps of a prep day.

    Returns
    -------
    str
        The step's own words, the batch before them where it is named nowhere in them.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 9, 45)
    >>> work(PrepStep(batch="soup", name="1", work="chop", begins=start, ends=end, hands=True))
    'soup: chop'
    """
    told = step.note or step.batch.casefold() in step.work.casefold()
    return step.work if told else f"{step.batch}: {step.work}"


def kept_apart(day: PrepDay) -> str:
    """Say that raw and ready food are kept apart; empty where nothing raw is touched.

    Parameters
    ----------
    day
        A prep day.

    Returns
    -------
    str
        One sentence, naming what is raw, in the order in which it is touched.

    Examples
    --------
    >>> start, end, raw = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 10), ["raw poultry"]
    >>> cut = PrepStep(
    ...     batch="stew", name="1", work="cut", begins=start, ends=end, hands=True, touches=raw
    ... )
    >>> print(kept_apart(PrepDay(date=start.date(), possible=True, steps=[cut])).partition(",")[0])
    Kept apart: ready food is handled before raw poultry
    """
    touched = (kind for step in day.steps for kind in step.touches)
    raw = [kind for kind in dict.fromkeys(touched) if kind in RAW]
    if not raw:
        return ""
    return (
        f"Kept apart: ready food is handled before {' and '.join(raw)}, or after hands, board and "
        "knife are washed."
    )


def clock(moment: datetime) -> str:
    """Write a time of the day.

    Parameters
    ----------
    moment
        Date and time.

    Returns
    -------
    str
        Hours and minutes, of 24 hours.

    Examples
    --------
    >>> clock(datetime(2026, 11, 29, 9, 5))
    '09:05'
    """
    return f"{moment:%H:%M}"


def when(day: PrepDay, step: PrepStep) -> str:
    """Write when a step is done; the day before is named.

    Parameters
    ----------
    day
        A prep day.
    step
        One of its steps.

    Returns
    -------
    str
        As "09:00 to 09:25", or "Sat 21:00 to 09:00" of what begins the evening before.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 28, 21), datetime(2026, 11, 29, 9)
    >>> soak = PrepStep(batch="beans", name="1", work="soak", begins=start, ends=end, hands=False)
    >>> when(PrepDay(date=end.date(), possible=True, steps=[soak]), soak)
    'Sat 21:00 to 09:00'
    """
    return f"{begins(day, step)} to {clock(step.ends)}"


def begins(day: PrepDay, step: PrepStep) -> str:
    """Write when a step begins; the day before is named.

    Parameters
    ----------
    day
        A prep day.
    step
        One of its steps.

    Returns
    -------
    str
        As "09:00" or "Sat 21:00".

    Examples
    --------
    >>> start, end = datetime(2026, 11, 28, 21), datetime(2026, 11, 29, 9)
    >>> soak = PrepStep(batch="beans", name="1", work="soak", begins=start, ends=end, hands=False)
    >>> begins(PrepDay(date=end.date(), possible=True, steps=[soak]), soak)
    'Sat 21:00'
    """
    before = "" if step.begins.date() == day.date else f"{step.begins:%a} "
    return f"{before}{clock(step.begins)}"


def lasts(step: PrepStep) -> str:
    """Write how long a step lasts.

    Parameters
    ----------
    step
        One of the steps of a prep day.

    Returns
    -------
    str
        As "1 h 25 min"; seconds are left out.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 10, 15)
    >>> lasts(PrepStep(batch="soup", name="1", work="simmer", begins=start, ends=end, hands=False))
    '1 h 15 min'
    """
    return spell(int((step.ends - step.begins).total_seconds()) // 60)


def using(step: PrepStep) -> str:
    """Say what a step takes up.

    Parameters
    ----------
    step
        A step of a prep day.

    Returns
    -------
    str
        Joined by commas; "by itself" where it takes up nothing.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 10, 15)
    >>> stir = PrepStep(
    ...     batch="soup", name="1", work="stir", begins=start, ends=end, hands=True, rings=1
    ... )
    >>> using(stir)
    'hands, hob'
    """
    raw = [kind for kind in step.touches if kind in RAW]
    hands = "hands" if step.pairs == 1 else f"{step.pairs} pairs of hands"
    uses = [hands, *raw] if step.hands else []
    if step.oven is not None:
        uses.append(f"oven {step.oven} °C" + (f", {step.trays} trays" if step.trays > 1 else ""))
    if step.rings:
        uses.append("hob" if step.rings == 1 else f"hob, {step.rings} rings")
    if step.blenders:
        uses.append("blender")
    return ", ".join(uses) or "by itself"


def _table(day: PrepDay) -> RenderableType:
    table = Table(box=None, padding=(0, 2, 0, 0), header_style="dim")
    for head in ("when", "what", "with"):
        table.add_column(head)
    for step in day.steps:
        style = "" if step.hands else "dim"
        table.add_row(Text(when(day, step)), Text(work(step), style=style), Text(using(step)))
    return Columns(table)


def gantt(day: PrepDay, *, width: int = 80) -> str:
    """Draw the steps of the day as bars over the hours, a row for each.

    Hands are full blocks, what goes on by itself is light. What began the evening before begins at
    the left edge.

    Parameters
    ----------
    day
        A prep day.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines of at most `width` characters, the last one not ended: a row a step, then the hours,
        then the legend.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 9, 30)
    >>> chop = PrepStep(batch="soup", name="1", work="chop", begins=start, ends=end, hands=True)
    >>> print(gantt(PrepDay(date=start.date(), possible=True, steps=[chop]), width=40))
    soup: chop |███████████████████████████
               |09:00
    █ hands   ░ goes on by itself
    """
    first = min(step.begins for step in day.steps if step.begins.date() == day.date)
    last = max(step.ends for step in day.steps)
    left = first.replace(minute=first.minute // 30 * 30)
    label = min(30, width // 2, max(len(_short(step)) for step in day.steps))
    room = width - label - 2
    span = max(timedelta(minutes=30), last - left)

    def column(moment: datetime) -> int:
        share = max(timedelta(), moment - left) / span
        return round(share * (room - 1))

    lines = []
    for step in day.steps:
        if step.ends <= left:
            continue
        begins, ends = column(step.begins), max(column(step.begins) + 1, column(step.ends))
        bar = (HANDS if step.hands else ALONE) * (ends - begins)
        name, *more = textwrap.wrap(_short(step), label)
        lines.append(f"{name:<{label}} |{' ' * begins}{bar}".rstrip())
        lines += [f"{rest:<{label}} |" for rest in more]
    ticks = [" "] * (room + 8)
    moment = left
    while moment <= last:
        at = column(moment)
        if all(tick == " " for tick in ticks[max(0, at - 1) : at + 5]) and at + 5 <= room:
            ticks[at : at + 5] = clock(moment)
        moment += timedelta(minutes=30)
    lines.append(f"{'':<{label}} |{''.join(ticks).rstrip()}")
    lines.append(f"{HANDS} hands   {ALONE} goes on by itself")
    return "\n".join(lines)


def _short(step: PrepStep) -> str:
    if not step.note:
        return work(step)
    # Washing after raw food is of no batch.
    name, after, _ = step.name.partition(" after ")
    return name if after or not step.batch else f"{step.batch}: {name}"


def as_svg(day: PrepDay) -> str:
    """Draw the steps of the day as SVG.

    Parameters
    ----------
    day
        A prep day.

    Returns
    -------
    str
        An SVG of a fixed width, ended by a line break; it begins with the first step that needs
        hands.

    Examples
    --------
    >>> start, end = datetime(2026, 11, 29, 9), datetime(2026, 11, 29, 9, 30)
    >>> chop = PrepStep(batch="soup", name="1", work="chop", begins=start, ends=end, hands=True)
    >>> ">Prep day, Sun 29 Nov<" in as_svg(PrepDay(date=start.date(), possible=True, steps=[chop]))
    True
    """
    steps = [step for step in day.steps if step.ends.date() == day.date]
    midnight = datetime.combine(day.date, datetime.min.time())

    def hours(moment: datetime) -> float:
        return max(0.0, (moment - midnight).total_seconds() / 3600)

    rows = [(_short(step), hours(step.begins), hours(step.ends), step.hands) for step in steps]
    # What has been soaking all night would hide the day.
    opens = min(begins for (_, begins, _, hands) in rows if hands)
    rows = [(name, max(begins, opens), ends, hands) for name, begins, ends, hands in rows]
    return bars(
        [row for row in rows if row[2] > row[1]],
        title=f"Prep day, {day_name(day.date)}",
        legend=("hands", "goes on by itself"),
    )
