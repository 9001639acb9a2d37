"""Whose published storage times the dates of a week may follow, as file and reports name them."""

from __future__ import annotations

GUIDANCES: dict[str, str] = {
    "us": "United States (USDA FSIS)",
    "uk": "United Kingdom (FSA, NHS, Food Standards Scotland)",
    "strictest": "the shorter of the United States and the United Kingdom",
}
"""Word of the week file to the name in full."""


def at_own_risk(risk: str) -> str:
    """Say, after a date, that it is at the user's own risk; empty where it is not.

    Parameters
    ----------
    risk
        What is published; empty where the dates keep to it.

    Returns
    -------
    The end of a sentence, to stand right behind the date.

    Examples
    --------
    >>> "use by Wed" + at_own_risk("3 days")
    'use by Wed, at your own risk (published: 3 days)'
    """
    return f", at your own risk (published: {risk})" if risk else ""
