"""The commands that print kitchen papers from a plan: what to buy, labels, calendar, cards."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from models.errors import InputError
from optimiser.cli.app import (
    AsJson,
    Exit,
    OwnFoods,
    app,
    colour,
    in_background,
    is_there,
    own_foods,
    show,
    show_json,
)

if TYPE_CHECKING:
    from models.packed import PackedWeek
    from models.planfile import PlanFile
    from models.week import Week

PlanName = Annotated[
    str,
    typer.Argument(
        metavar="FILE",
        help="A saved plan, or a week file (it is planned first), '-' or a ready week.",
    ),
]
Output = Annotated[
    Path | None,
    typer.Option("-o", "--output", metavar="NEW", help="Write it into this file."),
]
Force = Annotated[bool, typer.Option("--force", help="Write over a file that is there already.")]


def planned(
    file: str, foods: list[str] | None, *, reasons: bool = False
) -> tuple[PlanFile, Week, PackedWeek]:
    """Read a saved plan, or plan the week of a file.

    Raises
    ------
    InputError
        When it is neither, or the plan does not fit its week.
    typer.Exit
        With code 1 or 3 when there is no plan.
    """
    from models import yamltext  # noqa: PLC0415
    from models.reading import read_document, ready_weeks, week_of  # noqa: PLC0415
    from optimiser.audit import LARGEST_BYTES, packed_of, plan_of  # noqa: PLC0415

    own = own_foods(foods)
    if file not in ready_weeks():
        source, text = yamltext.read_text(file, LARGEST_BYTES, "Name a plan or a week file.")
        if text.lstrip().startswith("{") and '"clearfridge plan 1"' in text[:2_000]:
            made = plan_of(source, text)
            if not made.lunches:
                raise InputError(source, "this plan has no lunches", "Plan the week again.")
            return made, *_checked(made, source)
        document = yamltext.parse(source, text)
    else:
        document = read_document(file)
    week = week_of(document, own)
    made = _made(document, week, reasons=reasons)
    return made, week, packed_of(made, week, file)


def _checked(made: PlanFile, source: str) -> tuple[Week, PackedWeek]:
    """Give the week of a saved plan; papers are not printed of one that breaks it."""
    from optimiser.audit import audit, embedded_week, packed_of  # noqa: PLC0415

    week = embedded_week(made, source)
    faults = audit(made, None, source)
    if faults:
        raise InputError(
            source,
            f"this plan breaks its own week: {faults[0].where}: {faults[0].what}",
            f"See: clearfridge audit {source}. Then mend it, or plan again.",
        )
    return week, packed_of(made, week, source)


def _made(document: object, week: Week, *, reasons: bool) -> PlanFile:
    from models.yamltext import Document  # noqa: PLC0415
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.planning import plan_document  # noqa: PLC0415

    if not isinstance(document, Document):  # pragma: no cover - the caller read one
        raise TypeError("a document is wanted")
    stop = Stop()
    made = in_background(
        lambda say: plan_document(
            document, week, seconds=60.0, stop=stop, reasons=reasons, say=say
        ),
        stop,
    )
    if not made.lunches:
        from optimiser.report.plan import text  # noqa: PLC0415

        show(text(made, colour=colour()))
        code = {"infeasible": Exit.NO_PLAN}.get(made.status, Exit.NO_TIME)
        raise typer.Exit(Exit.INTERRUPTED if made.interrupted else code)
    return made


def put(text: str, output: Path | None, *, force: bool) -> None:
    """Print a paper, or write it whole; a file that is there only where that is asked."""
    from optimiser.files import write_whole  # noqa: PLC0415

    if output is None:
        show(text)
        return
    if is_there(output, "it cannot be written there") and not force:
        raise InputError(str(output), "it is there already", "Name another file, or --force.")
    write_whole(output, text)


class ShopForm(StrEnum):
    """What a shopping list is written as."""

    TEXT = "text"
    MARKDOWN = "markdown"
    CSV = "csv"


@app.command(epilog="Example: clearfridge shop plan.json --as markdown -o shopping.md")
def shop(
    file: PlanName,
    form: Annotated[ShopForm, typer.Option("--as", help="What to write it as.")] = ShopForm.TEXT,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """List what to buy for the plan and its batches, in whole packs at least cost.

    Less what stands under 'cupboard' in the week file. Exit codes: 0 done, 1 no plan is
    possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.shopping import shopping  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    found = shopping(week, packed)
    if as_json:
        show_json(found.model_dump(mode="json"))
        return
    from optimiser.report import shop as report  # noqa: PLC0415

    if form is ShopForm.TEXT:
        text = report.text(found, colour=colour() and output is None)
    else:
        text = (report.as_markdown if form is ShopForm.MARKDOWN else report.as_csv)(found)
    put(text, output, force=force)


@app.command(epilog="Example: clearfridge pack plan.json tue")
def pack(
    file: PlanName,
    day: Annotated[
        str | None,
        typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01; all when left out."),
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Only the lunches of one eater.")
    ] = None,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say what goes in which compartment and pot, in the order of packing.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.cards import cards  # noqa: PLC0415
    from optimiser.report.cards import text  # noqa: PLC0415
    from optimiser.why import day_matches, eater_of  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    if eater is not None:
        eater_of(week, eater, "--eater")
    if day is not None and not any(day_matches(one, day) for one in week.days):
        known = ", ".join(f"{one:%a}".lower() for one in week.days)
        raise InputError("DAY", f"{day!r} is not a day of this week", f"Its days: {known}.")
    found = cards(week, packed)
    kept = [
        card
        for card in found.cards
        if (day is None or day_matches(card.date, day)) and eater in (None, card.eater)
    ]
    if not kept:
        raise InputError("DAY", "there is no lunch then", "Name another day or eater.")
    found = found.model_copy(update={"cards": kept})
    if as_json:
        show_json(found.model_dump(mode="json"))
    else:
        put(text(found, colour=colour() and output is None), output, force=force)


class Sheet(StrEnum):
    """What labels are printed on."""

    A4 = "a4"
    LETTER = "letter"


@app.command(epilog="Example: clearfridge labels plan.json --sheet a4 -o labels.html")
def labels(
    file: PlanName,
    sheet: Annotated[
        Sheet | None,
        typer.Option(help="An HTML sheet to print: A4 or US Letter, labels in two columns."),
    ] = None,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Print a label for every tub: what, made, use-by, the days it is for, allergens.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.labels import labels as make  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    found = make(week, packed)
    if as_json:
        show_json(found.model_dump(mode="json"))
    elif sheet is None:
        from optimiser.report.labels import text  # noqa: PLC0415

        put(text(found, colour=colour() and output is None), output, force=force)
    else:
        from optimiser.report.sheet import sheet as print_on  # noqa: PLC0415

        put(print_on(found, sheet.value), output, force=force)


@app.command(epilog="Example: clearfridge calendar plan.json -o week.ics")
def calendar(
    file: PlanName,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write the plan as iCalendar: cook, move to the fridge, pack, use by.

    Written again over a calendar of its own, what changed has a higher sequence number and what is
    gone is cancelled. Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the
    time limit.
    """
    from dataclasses import asdict  # noqa: PLC0415
    from datetime import UTC, datetime  # noqa: PLC0415

    from optimiser.diary import diary  # noqa: PLC0415
    from optimiser.report.ical import as_ical, is_ours  # noqa: PLC0415

    _, week, packed = planned(file, foods)
    entries = diary(week, packed)
    if as_json:
        found = [
            asdict(one) | {"begins": one.begins.isoformat(), "ends": one.ends.isoformat()}
            for one in entries
        ]
        show_json({"format": "clearfridge diary 1", "zone": week.times.zone, "entries": found})
        return
    before = None
    if output is not None and is_there(output, "it cannot be written there"):
        before = _before(output)
        ours = before is not None and is_ours(before)
        force, before = force or ours, before if ours else None
    put(as_ical(week, entries, now=datetime.now(UTC), before=before), output, force=force)


def _before(path: Path) -> str | None:
    try:
        return path.read_bytes()[:4_000_000].decode("utf-8")
    except (OSError, UnicodeDecodeError):
        return None


@app.command(epilog="Example: clearfridge page demo -o week.html")
def page(
    file: PlanName,
    output: Annotated[Path, typer.Option("-o", "--output", metavar="NEW", help="The HTML file.")],
    sliders: Annotated[
        bool, typer.Option("--sliders/--no-sliders", help="Plan other volumes of each batch.")
    ] = True,
    verdicts: Annotated[
        bool, typer.Option("--verdicts/--no-verdicts", help="Say what each lunch was not.")
    ] = True,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write one HTML file for the phone and the fridge door; it needs no network.

    The week at a glance, cards with reasons, the shopping list to tick, labels, other volumes.
    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit,
    130 interrupted (the page shows what was known).
    """
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.paging import page as gather  # noqa: PLC0415
    from optimiser.report.page import html, is_ours  # noqa: PLC0415

    if is_there(output, "a page cannot be written there") and not force:
        before = _before(output)
        if before is None or not is_ours(before):
            raise InputError(str(output), "it is there already", "Name another file, or --force.")
    plan, week, packed = planned(file, foods, reasons=True)
    stop = Stop()
    found = in_background(
        lambda say: gather(
            plan, week, packed, verdicts=verdicts, sliders=sliders, stop=stop, say=say
        ),
        stop,
    )
    put(html(found), output, force=True)
    if as_json:
        show_json({"written": str(output), "lunches": len(plan.lunches)})
    else:
        show(f"Wrote {output}.")
    if stop.asked:
        raise typer.Exit(Exit.INTERRUPTED)


class ShareForm(StrEnum):
    """What recipes are written as."""

    MARKDOWN = "markdown"
    JSON_LD = "json-ld"


@app.command(epilog="Example: clearfridge share demo --as json-ld -o recipes.jsonld")
def share(
    file: PlanName,
    form: Annotated[
        ShareForm, typer.Option("--as", help="Markdown, or JSON-LD of schema.org Recipe.")
    ] = ShareForm.MARKDOWN,
    output: Output = None,
    force: Force = False,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Write the batches as recipes: amounts, steps, yield, what a portion holds; and the list.

    Exit codes: 0 done, 1 no plan is possible, 2 bad input, 3 no plan within the time limit.
    """
    from optimiser.report import share as report  # noqa: PLC0415
    from optimiser.shopping import shopping  # noqa: PLC0415

    plan, week, packed = planned(file, foods)
    if as_json or form is ShareForm.JSON_LD:
        put(report.as_json_ld(week), output, force=force)
    else:
        text = report.as_text(week, shopping(week, packed), plan.cautions)
        put(text, output, force=force)
