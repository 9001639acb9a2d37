"""Bounds of what is read that no other test holds: at the bound it is read, beyond it refused.

All bounds stand under "What is trusted" in DEVELOPERS.md, each with the test that holds it.
"""

from __future__ import annotations

import pickle
from datetime import date, timedelta

import pytest

from models.file import every_fault as faults_of_a_file
from models.file import yamltext
from models.file.every_fault import MOST_READ, MOST_ROUNDS, MOST_SLIPS, every_fault
from models.file.food.made import LONGEST_AGO
from models.file.food_entries import MOST_INGREDIENTS
from models.file.reading import week_of
from models.file.recipes.steps import LONGEST_MINUTES, steps_of
from models.file.told import MOST_DIGITS, many_of
from models.file.yamltext import parse
from models.foods.food import Food
from models.week.week import Week
from models.words.document import Document
from models.words.errors import InputError, Where
from models.words.text import LONGEST_TEXT

STARTS = date(2026, 11, 30)


def week(made: date = STARTS - timedelta(days=1), lines: int = 1, note: str = "") -> Week:
    listed = ", ".join(["10 g onions"] * lines)
    text = f"""
week: {{starts: {STARTS}, days: [mon], guidance: us, note: "{note}"}}
eaters: {{Ann: {{}}}}
batches: {{pot: {{made: {made}, yield: 2 portions, ingredients: [{listed}]}}}}
dishes: {{Pot: {{takes: {{pot: 1}}}}}}
"""
    return week_of(parse("week.yaml", text))


def test_a_batch_has_so_many_ingredients_and_no_more() -> None:
    assert week(lines=MOST_INGREDIENTS).batches
    with pytest.raises(InputError, match="61 ingredients are too many"):
        week(lines=MOST_INGREDIENTS + 1)


def test_a_text_has_so_many_letters_and_no_more() -> None:
    assert week(note="n" * LONGEST_TEXT).batches
    with pytest.raises(InputError, match="longer than 300 characters"):
        week(note="n" * (LONGEST_TEXT + 1))


def test_a_batch_is_made_so_many_days_before_the_week_and_no_more() -> None:
    assert week(made=STARTS - timedelta(days=LONGEST_AGO)).batches
    with pytest.raises(InputError, match="is made 61 days before the week"):
        week(made=STARTS - timedelta(days=LONGEST_AGO + 1))


def test_a_step_lasts_so_long_and_no_longer() -> None:
    for minutes, lasts in ((LONGEST_MINUTES, LONGEST_MINUTES), (LONGEST_MINUTES + 1, None)):
        (step,) = steps_of([f"Soak for {minutes} minutes."])
        assert step.lasts == lasts


def test_portions_that_are_told_have_so_many_digits_and_no_more() -> None:
    read = week()
    assert many_of(read, read.days[0], f"pot={'9' * MOST_DIGITS}", "--ate")[1] == 9_999
    with pytest.raises(InputError, match="--ate"):
        many_of(read, read.days[0], f"pot={'9' * (MOST_DIGITS + 1)}", "--ate")


def test_so_many_faults_and_lines_that_are_no_yaml_are_told_at_once() -> None:
    head = "week: {starts: 2026-11-30, days: [mon]}\neaters: {Ann: {}}\ndishes:\n"
    wrong = "".join(f"  d{number}: {{mins: 1}}\n" for number in range(MOST_ROUNDS + 30))
    _, faults = every_fault("week", head + wrong)
    assert MOST_ROUNDS <= len(faults) <= MOST_ROUNDS + 40
    slips = "".join(f"  d{number}: {{minutes: 1\n" for number in range(MOST_SLIPS + 9))
    _, faults = every_fault("week", head + slips)
    assert MOST_SLIPS <= len(faults) <= MOST_SLIPS + 2


@pytest.mark.parametrize(
    "dish",
    [
        "  d{}: {goes_in: {pear: 1 piece}, takes: {more: 1}, kind: hot}\n",
        "  d{}: {minutes: 1}\n e{}: {minutes: 1}\n",
        "  d{}: &a{} {goes_in: {pear: 1 piece}}\n  f{}: *a{}\n  g{}: *a{}\n",
    ],
)
def test_a_large_file_is_not_read_for_every_one_of_its_faults(
    dish: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    head = "week: {starts: 2026-11-30, days: [mon]}\neaters: {Ann: {}}\ndishes:\n"
    text = head + "".join(dish.replace("{}", str(at)) for at in range(1_000))[:50_000]
    letters = [0]
    parse, read = yamltext.parse, faults_of_a_file.week_of

    def parsed(source: str, text: str, keys: list[InputError]) -> Document:
        letters[0] += len(text)
        return parse(source, text, keys)

    def read_again(document: Document, own: tuple[Food, ...]) -> Week:
        letters[0] += max(len(text), 9 * len(document.lines))
        return read(document, own)

    monkeypatch.setattr(yamltext, "parse", parsed)
    monkeypatch.setattr(faults_of_a_file, "week_of", read_again)
    _, faults = every_fault("week", text)
    assert len(faults) >= 4
    assert letters[0] <= MOST_READ + 3 * len(text)


def test_a_key_of_any_length_is_said_in_a_line() -> None:
    wrong = f"week: {{starts: {STARTS}, days: [mon]}}\neaters: {{{'k' * 9_000}: 1}}\n"
    _, faults = every_fault("week.yaml", wrong)
    assert faults
    assert max(len(line) for fault in faults for line in fault.text.splitlines()) < 300


def test_a_fault_travels_to_another_process_as_it_is_told_here() -> None:
    fault = InputError(Where("week.yaml", 3, ("week",), 2), "it has no day", "Name one.")
    fault.also = (fault, InputError("a", "b", "c", missing="d", hangs_on="days"))
    there = pickle.loads(pickle.dumps(fault))
    assert there.text == fault.text
    assert (there.also[1].missing, there.also[1].hangs_on) == ("d", "days")
