"""Numbers as they are printed. Loads no units, so that looking up a food starts fast."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from decimal import Decimal
from typing import TypeVar

Eaten = TypeVar("Eaten")


def plain(number: Decimal | float, places: int = 1) -> str:
    """Write a number with at most `places` decimals and no trailing zeros.

    Parameters
    ----------
    number
        The number.
    places
        Decimals at the most.

    Returns
    -------
    Digits with a point, a sign only below 0, never an exponent.

    Examples
    --------
    >>> plain(2.50), plain(Decimal("0.125"), 2), plain(3)
    ('2.5', '0.12', '3')
    """
    exact = Decimal(str(number)) if isinstance(number, float) else number
    text = f"{exact:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def plural(word: str) -> str:
    """Make one of something many.

    Parameters
    ----------
    word
        A word that forms its plural by rule.

    Returns
    -------
    The word with "es" behind a hiss, else with "s".

    Examples
    --------
    >>> [plural(word) for word in ("day", "piece", "lunch", "dish", "box")]
    ['days', 'pieces', 'lunches', 'dishes', 'boxes']
    """
    return word + ("es" if word.endswith(("ch", "sh", "s", "x")) else "s")


def singular(word: str) -> str:
    """Make many of something one; what ends otherwise than `plural` does is left as it is.

    Parameters
    ----------
    word
        A word that forms its plural by rule, in the plural.

    Returns
    -------
    The word without its "es" or "s".

    Examples
    --------
    >>> [singular(word) for word in ("days", "pieces", "lunches", "g")]
    ['day', 'piece', 'lunch', 'g']
    """
    if word.endswith(("ches", "shes", "sses", "xes")):
        return word[:-2]
    return word.removesuffix("s")


def counted(number: float, word: str) -> str:
    """Write how many there are of something: "1 day", "3 pieces".

    Parameters
    ----------
    number
        How many.
    word
        What, in one.

    Returns
    -------
    Number and word; the word in one only for exactly 1.

    Examples
    --------
    >>> counted(1, "day"), counted(3, "piece"), counted(0, "lunch")
    ('1 day', '3 pieces', '0 lunches')
    """
    return f"{number} {word if number == 1 else plural(word)}"


def spell(minutes: int) -> str:
    """Write minutes as a cook says them: 1 h 25 min.

    Parameters
    ----------
    minutes
        How many.

    Returns
    -------
    Hours and minutes, each left out where it is 0, but for "0 min".

    Examples
    --------
    >>> spell(85), spell(60), spell(0)
    ('1 h 25 min', '1 h', '0 min')
    """
    hours, rest = divmod(minutes, 60)
    return (
        " ".join(
            part for part in (f"{hours} h" if hours else "", f"{rest} min" if rest else "") if part
        )
        or "0 min"
    )


def keeping(days: int) -> str:
    """Say how long something keeps: "keeps 3 days"; of none: "is eaten the same day".

    Parameters
    ----------
    days
        How many.

    Returns
    -------
    A part of a sentence that lacks its subject.

    Examples
    --------
    >>> keeping(1), keeping(0)
    ('keeps 1 day', 'is eaten the same day')
    """
    return f"keeps {counted(days, 'day')}" if days else "is eaten the same day"


def listed(words: Sequence[str], last: str = "and") -> str:
    """Join words into a list as it is read: "pork, beef and lamb".

    Parameters
    ----------
    words
        The words.
    last
        What stands before the last of them.

    Returns
    -------
    One word as it is; empty for no words.

    Examples
    --------
    >>> listed(["pork", "beef", "lamb"], "or")
    'pork, beef or lamb'
    """
    return f" {last} ".join([*([", ".join(words[:-1])] if words[:-1] else []), *words[-1:]])


def in_numbers(
    lunches: Iterable[Eaten],
    group: Callable[[Eaten], str],
    same: Callable[[Eaten], Hashable],
) -> list[tuple[Eaten, str, int]]:
    """Take lunches of a group that are the same as one, with how many there are.

    Parameters
    ----------
    lunches
        Lunches of any kind.
    group
        Gives the group of one; empty where its eater has an entry of their own.
    same
        Gives what it has to share with another to be the same, its day and group among it.

    Returns
    -------
    list of tuple of Lunch, str and int
        The first of each, who eats it ("9 x Office"; empty without a group), and how many do, in
        their order.

    Examples
    --------
    >>> in_numbers(["soup", "pie", "soup"], lambda lunch: "Office", lambda lunch: lunch)
    [('soup', '2 x Office', 2), ('pie', '1 x Office', 1)]
    >>> in_numbers(["soup", "soup"], lambda lunch: "", lambda lunch: lunch)
    [('soup', '', 1), ('soup', '', 1)]
    """
    counts: dict[Hashable, int] = {}
    first: list[tuple[Eaten, Hashable]] = []
    for at, lunch in enumerate(lunches):
        key = same(lunch) if group(lunch) else at
        if key not in counts:
            first.append((lunch, key))
        counts[key] = counts.get(key, 0) + 1
    return [
        (lunch, f"{counts[key]} x {group(lunch)}" if group(lunch) else "", counts[key])
        for lunch, key in first
    ]
