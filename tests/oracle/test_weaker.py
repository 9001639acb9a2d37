"""Each weaker version of a rule, put to the second solver as the file would ask for it.

`mend` posts weaker versions and says what to write instead. Here a program with one of them has
to reach what HiGHS reaches for the week whose file was changed so; where that place speaks of more
than this rule (a number for every choice), at least as much.
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from random import Random

from models.file.reading import week_of
from optimiser.rules import rules_of
from optimiser.solve.program import Program
from optimiser.solve.week import solve
from tests.depth import sized
from tests.optimiser.asking import drawn
from tests.optimiser.test_mend import put_in
from tests.oracle import highs
from tests.oracle.test_laws import rank
from tests.oracle.test_second_solver import values_of
from tests.weeks import SMALL, document_of

EACH = sized(2, 30)
VERSIONS = sized(2, 6)
"""Of each week."""


def test_a_weaker_rule_is_the_week_that_its_file_would_ask_for() -> None:
    families, outcomes = Counter[str](), Counter[str]()
    for at, data in enumerate(drawn(SMALL, EACH, 64, earlier=True)):
        week = week_of(document_of(data))
        rules = list(rules_of(week))
        versions = [(rule, x) for rule in rules for x in rule.weaker() if x.edits(week)]
        # What is left over is counted from the yield in the file.
        versions = [(rule, x) for rule, x in versions if rule.family != "stock"]
        dice = Random(at)
        for rule, weaker in dice.sample(versions, min(VERSIONS, len(versions))):
            puts = [
                (tuple(x.path), Decimal(x.value) if isinstance(x.value, int) else x.value)
                for x in weaker.edits(week)
            ]
            changed = week_of(document_of(put_in(data, puts)))
            others = [weaker if other is rule else other for other in rules]
            reached = values_of(week, solve(Program(week, rules=others)))
            try:
                best = highs.best(changed).values
            except highs.TooFineError:
                continue
            families[rule.family] += 1
            if others == list(rules_of(changed)):
                assert reached == best, (weaker.sentence(), data)
                outcomes["the same"] += 1
            else:
                assert rank(best and dict(best)) <= rank(reached and dict(reached)), puts
                outcomes["of more rules"] += 1
    assert outcomes["the same"] > 2 * EACH, outcomes
    assert len(families) >= sized(4, 9), families
