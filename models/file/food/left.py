"""What of a batch is cooked, frozen and gone, of this week or an earlier one."""

from __future__ import annotations

from dataclasses import replace

from models.file.food.shared import FoodReader
from models.file.food.yields import portions_of
from models.file.food_entries import BatchEntry
from models.file.freezing import as_frozen
from models.week.cook import cooked_in
from models.week.week import Batch


def as_cooked(reader: FoodReader, batch: Batch, entry: BatchEntry) -> Batch:
    """Cook as many portions as the file says; set apart what is frozen and what is gone.

    Parameters
    ----------
    reader
        File and tables.
    batch
        The batch in the yield of its recipe.
    entry
        What the file says of it.

    Returns
    -------
    A copy in whole portions, what is gone of them among these and counted in `gone`.

    Raises
    ------
    InputError
        When more is frozen or gone than there is.

    Examples
    --------
    >>> from models.file.every_fault import every_fault
    >>> from models.file.reading import ready_text
    >>> text = ready_text("minimal").replace("yield:", "cook: 800 g, gone: 1, yield:")
    >>> pot = every_fault("mine.yaml", text)[0].batches["rice and beans"]
    >>> pot.portions, pot.gone
    (4, 1)
    """
    if entry.cook is not None:
        batch = cooked_in(batch, portions_of(reader, batch.name, entry, "cook", entry.cook))
    if entry.earlier:
        frozen = 0 if entry.frozen is None else entry.frozen[1]
        return _earlier(reader, batch, frozen, entry.gone[1])
    batch = replace(batch, gone=_gone(reader, batch, entry.gone[1]))
    return as_frozen(batch, entry, reader.days, reader.faults)


def _earlier(reader: FoodReader, batch: Batch, frozen: int, gone: int) -> Batch:
    """Say what is left of a batch of an earlier week: what is frozen, what is still good."""
    path, entry = ("batches", batch.name), reader.entry.batches[batch.name]
    frozen += sum(lot.portions[1] for lot in entry.frozen_later)
    why = ""
    if batch.made >= reader.days[0]:
        why = f"this one begins on {reader.days[0]}"
    elif entry.made is None:
        why = "when it was made is not said"
    if why:
        raise reader.faults.at(
            (*path, "earlier"),
            f"{batch.name!r} is of an earlier week, and {why}",
            "Write under 'made' the date that is on its label.",
            hangs_on="" if entry.made is None else "days",
        )
    if _gone(reader, batch, gone) + frozen > batch.portions:
        raise reader.faults.at(
            (*path, "frozen"),
            f"{frozen} are frozen and {gone} gone, and there were {batch.portions} of "
            f"{batch.name!r}",
            "Mend 'frozen' or 'gone'.",
        )
    if batch.use_by < reader.days[0]:
        # What was kept in the fridge is past its date.
        gone = batch.portions - frozen
    # What is in the freezer has its room there.
    room = 0 if entry.freezes is False else frozen
    batch = replace(batch, freezer=room, freezer_takes_all=False, gone=gone, whole=None)
    return as_frozen(batch, entry, reader.days, reader.faults)


def _gone(reader: FoodReader, batch: Batch, gone: int) -> int:
    """Refuse that more is gone than there was."""
    if gone > batch.portions:
        raise reader.faults.at(
            ("batches", batch.name, "gone"),
            f"{gone} are gone, and there were {batch.portions} of {batch.name!r}",
            "Mend 'gone'.",
        )
    return gone
