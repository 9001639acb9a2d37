"""Where the portions of every batch are on a morning of a week that runs.

It is counted from the plan: what it had until then is eaten, what it wanted frozen is frozen, but
where something else was told.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from models.answers.plan import ChangeLine, FrozenPortions, GonePortions
from models.file.freezing import without_first, without_last
from models.week import sums
from models.week.packed import PackedWeek
from models.week.week import Batch, Week


@dataclass(frozen=True, slots=True)
class Stock:
    """Where the portions of a batch are on the morning of a day.

    Attributes
    ----------
    fridge
        Kept in the fridge since it was made.
    thawed
        Moved from the freezer to the fridge the evening before: good on that day only.
    freezer
        In the freezer.
    lots
        Days and the portions frozen on them, eaten ones too; None while that is to be decided.
    in_vain
        Thawed for an earlier day and in no lunch.
    """

    fridge: int
    thawed: int
    freezer: int
    lots: tuple[tuple[date, int], ...] | None
    in_vain: int = 0

    @property
    def there(self) -> int:
        """How many there are in all."""
        return self.fridge + self.thawed + self.freezer

    @property
    def frozen(self) -> int | None:
        """How many went into the freezer; None while that is to be decided."""
        return None if self.lots is None else sum(portions for _, portions in self.lots)

    @property
    def in_freezer(self) -> tuple[tuple[date, int], ...]:
        """Days and the portions frozen on them that are there still: what came first went first."""
        lots = self.lots or ()
        out = sum(portions for _, portions in lots) - self.freezer
        return tuple(lot for lot in without_first(lots, out) if lot[1])

    def without(self, gone: int) -> Stock:
        """Take portions away: from the fridge first, from the freezer last.

        Parameters
        ----------
        gone
            Portions, at most as many as are there.

        Returns
        -------
        A copy; what is gone from the freezer no longer counts as frozen.

        Examples
        --------
        >>> left = Stock(fridge=2, thawed=0, freezer=3, lots=((date.min, 3),)).without(4)
        >>> left.fridge, left.freezer, left.frozen
        (0, 1, 1)
        """
        fridge = min(gone, self.fridge)
        thawed = min(gone - fridge, self.thawed)
        freezer = gone - fridge - thawed
        lots = self.lots
        if lots is not None:
            # What went into the freezer and is gone cannot come to a lunch any more.
            lots = tuple(without_last(without_first(lots, thawed), freezer))
        return replace(
            self,
            fridge=self.fridge - fridge,
            thawed=self.thawed - thawed,
            freezer=self.freezer - freezer,
            lots=lots,
        )

    def settled(self, day: date, now: int, unused: int) -> Stock:
        """Freeze some on a day, and give up what was thawed for it and is in no lunch.

        Parameters
        ----------
        day
            The day.
        now
            Portions that go from the fridge into the freezer.
        unused
            Portions that were thawed overnight and are not eaten.

        Returns
        -------
        A copy with a lot of that day; what was thawed and not eaten is counted as in vain.

        Examples
        --------
        >>> stock = Stock(fridge=2, thawed=1, freezer=0, lots=((date.min, 1),))
        >>> stock.settled(date.max, 2, 1).lots == ((date.min, 0), (date.max, 2))
        True
        """
        lots = without_first(self.lots or (), unused)
        if now:
            lots = [
                *((when, many) for when, many in lots if when != day),
                (day, now + on(lots, day)),
            ]
        return replace(
            self, fridge=self.fridge - now, lots=tuple(lots), in_vain=self.in_vain + unused
        )


def on(lots: Iterable[tuple[date, int]], day: date) -> int:
    """Count the portions frozen on a day.

    Parameters
    ----------
    lots
        Days and the portions frozen on them.
    day
        The day.

    Returns
    -------
    Whole portions; 0 where none were.

    Examples
    --------
    >>> on([(date.min, 2), (date.max, 1)], date.max)
    1
    """
    return sum(portions for when, portions in lots if when == day)


def lots_of(week: Week, packed: PackedWeek, batch: str) -> tuple[tuple[date, int], ...]:
    """Give what is frozen of a batch, day by day: as the week says, or as the plan wants it.

    Parameters
    ----------
    week
        The week.
    packed
        Its plan.
    batch
        Name of a batch.

    Returns
    -------
    Dates and whole portions, eaten ones too; empty where none is frozen.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> lots_of(read_week("minimal"), PackedWeek((), ()), "rice and beans")
    ()
    """
    there = week.batches[batch]
    number = sums.thawed(packed, batch)
    planned = ((there.made, number),) if number else ()
    return planned if there.frozen is None else there.lots


def really_frozen(week: Week, packed: PackedWeek, froze: Iterable[FrozenPortions]) -> Week:
    """Let a week say what was really frozen, where that is not what the plan wants.

    Parameters
    ----------
    week
        The week that was planned.
    packed
        Its plan.
    froze
        What was frozen, by batch and day.

    Returns
    -------
    A new week: a day that is told goes before the plan, all other days stay as planned.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> soup = FrozenPortions(batch="pea soup", portions=2, date=date(2026, 11, 30))
    >>> really_frozen(read_week("demo"), PackedWeek((), ()), [soup]).batches["pea soup"].frozen
    2
    """
    batches = dict(week.batches)
    for told in froze:
        batch = batches[told.batch]
        days = dict(batch.lots if batch.frozen is not None else lots_of(week, packed, told.batch))
        lots = sorted((days | {told.date: told.portions}).items())
        batches[told.batch] = replace(
            batch,
            frozen=sum(portions for _, portions in lots),
            frozen_later=tuple(lot for lot in lots if lot[0] > batch.made and lot[1]),
        )
    return replace(week, batches=batches)


def stocks(
    week: Week, packed: PackedWeek, today: date, earlier: Sequence[ChangeLine] = ()
) -> dict[str, Stock]:
    """Count where the portions of every batch are on the morning of a day.

    Parameters
    ----------
    week
        The week that was planned.
    packed
        Its plan; lunches before today were eaten as it has them.
    today
        The day.
    earlier
        How the week was changed before.

    Returns
    -------
    dict of str to Stock
        By batch, in the order of the file.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> stocks(week, PackedWeek((), ()), week.days[0])["rice and beans"].fridge
    6
    """
    unused = [part for line in earlier if line.today == today for part in line.thawed_unused]
    return {
        name: _stock(week, packed, today, batch, portions_of(unused, name))
        for name, batch in week.batches.items()
    }


def portions_of(lines: Iterable[GonePortions], batch: str) -> int:
    """Sum the portions of a batch in some lines.

    Parameters
    ----------
    lines
        Portions of batches.
    batch
        Name of a batch.

    Returns
    -------
    Whole portions; 0 where no line is about it.

    Examples
    --------
    >>> portions_of([GonePortions(batch="pea soup", portions=2)], "pea soup")
    2
    """
    return sum(line.portions for line in lines if line.batch == batch)


def _stock(week: Week, packed: PackedWeek, today: date, batch: Batch, still_good: int) -> Stock:
    lots = lots_of(week, packed, batch.name)
    if batch.made > today:
        return Stock(0, 0, 0, None if batch.frozen is None else lots)
    if batch.made == today and batch.frozen is None:
        return Stock(batch.portions - batch.gone, 0, 0, None)
    eaten = before = now = 0
    for lunch in packed.lunches:
        for part in lunch.portions:
            if part.batch == batch.name and lunch.day < today:
                eaten += part.portions - part.thawed
                before += part.thawed
            elif part.batch == batch.name and lunch.day == today:
                now += part.thawed
    frozen = sum(portions for _, portions in lots)
    if still_good:
        (first, number), *others = lots or ((batch.made, 0),)
        lots = ((first, number + still_good), *others)
    # What was to be thawed last evening and was never frozen is in the fridge still.
    now = min(now, frozen - before)
    return Stock(
        fridge=batch.portions - batch.gone - batch.thawed - frozen - eaten,
        thawed=now + still_good,
        freezer=frozen - before - now,
        lots=lots,
        in_vain=batch.thawed - still_good,
    )
