"""What a dish holds whatever is chosen, and what it may hold besides."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from models.foods.parts import Contents
from models.week.week import Dish, Week
from models.words.allergens import cereals_of


@dataclass(frozen=True, slots=True)
class Held:
    """Allergens of a dish or a lunch.

    Attributes
    ----------
    always
        Groups that are in it however it is packed.
    may
        Further groups that are in it with some choice, extra or amount.
    unsettled
        Foods in it of which nobody has settled the allergens.
    cereals
        Which cereals the gluten is of, as far as known.
    """

    always: frozenset[str]
    may: frozenset[str]
    unsettled: tuple[str, ...]
    cereals: frozenset[str]


def together(contents: Iterable[tuple[str, Contents]]) -> Held:
    """Gather the allergens of foods that are eaten together.

    Parameters
    ----------
    contents
        Name and contents of each.

    Returns
    -------
    All of them as always in it, none as maybe; the unsettled in the order given, each once.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> batches = read_week("starter").batches
    >>> held = together((name, batch.contents) for name, batch in batches.items())
    >>> all(batch.contents.known <= held.always for batch in batches.values())
    True
    """
    foods = list(contents)
    return Held(
        always=frozenset().union(*(held.known for _, held in foods)),
        may=frozenset(),
        unsettled=tuple(dict.fromkeys(name for name, held in foods if held.allergens is None)),
        cereals=cereals_of((held.known, held.cereals) for _, held in foods),
    )


def held_by(week: Week, dish: Dish) -> Held:
    """Gather the allergens of a dish over all the ways it may be packed.

    Parameters
    ----------
    week
        The week.
    dish
        A dish of it.

    Returns
    -------
    Always: what no way of packing is without; maybe: what only some choice, extra or range adds.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> week = read_week("minimal")
    >>> sorted(held_by(week, week.dishes["Rice, beans and cheese"]).always)
    ['milk']
    """
    sure = [(take.batch, week.batches[take.batch].contents) for take in dish.takes if take.least]
    sure += [(helping.item, week.larder[helping.item].contents) for helping in dish.goes_in]
    maybe = [
        (take.batch, week.batches[take.batch].contents) for take in dish.takes if not take.least
    ]
    maybe += [
        (option.item, week.larder[option.item].contents)
        for choice in dish.choices
        for option in week.choices[choice].options
    ]
    maybe += [
        (extra.helping.item, week.larder[extra.helping.item].contents) for extra in dish.extras
    ]
    always, all_of_it = together(sure), together([*sure, *maybe])
    return Held(
        always.always, all_of_it.always - always.always, all_of_it.unsettled, all_of_it.cereals
    )
