"""A saved plan judged against its week: every rule, every amount, every sum, every word.

No solver takes part. Whoever edits a plan by hand learns which rule each change
breaks, and where the sums no longer hold. What only a solver could find anew is
told to be taken as written.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from models.answers.audit import AuditFile, Finding
from models.answers.plan import LunchLine, PackLine, PlanFile
from models.file.planfile import embedded_week
from models.week import sums
from models.week.cautions import bearing
from models.week.packed import OpenedPacks, PackedLunch, PackedPortions, PackedWeek
from models.week.week import Dish, Week
from models.words.days import day_name
from models.words.document import document_of
from models.words.errors import InputError, Where, suggestion
from models.words.giving import BOUGHT, BUY, FLOORS, NOT_ASKED, VARIETY, WISHES
from models.words.numbers import counted, keeping, plain
from optimiser.auditing.claims import claims, seal, taken_as_written
from optimiser.auditing.proofs import Replayed, proven, replay
from optimiser.priorities import PRIORITIES, values
from optimiser.rules import Rule, rules_of
from optimiser.rules.giving import Given, given_way, not_packed, steps
from optimiser.written import (
    batch_info,
    cautions_said,
    days_off,
    freezer_moves,
    in_groups,
    left_over,
    lunch_lines,
    minded,
    pack_lines,
    totals,
    unpriced,
)

SUMS = "what a plan says of itself is what its lunches add up to"


def answer(plan: PlanFile, week: Week | None = None, source: str = "the plan") -> AuditFile:
    """Give everything that is wrong with a plan, as `audit` finds it.

    Parameters
    ----------
    plan
        The plan.
    week
        The week to judge it by; the one it was made for when left out.
    source
        Name of the plan's file, for messages.

    Returns
    -------
    AuditFile
        The faults, and what no audit can find out.

    Raises
    ------
    InputError
        When the plan names what its week has not.

    Examples
    --------
    >>> from optimiser import plan
    >>> made = plan("minimal", reasons=False)
    >>> answer(made).faults
    []
    >>> late = made.model_copy(update={"lunches": made.lunches[1:]})
    >>> [fault.rule for fault in answer(late).faults][:1]
    ['lunches']
    """
    own = embedded_week(plan, source)
    judge = own if week is None else week
    faults = audit(plan, judge, source)
    is_sound = not faults and own.source.data == judge.source.data
    again = replay(plan, own) if is_sound else Replayed((), proven(plan))
    faults += again.findings
    return AuditFile(
        name=plan.name,
        faults=faults,
        gives_way=[] if faults else list(_said_to_give(plan)),
        checked=list(again.checked),
        taken_as_written=taken_as_written(plan, again.checked, again.by_word),
    )


def _said_to_give(plan: PlanFile) -> Iterator[str]:
    """Say where the plan says that a rule gives way or a lunch is to buy."""
    if plan.nearest is not None:
        for line in plan.nearest.gave_way:
            yield from (f"{place.where}: {place.what}" for place in line.places)
        for bought in plan.nearest.bought:
            yield f"{_place(bought.date, bought.eater)}: {BUY}"


def audit(plan: PlanFile, week: Week | None = None, source: str = "the plan") -> list[Finding]:
    """Find everything that is wrong with a plan.

    Parameters
    ----------
    plan
        The plan.
    week
        The week to judge it by; the one it was made for when left out.
    source
        Name of the plan's file, for messages.

    Returns
    -------
    list[Finding]
        Which rule, where, and what is wrong; empty where nothing is. A broken seal is told only
        where nothing else is wrong.

    Raises
    ------
    InputError
        When the plan names what its week has not.

    Examples
    --------
    >>> import optimiser
    >>> audit(optimiser.plan("minimal", reasons=False))
    []
    """
    week = embedded_week(plan, source) if week is None else week
    packed = packed_of(plan, week, source)
    rules = rules_of(week)
    findings = [*_lunches(plan, week), *_dishes(week, packed)]
    for rule in rules:
        findings += _broken(plan, week, packed, rule)
    findings += _stock(plan, week, packed, rules)
    if all(lunch.day in week.days for lunch in packed.lunches):
        findings += _sums(plan, week, packed)
        findings += _given(plan, week, packed, rules)
    # Claims are of the plan's own week, and of a plan that is wrong anyway nobody asks for them.
    is_own = week.source.data == document_of(plan.week).data
    if not findings and is_own:
        findings += claims(plan, week, rules)
    return findings or list(seal(plan))


def _broken(plan: PlanFile, week: Week, packed: PackedWeek, rule: Rule) -> Iterator[Finding]:
    """Find where a rule is broken and does not give way, or gives way otherwise than stated.

    Only rules that may give way do so, whatever is stated: a safety rule never.
    """
    gave = [] if plan.nearest is None or not rule.gives else plan.nearest.gave_way
    stated = [place for line in gave if line.rule.key == rule.key for place in line.places]
    faults = list(rule.faults(week, packed))
    for fault, place in zip(faults, Given(rule, tuple(faults)).places(), strict=True):
        if place in stated:
            stated.remove(place)
        else:
            yield _finding(rule.key, rule.sentence(), fault.where, fault.what)
    for place in stated:
        what = f"it is stated to give way here, and does not: {place.what}"
        yield _finding(rule.key, rule.sentence(), place.where, what)


def _finding(rule: str, sentence: str, where: str, what: str) -> Finding:
    return Finding(rule=rule, sentence=sentence, where=where, what=what)


def packed_of(plan: PlanFile, week: Week, source: str = "the plan") -> PackedWeek:
    """Take from a plan what is packed, and nothing it says about it.

    Parameters
    ----------
    plan
        The plan.
    week
        Its week.
    source
        Name of the plan's file, for messages.

    Returns
    -------
    PackedWeek
        Lunches and opened packs, in the order of the plan.

    Raises
    ------
    InputError
        When it names what the week has not.

    Examples
    --------
    >>> import optimiser
    >>> made = optimiser.plan("minimal", reasons=False)
    >>> len(packed_of(made, optimiser.read_week("minimal")).lunches)
    3
    """
    lunches = tuple(
        _packed(week, line, ("lunches", at), source) for at, line in enumerate(plan.lunches)
    )
    for at, pack in enumerate(plan.packs):
        place = Where(source, None, ("packs", at, "item"))
        _known(pack.item, week.larder, place, "larder item")
    packs = tuple(OpenedPacks(pack.item, pack.opened, pack.packs) for pack in plan.packs)
    return PackedWeek(lunches, packs)


def _known(name: str, names: Any, where: Where, what: str) -> None:
    if name not in names:
        raise InputError(where, f"there is no {what} named {name!r}", suggestion(name, [*names]))


def _packed(week: Week, line: LunchLine, path: tuple[str | int, ...], source: str) -> PackedLunch:
    def known(name: str, names: Any, key: str, what: str) -> None:
        _known(name, names, Where(source, None, (*path, key)), what)

    known(line.eater, week.eaters, "eater", "eater")
    known(line.dish, week.dishes, "dish", "dish")
    for part in line.batches:
        known(part.batch, week.batches, "batches", "batch")
    for choice in line.choices:
        known(choice.choice, week.choices, "choices", "choice")
        options = [option.item for option in week.choices[choice.choice].options]
        known(choice.item, options, "choices", f"option of {choice.choice}")
    offered = [extra.helping.item for extra in week.dishes[line.dish].extras]
    for extra in line.extras:
        known(extra.item, offered, "extras", f"extra of {line.dish}")
    return PackedLunch(
        eater=line.eater,
        day=line.date,
        dish=line.dish,
        portions=tuple(
            PackedPortions(part.batch, part.portions, part.from_freezer) for part in line.batches
        ),
        options={choice.choice: choice.item for choice in line.choices},
        extras={extra.item: extra.times for extra in line.extras},
    )


def _lunches(plan: PlanFile, week: Week) -> Iterator[Finding]:
    """Every lunch of the week is packed once, and none besides."""
    rule = "each lunch of the week is packed once, or stated as bought"
    wanted = [(lunch.day, lunch.eater) for lunch in week.lunches]
    packed = [(line.date, line.eater) for line in plan.lunches]
    lines = [] if plan.nearest is None else plan.nearest.bought
    bought = [(line.date, line.eater) for line in lines]
    for day, eater in wanted:
        count, buys = packed.count((day, eater)), bought.count((day, eater))
        if count + buys != 1:
            what = f"packed {count} times" + (f", bought {buys} times" if buys else "")
            yield _finding("lunches", rule, _place(day, eater), what)
    for day, eater in sorted({*packed, *bought} - {*wanted}):
        yield _finding("lunches", rule, _place(day, eater), "the week has no such lunch")


def _place(day: date, eater: str) -> str:
    return f"{day_name(day)}, {eater}"


def _dishes(week: Week, packed: PackedWeek) -> Iterator[Finding]:
    """Every lunch keeps to its dish."""
    for lunch in packed.lunches:
        dish = week.dishes[lunch.dish]
        for what in _unlike(dish, lunch):
            yield _finding("dish", f"{dish.name} is made as the file says", _of(lunch), what)


def _of(lunch: PackedLunch) -> str:
    return _place(lunch.day, lunch.eater)


def _unlike(dish: Dish, lunch: PackedLunch) -> Iterator[str]:
    taken = {take.batch for take in dish.takes}
    for part in lunch.portions:
        if part.batch not in taken:
            yield f"{dish.name} takes no {part.batch}"
    for take in dish.takes:
        if not take.least <= lunch.of(take.batch) <= take.most:
            yield f"{lunch.of(take.batch)} of {take.batch}, not {take.least} to {take.most}"
    if set(lunch.options) != set(dish.choices):
        yield f"its choices are {', '.join(dish.choices) or 'none'}"
    for extra in dish.extras:
        times = lunch.extras.get(extra.helping.item, 0)
        if not 0 <= times <= extra.most:
            yield f"{times} of {extra.helping.item}, not 0 to {extra.most}"


_FIGURES = {
    "batches": "grams or evenings of its batches",
    "goes_in": "what always goes in",
    "choices": "amounts of its choices",
    "extras": "amounts of its extras",
    "nutrients": "nutrients",
    "minutes": "minutes",
    "cost": "cost",
    "kind": "kind",
    "microwave": "whether it is heated",
    "fridge": "fridge",
    "cold_packs": "cold packs",
    "cost_complete": "whether all of it has a price",
    "allergens": "allergens",
    "allergens_us": "allergens by US law",
    "cereals": "cereals of its gluten",
    "allergens_unknown": "foods of unknown allergens",
}


def _sums(plan: PlanFile, week: Week, packed: PackedWeek) -> Iterator[Finding]:
    """Hold what the plan says of itself against what it adds up to."""
    rule = SUMS
    counted = lunch_lines(week, packed.lunches, [list(line.reasons) for line in plan.lunches])
    for line, lunch, real in zip(plan.lunches, packed.lunches, counted, strict=True):
        wrong = [
            words for name, words in _FIGURES.items() if getattr(line, name) != getattr(real, name)
        ]
        if wrong:
            yield _finding("sums", rule, _of(lunch), f"no longer true: {', '.join(wrong)}")
    real_left = left_over(week, packed, list(plan.left_over.why))
    if plan.left_over != real_left:
        grams = plain(sums.left_over(week, packed))
        yield _finding("sums", rule, "left over", f"it comes to {grams} g in all")
    yield from _facts(plan, week, packed)
    if plan.totals != totals(week, packed) or plan.unpriced != unpriced(week, packed):
        yield _finding("sums", rule, "totals", "cost or minutes of the week are other ones")
    real_values = values(week, packed)
    for told in plan.priorities:
        priority = PRIORITIES.get(told.name)
        if priority is not None:
            stated, reached = Decimal(str(told.value)), real_values[told.name]
            if abs(stated - reached) > Decimal("0.00001"):
                what = f"it says {plain(stated, 2)} {priority.unit}, it is {plain(reached, 2)}"
                yield _finding("sums", rule, priority.title, what)


def _given(
    plan: PlanFile, week: Week, packed: PackedWeek, rules: Sequence[Rule]
) -> Iterator[Finding]:
    """Hold how much is said to give way against how much does."""
    if plan.nearest is None:
        return
    given = given_way(week, packed, rules)
    real: dict[str, Decimal] = {
        BOUGHT: Decimal(len(not_packed(week, packed))),
        FLOORS: Decimal(steps(given, FLOORS)) / 10,
        WISHES: Decimal(
            sum(not x.granted and x.text != NOT_ASKED for x in plan.wishes) + steps(given, WISHES)
        ),
        VARIETY: Decimal(steps(given, VARIETY)),
    }
    for line in plan.nearest.levels:
        if line.name not in real or Decimal(str(line.value)) != real[line.name]:
            what = f"it says {plain(line.value, 2)} {line.unit}, it is another number"
            yield _finding("sums", SUMS, f"what gives way: {line.name}", what)


def _facts(plan: PlanFile, week: Week, packed: PackedWeek) -> Iterator[Finding]:
    """Hold what the plan says of its food and of the week against the week."""
    batches = [batch_info(batch) for batch in week.batches.values()]
    bear = bearing(week, packed if plan.is_planned else None)
    cautions, minds = cautions_said(bear, plan.changes), minded(bear)
    days = [lunch.date for lunch in plan.lunches]
    facts: tuple[tuple[str, object, object, str], ...] = (
        ("batches", plan.batches, batches, "how long they keep or what is in them is other"),
        ("moves", plan.moves, freezer_moves(week, packed), "what is frozen or thawed is other"),
        ("no lunch", plan.no_lunch, days_off(week), "the days without lunch are other ones"),
        ("groups", plan.groups, in_groups(week), "so many eat by one entry that it says otherwise"),
        ("name", plan.name, week.name, "the week has another name"),
        ("days", plan.days, list(week.days), "the days of the week are other ones"),
        ("currency", plan.currency, week.currency, "the week has prices in another one"),
        ("note", plan.note, week.note, "the week says something else of itself"),
        ("guidance", plan.guidance, week.guidance, f"the week follows {week.guidance or 'none'}"),
        ("cautions", plan.cautions, cautions, "other cautions bear on this week"),
        ("cautions", plan.mind, minds, "something else must not be missed"),
        ("lunches", days, sorted(days), "they are out of the order of their days"),
    )
    for where, stated, real, what in facts:
        if stated != real:
            yield _finding("sums", SUMS, where, what)
    yield from _packs(plan, week, packed)


def _packs(plan: PlanFile, week: Week, packed: PackedWeek) -> Iterator[Finding]:
    """As few packs are opened, as late, as the lunches need."""
    needed = pack_lines(week, sums.packs_needed(week, sums.uses(week, packed)))
    for name in week.larder:
        stated, wanted = (
            sorted((pack for pack in packs if pack.item == name), key=lambda pack: pack.opened)
            for packs in (plan.packs, needed)
        )
        if stated != wanted:
            yield _finding(
                "sums", SUMS, name, f"{_opened(stated)} stated, {_opened(wanted)} needed"
            )


def _opened(packs: Sequence[PackLine]) -> str:
    listed = ", ".join(
        f"{counted(pack.packs, 'pack')} on {day_name(pack.opened)}"
        + ("" if pack.opened_life is None else f" (once opened it {keeping(pack.opened_life)})")
        for pack in packs
    )
    return listed or "no pack"


def _stock(
    plan: PlanFile, week: Week, packed: PackedWeek, rules: tuple[Rule, ...]
) -> Iterator[Finding]:
    """Every portion is eaten or counted as left over."""
    stock = {rule.subject: rule for rule in rules if rule.family == "stock"}
    stated = {rest.batch: rest.portions for rest in plan.left_over.batches}
    for name, batch in week.batches.items():
        left = max(0, sums.wasted(week, packed, name))
        if stated.get(name, 0) != left:
            rule = stock[name]
            what = (
                f"{batch.portions - left} packed and {stated.get(name, 0)} stated as left over "
                f"of {batch.portions}"
            )
            yield _finding(rule.key, rule.sentence(), name, what)
