"""What gives way where no week keeps every rule: what it is called, and in which order."""

from __future__ import annotations

from dataclasses import dataclass

from models.words.numbers import plain

BOUGHT, FLOORS, WISHES, VARIETY = "bought", "floors", "wishes", "variety"


@dataclass(frozen=True, slots=True)
class GivingLevel:
    """How much of one thing gives way: its title in a report, what is counted, and one of that."""

    title: str
    unit: str
    single: str

    def amount(self, value: float) -> str:
        """Write how much, with its unit.

        Parameters
        ----------
        value
            How many of its unit.

        Returns
        -------
        str
            To one decimal.

        Examples
        --------
        >>> LEVELS[BOUGHT].amount(2), LEVELS[VARIETY].amount(1), LEVELS[FLOORS].amount(12.5)
        ('2 lunches', '1 time', '12.5 %')
        """
        return f"{plain(value)} {self.single if value == 1 else self.unit}"


LEVELS = {
    BOUGHT: GivingLevel("to buy", "lunches", "lunch"),
    FLOORS: GivingLevel("short of floors", "%", "%"),
    WISHES: GivingLevel("not granted", "wishes", "wish"),
    VARIETY: GivingLevel("variety given up", "times", "time"),
}
"""Each as little as can be, in this order: so what gives way first comes last."""

A_BOUGHT_LUNCH = "a bought lunch"
"""What stands in the place of a dish where nothing is packed."""

NOT_ASKED = "not looked for, as rules give way already"
"""What becomes of a wish that counts only in weeks that keep every rule."""

BUY = "buy one, or go without"
"""What a cook does about a lunch for which nothing is packed."""
