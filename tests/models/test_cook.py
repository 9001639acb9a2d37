"""How much of a batch is cooked this time, where it is not the whole recipe.

Fewer or more portions of the same food: each portion is what it was, and what is bought, what
goes in and what it costs follow. Figures are held against plain sums of the whole batch.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.file.reading import read_week
from models.week.cook import cooked_in
from models.week.week import Batch, Week
from models.words.units import magnitude
from optimiser.checking import check as understood
from optimiser.planning import plan_week
from optimiser.report import check, trace
from optimiser.tracing import trace as add_up
from tests.cases import each

from .kitchen import FULL, HERE, edited, line_of, refusal, week_from

YIELD = 15
WEEK = """\
week:
  starts: 2026-11-30
  days: [mon, tue, wed]
  currency: EUR
  guidance: us
  cups: label
eaters:
  Ada: {}
batches:
  farls:
    made: 2026-11-29
    yield: 15 pieces
    ingredients:
      - 160 g dried green lentils
      - 60 g rolled oats
      - 2 eggs
      - 1 medium onion
      - 1 tbsp olive oil
    portion: 45 g
    freezes: yes
    freezer: 6 pieces
prices:
  dried green lentils: {pack: 500 g, price: 2.10}
  rolled oats: {pack: 500 g, price: 0.95}
  eggs: {pack: 6 pieces, price: 2.40}
  onions: {pack: 1 kg, price: 1.30}
  olive oil: {pack: 500 mL, price: 6.50}
dishes:
  Plate: {kind: plate, takes: {farls: 1 to 20}}
"""


def cooking(amount: str, text: str = WEEK) -> str:
    return edited(text, "    yield: 15 pieces\n", f"    yield: 15 pieces\n    cook: {amount}\n")


def farls(text: str) -> Batch:
    return week_from(text).batches["farls"]


def stated(cost: str) -> str:
    """Write the batch with figures of its own and no ingredients."""
    start, end = WEEK.index("    ingredients:"), WEEK.index("    portion: 45 g")
    figures = f"    nutrition: {{protein: 4.2 g}}\n    keeps_as: leftovers\n    cost: {cost}\n"
    return WEEK[:start] + figures + WEEK[end:]


# -- portions ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("amount", "portions"),
    [
        ("10 pieces", 10),
        ("1 piece", 1),
        ("10 portions", 10),
        ("450 g", 10),
        ("0.45 kg", 10),
        ("15 pieces", 15),
        ("16 pieces", 16),
        ("40 pieces", 40),
        ("2000 pieces", 2000),
    ],
)
def test_so_many_are_cooked(amount: str, portions: int) -> None:
    batch = farls(cooking(amount))
    assert batch.portions == portions
    assert batch.pieces
    assert batch.portion_word == "piece"


def test_nothing_said_is_the_whole_yield() -> None:
    assert farls(WEEK).portions == YIELD
    assert week_from(cooking("15 pieces")) == week_from(WEEK)


def test_a_yield_by_mass_may_be_cooked_by_portions_and_the_other_way_about() -> None:
    text = WEEK.replace("yield: 15 pieces", "yield: 675 g")
    for amount, portions in (("450 g", 10), ("10 portions", 10), ("0.9 kg", 20)):
        batch = farls(text.replace("yield: 675 g", f"yield: 675 g\n    cook: {amount}"))
        assert (batch.portions, batch.pieces) == (portions, False)


def test_dishes_take_of_what_is_cooked() -> None:
    (take,) = week_from(cooking("14 pieces")).dishes["Plate"].takes
    assert (take.least, take.most) == (1, 14)
    (take,) = week_from(cooking("18 pieces")).dishes["Plate"].takes
    assert (take.least, take.most) == (1, 18)


def test_all_that_is_cooked_may_be_frozen_where_nothing_else_is_said() -> None:
    text = WEEK.replace("    freezer: 6 pieces\n", "")
    assert farls(text).freezer == YIELD
    assert farls(cooking("18 pieces", text)).freezer == 18
    assert farls(cooking("9 pieces", text)).freezer == 9
    # What is stated holds.
    assert farls(cooking("18 pieces")).freezer == 6


# -- a portion is what it was -----------------------------------------------------------------


def assert_portion_is_the_same(some: Batch, whole: Batch) -> None:
    assert some.portion == whole.portion
    assert some.nutrition == whole.nutrition
    assert some.partial == whole.partial
    for name in ("made", "life", "texture", "room", "contents", "chilled", "cautions", "unpriced"):
        assert getattr(some, name) == getattr(whole, name), name


@given(st.integers(1, 60))
def test_a_portion_is_the_same_however_many_are_cooked(number: int) -> None:
    some, whole = farls(cooking(f"{number} pieces")), farls(WEEK)
    assert_portion_is_the_same(some, whole)
    share = Fraction(number, YIELD)
    assert some.recipe is not None
    assert whole.recipe is not None
    pairs = list(zip(some.recipe.ingredients, whole.recipe.ingredients, strict=True))
    assert len(pairs) == 5
    for less, all_of_it in pairs:
        assert less.food == all_of_it.food
        for less_of_it, more_of_it in (
            (less.grams, all_of_it.grams),
            (less.bought, all_of_it.bought),
        ):
            assert float(less_of_it) == pytest.approx(float(Fraction(more_of_it) * share), 1e-12)
    # Prices are kept to a hundredth of a cent, rounded up.
    assert whole.recipe.cost is not None
    exact = Fraction(whole.recipe.cost) * share
    dust = Fraction(1, 10**12)
    assert -dust < Fraction(some.cost) - exact < Fraction(1, 10_000) + dust


def test_the_sum_of_the_recipe_over_the_portions_is_what_a_portion_has() -> None:
    for amount in ("7 pieces", "10 pieces", "15 pieces", "31 pieces"):
        batch = farls(cooking(amount))
        assert batch.recipe is not None
        protein = sum(
            (line.grams * line.food.nutrients["PROCNT"] / 100 for line in batch.recipe.ingredients),
            Decimal(0),
        )
        one = float(magnitude(batch.nutrition["PROCNT"], "gram"))
        assert float(protein) / batch.portions == pytest.approx(one, 1e-9)


@pytest.mark.parametrize("number", [1, 4, 14, 15, 22])
def test_a_batch_with_figures_of_its_own_keeps_them(number: int) -> None:
    some, whole = farls(cooking(f"{number} pieces", stated("4.60"))), farls(stated("4.60"))
    assert_portion_is_the_same(some, whole)
    assert whole.cost == Decimal("4.60")
    exact = Decimal("4.60") * number / YIELD
    assert some.cost == exact.quantize(Decimal("0.0001"), ROUND_CEILING)
    assert some.recipe is None


def test_a_stated_cost_is_of_the_whole_yield_beside_ingredients_too() -> None:
    text = edited(WEEK, "    portion: 45 g\n", "    portion: 45 g\n    cost: 3\n")
    assert farls(text).cost == 3
    assert farls(cooking("5 pieces", text)).cost == 1
    assert farls(cooking("30 pieces", text)).cost == 6


def test_a_yield_that_cannot_be_is_refused_whatever_is_cooked() -> None:
    # The ingredients come to no more than 20 pieces or so of 45 g; three times that is no yield.
    text = WEEK.replace("yield: 15 pieces", f"yield: 60 pieces  {HERE}\n    cook: 15 pieces")
    fault = refusal(text)
    assert fault.where.line == line_of(text)
    assert "heavier than its ingredients can get" in fault.what


# -- what is said of it --------------------------------------------------------------------------


def test_the_trace_shows_the_share() -> None:
    week = week_from(cooking("10 pieces"))
    answer = add_up(week, "farls")
    text = trace.text(answer)
    printed = " ".join(text.split())
    assert printed.count("x 0.667 of the recipe") >= 3
    assert "106.7" in printed
    assert "the batch divided by 10" in printed
    assert "10 pieces: 45 g each, as stated" in printed
    assert "of the recipe" not in trace.text(add_up(week_from(WEEK), "farls"))


def test_check_says_what_is_cooked() -> None:
    assert "10 x 45 g" in check.text(understood(week_from(cooking("10 pieces"))))
    assert "15 x 45 g" in check.text(understood(week_from(WEEK)))


def plan_of(text: str) -> tuple[Week, Iterator[str]]:
    week = week_from(text)
    plan = plan_week(week_from(text), reasons=False)
    assert plan.status == "optimal"
    assert plan.batches[0].portions == week.batches["farls"].portions
    packed = sum(part.portions for line in plan.lunches for part in line.batches)
    left = sum(part.portions for part in plan.left_over.batches)
    assert packed + left == week.batches["farls"].portions
    assert plan.totals["cost"] == pytest.approx(float(week.batches["farls"].cost), abs=1e-9)
    return week, (line.dish for line in plan.lunches)


def test_a_plan_packs_what_is_cooked() -> None:
    for amount in ("6 pieces", "15 pieces", "20 pieces"):
        week, dishes = plan_of(cooking(amount))
        assert len(list(dishes)) == len(week.lunches)


# -- nonsense --------------------------------------------------------------------------------------


@each(
    ("amount", "what", "mend"),
    [
        ("10", "10 has no unit", "'10 pieces'"),
        ("0", "0 has no unit", "'18 pieces'"),
        ("0 pieces", "'0 pieces' is nothing", "'18 pieces'"),
        ("-3 pieces", "'-3 pieces' is negative", "'3 pieces'"),
        ("2.5 pieces", "2.5 pieces is no whole number", "Round it"),
        ("2.5 portions", "2.5 portions is no whole number", "Round it"),
        ("100 g", "100 g does not come to whole portions of 45 g", "90 g or 135 g"),
        ("2001 pieces", "more than a kitchen holds", "Check the number"),
        ("90.045 kg", "it comes to 2001 portions", "at most 2000"),
        ("10 mL", "'10 mL' does not measure a yield", "'18 pieces'"),
        ("5 days", "'5 days' does not measure a yield", "'18 pieces'"),
        ("ten", "'ten' is not an amount", "'10 pieces'"),
        ("10 pices", "'pices' is not a unit", "'10 pieces'"),
        ("yes", "'yes' is not an amount", "'18 pieces'"),
        ("true", "", ""),
        ("[10 pieces]", "a list is not an amount", "'18 pieces'"),
        ("{pieces: 10}", "a mapping is not an amount", "'18 pieces'"),
    ],
)
def test_nonsense_is_refused_on_its_line(amount: str, what: str, mend: str) -> None:
    text = cooking(f"{amount}  {HERE}")
    fault = refusal(text)
    assert fault.where.line == line_of(text)
    assert "batches > farls > cook" in str(fault.where)
    assert what in fault.what
    assert mend in fault.mend


def test_a_dish_that_takes_more_than_is_cooked_cannot_come() -> None:
    text = edited(cooking("1 piece"), "{farls: 1 to 20}}", "{farls: 2 to 20}}")
    (take,) = week_from(text).dishes["Plate"].takes
    # The range keeps its least, which the stock forbids.
    assert (take.least, take.most) == (2, 2)


def test_a_mass_is_no_number_of_portions_where_a_portion_has_none() -> None:
    text = cooking("450 g").replace("    portion: 45 g\n", "")
    fault = refusal(text)
    assert fault.what == "'portion' is missing"
    # By number it may be cooked all the same.
    batch = farls(cooking("10 pieces").replace("    portion: 45 g\n", ""))
    whole = farls(WEEK.replace("    portion: 45 g\n", ""))
    assert batch.portions == 10
    assert batch.portion == whole.portion


def test_what_is_not_a_batch_has_nothing_to_cook() -> None:
    text = edited(FULL, "    pack: 90 g\n", f"    pack: 90 g\n    cook: 2 pieces  {HERE}\n")
    fault = refusal(text)
    assert fault.where.line == line_of(text)
    assert "unknown key 'cook'" in fault.what


def test_a_scaled_cost_that_is_whole_cents_stays_so() -> None:
    # 3.43 / 7 x 10 is 4.90, and a seventh has no end.
    batch = replace(next(iter(read_week("minimal").batches.values())), whole=None)
    batch = replace(batch, portions=7, exact_cost=Decimal("3.43"), cost=Decimal("3.43"))
    assert cooked_in(batch, 10).cost == Decimal("4.90")
