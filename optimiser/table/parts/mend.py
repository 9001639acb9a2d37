"""What would mend the week: the smallest changes, each with the week it leads to, taken at once."""

from __future__ import annotations

from typing import Any

from models.answers.mend import Change, MendFile, Way
from models.answers.plan import AnswerPart, PlanFile
from models.words.errors import InputError
from optimiser.interface import asked
from optimiser.report.mend import values_said
from optimiser.report.phrases import sourced
from optimiser.table.part import Fields, PagePart
from optimiser.table.sitting import Sitting
from optimiser.table.worker import Failed


def _goals(plan: object) -> tuple[str, ...] | None:
    """Say what there is to mend: no plan at all, or waste; None where there is nothing."""
    if not isinstance(plan, PlanFile) or plan.changes:
        # A week that runs is not mended in its file.
        return None
    if plan.status == "infeasible":
        return ()
    waste = any(line.name == "left_over" and line.value for line in plan.priorities)
    return ("none-left",) if waste else None


def _ask(sitting: Sitting) -> AnswerPart | Failed | None:
    goals = _goals(sitting.plan)
    if goals is None:
        return None
    return sitting.ask(("mend", *goals), lambda week: asked.mend(week, goals))


def _show(sitting: Sitting, fields: Fields) -> dict[str, Any]:
    goals, answer = _goals(sitting.plan), _ask(sitting)
    known = answer if isinstance(answer, MendFile) else None
    return {
        "needed": goals is not None,
        "goal": "so that nothing is left over" if goals else "so that there is a week",
        "known": known is not None,
        "failed": f"{answer.what}. {answer.mend}" if isinstance(answer, Failed) else "",
        "ways": [] if known is None else [_way(known, way) for way in known.ways],
        "blocked": [] if known is None else [sourced(rule) for rule in known.blocked],
        "looked_for": "" if known is None else known.looked_for,
    }


def _way(answer: MendFile, way: Way) -> dict[str, Any]:
    return {
        "changes": [
            {"text": in_words(change), "prep": change.prep, "label": change.label}
            for change in way.changes
        ],
        "label": any(change.label for change in way.changes),
        "dishes": way.dishes,
        "reached": values_said(answer, way),
    }


def in_words(change: Change) -> str:
    """Say a change in a cook's words alone: the keys of the file are written by the button.

    Parameters
    ----------
    change
        Of a way.

    Returns
    -------
    str
        As `mend` words it, without what to write where a label has to be read.

    Examples
    --------
    >>> words = "read the label of bread: only if it is free of nuts, write free_of: [nuts]"
    >>> in_words(Change(path=[], was="", becomes="", text=words, prep=False, label=True))
    'read the label of bread: do this only if it is free of nuts'
    """
    if not change.label:
        return change.text
    return change.text.partition(", write ")[0].replace(": only if", ": do this only if")


def _fact(sitting: Sitting) -> str:
    goals = _goals(sitting.plan)
    if goals is None:
        return "nothing to mend" if isinstance(sitting.plan, PlanFile) and not sitting.lived else ""
    return "so that nothing is left over" if goals else "so that there is a week"


def _take(sitting: Sitting, fields: Fields) -> str:
    """Take one of the ways; where it hangs on a label, that has to be read first."""
    answer, number = _ask(sitting), fields.get("way", "")
    ways = answer.ways if isinstance(answer, MendFile) else []
    if not number.isdecimal() or not 1 <= int(number) <= len(ways):
        raise InputError(sitting.file.name, "there is no such way any more", "Look again.")
    way = ways[int(number) - 1]
    labels = [in_words(change) for change in way.changes if change.label]
    if labels and fields.get("read") != "yes":
        raise InputError(
            "the way",
            "it hangs on a label that nobody has read",
            f"First {'; '.join(labels)}. If it is so, tick that you read it.",
        )
    what = "; ".join(in_words(change) for change in way.changes)
    sitting.write(way.text, what, fields.get("on"))
    return "/mend"


PART = PagePart("/mend", "Mend", "mend.html", _show, _fact, {"/mend/take": _take})
