"""A stranger's text put where it could be more than text: Markdown, CSV."""

from __future__ import annotations

import re

_MARKS = re.compile(r"([\\`*_\[\]<>|~])")
_FIRST = re.compile(r"^(#|[+=-]|[0-9]+[.)])")
_BEGINS = ("=", "+", "-", "@", "\t", "\r")


def markdown(text: str) -> str:
    r"""Keep text from being a heading, a link, a tag or a list in Markdown.

    Parameters
    ----------
    text
        A stranger's text.

    Returns
    -------
    str
        One line: white space is one space each, what Markdown would read is escaped.

    Examples
    --------
    >>> print(markdown("*pea* soup"))
    \*pea\* soup
    """
    flat = _MARKS.sub(r"\\\1", " ".join(text.split()))
    # At the beginning of a line these would make a heading or a list.
    return _FIRST.sub(lambda begin: f"{begin[1][:-1]}\\{begin[1][-1]}", flat)


def cell(text: str) -> str:
    """Keep text from being a formula in a spreadsheet; a number stays one.

    Parameters
    ----------
    text
        A stranger's text.

    Returns
    -------
    str
        One line; an apostrophe before what a spreadsheet would reckon.

    Examples
    --------
    >>> cell("=1+1"), cell("-2.5")
    ("'=1+1", '-2.5')
    """
    flat = " ".join(text.split())
    if flat.startswith(_BEGINS) and not re.fullmatch(r"-?[0-9.]+", flat):
        return f"'{flat}"
    return flat
