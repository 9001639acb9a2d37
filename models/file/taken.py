"""What a week file leaves out, and what was taken in its place: said, so that nobody is misled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from models.file.entries import WeekFile
from models.file.food_entries import BatchEntry
from models.week.week import Batch
from models.words.days import day_name
from models.words.numbers import counted


def taken(entry: WeekFile, batches: Mapping[str, Batch]) -> Iterator[str]:
    """List what was taken where the file says nothing, a sentence each.

    Parameters
    ----------
    entry
        The file.
    batches
        Its batches as they were read.

    Returns
    -------
    Dates first, then batches, then dishes; none where all is said.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> week, _ = every_fault("mine.yaml", ready_text("minimal").replace("made: 2026-11-29, ", ""))
    >>> print(week.taken[0])
    Made the day before the week, Sun 29 Nov, for 'made' is left out: rice and beans.
    """
    yield from _undated(entry, batches)
    for name, batch in entry.batches.items():
        yield from _not_described(name, batch, batches[name])
    yield from _without_nutrition(entry)
    yield from _dishes(entry)


def _undated(entry: WeekFile, batches: Mapping[str, Batch]) -> Iterator[str]:
    undated = [name for name, batch in entry.batches.items() if batch.made is None]
    if undated:
        day = day_name(batches[undated[0]].made)
        yield f"Made the day before the week, {day}, for 'made' is left out: {_list(undated)}."


def _not_described(name: str, entry: BatchEntry, batch: Batch) -> Iterator[str]:
    if entry.not_read:
        lighter = "its portions weigh what the other lines come to, " * (entry.portion is None)
        yield (
            f"{name}: not read yet are {'; '.join(entry.not_read)}. Until then its figures are "
            f"'at least', {lighter if entry.ingredients else ''}its allergens not "
            "known, and it keeps as short as anything cooked."
        )
    if entry.ingredients is None and entry.keeps_as is None and entry.fridge_life is None:
        life = batch.life
        yield (
            f"Nothing says what {name} keeps as, so the shortest life of what is cooked is "
            f"taken: {counted(life.high, 'day')}, as {life.classes[0]}. Write 'keeps_as' or "
            "'ingredients'."
        )


def _without_nutrition(entry: WeekFile) -> Iterator[str]:
    unfed = [
        name
        for name, batch in entry.batches.items()
        if batch.ingredients is None and not batch.nutrition
    ]
    if unfed:
        yield (
            f"What a portion holds is not known, so it counts for no floor: {_list(unfed)}. Write "
            "'ingredients' or 'nutrition'."
        )


def _dishes(entry: WeekFile) -> Iterator[str]:
    unsorted = [name for name, dish in entry.dishes.items() if dish.kind is None]
    if unsorted:
        yield f"Each a kind of its own, for 'kind' is left out: {_list(unsorted)}."
    untimed = [
        name for name, dish in entry.dishes.items() if "minutes" not in dish.model_fields_set
    ]
    if untimed:
        yield f"Counted with no minutes of packing, for 'minutes' is left out: {_list(untimed)}."


def _list(names: Iterable[str]) -> str:
    return ", ".join(names)
