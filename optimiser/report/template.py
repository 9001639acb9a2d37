"""HTML by Jinja2: every value is escaped, a name that is missing is an error."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from models.words.text import isolated

if TYPE_CHECKING:
    from jinja2 import Environment


def filled(template: str, /, **values: Any) -> str:
    """Fill one of the templates that stand beside this module.

    Parameters
    ----------
    template
        Its file.
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
    return _environment().get_template(template).render(**values) + "\n"


@lru_cache(maxsize=1)
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # noqa: PLC0415

    return Environment(
        loader=PackageLoader("optimiser.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_finished,
    )


def _finished(value: Any) -> Any:
    # What is marked as HTML is no name.
    return isolated(value) if type(value) is str else value
