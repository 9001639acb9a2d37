"""Whatever the table has a figure of can be bounded from both sides, a lunch and a week."""

from __future__ import annotations

from decimal import Decimal

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from models.foods.figures import AMINO_ACIDS, NUTRIENT_TAGS
from models.week.week import Week
from models.words.nutrients import NUTRIENTS, PROTEIN
from models.words.units import GRAM, quantity
from optimiser.planning import plan_week
from optimiser.rules import Rule, faults_of, rules_of
from optimiser.rules.nutrition import Ceiling
from optimiser.rules.usable_protein import UsableProtein
from optimiser.solve.program import Program
from optimiser.solve.week import solve

WEEK = """
week: {{starts: 2026-11-30, days: [mon, tue], guidance: {guidance}}}
eaters: {{Ada: {{{bounds}}}}}
batches:
  stew:
    made: 2026-11-29
    yield: 6 portions
    portion: 100 g
    nutrition: {{{name}: 10 {unit}}}
    fridge_life: 2
    allergens: none
dishes:
  Bowl: {{kind: a, takes: {{stew: 1 to 4}}}}
"""


def portions(guidance: str, name: str, unit: str, bounds: str) -> list[int] | None:
    """Plan the week and give the portions of its lunches; nothing when there is no plan."""
    text = WEEK.format(guidance=guidance, name=name, unit=unit, bounds=bounds)
    week = week_of(parse("week.yaml", text))
    packed = solve(Program(week)).packed
    if packed is None:
        return None
    assert list(faults_of(week, packed)) == []
    return [lunch.of("stew") for lunch in packed.lunches]


def test_every_figure_of_the_table_can_be_a_floor_and_a_ceiling() -> None:
    names = [(tag, NUTRIENTS[tag].symbol) for tag in NUTRIENT_TAGS]
    names += [(NUTRIENTS[tag].name, NUTRIENTS[tag].symbol) for tag in NUTRIENT_TAGS]
    for name, unit in [*names, ("salt", "g")]:
        for guidance in ("uk", "us"):
            both = f"floors: {{{name}: 30 {unit}}}, ceilings: {{{name}: 30 {unit}}}"
            assert portions(guidance, name, unit, both) == [3, 3], (name, guidance)
        week = f"week_floors: {{{name}: 50 {unit}}}, week_ceilings: {{{name}: 50 {unit}}}"
        assert sum(portions("uk", name, unit, week) or []) == 5, name
        above = f"floors: {{{name}: 30.001 {unit}}}, week_ceilings: {{{name}: 60 {unit}}}"
        assert portions("uk", name, unit, above) is None, name


THIN = """
week: {{starts: 2026-11-30, days: [mon], guidance: us}}
eaters: {{Ada: {{{bounds}}}}}
batches: {{broth: {{made: 2026-11-29, yield: 1 portion, portion: 100 g, nutrition: {{protein: 0 g}},
  fridge_life: 2, allergens: none}}}}
larder: {{curd: {{pack: 33 g, price: 1, chilled: yes, allergens: none,
  nutrition: {{protein: 7.77 g, {acids}}}}}}}
dishes: {{Bowl: {{kind: a, takes: {{broth: 1}}, goes_in: {{curd: 33 g}}}}}}
"""
ACIDS = ", ".join(f"{tag}: 1 g" for tag in AMINO_ACIDS)


@pytest.mark.parametrize(
    ("bounds", "holds"),
    [
        # 33 g of 7.77 g in 100 g are 2.5641 g.
        ("floors: {protein: 2.564 g}", True),
        ("floors: {protein: 2.565 g}", False),
        ("week_floors: {protein: 2.564 g}", True),
        ("week_floors: {protein: 2.565 g}", False),
        ("ceilings: {protein: 2.565 g}", True),
        ("ceilings: {protein: 2.564 g}", False),
        ("week_ceilings: {protein: 2.565 g}", True),
        ("week_ceilings: {protein: 2.564 g}", False),
        # Of them 78 % are digested: 1.999998 g.
        ("floors: {usable_protein: 1.999 g}", True),
        ("floors: {usable_protein: 2 g}", False),
    ],
)
def test_less_than_a_thousandth_is_never_rounded_over_a_bound(bounds: str, holds: bool) -> None:
    week = week_of(parse("week.yaml", THIN.format(bounds=bounds, acids=ACIDS)))
    plan = plan_week(week, reasons=False)
    assert (plan.status == "optimal") is holds
    if "floors" in bounds and not holds:
        # Where the floor gives way, it is told how little lacks, and not that nothing does.
        near = plan_week(week, reasons=False, nearest=True).nearest
        assert near is not None
        assert [level.value > 0 for level in near.levels if level.name == "floors"] == [True]


def test_what_just_suffices_is_no_fault() -> None:
    week = week_of(parse("week.yaml", THIN.format(bounds="floors: {protein: 2 g}", acids=ACIDS)))
    packed = solve(Program(week)).packed
    assert packed is not None
    for thousandth, faults in ((0, 0), (1, 1)):
        floor = quantity(Decimal("1.999998") + thousandth * Decimal("0.000001"), GRAM)
        rule = UsableProtein("Ada", f"usable:{PROTEIN}", floor)
        assert len(list(rule.faults(week, packed))) == faults


def test_a_ceiling_of_salt_is_written_with_no_more_digits_than_are_read() -> None:
    for hundredths in range(1, 300, 7):
        value = f"{Decimal(hundredths) / 100} g"
        for _ in range(2):
            # The second time it says of what the first wrote that this is what stands there.
            raised, week = _raised(value)
            (edit,) = raised.edits(week)
            assert edit.was == value
            value = str(edit.value)


def _raised(salt: str) -> tuple[Rule, Week]:
    """Give a step more than this ceiling, and the week that has the ceiling."""
    text = WEEK.format(guidance="us", name="salt", unit="g", bounds=f"ceilings: {{salt: {salt}}}")
    week = week_of(parse("week.yaml", text))
    (ceiling,) = (rule for rule in rules_of(week) if isinstance(rule, Ceiling))
    return ceiling.weaker()[0], week
