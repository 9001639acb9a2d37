"""The commands that plan a week, say why, and mend it."""

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
    WeekName,
    app,
    code_of,
    colour,
    in_background,
    is_there,
    own_foods,
    show,
    show_json,
)


class NoRepeats(StrEnum):
    """What may not come twice."""

    DISH = "dish"
    KIND = "kind"
    ALL = "all"


if TYPE_CHECKING:
    from models.packed import PackedWeek
    from models.planfile import PlanFile
    from models.week import Week
    from models.yamltext import Document
    from optimiser.repeats import Repeats
    from optimiser.wishes import Goal, Wish


@app.command(epilog="Example: clearfridge plan demo --save plan.json")
def plan(
    file: WeekName,
    save: Annotated[
        Path | None, typer.Option(metavar="PLAN", help="Keep the plan in this file.")
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the search.")
    ] = 60.0,
    reasons: Annotated[
        bool, typer.Option("--reasons/--no-reasons", help="Say why for each lunch.")
    ] = True,
    prefer: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="Have a dish on a day: 'Stuffed pitta on tue'."),
    ] = None,
    no_repeats: Annotated[
        NoRepeats | None,
        typer.Option(
            help="No dish twice; 'kind': no kind of dish twice; 'all': choices too, where at all "
            "possible. What it costs is said.",
        ),
    ] = None,
    after: Annotated[
        list[str] | None,
        typer.Option(
            metavar="PLAN", help="With what was eaten in this saved plan counted as had lately."
        ),
    ] = None,
    bends: Annotated[
        bool,
        typer.Option(
            "--bends",
            help="Say what is left over if a lunch falls through; of equal plans take "
            "the one that stands most.",
        ),
    ] = False,
    keep: Annotated[
        str | None,
        typer.Option(metavar="PLAN", help="Change as few lunches of this saved plan as can be."),
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the best week, and say why for each lunch.

    Exit codes: 0 a plan, 1 none is possible, 2 bad input, 3 no plan within the
    time limit, 130 interrupted (the best plan so far is shown).
    """
    from models.reading import read_document, week_of  # noqa: PLC0415
    from optimiser.files import write_whole  # noqa: PLC0415

    document = read_document(file)
    week = week_of(document, own_foods(foods))
    if save is not None:
        may_replace(save)
    wishes = _wishes(week, prefer)
    near = None if keep is None else packed_before(week, keep)
    varied = _varied(week, no_repeats, after)
    made = _planned(
        document,
        week,
        seconds,
        reasons=reasons,
        prefer=wishes,
        near=near,
        varied=varied,
        bend=bends,
    )
    if save is not None and made.lunches:
        write_whole(save, made.model_dump_json(indent=2) + "\n")
    if as_json:
        show_json(made.model_dump(mode="json"))
    else:
        from optimiser.report.plan import text  # noqa: PLC0415

        show(text(made, colour=colour()))
    raise typer.Exit(code_of(made.status, interrupted=made.interrupted))


def may_replace(path: Path) -> None:
    """Refuse to write over anything but a plan."""
    if is_there(path, "a plan cannot be written there"):
        from optimiser.audit import read_plan  # noqa: PLC0415

        try:
            read_plan(str(path))
        except InputError:
            raise InputError(
                str(path), "it is there already and is no plan", "Name another file for the plan."
            ) from None


def _wishes(week: Week, said: list[str] | None) -> list[Wish]:
    if not said:
        return []
    from optimiser.wishes import wish_of  # noqa: PLC0415

    return [wish_of(week, one, "--prefer") for one in said]


def packed_before(week: Week, file: str) -> PackedWeek:
    """Read a saved plan of this week."""
    from optimiser.audit import packed_of, read_plan  # noqa: PLC0415

    saved = read_plan(file)
    if not {line.date for line in saved.lunches} <= set(week.days):
        raise InputError(file, "this plan is of another week", "Name a plan of the same days.")
    return packed_of(saved, week, file)


def _varied(week: Week, way: NoRepeats | None, after: list[str] | None) -> list[Repeats]:
    """Give what may not come again; plans of other weeks alone ask for no dish twice."""
    if way is None and not after:
        return []
    from optimiser.audit import read_plan  # noqa: PLC0415
    from optimiser.repeats import asked  # noqa: PLC0415

    eaten: list[tuple[str, str]] = []
    for file in after or []:
        saved = read_plan(file)
        if not saved.lunches:
            raise InputError(file, "this plan has no lunches", "Name a plan that was eaten.")
        if max(line.date for line in saved.lunches) >= min(week.days):
            same = {line.date for line in saved.lunches} & set(week.days)
            what = "this plan is of the same days" if same else "this plan is of later days"
            raise InputError(file, what, "Name the plan of a week before.")
        eaten += [(line.eater, line.dish) for line in saved.lunches]
    return asked("dish" if way is None else way.value, eaten)


def _planned(
    document: Document,
    week: Week,
    seconds: float,
    *,
    reasons: bool,
    prefer: list[Wish],
    near: PackedWeek | None,
    varied: list[Repeats],
    bend: bool,
) -> PlanFile:
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.planning import plan_document  # noqa: PLC0415

    stop = Stop()
    return in_background(
        lambda say: plan_document(
            document,
            week,
            seconds=seconds,
            stop=stop,
            reasons=reasons,
            prefer=prefer,
            near=near,
            varied=varied,
            bend=bend,
            say=say,
        ),
        stop,
    )


@app.command(epilog="Example: clearfridge why demo tue --not 'Barley bowl'")
def why(
    file: WeekName,
    day: Annotated[
        str | None, typer.Argument(metavar="[DAY]", help="A day, as tue or 2026-12-01.")
    ] = None,
    eater: Annotated[
        str | None, typer.Option(metavar="EATER", help="Whose lunch, where there are several.")
    ] = None,
    not_: Annotated[
        str | None, typer.Option("--not", metavar="DISH", help="Why not this dish on that day.")
    ] = None,
    better: Annotated[
        str | None,
        typer.Option(metavar="PRIORITY", help="Why no week does better in this, as left_over."),
    ] = None,
    all_: Annotated[
        bool, typer.Option("--all", help="The verdict on every dish on every day.")
    ] = False,
    seconds: Annotated[
        float, typer.Option(min=0.01, max=86_400, help="Time limit for the plan itself.")
    ] = 60.0,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Say why a lunch is as it is, why not otherwise, or why there is no plan.

    Without a day: why no plan is possible, or what every lunch could have been. Exit codes:
    0 answered, 1 no plan is possible (and why), 2 bad input, 3 no plan within the time limit,
    130 interrupted (what is known so far is shown).
    """
    from models.reading import read_week  # noqa: PLC0415
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.why import Question, answer  # noqa: PLC0415

    week = read_week(file, own_foods(foods))
    question = Question(day=day, eater=eater, dish=not_, better=better, all=all_)
    question.check(week)
    stop = Stop()
    found = in_background(
        lambda say: answer(week, question, seconds=seconds, stop=stop, say=say), stop
    )
    if as_json:
        show_json(found.model_dump(mode="json"))
    else:
        from optimiser.report.why import text  # noqa: PLC0415

        show(text(found, colour=colour()))
    raise typer.Exit(code_of(found.status, interrupted=found.interrupted))


@app.command(epilog="Example: clearfridge fix impossible --apply 1 -o mended.yaml")
def fix(
    file: WeekName,
    until: Annotated[
        list[str] | None,
        typer.Option(metavar="GOAL", help="What to achieve: no-waste, or as in 'cost <= 18'."),
    ] = None,
    allow: Annotated[
        list[str] | None,
        typer.Option(metavar="WISH", help="A dish to make possible: 'Stuffed pitta on tue'."),
    ] = None,
    count: Annotated[
        int, typer.Option("-n", min=1, max=12, help="How many different ones to look for.")
    ] = 3,
    apply: Annotated[
        int | None,
        typer.Option(metavar="N", min=1, max=12, help="Write the week with this fix in it."),
    ] = None,
    output: Annotated[
        Path | None, typer.Option("-o", "--output", metavar="NEW", help="The new week file.")
    ] = None,
    foods: OwnFoods = None,
    as_json: AsJson = False,
) -> None:
    """Find the smallest changes that mend a week, each with the plan it leads to.

    For a week without a plan, or one that misses a goal. Exit codes: 0 fixes were found or none
    is needed, 1 none was found, 2 bad input, 130 interrupted (those found so far are shown).
    """
    from models.reading import read_document, week_of  # noqa: PLC0415
    from optimiser.cpsat import Stop  # noqa: PLC0415
    from optimiser.fix import fix as look  # noqa: PLC0415
    from optimiser.wishes import goal_of, wish_of  # noqa: PLC0415

    if (apply is None) != (output is None):
        raise InputError(
            "fix", "--apply and -o go together", "Write: fix FILE --apply 1 -o NEW.yaml"
        )
    document = read_document(file)
    own = own_foods(foods)
    week = week_of(document, own)
    wanted: list[Goal | Wish] = [goal_of(week, one) for one in until or []]
    wanted += [wish_of(week, one, "--allow") for one in allow or []]
    if output is not None and is_there(output, "a week cannot be written there"):
        raise InputError(str(output), "it is there already", "Name another file for the new week.")
    stop = Stop()
    found, texts = in_background(
        lambda say: look(
            document.text, week, wanted, count=max(count, apply or 0), own=own, stop=stop, say=say
        ),
        stop,
    )
    if apply is not None and output is not None:
        _write_fix(texts, apply, output, needed=not found.already)
    if as_json:
        show_json(found.model_dump(mode="json"))
    else:
        from optimiser.report.fix import text as write  # noqa: PLC0415

        show(write(found, colour=colour()))
    if found.interrupted:
        raise typer.Exit(Exit.INTERRUPTED)
    raise typer.Exit(Exit.DONE if found.fixes or found.already else Exit.NO_PLAN)


def _write_fix(texts: list[str], which: int, output: Path, *, needed: bool) -> None:
    from optimiser.files import write_whole  # noqa: PLC0415

    if not needed:
        raise InputError(
            "--apply", "the week achieves it as it is", "Nothing needs to be written; leave it out."
        )
    if not 1 <= which <= len(texts):
        raise InputError(
            "--apply",
            f"there is no fix {which}",
            f"{len(texts)} were found; nothing was written." if texts else "None was found.",
        )
    write_whole(output, texts[which - 1])
