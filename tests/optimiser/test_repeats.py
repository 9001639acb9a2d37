"""No repeats: as few as can be of each sort, in order, then the best week of those."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

import pytest

from models.answers.plan import PlanFile
from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.packed import PackedLunch, PackedPortions, PackedWeek
from models.week.week import Week
from models.words.priorities import TIE_BREAK
from optimiser import planning
from optimiser.auditing import packed_of as audited
from optimiser.board.rows import Row, Sum
from optimiser.explain.wishes import wish_of
from optimiser.planning import difference, plan_week
from optimiser.priorities import PRIORITIES
from optimiser.rules import faults_of, rules_of
from optimiser.solve import cpsat
from optimiser.solve.cpsat import Status
from optimiser.solve.limits import Stop
from optimiser.solve.program import Program
from optimiser.solve.week import solve_week, solve_with
from optimiser.weeks.bends import as_packed
from optimiser.weeks.repeats import WAYS, Repeats, asked
from tests.depth import sized

from ..oracle import plain
from ..weeks import SMALL, TINY, document_of
from .asking import drawn
from .every_week import every
from .other_ways import Asked, reached, weeks

MOST_TRIED = 1500
"""A random week with more combinations of lunches than this is not counted out."""

BATCH = (
    "{made: 2026-11-29, yield: 6 portions, portion: 100 g, nutrition: {protein: 4 g}, "
    "fridge_life: 4, allergens: none}"
)
WEEK = f"""
week: {{starts: 2026-11-30, days: [mon, tue, wed], guidance: us}}
place: {{microwave: yes}}
eaters:
  Ada: {{likes: {{A: 2}}}}
batches:
  beans: {BATCH}
dishes:
  A: {{kind: bowl, takes: {{beans: 1 to 2}}}}
  B: {{kind: bowl, takes: {{beans: 1 to 2}}}}
  C: {{kind: cup, takes: {{beans: 1 to 2}}, microwave: yes}}
"""


@pytest.mark.parametrize("way", WAYS)
def test_repeats_are_the_fewest_and_then_the_week_is_the_best(way: str) -> None:
    looked_at = 0
    for at, (week, _) in enumerate(weeks(sized(2, 4), shift=31)):
        # Every other dish was eaten lately, by everyone.
        eaten = {(eater, dish) for eater in week.eaters for dish in list(week.dishes)[at % 2 :: 2]}
        wanted = asked(way, eaten)
        _, solved = solve_with(week, [], first=wanted)
        assert solved.packed is not None
        assert list(faults_of(week, solved.packed)) == []
        oracle = Asked(week)
        lines = [oracle.repeats_of(wish.aspect, wish.eaten) for wish in wanted]
        for wish, line in zip(wanted, lines, strict=True):
            assert oracle.least(line) == wish.count(week, solved.packed), (wish.aspect, week)
        if solved.status is Status.OPTIMAL:
            names = [name for name in week.priorities if name != "file_order"]
            assert oracle.priorities(names) == reached(solved, names)
            looked_at += 1
    assert looked_at >= sized(4, 10)


def test_every_week_counted_out_has_no_fewer_repeats_and_none_as_few_is_better() -> None:
    looked_at = varied = 0
    for at, data in enumerate(drawn(TINY, sized(6, 12), shift=61)):
        week = week_of(document_of(data))
        all_ = every(week, MOST_TRIED)
        if not all_:
            continue
        eaten = {(eater, dish) for eater in week.eaters for dish in list(week.dishes)[at % 2 :: 2]}
        wanted = asked(list(WAYS)[at % 3], eaten)
        _, solved = solve_with(week, [], first=wanted)
        assert solved.packed is not None
        best = min(ranks(week, wanted, lunches) for lunches in all_)
        assert ranks(week, wanted, solved.packed.lunches) == best
        looked_at += 1
        varied += best[: len(wanted)] != ranks(week, wanted, plainly(week))[: len(wanted)]
    assert looked_at > sized(6, 20)
    assert varied > sized(1, 5)


def plainly(week: Week) -> Sequence[PackedLunch]:
    _, solved = solve_week(week)
    assert solved.packed is not None
    return solved.packed.lunches


def ranks(
    week: Week, wanted: Sequence[Repeats], lunches: Sequence[PackedLunch]
) -> tuple[Fraction, ...]:
    """Give what is to be small, what matters most first, all of it counted by hand."""
    names = tuple(name for name in week.priorities if name != TIE_BREAK)
    values = plain.values_of(replace(week, priorities=names), lunches)
    return (
        *(Fraction(by_hand(week, wish, lunches)) for wish in wanted),
        *(-value if PRIORITIES[name].most else value for name, value in values),
    )


def by_hand(week: Week, repeats: Repeats, lunches: Sequence[PackedLunch]) -> int:
    """Count repeats as a reader of the packed week would."""
    found = 0
    for eater in week.eaters:
        mine = [lunch for lunch in lunches if lunch.eater == eater]
        if repeats.aspect == "eaten":
            found += sum((eater, lunch.dish) in repeats.eaten for lunch in mine)
            continue
        things = {
            "dish": [lunch.dish for lunch in mine],
            "kind": [week.dishes[lunch.dish].kind for lunch in mine],
            "choice": [item for lunch in mine for item in lunch.options.values()],
        }[repeats.aspect]
        found += len(things) - len(set(things))
    return found


class Noted:
    """Something to have little of that remembers its own sum."""

    def __init__(self, repeats: Repeats) -> None:
        self.one = repeats
        self.sum: Sum | None = None

    def total(self, program: Program) -> Sum:
        self.sum = self.one.total(program)
        return self.sum


def test_program_packed_week_and_list_count_the_same() -> None:
    several = 0
    for week, solved in weeks(sized(2, 3), shift=32):
        assert solved.packed is not None
        had = {(eater, next(iter(week.dishes))) for eater in week.eaters}
        for repeats in asked("all", had):
            noted = Noted(repeats)
            _, apart = solve_with(week, [], first=[noted])
            assert apart.packed is not None
            assert apart.counts is not None
            assert noted.sum is not None
            number = repeats.count(week, apart.packed)
            assert noted.sum.value(apart.counts) == number
            for packed in (apart.packed, solved.packed):
                number = repeats.count(week, packed)
                assert number == by_hand(week, repeats, packed.lunches)
                assert number == sum(times for _, times in repeats.again(week, packed))
                several += number > 1
            # Held as it is packed, a week has no fewer repeats in the program either.
            program = Program(week)
            total = repeats.total(program)
            rows = list(as_packed(program, solved.packed, lambda _: True))
            answer = cpsat.solve(cpsat.model_of(program.board.sheet), total, extra=rows)
            assert answer.values is not None
            assert total.value(answer.values) == repeats.count(week, solved.packed)
    assert several > sized(1, 5)


def plan(text: str, way: str = "dish", eaten: set[tuple[str, str]] | None = None) -> PlanFile:
    return plan_week(week_of(parse("w", text)), reasons=False, varied=asked(way, eaten or set()))


def test_where_it_can_be_it_holds_and_says_what_it_costs() -> None:
    answer = plan(WEEK + "priorities: [left_over, liking]\n")
    assert sorted(line.dish for line in answer.lunches) == ["A", "B", "C"]
    (line,) = answer.wishes
    assert (line.wish, line.granted) == ("no dish twice", True)
    # "A" is liked by 2, the others are not, and three times is what is best.
    assert line.text == "it holds; against the plan without it: -4 points of liking"


def test_where_it_cannot_be_the_nearest_week_and_the_rules_that_forbid_it() -> None:
    text = WEEK.replace("microwave: yes}\n", "microwave: no}\n", 1)
    answer = plan(text)
    assert len({line.dish for line in answer.lunches}) == 2
    (line,) = answer.wishes
    assert (line.granted, line.amount) == (False, 1)
    assert "has again" in line.text
    week = week_of(parse("w", text))
    keys = [rule.key for rule in line.rules]
    assert any("Ada" in key or "C" in key for key in keys)

    assert not possible(week, Repeats("dish"), keys)
    for key in keys:
        assert possible(week, Repeats("dish"), without(keys, key))


def test_each_rule_that_is_named_is_needed() -> None:
    named: Counter[str] = Counter()
    for data in drawn(SMALL, sized(2, 6), shift=33):
        document = document_of(data)
        week, before = week_of(document), list[Repeats]()
        had = {(eater, dish) for eater in week.eaters for dish in list(week.dishes)[::2]}
        plan = plan_week(week_of(document), reasons=False, varied=asked("all", had))
        for line, repeats in zip(plan.wishes, asked("all", had), strict=bool(plan.wishes)):
            assert line.wish == repeats.title
            assert line.granted == (line.amount is None)
            if not line.granted:
                on_top = before if line.text.startswith("after what is asked above") else []
                counts = [int(plan.wishes[at].amount or 0) for at in range(len(on_top))]
                atop = list(zip(on_top, counts, strict=True))
                keys = [rule.key for rule in line.rules]
                assert not possible(week, repeats, keys, atop)
                assert all(possible(week, repeats, without(keys, key), atop) for key in keys)
                # What is laid on top is laid there for a reason.
                all_ = [rule.key for rule in rules_of(week)]
                assert possible(week, repeats, all_, []) == bool(on_top)
                assert (not keys) == ("whatever the rules" in line.text)
                named["rules" if keys else "none"] += 1
                named["on top"] += bool(on_top)
            before = [*before, repeats]
    assert min(named["rules"], named["none"], named["on top"]) > 0, named


def without(keys: Sequence[str], key: str) -> list[str]:
    return [own for own in keys if own != key]


def possible(
    week: Week, repeats: Repeats, kept: Sequence[str], on_top: Sequence[tuple[Repeats, int]] = ()
) -> bool:
    """Tell by a fresh program whether rules leave a week without such repeats."""
    program = Program(week, rules=[rule for rule in rules_of(week) if rule.key in kept])
    sheet = program.board.sheet
    sheet.rows += [Row.of(other.total(program), high=count) for other, count in on_top]
    sheet.rows.append(Row.of(repeats.total(program), high=0))
    answer = cpsat.solve(cpsat.model_of(sheet), None)
    assert answer.status is not Status.UNKNOWN
    return answer.values is not None


def test_more_lunches_than_dishes_need_no_rule_to_have_one_twice() -> None:
    answer = plan(WEEK.replace("[mon, tue, wed]", "[mon, tue, wed, thu]"))
    (line,) = answer.wishes
    assert (line.granted, line.amount, line.rules) == (False, 1, [])
    assert line.text.startswith("whatever the rules, the nearest that can be has again: A; ")


def test_what_matters_more_is_named_where_it_stands_in_the_way() -> None:
    # Three lunches of three dishes: without one twice "A" must come, though it came lately.
    answer = plan(WEEK, eaten={("Ada", "A")})
    first, second = answer.wishes
    assert (first.wish, first.granted) == ("no dish twice", True)
    assert (second.wish, second.granted) == ("nothing that was eaten lately", False)
    assert second.text.startswith("after what is asked above, whatever the rules, ")
    assert "against the plan without these: " in second.text
    wished = plan_week(
        week_of(parse("w", WEEK)),
        reasons=False,
        prefer=[wish_of(week_of(parse("w", WEEK)), "A on tue", "--prefer")],
        varied=[Repeats("eaten", frozenset({("Ada", "A")}))],
    )
    assert [line.granted for line in wished.wishes] == [True, False]
    assert wished.wishes[1].text.startswith("with what is wished, whatever the rules, ")


def test_an_item_that_two_choices_offer_comes_twice_in_one_lunch() -> None:
    text = WEEK.replace("dishes:", CHOICES + "dishes:").replace("beans: 1 to 2}", TAKEN)
    answer = plan(text, "all")
    assert answer.status == "optimal"
    lines = {line.wish: line for line in answer.wishes}
    # Two apples in each of three lunches.
    assert lines["no choice twice"].amount == 5
    assert "apple (5 times)" in lines["no choice twice"].text


CHOICES = """
larder: {apple: {pack: 9 pieces, chilled: no, price: 1, allergens: none}}
choices: {first: [apple: 1 piece], second: [apple: 1 piece]}
"""
TAKEN = "beans: 1 to 2}, choices: [first, second]"


def test_no_kind_twice_is_more_than_no_dish_twice() -> None:
    answer = plan(WEEK, "kind")
    (line,) = answer.wishes
    assert (line.wish, line.granted, line.amount) == ("no kind of dish twice", False, 1)


def test_what_one_eater_had_does_not_keep_it_from_another() -> None:
    text = WEEK.replace("  Ada: {likes: {A: 2}}", "  Ada: {likes: {A: 2}}\n  Bo: {likes: {A: 2}}")
    text = text.replace("days: [mon, tue, wed]", "days: [mon]")
    answer = plan(text, eaten={("Ada", "A")})
    dishes = {line.eater: line.dish for line in answer.lunches}
    assert dishes["Bo"] == "A"
    assert dishes["Ada"] != "A"


def test_the_same_dish_for_two_eaters_is_no_repeat() -> None:
    text = WEEK.replace("  Ada: {likes: {A: 2}}", "  Ada: {likes: {A: 2}}\n  Bo: {likes: {A: 2}}")
    text = text.replace("days: [mon, tue, wed]", "days: [mon, tue]")
    answer = plan(text)
    assert [line.granted for line in answer.wishes] == [True]
    # Each has "A" once, and once something else.
    assert Counter(line.eater for line in answer.lunches if line.dish == "A") == {"Ada": 1, "Bo": 1}


# -- the plan it is held against -----------------------------------------------------------

COSTLY = f"""
week: {{starts: 2026-11-30, days: [mon, tue], guidance: us, currency: EUR}}
eaters: {{Ada: {{likes: {{A: 1, B: 1}}}}}}
batches:
  beans: {BATCH}
larder:
  bread:
    {{pack: 10 pieces, chilled: no, price: 1.99, nutrition: {{protein: 1.04 g}}, allergens: none}}
  seeds:
    {{pack: 100 g, chilled: no, price: 2, per: 10 g, nutrition: {{protein: 0.02 g}},
     allergens: none}}
dishes:
  A: {{kind: x, takes: {{beans: 3}}, goes_in: {{bread: 1 piece}}, minutes: 2}}
  B: {{kind: x, takes: {{beans: 2}}, goes_in: {{bread: 1 piece, seeds: 10 g}}, minutes: 4}}
  C: {{kind: y, takes: {{beans: 1}}, minutes: 1}}
"""


def against(plan: PlanFile) -> str:
    (text,) = [line.text for line in plan.wishes if "against the plan without" in line.text]
    return text.partition("against the plan without it: ")[2]


def test_what_it_costs_is_the_difference_to_the_same_plan_without_it() -> None:
    # A and B instead of A twice: 100 g, 4 g protein less 0.02, and a helping of seeds.
    assert against(plan(COSTLY)) == (
        "+100 g left over, -4 g protein in all, +0.20 EUR of cost, +2 min of packing"
    )
    # With B on Monday wished for, that is in both plans: A and B either way.
    week = week_of(parse("w", COSTLY))
    wish = wish_of(week, "B on mon", "--prefer")
    answer = plan_week(
        week_of(parse("w", COSTLY)), reasons=False, prefer=[wish], varied=asked("dish", set())
    )
    assert [line.dish for line in answer.lunches] == ["B", "A"]
    assert against(answer) == "nothing is lost"


def test_a_saved_plan_is_kept_as_far_as_repeats_let_it() -> None:
    kept = packed_of(plan_week(week_of(parse("w", COSTLY.replace("A: 1, B", "B"))), reasons=False))
    near = replace(
        kept, lunches=tuple(replace(lunch, dish="B", portions=TWO_BEANS) for lunch in kept.lunches)
    )
    plan = plan_week(
        week_of(parse("w", COSTLY)), reasons=False, near=near, varied=asked("dish", set())
    )
    assert sorted(line.dish for line in plan.lunches) == ["A", "B"]
    lines = {line.wish: line.text for line in plan.wishes}
    assert lines["the saved plan kept"] == "1 lunch differs from that plan"
    # Against B twice, as it was kept: A for B leaves 100 g less and takes 2 min less.
    assert against(plan) == (
        "-100 g left over, +4 g protein in all, -0.20 EUR of cost, -2 min of packing"
    )


TWO_BEANS = (PackedPortions("beans", 2, 0),)


def test_what_rounds_to_nothing_is_not_said() -> None:
    tiny = COSTLY.replace(
        "beans: 2}, goes_in: {bread: 1 piece,", "beans: 3}, goes_in: {bread: 1 piece,"
    )
    tiny = tiny.replace("price: 2,", "price: 0,").replace("minutes: 4", "minutes: 2")
    assert against(plan(tiny)) == "nothing is lost"


def test_each_priority_that_is_lost_is_named() -> None:
    week = week_of(parse("w", COSTLY))
    bare = PackedLunch("Ada", week.days[0], "C", (PackedPortions("beans", 1, 0),), {}, {})
    richer = replace(bare, dish="A", portions=(PackedPortions("beans", 3, 0),))
    before, after = PackedWeek((richer,), ()), PackedWeek((bare,), ())
    assert difference(week, before, after) == (
        "+200 g left over, -9 g protein in all, -1 point of liking, -0.20 EUR of cost, "
        "-1 min of packing"
    )
    twice = PackedWeek((bare, replace(bare, day=week.days[1])), ())
    assert "+1 repeat of a dish" in difference(week, after, twice)
    assert "repeat" not in difference(week, twice, after)
    frozen = replace(richer, portions=(PackedPortions("beans", 3, 2),))
    assert difference(week, before, PackedWeek((frozen,), ())) == "+2 portions thawed"
    named = replace(week, priorities=("left_over",))
    assert difference(named, before, PackedWeek((frozen,), ())) == "nothing is lost"


# -- where the search ends early -----------------------------------------------------------


def test_stopped_while_wishes_are_granted_the_plan_without_them_is_given() -> None:
    stop = Stop()

    def say(text: str) -> None:
        if text == "granting wishes":
            stop.now()

    document = parse("w", WEEK)
    week = week_of(document)
    usual = plan_week(week_of(document), reasons=False)
    plan = plan_week(
        week_of(document),
        stop=stop,
        say=say,
        prefer=[wish_of(week, "B on mon", "--prefer")],
        near=packed_of(usual),
        varied=asked("dish", set()),
    )
    assert plan.interrupted
    assert plan.lunches == usual.lunches
    assert [(line.wish, line.granted, line.text) for line in plan.wishes] == [
        ("B on Mon 30 Nov", False, "not found in time"),
        ("no dish twice", False, "not found in time"),
        ("the saved plan kept", False, "not found in time"),
    ]


def test_what_is_not_proven_is_not_said_to_be_the_nearest(monkeypatch: pytest.MonkeyPatch) -> None:
    def open_(*_: object, **__: object) -> bool:
        raise TimeoutError

    monkeypatch.setattr(planning, "impossible", open_)
    (line,) = plan(WEEK.replace("[mon, tue, wed]", "[mon, tue, wed, thu]")).wishes
    assert line.text.startswith("the nearest that was found has again: A")
    assert line.rules == []


def packed_of(made: PlanFile) -> PackedWeek:
    return audited(made, week_of(parse("w", WEEK if len(made.days) > 2 else COSTLY)))


TWO_CHOICES = """
week: {starts: 2026-11-30, days: [mon, tue], guidance: us}
eaters: {Ada: {}}
larder:
  apple: {pack: 1 piece, allergens: none, chilled: no}
  pear: {pack: 1 piece, allergens: none, chilled: no}
  plum: {pack: 1 piece, allergens: none, chilled: no}
  fig: {pack: 1 piece, allergens: none, chilled: no}
choices:
  fruit: [{apple: 1 piece}, {pear: 1 piece}]
  sweet: [{apple: 1 piece}, LAST]
dishes:
  A: {kind: x, choices: [fruit, sweet]}
  B: {kind: y, choices: [fruit, sweet]}
"""


@pytest.mark.parametrize(
    ("last", "repeats"),
    [
        ("{plum: 1 piece}", 1),  # Three things for four choices.
        ("{pear: 1 piece}", 2),  # Two, in each lunch both.
        ("{plum: 1 piece}, {fig: 1 piece}", 0),
    ],
)
def test_an_item_counts_each_time_it_is_chosen_in_one_lunch_as_in_two(
    last: str, repeats: int
) -> None:
    week = week_of(parse("w", TWO_CHOICES.replace("LAST", last)))
    plan = plan_week(week, reasons=False, varied=asked("all", []))
    (choice,) = (line for line in plan.wishes if line.wish == "no choice twice")
    chosen = Counter(item.item for lunch in plan.lunches for item in lunch.choices)
    assert sum(chosen.values()) - len(chosen) == repeats
    assert (choice.granted, choice.amount or 0) == (not repeats, repeats)
