"""The page for the phone and the fridge door: one HTML file that needs nothing from elsewhere.

Text of a week file is escaped by the template; the script reads what stands on the page.
The policy in the page names the style and the script by their digests: no other ever runs.
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Iterator
from importlib import resources
from typing import Any

from models.answers.page import PageFile
from models.answers.plan import PlanFile
from models.answers.prep import PrepDay
from models.words.days import day_name
from models.words.numbers import counted, keeping
from models.words.text import ISOLATES
from optimiser.report import prep as prep_report
from optimiser.report import shop as shop_report
from optimiser.report.console import UNNAMED, unglued
from optimiser.report.days import WIDTH, bought, cooking, days
from optimiser.report.labels import guidance, lines, title
from optimiser.report.listing import Listing, listing_of
from optimiser.report.numbers import names_of
from optimiser.report.phrases import (
    left_over_said,
    money,
    several_eat,
    stock_said,
    totals_said,
)
from optimiser.report.sheet import sheet
from optimiser.report.template import filled
from optimiser.report.verdicts import whys
from optimiser.report.volumes import volumes

NO_REST = 0.05
"""What is over of a pack and less than this is nothing."""


def html(page: PageFile) -> str:
    """Write the page.

    Parameters
    ----------
    page
        What it shows.

    Returns
    -------
    str
        A whole HTML page with style and script inside, ended by a digest and a line break; it
        loads nothing.

    Examples
    --------
    >>> from optimiser import page
    >>> written = html(page("minimal", sliders=False, verdicts=False))
    >>> written[:15], written.count('src="'), written.count("<link")
    ('<!DOCTYPE html>', 0, 0)
    """
    css, js = _css("palette.css", "sheet.css", "screen.css", "page.css"), _file("page.js")
    plan, shop = page.plan, page.shop
    filled_in = filled(
        "page.html",
        **_sheet(page),
        css=_raw(css),
        js=_raw(js),
        css_hash=_digest(css),
        js_hash=_digest(js),
        span=_span(plan),
        id=hashlib.sha256(plan.model_dump_json().encode()).hexdigest()[:16],
        last=plan.days[-1].isoformat(),
        bar=WIDTH,
        days=list(days(page)),
        left=left_said(plan),
        rests=_rests(page),
        shop=list(_shop(page)),
        pay=shop_report.cost(shop),
        bought=_bought(page),
        trips=shop_report.trips(shop),
        little=shop_report.little(shop),
        there=shop_report.there(shop),
        to_taste=shop_report.to_taste(shop),
        no_amount=shop_report.NO_AMOUNT,
        unlisted=shop.unlisted,
        prep=[_prep(page, day) for day in cooking(page)],
        guidance=guidance(page.labels),
        labels=[
            {"title": title(label), "lines": list(lines(label)), "frozen": label.where == "freezer"}
            for label in page.labels.labels
        ],
        lists=_lists(page),
        volumes=list(volumes(page)),
        verdict=verdict(plan),
        totals=_totals(page),
        whys=list(whys(page)),
        cautions=plan.cautions,
        index=list(_index(page)),
    )
    return signed(_bdi(unglued(filled_in)))


def sheet_html(page: PageFile) -> str:
    """Write the one sheet to print.

    Parameters
    ----------
    page
        What it shows.

    Returns
    -------
    str
        A whole HTML page with its style inside and no script, ended by a digest and a line break.

    Examples
    --------
    >>> from optimiser import page
    >>> written = sheet_html(page("minimal", sliders=False, verdicts=False))
    >>> written.count("<script"), written.count("Rice, beans and apple")
    (0, 2)
    """
    css = _css("palette.css", "sheet.css")
    return signed(_bdi(filled("print.html", **_sheet(page), css=_raw(css), css_hash=_digest(css))))


def _sheet(page: PageFile) -> dict[str, Any]:
    plan = page.plan
    eaters = names_of(plan) if several_eat(plan) else []
    # A group has several lunches a day, which do not stand side by side.
    few = " few" if len(eaters) <= 4 and not plan.groups else ""
    drawn = sheet(page)
    return {
        "title": plan.name or UNNAMED,
        "dates": f"{_span(plan)} {plan.days[-1].year}",
        "eaters": eaters,
        "sheet": drawn,
        "sheet_class": (f" several{few} of-{len(eaters)}" if eaters else "")
        + f" {drawn['size']}".rstrip(),
    }


def _span(plan: PlanFile) -> str:
    return f"{day_name(plan.days[0])} to {day_name(plan.days[-1])}"


def _index(page: PageFile) -> Iterator[dict[str, str]]:
    """Name the parts of the page, each with what one wants to know of it."""
    plan = page.plan
    yield {"id": "week", "name": "The week", "fact": _span(plan)}
    yield {"id": "to-buy", "name": "To buy", "fact": _bought(page)}
    prepared = cooking(page)
    if prepared:
        name = "Prep day" if len(prepared) == 1 else "Prep days"
        yield {"id": "prep", "name": name, "fact": ", ".join(day_name(d.date) for d in prepared)}
    yield {"id": "tubs", "name": "Tubs", "fact": str(len(page.labels.labels))}
    for at, listing in enumerate(_lists(page), start=1):
        rows = str(len(listing.rows))
        yield {"id": f"list-{at}", "name": listing.title.capitalize(), "fact": rows}
    if page.sliders:
        yield {"id": "what-if", "name": "What if", "fact": "more or less of a batch"}
    proven = "proven best" if plan.status == "optimal" else "not proven"
    yield {"id": "why", "name": "Why", "fact": proven}
    left = f"{plan.left_over.grams:.0f} g" if plan.left_over.grams else "nothing"
    yield {"id": "left", "name": "Left over", "fact": left}
    yield {"id": "cautions", "name": "Cautions", "fact": str(len(plan.cautions))}


def _bought(page: PageFile) -> str:
    """Say how many things are on the list, and what they come to where anything has a price."""
    shop = page.shop
    things = counted(sum(len(part.lines) for part in shop_report.worth(shop)), "thing")
    return f"{things}, {money(shop.currency, shop_report.to_pay(shop))}" if shop.cost else things


def _totals(page: PageFile) -> str:
    """Say what the week uses, and beside it what is paid for whole packs."""
    shop, totals = page.shop, f"{totals_said(page.plan)}."
    if not shop.cost or not page.plan.totals["cost"]:
        return totals
    paid = money(shop.currency, shop_report.to_pay(shop))
    return f"{totals} That is what the lunches use; the packs to buy, whole, come to {paid}."


def _lists(page: PageFile) -> list[Listing]:
    return [listing for listing in map(listing_of, page.lists) if listing.rows]


_ISOLATED = re.compile(f"{ISOLATES[0]}([^{ISOLATES[1]}]*){ISOLATES[1]}")
_TITLE = re.compile(r"(<(?:title|style|script)\b.*?</(?:title|style|script)>|<[^>]*>)", re.DOTALL)


def _bdi(text: str) -> str:
    """Isolate names that run from right to left by elements; where none may stand, by letters."""
    parts = _TITLE.split(text)
    parts[::2] = [_ISOLATED.sub(r"<bdi>\1</bdi>", part) for part in parts[::2]]
    return "".join(parts)


def text(page: PageFile, *, colour: bool = False, width: int = 80, on_paper: bool = False) -> str:
    """Write the page as HTML, which has colours and a width of its own.

    Parameters
    ----------
    page
        What it shows.
    colour, width
        Of a terminal; not used.
    on_paper
        Whether to write the one sheet alone.

    Returns
    -------
    str
        A whole HTML page, ended by a digest and a line break.

    Examples
    --------
    >>> from optimiser import page
    >>> answer = page("minimal", sliders=False, verdicts=False)
    >>> text(answer, on_paper=True) == sheet_html(answer)
    True
    """
    return sheet_html(page) if on_paper else html(page)


DIGEST = "<!-- clearfridge "


def signed(text: str) -> str:
    """Put a digest of a page at its end, by which a later writing knows it for its own.

    Parameters
    ----------
    text
        The page.

    Returns
    -------
    str
        The page, then a comment with 32 hexadecimal digits of SHA-256 and a line break.

    Examples
    --------
    >>> is_ours(signed("<p>pea soup</p>"))
    True
    """
    return f"{text}{DIGEST}{hashlib.sha256(text.encode()).hexdigest()[:32]} -->\n"


def is_ours(text: str) -> bool:
    """Tell whether a file is a page of this program that nobody has changed since.

    Parameters
    ----------
    text
        What stands in the file.

    Returns
    -------
    bool
        False too where it bears no digest.

    Examples
    --------
    >>> from optimiser import page
    >>> written = sheet_html(page("minimal", sliders=False, verdicts=False))
    >>> is_ours(written), is_ours(written.replace("apple", "pear"))
    (True, False)
    """
    body, mark, _ = text.rpartition(DIGEST)
    return bool(mark) and signed(body) == text


def _file(name: str) -> str:
    place = resources.files("optimiser.report") / "templates" / name
    return place.read_text(encoding="utf-8")


def _raw(text: str) -> Any:
    from markupsafe import Markup  # noqa: PLC0415

    return Markup(text)  # noqa: S704 - a file of the program's own


def _digest(text: str) -> str:
    digest = hashlib.sha256(text.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def _css(*names: str) -> str:
    return "".join(map(_file, names))


def verdict(plan: PlanFile) -> str:
    """Say what a plan leaves over, whether it is proven, and what gives way in it.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        Sentences.

    Examples
    --------
    >>> from optimiser import plan
    >>> verdict(plan("minimal", reasons=False))
    'Nothing is left over. Proven the best week.'
    """
    if plan.left_over.grams == 0:
        left = "Nothing is left over"
    else:
        left = f"Left over: {left_over_said(plan)}"
    proof = "Proven the best week." if plan.status == "optimal" else "Not proven."
    gives = bought(plan)
    given = f" No week keeps every rule; in this one: {'; '.join(gives)}." if gives else ""
    return f"{left}. {proof}{given}"


def left_said(plan: PlanFile) -> str:
    """Say what is left over, and what stays in the freezer.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    str
        One or two sentences.

    Examples
    --------
    >>> from optimiser import plan
    >>> left_said(plan("minimal", reasons=False))
    'Nothing is left over.'
    """
    left = f"{left_over_said(plan)}." if plan.left_over.grams else "Nothing is left over."
    stock = stock_said(plan)
    return f"{left} {stock}." if stock else left


def _rests(page: PageFile) -> dict[str, list[str]]:
    """Say what is over of packs: what spoils by how long it keeps, and what does not."""
    over = [
        line
        for part in shop_report.worth(page.shop)
        for line in part.lines
        if line.rest > NO_REST and line.packs
    ]
    spoils = sorted(
        (line.keeps, f"{shop_report.amount_of(line, line.rest)} {line.name}")
        for line in over
        if line.keeps is not None
    )
    return {
        "spoil": [f"{what}: once opened it {keeping(days)}" for days, what in spoils],
        "keep": [
            f"{shop_report.amount_of(line, line.rest)} {line.name}"
            for line in over
            if line.keeps is None
        ],
    }


# -- prep day ------------------------------------------------------------------------


def _prep(page: PageFile, day: PrepDay) -> dict[str, Any]:
    summary = prep_report.summary(day)
    return {
        "id": f"prep-{day.date.isoformat()}",
        "title": day_name(day.date),
        "summary": summary[:1].upper() + summary[1:],
        "freeze": next(shown["freeze"] for shown in days(page) if shown["date"] == str(day.date)),
        "steps": [
            {
                "begins": prep_report.begins(day, step),
                "lasts": prep_report.lasts(step),
                "what": prep_report.work(step),
                "using": prep_report.using(step),
            }
            for step in day.steps
        ],
        "chart": _picture(prep_report.as_svg(day)) if day.steps else "",
        "without": prep_report.without_steps(day),
        "apart": prep_report.kept_apart(day),
        "cautions": day.cautions,
    }


def _picture(drawing: str) -> str:
    return f"data:image/svg+xml;base64,{base64.b64encode(drawing.encode()).decode()}"


# -- shopping ------------------------------------------------------------------------


def _shop(page: PageFile) -> Iterator[dict[str, Any]]:
    currency = page.shop.currency
    for part in shop_report.worth(page.shop):
        yield {
            "part": part.part[:1].upper() + part.part[1:],
            "lines": [
                {
                    "id": f"buy-{hashlib.sha256(line.name.encode()).hexdigest()[:12]}",
                    "buy": shop_report.buy(line),
                    "name": shop_report.name(line),
                    "price": "" if line.cost is None else money(currency, line.cost),
                    "why": shop_report.why(line) + shop_report.apart(page.shop, line),
                }
                for line in part.lines
            ],
        }
