"""What goes with an eater, a batch, a dish or a box that is left out of a week file.

A file names a thing in more places than one: a dish takes its batch, an eater carries a box. Who
leaves one out means all that cannot be without it; what can be without it stays.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from models.file.editing import Path
from models.week.week import Week
from models.words.errors import spelt


@dataclass(frozen=True, slots=True)
class Leaving:
    """What is taken out of a week file.

    Attributes
    ----------
    paths
        Keys that lead to each place.
    dishes
        The dishes that go because they cannot be without it.
    """

    paths: tuple[Path, ...]
    dishes: tuple[str, ...] = ()


def leaving_eater(week: Week, name: str) -> Leaving:
    """Say what goes with who eats no more.

    Parameters
    ----------
    week
        The week.
    name
        An eater of it.

    Returns
    -------
    Days off and elsewhere, wishes and what was eaten lately.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> leaving_eater(read_week("family"), "Noor").paths
    (('eaters', 'Noor'), ('no_lunch', 0))
    """
    data = week.source.as_json()
    wishes = (("wishes", at) for at, wish in enumerate(week.wishes) if wish.eater == name)
    of_days = (
        (key, at)
        for key in ("no_lunch", "elsewhere")
        for at, entry in enumerate(data.get(key) or ())
        if _is(entry.get("eater"), name)
    )
    lately = (("lately", key) for key in data.get("lately") or () if _is(key, name))
    questions = _questions(data, "floors", name)
    return Leaving((("eaters", name), *of_days, *wishes, *lately, *questions))


def leaving_batch(week: Week, name: str) -> Leaving:
    """Say what goes with a batch that is not cooked.

    Parameters
    ----------
    week
        The week.
    name
        A batch of it.

    Returns
    -------
    The dishes that take at least some of it, with all that names them; others take it no more.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> leaving_batch(read_week("starter"), "lentil curry").dishes
    ('Curry with flatbread', 'Curry on grain')
    """
    data = week.source.as_json()
    takers = [dish for dish in week.dishes.values() if name in {take.batch for take in dish.takes}]
    gone = needing(week, name)
    others: Iterator[Path] = (
        ("dishes", dish.name, "takes", key)
        for dish in takers
        if dish.name not in gone
        for key in data["dishes"][dish.name]["takes"]
        if _is(key, name)
    )
    along = [path for dish in gone for path in _of_dish(week, data, dish)]
    kinds = _kinds(week, data, gone)
    paths = (("batches", name), *others, *along, *kinds, *_questions(data, "yield", name))
    return Leaving(tuple(dict.fromkeys(paths)), gone)


def needing(week: Week, batch: str) -> tuple[str, ...]:
    """Name the dishes that cannot be without a batch.

    Parameters
    ----------
    week
        The week.
    batch
        A batch of it.

    Returns
    -------
    Those that take at least one portion.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> needing(read_week("minimal"), "rice and beans")
    ('Rice, beans and cheese', 'Rice, beans and apple')
    """
    return tuple(
        dish.name
        for dish in week.dishes.values()
        if any(take.batch == batch and take.least for take in dish.takes)
    )


def leaving_dish(week: Week, name: str) -> Leaving:
    """Say what goes with a dish that is not served.

    Parameters
    ----------
    week
        The week.
    name
        A dish of it.

    Returns
    -------
    Who likes it, wishes for it, that another is the same, its kind where no other has it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> leaving_dish(read_week("starter"), "Curry with flatbread").paths
    (('dishes', 'Curry with flatbread'), ('eaters', 'Me', 'likes', 'Curry with flatbread'))
    """
    data = week.source.as_json()
    return Leaving((*_of_dish(week, data, name), *_kinds(week, data, [name])), (name,))


def _of_dish(week: Week, data: dict[str, Any], name: str) -> Iterator[Path]:
    yield ("dishes", name)
    yield from (
        ("eaters", eater, "likes", key)
        for eater, entry in data["eaters"].items()
        for key in (entry or {}).get("likes") or ()
        if _is(key, name)
    )
    yield from (
        ("lately", eater, at)
        for eater, dishes in (data.get("lately") or {}).items()
        for at, dish in enumerate(dishes)
        if _is(dish, name)
    )
    yield from (("wishes", at) for at, wish in enumerate(week.wishes) if wish.dish == name)
    yield from (
        ("dishes", other, "same_as")
        for other, entry in data["dishes"].items()
        if other != name and _is((entry or {}).get("same_as"), name)
    )


def _kinds(week: Week, data: dict[str, Any], gone: Sequence[str]) -> Iterator[Path]:
    """Find kinds that may not follow others and that no dish has any more."""
    kept = {dish.kind for dish in week.dishes.values() if dish.name not in gone}
    apart = (data.get("variety") or {}).get("kinds_apart") or ()
    for at, entry in enumerate(apart):
        kinds = entry if isinstance(entry, list) else [entry]
        lost = [number for number, kind in enumerate(kinds) if spelt(str(kind), kept) is None]
        if len(lost) == len(kinds):
            yield ("variety", "kinds_apart", at)
        else:
            yield from (("variety", "kinds_apart", at, number) for number in lost)


def leaving_box(week: Week, name: str) -> Leaving:
    """Say what goes with a box that nobody carries any more.

    Parameters
    ----------
    week
        The week.
    name
        A box of it.

    Returns
    -------
    Who carries it.

    Examples
    --------
    >>> from models.file.reading import read_week
    >>> leaving_box(read_week("starter"), "lunch box").paths
    (('boxes', 'lunch box'), ('eaters', 'Me', 'box'))
    """
    carried = (
        ("eaters", eater, "box")
        for eater, entry in week.source.as_json()["eaters"].items()
        if _is((entry or {}).get("box"), name)
    )
    return Leaving((("boxes", name), *carried))


def _questions(data: dict[str, Any], key: str, name: str) -> Iterator[Path]:
    """Find the what-ifs that ask of it."""
    for question, entry in (data.get("what_ifs") or {}).items():
        if any(_is(held, name) for held in entry.get(key) or ()):
            yield ("what_ifs", question)


def _is(text: object, name: str) -> bool:
    return isinstance(text, str) and spelt(text, [name]) is not None
