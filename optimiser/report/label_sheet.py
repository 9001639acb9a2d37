"""Labels on a sheet to print: HTML in the page's measures, in two columns."""

from __future__ import annotations

from dataclasses import dataclass

from models.answers.labels import LabelFile
from optimiser.report.console import UNNAMED
from optimiser.report.labels import guidance, lines, title
from optimiser.report.template import filled


@dataclass(frozen=True, slots=True)
class Page:
    """Measures of a sheet, as CSS says them.

    Attributes
    ----------
    size
        Of the paper.
    width, height
        Of one label.
    """

    size: str
    margin: str
    width: str
    height: str
    gap: str


PAGES = {
    # 14 on A4, 10 on Letter: the grids that sheets of plain labels commonly have (common
    # practice, no source).
    "a4": Page("A4", "15mm 5mm", "99mm", "38.1mm", "2mm"),
    "letter": Page("Letter", "0.5in 0.16in", "4in", "2in", "0.18in"),
}
LONG = 210
"""Characters from which the letters are smaller."""


def sheet(answer: LabelFile, paper: str) -> str:
    """Write labels as a sheet to print.

    Parameters
    ----------
    answer
        The labels.
    paper
        A key of `PAGES`.
    """
    labels = []
    for label in answer.labels:
        texts = list(lines(label))
        long = len(title(label)) + sum(map(len, texts)) > LONG
        labels.append({"title": title(label), "lines": texts, "long": long})
    return filled(
        "labels.html",
        name=answer.name or UNNAMED,
        guidance=guidance(answer),
        page=PAGES[paper],
        labels=labels,
    )
