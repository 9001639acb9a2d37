"""Other volumes on the page: what a step changes against the plan, as a table and as dots."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from models.answers.page import PageFile, Slider, Volume, VolumeLunch
from models.words.days import weekday
from models.words.numbers import counted, listed
from optimiser.report.phrases import money, several_eat, weighed

WIDTH, HEIGHT, EDGE = 320, 150, 34
"""Of a chart, in units: a letter of 13 is no smaller than 12 px on a screen of 320 px."""


def volumes(page: PageFile) -> Iterator[dict[str, Any]]:
    """Give for each batch its volumes, each held against the plan.

    Parameters
    ----------
    page
        What the page shows.

    Yields
    ------
    dict of str to Any
        What the template needs of a batch: numbers of portions, a row for each as text, where the
        dots of the chart lie.

    Examples
    --------
    >>> from optimiser import page
    >>> batch = next(volumes(page("minimal", verdicts=False)))
    >>> batch["batch"], batch["least"], batch["most"]
    ('rice and beans', 4, 8)
    """
    for slider in page.sliders:
        counts = [volume.portions for volume in slider.volumes]
        yield {
            "batch": slider.batch,
            "word": slider.word,
            "now": counts.index(slider.now) if slider.now in counts else 0,
            "step": min(right - left for left, right in pairwise(counts)),
            "least": counts[0],
            "most": counts[-1],
            "rows": [_row(page, slider, volume) for volume in slider.volumes],
            "better": [
                f"{counted(volume.portions, slider.word)}: {volume.beats}"
                for volume in slider.volumes
                if volume.beats
            ],
            "chart": _chart(slider),
        }


def _row(page: PageFile, slider: Slider, volume: Volume) -> dict[str, Any]:
    less = volume.portions - slider.now
    step = "as planned" if not less else f"{abs(less)} {'more' if less > 0 else 'fewer'}"
    return {
        "portions": volume.portions,
        "head": f"{counted(volume.portions, slider.word)}, {step}",
        "left": "" if volume.left_over is None else f"{weighed(volume.left_over)} g",
        "cost": "" if volume.cost is None else money(page.plan.currency, volume.cost),
        "against": _against(page, slider, volume),
        "changes": [_change(page, lunch) for lunch in _changed(slider, volume)],
        "now": not less,
    }


def _planned(slider: Slider) -> Volume | None:
    return next((volume for volume in slider.volumes if volume.portions == slider.now), None)


def _against(page: PageFile, slider: Slider, volume: Volume) -> str:
    """Say what a volume changes: what is left over, what it costs, and on which days."""
    now = _planned(slider)
    if volume.left_over is None:
        came = "no plan is possible" if volume.status == "infeasible" else "no plan was found"
        return f"{came}: {'; '.join(volume.why_not)}" if volume.why_not else came
    if now is None or now.left_over is None or volume is now:
        left = weighed(volume.left_over) if volume.left_over else "nothing"
        return f"{left}{' g' if volume.left_over else ''} left over"
    changes = []
    if grams := round(volume.left_over - now.left_over, 1):
        changes.append(f"{weighed(abs(grams))} g {'more' if grams > 0 else 'less'} left over")
    if paid := round((volume.cost or 0) - (now.cost or 0), 2):
        changes.append(f"{money(page.plan.currency, abs(paid))} {'more' if paid > 0 else 'less'}")
    dates = dict.fromkeys(lunch.date for lunch in _changed(slider, volume))
    if dates:
        names = listed([weekday(day) for day in dates])
        changes.append(f"{names} {'changes' if len(dates) == 1 else 'change'}")
    return ", ".join(changes) or "nothing changes"


def _changed(slider: Slider, volume: Volume) -> list[VolumeLunch]:
    now = _planned(slider)
    planned = [] if now is None else now.lunches
    return [] if volume is now else [lunch for lunch in volume.lunches if lunch not in planned]


def _change(page: PageFile, lunch: VolumeLunch) -> dict[str, str]:
    whose = f", {lunch.eater}" if several_eat(page.plan) else ""
    text = f"{lunch.dish}: {lunch.portions}" if lunch.portions else lunch.dish
    return {"day": f"{lunch.date:%a}{whose}", "text": text}


def _chart(slider: Slider) -> dict[str, Any] | None:
    """Place a dot for each volume, and a ring at the plan; none where all are alike."""
    points = [
        (volume.portions, volume.left_over)
        for volume in slider.volumes
        if volume.left_over is not None
    ]
    top = max((left for _, left in points), default=0.0)
    if len({left for _, left in points}) < 2:
        return None
    first, last = slider.volumes[0].portions, slider.volumes[-1].portions
    across = (WIDTH - 2 * EDGE) / max(1, last - first)

    def x(portions: int) -> float:
        return round(EDGE + across * (portions - first), 1)

    def y(left: float) -> float:
        return round(EDGE + (HEIGHT - 2 * EDGE) * (1 - left / top), 1)

    dots = [
        {"x": x(portions), "y": y(left), "now": portions == slider.now, "portions": portions}
        for portions, left in points
    ]
    every = max(1, -(-len(dots) * 26 // (WIDTH - 2 * EDGE)))
    return {
        "dots": dots,
        "ticks": dots[::every],
        "steps": _steps(dots),
        "floor": y(0.0),
        "top": {"x": x(max(points, key=lambda point: point[1])[0]), "y": y(top)},
        "says": f"{weighed(top)} g left over",
        "width": WIDTH,
        "height": HEIGHT,
        "edge": EDGE,
    }


def _steps(dots: list[dict[str, Any]]) -> str:
    """Join dots by steps, for between whole numbers there is nothing."""
    path = f"M{dots[0]['x']} {dots[0]['y']}"
    for left, right in pairwise(dots):
        middle = round((left["x"] + right["x"]) / 2, 1)
        path += f"H{middle}V{right['y']}H{right['x']}"
    return path
