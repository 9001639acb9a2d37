"""The dishes of a week file made plain, and the choices they offer."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import prod

from models.file.entries import DishEntry
from models.file.faults import Faults
from models.file.food.loose import Loose
from models.week.week import Batch, Choice, Dish, Extra, Helping, LarderItem, Take
from models.words.document import Steps
from models.words.units import Quantity, fits, magnitude, sayable

MOST_SERVINGS = 2_000


@dataclass(frozen=True, slots=True)
class DishReader:
    """Reads dishes and choices.

    Attributes
    ----------
    larder
        The items that the file names, which dishes and choices may name.
    """

    faults: Faults
    larder: Mapping[str, LarderItem]
    batches: Mapping[str, Batch]

    def helping(self, name: str, amount: Quantity, path: Steps) -> Helping:
        """Make a helping of a larder item, of whose packs the amount can come.

        Parameters
        ----------
        name
            Of the item.
        amount
            How much of it.
        path
            Keys that lead to the amount.

        Returns
        -------
        In the unit that is written.

        Raises
        ------
        InputError
            When there is no such item, its unit is another, or it is more than 50 packs.
        """
        self.faults.look_up(name, self.larder, path, "larder item")
        item = self.larder[name]
        if not fits(amount, item.unit):
            raise self.faults.at(
                path,
                f"{sayable(amount)} of {name!r} cannot come from a pack of {sayable(item.pack)}",
                f"Say it in {item.unit}s.",
            )
        if magnitude(amount, item.unit) > 50 * magnitude(item.pack, item.unit):
            raise self.faults.at(
                path, f"{sayable(amount)} is more than 50 packs", "Check the amount and the pack."
            )
        return Helping(name, amount)

    def choice(self, name: str, entries: list[dict[str, Quantity]]) -> Choice:
        """Make a choice of its options.

        Parameters
        ----------
        name
            Of the choice.
        entries
            Its options, each a mapping of one item to its amount.

        Returns
        -------
        Options in the order of the file.

        Raises
        ------
        InputError
            When there is no option, one twice, or one that cannot be.
        """
        path = ("choices", name)
        options = []
        for at, entry in enumerate(entries):
            ((item, amount),) = entry.items()
            options.append(self.helping(item, amount, (*path, at, item)))
        if not options:
            raise self.faults.at(
                path, "this choice has no options", "Add lines like '- apple: 1 piece'."
            )
        if len({option.item for option in options}) < len(options):
            raise self.faults.at(path, "the same item is offered twice", "Offer each item once.")
        return Choice(name, tuple(options))

    def dish(
        self, name: str, entry: DishEntry, choices: Mapping[str, Choice], loose: Loose
    ) -> Dish:
        """Make a dish of its entry; `loose` holds what it lists of the food table.

        Parameters
        ----------
        name
            Of the dish.
        entry
            What the file says of it.
        choices
            All choices of the file, by name.
        loose
            What dishes list of the food table.

        Returns
        -------
        What it lists of the food table goes in after the items that it names.

        Raises
        ------
        InputError
            When it names what is not there, or ranges make more than `MOST_SERVINGS` servings.
        """
        path = ("dishes", name)
        takes = tuple(
            self.take(batch, low, high, (*path, "takes", batch))
            for batch, (low, high) in entry.takes.items()
        )
        servings = prod(take.most - take.least + 1 for take in takes)
        if servings > MOST_SERVINGS:
            raise self.faults.at(
                (*path, "takes"),
                f"these ranges make {servings} different servings",
                f"Narrow them to {MOST_SERVINGS} or fewer.",
            )
        for at, choice in enumerate(entry.choices):
            self.faults.look_up(choice, choices, (*path, "choices", at), "choice")
        if len(set(entry.choices)) < len(entry.choices):
            raise self.faults.at((*path, "choices"), "a choice is named twice", "Name each once.")
        return Dish(
            name=name,
            kind=entry.kind or name,
            takes=takes,
            goes_in=(
                *(
                    self.helping(item, amount, (*path, "goes_in", item))
                    for item, amount in entry.goes_in.items()
                ),
                *loose.helpings.get(name, ()),
            ),
            choices=tuple(entry.choices),
            extras=tuple(
                Extra(self.helping(item, extra.portion, (*path, "extras", item)), extra.most)
                for item, extra in entry.extras.items()
            ),
            minutes=entry.minutes,
            microwave=entry.microwave,
            most=entry.most,
            recipe=loose.recipes.get(name),
            same_as=entry.same_as or "",
        )

    def take(self, batch: str, low: int, high: int, path: Steps) -> Take:
        """Make what a dish takes of a batch, of which there has to be as much at the least.

        Parameters
        ----------
        batch
            Name of the batch.
        low, high
            Least and most whole portions, as written.
        path
            Keys that lead to the range.

        Returns
        -------
        Its most is cut to what there is; `written` keeps the most as written.

        Raises
        ------
        InputError
            When there is no such batch, or it never comes to `low` portions.
        """
        self.faults.look_up(batch, self.batches, path, "batch")
        portions = self.batches[batch].portions
        # Where less is cooked this once, a dish that needs more just cannot come.
        if low > portions and self.batches[batch].whole is None:
            raise self.faults.at(
                path,
                f"it takes at least {low} of {batch!r}, which comes to {portions} in all: "
                "this dish can never be packed",
                f"Write at most {portions}, or cook more.",
            )
        return Take(batch, low, high, written=high).of(portions)
