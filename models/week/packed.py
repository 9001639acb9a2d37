"""A week as it is packed: what a plan says, stripped to what can be checked.

Plain data with no proof and no prose. The audit, the report and the program all
count from here, each in its own way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from models.week.week import Helping, Week


@dataclass(frozen=True, slots=True)
class PackedPortions:
    """Portions of one batch in one lunch.

    Attributes
    ----------
    portions
        How many, from the fridge and from the freezer together.
    thawed
        How many of them come from the freezer.
    """

    batch: str
    portions: int
    thawed: int


@dataclass(frozen=True, slots=True)
class PackedLunch:
    """One lunch as it is packed.

    Attributes
    ----------
    options
        Choice to the larder item chosen.
    extras
        Larder item to how many times it is added.

    Examples
    --------
    >>> soup = PackedPortions("pea soup", 2, 0)
    >>> PackedLunch("Jorun", date(2026, 12, 2), "Soup and toast", (soup,), {}, {}).of("pea soup")
    2
    """

    eater: str
    day: date
    dish: str
    portions: tuple[PackedPortions, ...]
    options: Mapping[str, str]
    extras: Mapping[str, int]

    def of(self, batch: str) -> int:
        """Count the portions of a batch in it.

        Parameters
        ----------
        batch
            Name of a batch; of one that is not in it there are none.

        Returns
        -------
        Whole portions, 0 or more, thawed ones with them.
        """
        return sum(part.portions for part in self.portions if part.batch == batch)


@dataclass(frozen=True, slots=True)
class OpenedPacks:
    """Packs of one item that are opened on one day.

    Attributes
    ----------
    packs
        How many; each is opened whole.
    """

    item: str
    opened: date
    packs: int


@dataclass(frozen=True, slots=True)
class PackedWeek:
    """All lunches, in the order of the week's own, and the packs opened for them."""

    lunches: tuple[PackedLunch, ...]
    packs: tuple[OpenedPacks, ...]

    def of(self, eater: str) -> tuple[PackedLunch, ...]:
        """Select one eater's lunches, in the order of their days.

        Parameters
        ----------
        eater
            Name of an eater.

        Returns
        -------
        The earliest day first; empty for an eater who has none.
        """
        mine = (lunch for lunch in self.lunches if lunch.eater == eater)
        return tuple(sorted(mine, key=lambda lunch: lunch.day))


def helpings(week: Week, lunch: PackedLunch) -> Iterator[Helping]:
    """List every helping of a larder item in a lunch.

    Parameters
    ----------
    week
        The week.
    lunch
        A packed lunch of it.

    Returns
    -------
    What goes in always, then the options chosen, then the extras, each with all its amount.

    Raises
    ------
    KeyError
        When the lunch names a dish, choice, option or extra that the week has not.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> lunch = PackedLunch("Ilse", week.days[0], "Rice, beans and apple", (), {}, {})
    >>> [helping.item for helping in helpings(week, lunch)]
    ['apple']
    """
    dish = week.dishes[lunch.dish]
    yield from dish.goes_in
    for choice, item in lunch.options.items():
        by_item = {option.item: option for option in week.choices[choice].options}
        yield by_item[item]
    extras = {extra.helping.item: extra.helping for extra in dish.extras}
    for item, times in lunch.extras.items():
        if times:
            yield Helping(item, extras[item].amount * times)
