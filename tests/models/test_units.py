"""Amounts are read as a cook writes them, exactly, and said back the same way.

Every figure of a plan passes through here: a float that creeps in, or a unit taken for
another, would be wrong everywhere at once.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.words.numbers import plain
from models.words.units import (
    GRAM,
    MILLILITRE,
    PIECE,
    PORTION,
    OtherMeasureError,
    Quantity,
    fits,
    magnitude,
    parse,
    quantity,
    sayable,
)
from tests.cases import each

BASES = (GRAM, MILLILITRE, PIECE, PORTION)

# -- reading -----------------------------------------------------------------------


@each(
    ("text", "number", "unit"),
    [
        ("60 g", "60", GRAM),
        ("60g", "60", GRAM),
        ("  60   g  ", "60", GRAM),
        ("1.2 kg", "1200", GRAM),
        ("2 kilos", "2000", GRAM),
        ("250 mg", "0.25", GRAM),
        ("0.65 L", "650", MILLILITRE),
        ("6.5 dl", "650", MILLILITRE),
        ("20 pieces", "20", PIECE),
        ("1 pc", "1", PIECE),
        ("0.5 pieces", "0.5", PIECE),
        ("11 portions", "11", PORTION),
        ("999999999 g", "999999999", GRAM),
        ("0.000001 g", "0.000001", GRAM),
        ("007 g", "7", GRAM),
    ],
)
def test_an_amount_is_read(text: str, number: str, unit: str) -> None:
    assert magnitude(parse(text), unit) == Decimal(number)


@each(
    "text",
    [
        "",
        "g",
        "60",
        "-60 g",
        "+60 g",
        "60 g g",
        "sixty g",
        "1e3 g",
        ".5 g",
        "5. g",
        "1/2 piece",
        "1 000 g",
        "1_000 g",
        "60 g/piece",
        "60 g**2",
        "nan g",
        "inf g",
        "0x10 g",
        "\u0661\u0660 g",
        "60\u00b2 g",
        "60 %",
        "1234567890 g",
        "0.1234567 g",
    ],
)
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not an amount; write a number and a unit, as in"):
        parse(text)


def test_a_decimal_comma_gets_its_own_words() -> None:
    with pytest.raises(ValueError, match="'1,5 kg' has a comma; write the decimals after a point"):
        parse("1,5 kg")


@pytest.mark.parametrize("unit", ["furlongs", "ampere", "grm", "cup", "degC", "kilokilogram"])
def test_a_unit_that_no_kitchen_has_is_refused(unit: str) -> None:
    with pytest.raises(ValueError, match=f"'{unit}' is not a unit known here; use one such as g"):
        parse(f"1 {unit}")


# -- what measures what --------------------------------------------------------------


@pytest.mark.parametrize("base", BASES)
def test_a_base_unit_fits_itself_and_no_other(base: str) -> None:
    assert [unit for unit in BASES if fits(quantity(1, base), unit)] == [base]


def test_a_volume_is_never_taken_for_a_mass() -> None:
    with pytest.raises(OtherMeasureError):
        magnitude(parse("1 mL"), GRAM)


# -- saying --------------------------------------------------------------------------


@each(
    ("text", "printed"),
    [
        ("60 g", "60 g"),
        ("1.2 kg", "1200 g"),
        ("0.25 L", "250 mL"),
        ("1 piece", "1 piece"),
        ("2 pc", "2 pieces"),
        ("0.5 pieces", "0.5 pieces"),
        ("0.333 piece", "0.33 pieces"),
        ("1 portion", "1 portion"),
        ("0 g", "0 g"),
        ("28.35 g", "28.4 g"),
        ("100 g", "100 g"),
    ],
)
def test_an_amount_is_said(text: str, printed: str) -> None:
    assert sayable(parse(text)) == printed


@pytest.mark.parametrize(
    ("number", "places", "text"),
    [
        ("100", 1, "100"),
        ("10.0", 1, "10"),
        ("0.04", 1, "0"),
        ("-0.04", 1, "0"),
        ("-1.50", 2, "-1.5"),
        ("1.2345", 4, "1.2345"),
        ("1E+2", 1, "100"),
        ("120", 0, "120"),
    ],
)
def test_a_number_is_written_without_idle_noughts(number: str, places: int, text: str) -> None:
    assert plain(Decimal(number), places) == text


# -- exactness -----------------------------------------------------------------------

tenths = st.integers(0, 10**9).map(lambda number: Decimal(number) / 10)
millionths = st.integers(0, 10**15 - 1).map(lambda number: Decimal(number).scaleb(-6))
units = st.sampled_from(sorted({"g", "kg", "mg", "mL", "L", "dL", "cL", "pieces", "portions"}))


@given(tenths.filter(lambda number: number < 10**9), st.sampled_from(BASES))
def test_what_is_said_is_read_back_the_same(number: Decimal, unit: str) -> None:
    amount = quantity(number, unit)
    assert parse(sayable(amount)) == amount


@given(millionths, units)
def test_a_number_is_kept_to_its_last_digit(number: Decimal, unit: str) -> None:
    assert parse(f"{number:f} {unit}").magnitude == number


@given(millionths, units)
def test_no_float_creeps_in(number: Decimal, unit: str) -> None:
    amount = parse(f"{number:f} {unit}")
    base = next(base for base in BASES if fits(amount, base))
    for one in (
        amount.magnitude,
        magnitude(amount, base),
        (amount * 3).magnitude,
        (amount + amount).m_as(base),
    ):
        assert isinstance(one, Decimal)
    with pytest.raises(TypeError):
        # Decimals refuse to mix with floats, so a float anywhere shows at once.
        amount * 0.5


@given(st.integers(0, 10**9), st.sampled_from(["g", "kg", "mg", "oz", "lb"]))
def test_conversion_is_exact_to_a_billionth_of_a_gram(number: int, unit: str) -> None:
    # In tenths, and with the factors as whole fractions: no rounding on this side.
    factors = {
        "g": Fraction(1),
        "kg": Fraction(1000),
        "mg": Fraction(1, 1000),
        "oz": Fraction(45359237, 1600000),
        "lb": Fraction(45359237, 100000),
    }
    wanted = Fraction(number, 10) * factors[unit]
    found = Fraction(magnitude(parse(f"{Decimal(number) / 10:f} {unit}"), GRAM))
    assert abs(found - wanted) <= Fraction(1, 10**9)


@given(st.lists(tenths, min_size=1, max_size=20))
def test_sums_do_not_drift(numbers: list[Decimal]) -> None:
    total = sum((parse(f"{number:f} g") for number in numbers), quantity(0, GRAM))
    assert magnitude(total, GRAM) == sum(numbers)


amounts = st.builds(lambda number, unit: parse(f"{number:f} {unit}"), millionths, units)


@given(amounts, amounts, st.integers(1, 50))
def test_pint_reckons_the_same(first: Quantity, second: Quantity, times: int) -> None:
    theirs, others = first.in_pint(), second.in_pint()
    assert isinstance(theirs.magnitude, Decimal)
    assert (first == second) == (theirs == others)
    if theirs.check(others.dimensionality):
        assert (first < second, first >= second) == (theirs < others, theirs >= others)
        for ours, its in (
            (first + second, theirs + others),
            (first - second, theirs - others),
            (first * times, theirs * times),
            (first / times, theirs / times),
        ):
            assert ours.m_as(second.unit.name) == its.m_as(others.units)
        if first == second:
            assert hash(first) == hash(second)
    else:
        for wrong in (lambda: first + second, lambda: first < second):
            with pytest.raises(OtherMeasureError):
                wrong()


@given(st.text(max_size=20))
def test_any_text_is_an_amount_or_a_sentence(text: str) -> None:
    try:
        amount = parse(text)
    except ValueError as fault:
        assert str(fault).startswith(repr(text)) or "is not a unit" in str(fault)
    else:
        assert amount.magnitude >= 0
