"""The days of a plan as entries of a calendar: buy, soak, cook, freeze, thaw, pack, use by.

Plain data; `report.calendar` writes it as iCalendar. An entry keeps its identity when the plan
changes: the same thing on the same day for the same week.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, datetime, timedelta
from itertools import groupby

from models.answers.calendar import CalendarFile, DiaryEntry
from models.answers.pack import Card
from models.answers.plan import PastEntry, PlanFile
from models.answers.prep import PrepDay
from models.week import sums
from models.week.cautions import bearing, on_sheet
from models.week.moves import Move, moves
from models.week.packed import PackedWeek
from models.week.week import Week
from models.words.days import day_name
from models.words.giving import BUY
from models.words.numbers import counted
from optimiser.sheets.labels import labels
from optimiser.sheets.pack import cards
from optimiser.sheets.prep import prep
from optimiser.sheets.shop import shopping

MOVING = timedelta(minutes=10)
SHORTEST = timedelta(minutes=5)
A_DAY = timedelta(days=1)
LUNCH = f"Lunch: {BUY}"


def diary(week: Week, packed: PackedWeek, plan: PlanFile | None = None) -> CalendarFile:
    """Give the entries of a plan in the order of their days.

    Parameters
    ----------
    week
        The week.
    packed
        What is packed of it.
    plan
        The plan as it was saved: where the week went otherwise, days before the last change stay
        as they were then.

    Returns
    -------
    CalendarFile
        What is bought on a later trip, soaking and cooking by the clock of the prep day, moves to
        the fridge, packing and use-by dates; at a time of day where `times` says.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> from optimiser.solve.week import solve_week
    >>> _, solved = solve_week(week := read_week("minimal"))
    >>> sorted({entry.kind for entry in diary(week, solved.packed).entries})[0]
    'cook'
    """
    days = prep(week, packed).days
    entries = [
        *_buy(week, packed),
        *_cook(week, packed, _hours(days)),
        *_soak(days),
        *_freeze(week, packed),
        *_move(week, packed),
        *_pack(week, packed),
        *_use_by(week, packed),
    ]
    if plan is not None and plan.changes:
        since = plan.changes[-1].today
        entries = [*map(_again, plan.past), *(entry for entry in entries if entry.day >= since)]
    return CalendarFile(
        name=week.name,
        days=list(week.days),
        zone=week.times.zone,
        entries=sorted(entries, key=lambda entry: (str(entry.begins), entry.kind, entry.key)),
    )


def past(plan: PlanFile, week: Week, packed: PackedWeek, today: date) -> list[PastEntry]:
    """Give the entries of days before a day as the plan of until then has them.

    Parameters
    ----------
    plan
        The plan of until then.
    week
        Its week.
    packed
        What is packed of it.
    today
        The day.

    Returns
    -------
    list of PastEntry
        In the order of the diary, their texts cut into lines.

    Examples
    --------
    >>> from optimiser.interface.given import printed
    >>> made = printed("minimal")
    >>> entries = past(made.plan, made.week, made.packed, made.week.days[1])
    >>> [entry.title for entry in entries]
    ['Cook: rice and beans', 'Pack: Rice, beans and cheese']
    """
    entries = diary(week, packed, plan).entries
    return [_as_it_was(entry) for entry in entries if entry.day < today]


def _as_it_was(entry: DiaryEntry) -> PastEntry:
    # A plan holds no line breaks.
    parts = entry.model_dump(exclude={"text"})
    return PastEntry(**parts, lines=entry.text.split("\n"))


def _again(entry: PastEntry) -> DiaryEntry:
    return DiaryEntry(**entry.model_dump(exclude={"lines"}), text="\n".join(entry.lines))


def _cook(
    week: Week, packed: PackedWeek, timed: Mapping[date, tuple[datetime, datetime]]
) -> Iterator[DiaryEntry]:
    cooked = [batch for batch in week.batches.values() if not batch.earlier]
    for day in sorted({batch.made for batch in cooked}):
        batches = [batch for batch in cooked if batch.made == day]
        lines = [_of(week, batch.name, batch.portions) for batch in batches]
        lines += [
            _to_freeze(week, move)
            for move in moves(week, packed)
            if move.move == "freeze" and move.day == day == week.batches[move.batch].made
        ]
        names = [batch.name for batch in batches]
        lines += [
            f"{', '.join(name for name in caution.of if name in names)}: {caution.short}"
            for caution in on_sheet(bearing(week, packed), "prep", names)
            if caution.of and caution.short
        ]
        clock = timed.get(day)
        begins, ends = (day, day + A_DAY) if clock is None else clock
        title = f"Cook: {', '.join(names)}"
        yield DiaryEntry(kind="cook", begins=begins, ends=ends, title=title, text="\n".join(lines))


def _buy(week: Week, packed: PackedWeek) -> Iterator[DiaryEntry]:
    """Remind of what would not keep raw from the first trip to the shop."""
    for day, names in shopping(week, packed).later.items():
        title = f"Buy: {', '.join(names)}"
        text = "Raw it would not keep from the first trip to the shop."
        yield DiaryEntry(kind="buy", begins=day, ends=day + A_DAY, title=title, text=text)


def _hours(days: list[PrepDay]) -> dict[date, tuple[datetime, datetime]]:
    """Give the hours of each prep day that has any by the clock."""
    return {
        day.date: (day.begins, day.ends)
        for day in days
        if day.begins is not None and day.ends is not None
    }


def _soak(days: list[PrepDay]) -> Iterator[DiaryEntry]:
    """Remind of what hands do on the evening before a prep day."""
    for day in days:
        early = [step for step in day.steps if step.hands and step.begins.date() < day.date]
        for step in early:
            yield DiaryEntry(
                kind="soak",
                key=step.batch,
                begins=step.begins,
                ends=max(step.ends, step.begins + SHORTEST),
                title=f"For tomorrow: {step.work}",
                text=f"For {step.batch}, cooked on {day_name(day.date)}.",
            )


def _to_freeze(week: Week, move: Move) -> str:
    many = _of(week, move.batch, move.portions)
    return f"freeze {many} for {'a later week' if move.for_day is None else f'{move.for_day:%a}'}"


def _freeze(week: Week, packed: PackedWeek) -> Iterator[DiaryEntry]:
    """Remind of what is frozen on a day after it was made."""
    later = [
        move
        for move in moves(week, packed)
        if move.move == "freeze" and move.day != week.batches[move.batch].made
    ]
    for day, tubs_of in groupby(later, key=lambda move: move.day):
        tubs = list(tubs_of)
        title = f"Freeze: {', '.join(dict.fromkeys(tub.batch for tub in tubs))}"
        lines = [_to_freeze(week, tub) for tub in tubs]
        yield DiaryEntry(
            kind="freeze", begins=day, ends=day + A_DAY, title=title, text="\n".join(lines)
        )


def _of(week: Week, batch: str, portions: int) -> str:
    return f"{counted(portions, week.batches[batch].portion_word)} of {batch}"


def _move(week: Week, packed: PackedWeek) -> Iterator[DiaryEntry]:
    thawed = [move for move in moves(week, packed) if move.move == "thaw"]
    for day, tubs in groupby(thawed, key=lambda move: move.day):
        lines = [_of(week, tub.batch, tub.portions) for tub in tubs]
        begins = datetime.combine(day, week.times.evening)
        title = f"Freezer to fridge: {', '.join(lines)}"
        text = "Thaw in the fridge; eat within 24 hours of thawing (UK FSA)."
        yield DiaryEntry(kind="move", begins=begins, ends=begins + MOVING, title=title, text=text)


def _pack(week: Week, packed: PackedWeek) -> Iterator[DiaryEntry]:
    by_day: dict[date, list[Card]] = defaultdict(list)
    file = cards(week, packed)
    for card in file.cards:
        by_day[card.date].append(card)
    several = len(week.eaters) > 1
    buys: dict[date, list[str]] = defaultdict(list)
    for lunch in file.to_buy:
        buys[lunch.date].append(f"{lunch.eater}: {BUY}" if several else BUY)
    for day in sorted({*by_day, *buys}):
        mine = by_day[day]
        begins = datetime.combine(day, week.times.morning)
        lasts = max(SHORTEST, timedelta(minutes=sum(card.minutes for card in mine)))
        title = f"Pack: {', '.join(dict.fromkeys(card.dish for card in mine))}" if mine else LUNCH
        lines = [line for card in mine for line in _card(card, several=several)]
        text = "\n".join([*lines, *buys[day]])
        yield DiaryEntry(kind="pack", begins=begins, ends=begins + lasts, title=title, text=text)


def _card(card: Card, *, several: bool) -> Iterator[str]:
    whose = f"{card.eater}: " if several else ""
    yield f"{whose}{card.dish}"
    for place in card.places:
        yield f"{place.place}: {', '.join(part.text for part in place.parts)}"
    yield from card.carry
    yield from card.eat
    yield from (f"mind: {caution}" for caution in card.cautions)


def _use_by(week: Week, packed: PackedWeek) -> Iterator[DiaryEntry]:
    """Remind of the last day of what is still in the fridge then, and of packs once opened."""
    due: dict[date, list[str]] = defaultdict(list)
    in_fridge = Counter[tuple[str, date]]()
    for label in labels(week, packed).labels:
        if label.where == "fridge":
            in_fridge[label.batch, label.use_by] += label.portions
    for (batch, day), portions in in_fridge.items():
        if portions > _eaten_before(packed, batch, day):
            due[day].append(batch)
    for pack in packed.packs:
        keeps = week.larder[pack.item].opened_life
        left = sums.pack_left(
            week.larder[pack.item], sums.uses(week, packed).get(pack.item, {}), packed.packs
        )
        if keeps is not None and left > 0:
            due[pack.opened + timedelta(days=keeps)].append(f"{pack.item}, opened")
    for day, names in sorted(due.items()):
        title = f"Use by today: {', '.join(dict.fromkeys(names))}"
        text = "The last day it may be eaten. What you doubt, do not eat."
        yield DiaryEntry(kind="use by", begins=day, ends=day + A_DAY, title=title, text=text)


def _eaten_before(packed: PackedWeek, batch: str, day: date) -> int:
    """Count the portions of a batch that were eaten from the fridge before a day."""
    return sum(
        part.portions - part.thawed
        for lunch in packed.lunches
        if lunch.day < day
        for part in lunch.portions
        if part.batch == batch
    )
