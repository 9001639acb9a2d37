"""The page for the phone and the fridge door: one HTML file that needs nothing from elsewhere.

Text of a week file is escaped by the template; what the script reads is JSON in a data block.
The policy in the page names the style and the script by their digests: no other ever runs.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Iterator
from importlib import resources
from typing import Any

from models.answers.pack import Card
from models.answers.page import PageFile, Slider, Volume
from models.answers.plan import LunchLine, NutrientLine, PlanFile
from models.answers.prep import PrepDay
from models.answers.why import Answer, LunchWhy
from models.words.days import day_name
from models.words.numbers import counted
from models.words.nutrients import NUTRIENTS, printed
from models.words.text import isolated
from optimiser.report import prep as prep_report
from optimiser.report import shop as shop_report
from optimiser.report.chart import svg
from optimiser.report.console import UNNAMED, unglued
from optimiser.report.labels import guidance, lines, title
from optimiser.report.listing import listing_of
from optimiser.report.phrases import (
    bought_said,
    count_of,
    held,
    left_over_said,
    money,
    salted,
    to_do,
    totals_said,
)
from optimiser.report.template import filled

_ORDER = {tag: at for at, tag in enumerate(NUTRIENTS)}
_ON_LABELS = {"ENERC", "FAT", "CHOAVL", "SUGAR", "FIBTG", "PROCNT", "NA"}
"""What is shown of a lunch without a bound: as labels have it, and fibre."""


def html(page: PageFile) -> str:
    """Write the page.

    Parameters
    ----------
    page
        What it shows.
    """
    plan = page.plan
    css, js = _file("page.css"), _file("page.js")
    first, last = plan.days[0], plan.days[-1]
    filled_in = filled(
        "page.html",
        css=_raw(css),
        js=_raw(js),
        css_hash=_digest(css),
        js_hash=_digest(js),
        title=plan.name or UNNAMED,
        dates=f"{day_name(first)} to {day_name(last)} {last.year}",
        note=plan.note,
        verdict=_verdict(page),
        left_over=plan.left_over.grams,
        totals=totals_said(plan),
        todo=[{"day": day_name(day), "text": unglued(text)} for day, text in to_do(plan)],
        lunches=list(_lunches(page)),
        shop=list(_shop(page)),
        pay=shop_report.cost(page.shop),
        there=shop_report.there(page.shop),
        to_taste=shop_report.to_taste(page.shop),
        no_amount=shop_report.NO_AMOUNT,
        unlisted=page.shop.unlisted,
        prep=[_prep(day) for day in page.prep.days if day.steps or not day.possible],
        guidance=guidance(page.labels),
        labels=[
            {"title": title(label), "lines": list(lines(label))} for label in page.labels.labels
        ],
        sliders=[_slider(page, slider) for slider in page.sliders],
        lists=[listing for listing in map(listing_of, page.lists) if listing.rows],
        cautions=plan.cautions,
        data=_json(_data(page)),
    )
    return signed(filled_in)


def text(page: PageFile, *, colour: bool = False, width: int = 80) -> str:
    """Write the page as HTML, which has colours and a width of its own.

    Parameters
    ----------
    found
        x
    colour
        Whether to colour it.
    width
        Columns of the terminal.
    """
    return html(page)


DIGEST = "<!-- clearfridge "


def signed(text: str) -> str:
    """Put a digest of a page at its end, by which a later writing knows it for its own.

    Parameters
    ----------
    text
        The page.

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


def _json(data: object) -> Any:
    """Write JSON that cannot end the block it stands in."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    for mark in "<>&":
        text = text.replace(mark, f"\\u{ord(mark):04x}")
    return _raw(text)


def _verdict(page: PageFile) -> str:
    plan = page.plan
    if plan.left_over.grams == 0:
        verdict = "Nothing is left over"
    else:
        verdict = f"Left over: {left_over_said(plan)}"
    proof = "Proven the best week." if plan.status == "optimal" else "Not proven."
    return f"{verdict}. {proof}{_given(plan)}"


def _given(plan: PlanFile) -> str:
    """Say which lunches are to buy and what gives way; nothing where every rule is kept."""
    if plan.nearest is None:
        return ""
    days = dict.fromkeys(line.date for line in plan.nearest.bought)
    buys = [f"{day_name(day)}: {text}" for day in days for text in bought_said(plan, day)]
    places = [place for line in plan.nearest.gave_way for place in line.places]
    gives = [f"{place.where}: {place.what}" for place in places]
    return f" No week keeps every rule; in this one: {'; '.join([*buys, *gives])}."


# -- lunches -------------------------------------------------------------------------


def _lunches(page: PageFile) -> Iterator[dict[str, Any]]:
    several = len({line.eater for line in page.plan.lunches}) > 1
    cards = {(card.date, card.eater): card for card in page.cards.cards}
    why = {(lunch.date, lunch.eater): lunch for lunch in page.why}
    for line in sorted(page.plan.lunches, key=lambda lunch: lunch.date):
        key = (line.date, line.eater)
        yield {
            "date": line.date.isoformat(),
            "weekday": f"{line.date:%a}",
            "day": f"{line.date.day} {line.date:%b}",
            "eater": line.eater if several else "",
            "dish": line.dish,
            "minutes": counted(line.minutes, "minute"),
            "portions": ", ".join(
                f"{count_of(page.plan, part.portions, part.batch)} {part.batch}"
                for part in line.batches
                if part.portions
            ),
            "nutrients": list(_nutrients(line, page.plan.guidance)),
            "held": held(line),
            "reasons": [reason.text for reason in line.reasons],
            "others": list(_others(why.get(key))),
            **_packing(cards[key]),
        }


def _packing(card: Card) -> dict[str, Any]:
    return {
        "before": card.before,
        "places": [
            {"place": place.place, "parts": [part.text for part in place.parts], "note": place.note}
            for place in card.places
        ],
        "carry": [*card.carry, *card.eat, *card.cautions],
    }


def _nutrients(line: LunchLine, guidance: str) -> Iterator[dict[str, Any]]:
    for tag in sorted(line.nutrients, key=lambda nutrient: _ORDER.get(nutrient, 99)):
        shown = salted(tag, line.nutrients[tag], guidance)
        bound = shown.floor is not None or shown.ceiling is not None
        if not bound and tag not in _ON_LABELS:
            continue
        yield {
            "name": printed(tag, guidance)[0],
            "bound": bound,
            "value": shown.amount,
            "max": round(1.25 * max(shown.amount, shown.floor or 0, shown.ceiling or 0, 0.001), 3),
            "low": shown.floor,
            "high": shown.ceiling,
            "best": shown.amount if shown.floor is None else round(shown.floor * 1.01, 3),
            "text": _nutrient(shown),
        }


def _nutrient(line: NutrientLine) -> str:
    least = "" if line.complete else "at least "
    digits = 0 if line.amount >= 100 else 1
    amount = f"{least}{line.amount:.{digits}f} {line.unit}"
    bounds = []
    if line.floor is not None:
        bounds.append(f"floor {line.floor:g}")
    if line.ceiling is not None:
        bounds.append(f"ceiling {line.ceiling:g}")
    return f"{amount} ({', '.join(bounds)})" if bounds else amount


def _others(why: LunchWhy | None) -> Iterator[dict[str, str]]:
    for answer in () if why is None else why.dishes:
        if answer.verdict != "planned":
            yield {"what": answer.what, "text": _answer(answer)}


def _answer(answer: Answer) -> str:
    if answer.verdict == "impossible":
        return "no week has it there"
    return answer.text or {"as good": "is as good", "open": "not found out in time"}.get(
        answer.verdict, answer.verdict
    )


# -- prep day ------------------------------------------------------------------------


def _prep(day: PrepDay) -> dict[str, Any]:
    return {
        "title": day_name(day.date),
        "summary": prep_report.summary(day),
        "steps": [
            {
                "when": prep_report.when(day, step),
                "what": step.work,
                "using": prep_report.using(step),
            }
            for step in day.steps
        ],
        "chart": _picture(prep_report.as_svg(day)) if day.steps else "",
        "apart": prep_report.kept_apart(day),
        "cautions": day.cautions,
    }


def _picture(drawing: str) -> str:
    return f"data:image/svg+xml;base64,{base64.b64encode(drawing.encode()).decode()}"


# -- shopping ------------------------------------------------------------------------


def _shop(page: PageFile) -> Iterator[dict[str, Any]]:
    for part in page.shop.parts:
        yield {
            "part": part.part[:1].upper() + part.part[1:],
            "lines": [
                {
                    "id": f"buy-{hashlib.sha256(line.name.encode()).hexdigest()[:12]}",
                    "buy": shop_report.buy(line),
                    "name": shop_report.name(line),
                    "price": ""
                    if line.cost is None
                    else f", {money(page.shop.currency, line.cost)}",
                    "why": shop_report.why(line),
                }
                for line in part.lines
            ],
        }


# -- other volumes -------------------------------------------------------------------


def _slider(page: PageFile, slider: Slider) -> dict[str, Any]:
    points = [
        (float(volume.portions), float(volume.left_over))
        for volume in slider.volumes
        if volume.left_over is not None
    ]
    chart = ""
    if len({left for _, left in points}) > 1:
        drawing = svg(
            points,
            title=slider.batch,
            across=f"{slider.word}s cooked",
            up="left over, g",
        )
        chart = _picture(drawing)
    volumes = [volume.portions for volume in slider.volumes]
    return {
        "batch": slider.batch,
        "most": len(volumes) - 1,
        "now": volumes.index(slider.now) if slider.now in volumes else 0,
        "chart": chart,
        "alt": f"What is left over of the week for {volumes[0]} to {volumes[-1]} {slider.word}s of "
        f"{slider.batch}: the same figures that the slider gives.",
    }


def _data(page: PageFile) -> dict[str, Any]:
    digest = hashlib.sha256(page.plan.model_dump_json().encode()).hexdigest()[:16]
    return {
        "id": digest,
        "sliders": [
            {"volumes": [_volume(page, slider, volume) for volume in slider.volumes]}
            for slider in page.sliders
        ],
    }


def _volume(page: PageFile, slider: Slider, volume: Volume) -> dict[str, Any]:
    now = " (as planned)" if volume.portions == slider.now else ""
    if volume.left_over is None:
        came = "no plan is possible" if volume.status == "infeasible" else "no plan was found"
        if volume.why_not:
            came += f": {'; '.join(volume.why_not)}"
    else:
        left = (
            "nothing left over" if not volume.left_over else f"{volume.left_over:.0f} g left over"
        )
        cost = money(page.plan.currency, volume.cost or 0)
        came = f"{left}, {cost}"
    several = len({lunch.eater for lunch in volume.lunches}) > 1
    return {
        "text": f"{counted(volume.portions, slider.word)}{now}",
        "came": isolated(came),
        "lunches": [
            {
                "day": isolated(
                    f"{lunch.date:%a}, {lunch.eater}" if several else f"{lunch.date:%a}"
                ),
                "text": isolated(
                    f"{lunch.dish}: {lunch.portions}" if lunch.portions else lunch.dish
                ),
            }
            for lunch in volume.lunches
        ],
    }
