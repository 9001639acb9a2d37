"""How text is laid out: 80 columns, colour only where a terminal shows it."""

from __future__ import annotations

import io

from rich.console import Console, Group, RenderableType
from rich.table import Table
from rich.text import Text

from models.words.text import isolated

WIDTH = 80
LABEL = "dim"
UNNAMED = "Lunches to pack"
"""Heads what is printed of a week without a name."""
MOST_GLUED = 24
_GLUE = "\ue000"


def glued(text: str) -> str:
    r"""Keep a few words on one line, where they fit into the narrowest column.

    Rich would break at a no-break space too.

    Parameters
    ----------
    text
        Words that belong together.

    Returns
    -------
    str
        As it was where longer than `MOST_GLUED`; else with marks for its spaces, of which
        `rendered` makes spaces again.

    Examples
    --------
    >>> rendered([Text(glued("Mon 30 Nov"))])
    'Mon 30 Nov\n'
    """
    return text.replace(" ", _GLUE) if len(text) <= MOST_GLUED else text


def unglued(text: str, space: str = "\N{NO-BREAK SPACE}") -> str:
    """Put spaces where words were glued.

    Parameters
    ----------
    text
        What may hold marks for spaces.
    space
        What is put there.

    Returns
    -------
    str
        Fit for a browser, unless another space is asked for.

    Examples
    --------
    >>> unglued(glued("Mon 30 Nov"), " ")
    'Mon 30 Nov'
    """
    return text.replace(_GLUE, space)


def rendered(parts: list[RenderableType], *, colour: bool = False, width: int = WIDTH) -> str:
    r"""Render to text; without `colour` there is no escape sequence in it.

    Parameters
    ----------
    parts
        What to print, one below the other.
    colour
        Whether to colour it.
    width
        Columns of the terminal.

    Returns
    -------
    str
        Lines wrapped at `width`, without spaces at their ends, each ended by a line break.

    Examples
    --------
    >>> rendered([Text("pea soup")])
    'pea soup\n'
    """
    stream = io.StringIO()
    console = Console(
        file=stream,
        width=width,
        force_terminal=colour,
        color_system="standard" if colour else None,
        highlight=False,
        markup=False,
        emoji=False,
        legacy_windows=False,
    )
    for part in parts:
        console.print(part)
    lines = unglued(stream.getvalue(), " ").split("\n")
    return isolated("\n".join(line.rstrip() for line in lines))


def beside(
    label: str, body: RenderableType, *, width: int = 12, style: str = LABEL
) -> RenderableType:
    """Set a label beside a body, or above it where it is too long for that.

    Parameters
    ----------
    label
        What stands at the left.
    body
        What stands at its right.
    width
        Columns of the label.
    style
        Of the label, in Rich's words.

    Returns
    -------
    RenderableType
        For `rendered`; the body is wrapped to what the label leaves of the width.

    Examples
    --------
    >>> print(rendered([beside("left over", Text("nothing"))]), end="")
    left over    nothing
    """
    if len(label) > width:
        return Group(Text(label, style=style), beside("", body, width=width))
    table = Table.grid(padding=(0, 1, 0, 0))
    table.add_column(width=width, overflow="fold", style=style)
    table.add_column(ratio=1, overflow="fold")
    table.expand = True
    table.add_row(Text(label), body)
    return table


def words(*parts: str | tuple[str, str]) -> Text:
    """Join plain and styled pieces of text.

    Parameters
    ----------
    parts
        Text, or text with a style in Rich's words.

    Returns
    -------
    Text
        One run of text, without spaces between the pieces.

    Examples
    --------
    >>> words(("Pea soup", "bold"), ", 6 portions").plain
    'Pea soup, 6 portions'
    """
    return Text.assemble(*parts)
