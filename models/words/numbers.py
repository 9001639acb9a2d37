"""Numbers as they are printed. Loads no units, so that looking up a food starts fast."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal


def plain(number: Decimal | float, places: int = 1) -> str:
    """Write a number with at most `places` decimals and no trailing zeros.

    Parameters
    ----------
    number
        The number.
    places
        Decimals at the most.

    Examples
    --------
    >>> plain(2.50), plain(Decimal("0.125"), 2), plain(3)
    ('2.5', '0.12', '3')
    """
    exact = Decimal(str(number)) if isinstance(number, float) else number
    text = f"{exact:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def counted(number: int, word: str) -> str:
    """Write how many there are of something: "1 day", "3 pieces".

    Parameters
    ----------
    number
        How many.
    word
        What, in one; an "s" makes it many.

    Examples
    --------
    >>> counted(1, "day"), counted(3, "piece")
    ('1 day', '3 pieces')
    """
    return f"{number} {word if number == 1 else word + 's'}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Join words into a list as it is read: "pork, beef and lamb".

    Parameters
    ----------
    words
        The words.
    last
        What stands before the last of them.

    Examples
    --------
    >>> listed(["pork", "beef", "lamb"], "or")
    'pork, beef or lamb'
    """
    return f" {last} ".join([*([", ".join(words[:-1])] if words[:-1] else []), *words[-1:]])
