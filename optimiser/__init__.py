"""Plans packed lunches from a few big batches, so that nothing is left over, and proves it.

What the command `clearfridge` does in a shell, these functions do in a notebook. Each takes a week
as it is at hand and gives an answer: a frozen pydantic model, whose `model_dump_json()` is what
the command prints with `--json`, and which `render` writes as the command prints it.

>>> import optimiser
>>> plan = optimiser.plan("demo")
>>> plan.status, plan.left_over.grams
('optimal', 0.0)
>>> optimiser.audit(plan).faults
[]
>>> print(optimiser.render(optimiser.shop(plan)).splitlines()[0].split()[-1])
buy

A week is given as
    the path of a week file, the name of a ready week ("demo"), the text of a week file, the same
    as plain data (dictionaries, lists, text, numbers, dates), a `Week` that `read_week` read, or
    a `Plan`, whose week it is then.
A plan is given as
    the path or the text of a saved plan, a `Plan`, or a week as above, which is planned first.

Reading
    read_week, read_plan, check, trace, food
Planning
    plan, why, mend, audit
Other weeks
    what_if, size, others, trade_off, change, next_week
Kitchen sheets
    shop, prep, labels, pack, calendar, page, share, freezer
Text
    render

A wrong input is an `InputError`, which says where, what, and how to mend it; a sheet of a week that
has no plan is a `NoPlanError`, one of its kind, which holds in `plan` why there is none. An
interrupt ends a search with the best that it has so far.

>>> optimiser.plan("no-such-week.yaml")
Traceback (most recent call last):
...
models.words.errors.InputError: no-such-week.yaml: there is no such file
Check the name, or start one: clearfridge new FILE
"""

from __future__ import annotations

# First, for an interrupt while the rest is loaded.
import optimiser.abrupt  # noqa: F401

# isort: split
import sys
from typing import TYPE_CHECKING, Any

from optimiser.interface.asked import (
    audit,
    change,
    check,
    food,
    mend,
    next_week,
    others,
    plan,
    size,
    trace,
    trade_off,
    what_if,
    why,
)
from optimiser.interface.given import read_plan, read_week
from optimiser.interface.offered import Offered
from optimiser.interface.sheets import calendar, labels, pack, page, prep, share, shop
from optimiser.interface.told import render
from optimiser.sheets.lists import names

if TYPE_CHECKING:
    from models.answers.plan import PlanFile as Plan
    from models.week.week import Week
    from models.words.errors import InputError
    from optimiser.interface.given import NoPlanError

    def __getattr__(name: str) -> Any:
        """Stand for the plain lists, whose names are found when the package is imported."""


__all__ = [
    "InputError",
    "NoPlanError",
    "Plan",
    "Week",
    "audit",
    "calendar",
    "change",
    "check",
    "food",
    "labels",
    "mend",
    "next_week",
    "others",
    "pack",
    "page",
    "plan",
    "prep",
    "read_plan",
    "read_week",
    "render",
    "share",
    "shop",
    "size",
    "trace",
    "trade_off",
    "what_if",
    "why",
]

__all__ += names()  # noqa: PLE0605 - those that are there

sys.modules[__name__].__class__ = Offered
