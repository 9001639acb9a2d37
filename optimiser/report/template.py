"""HTML by Jinja2: every value is escaped, a name that is missing is an error."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from models.words.text import isolated

if TYPE_CHECKING:
    from jinja2 import Environment


def filled(template: str, /, room: str = __package__, **values: Any) -> str:
    """Fill a template of a room; those that stand beside this module are there for every room.

    Parameters
    ----------
    template
        Its file.
    room
        The package in whose folder `templates` it stands.
    values
        What it names; text is escaped where it goes into the page.

    Returns
    -------
    str
        What the template gives, ended by a line break.

    Raises
    ------
    jinja2.UndefinedError
        When it names what is not among the values.

    Examples
    --------
    >>> from optimiser import freezer
    >>> from optimiser.report.listing import listing_of
    >>> filled("listing.html", list=listing_of(freezer("minimal")), name="A & B").count("A &amp; B")
    2
    """
    return _environment(room).get_template(template).render(**values) + "\n"


@lru_cache
def _environment(room: str) -> Environment:
    from jinja2 import ChoiceLoader, Environment, PackageLoader, StrictUndefined  # noqa: PLC0415

    return Environment(
        loader=ChoiceLoader([PackageLoader(name) for name in dict.fromkeys((room, __package__))]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_finished,
    )


def _finished(value: Any) -> Any:
    # What is marked as HTML is no name.
    return isolated(value) if type(value) is str else value
