"""A drafted week with the rule of variety that it can keep: no two days alike, where that can be.

A rule that no plan keeps would be a draft that does not plan, and one that leaves food over would
be variety out of the bin. So each is tried, the strictest first; where none can be kept the file
says so.
"""

from __future__ import annotations

from models.file import yamltext
from models.file.reading import week_of
from optimiser.priorities import PRIORITIES
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import ONE_QUESTION
from optimiser.solve.program import Program

RULES = (
    ("No two days alike: each dish comes once at most.", "variety: {most_times: 1}"),
    ("A dish may come again, not two days running.", "variety: {most_times: 2, days_between: 1}"),
)
"""What is tried, the strictest first: how it is said, and written."""
NO_RULE = """\
# Days may be alike: no rule of variety is known that these dishes keep without leaving more over.
# With another dish or batch this may do: variety: {most_times: 2, days_between: 1}
"""


def varied(text: str) -> str:
    """Write into a drafted week the strictest rule of variety that leaves no more over.

    Parameters
    ----------
    text
        A week file that says nothing of variety.

    Returns
    -------
    str
        It with the rule behind its end, or a remark that none can be kept.

    Raises
    ------
    InputError
        When the text is no week.

    Examples
    --------
    >>> from models.file.reading import ready_text
    >>> varied(ready_text("minimal")).splitlines()[-2:]
    ['# A dish may come again, not two days running.', 'variety: {most_times: 2, days_between: 1}']
    """
    least = _left(text)
    for words, rule in RULES if least is not None else ():
        if _left(f"{text}{rule}\n") == least:
            return f"{text}# {words}\n{rule}\n"
    return text + NO_RULE


def _left(text: str) -> int | None:
    """Give the least that is left over; None where no week is known."""
    week = week_of(yamltext.parse("the draft", text))
    program = Program(week, priorities=[PRIORITIES["left_over"]])
    total = program.levels[0].total
    answer = cpsat.solve(cpsat.model_of(program.board.sheet), total, limit=ONE_QUESTION)
    if answer.status is not Status.OPTIMAL or answer.values is None:
        return None
    return total.value(answer.values)
