"""Ingredient lines: examples a person can read, every amount of every unit, and damaged lines.

The examples are invented. What one weighs is checked against the figures their tables cite, in
tests/published/test_pieces.py.
"""

from __future__ import annotations

import contextlib
from decimal import Decimal
from importlib.resources import files

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lark import Lark

from models.foods.lines import Line, Unread, read_line, reading, written
from models.foods.lines.written import (
    TABLES,
    Unwritten,
    Written,
    _parser,
    grammar,
    number,
    read_written,
    seal_of_tables,
)
from models.words.errors import InputError

from .kitchen import week_from

# line, cups, region, foods, grams together
EXAMPLES = (
    ("400 g onions, chopped", "metric", "uk", "onion, raw", 400),
    ("100g/3½oz bulgur wheat", "metric", "uk", "bulgur wheat, dry", 100),
    ("1kg/2lb 4oz potatoes, peeled", "metric", "uk", "potato, raw", 1000),
    ("2 x 400g/14oz tins chickpeas, drained", "metric", "uk", None, 480),
    ("1 (15-ounce) can chickpeas, drained", "us", "us", "chickpeas, tinned, drained", 245),
    (
        "2 x 400g tins butter beans, tinned, drained",
        "metric",
        "uk",
        "butter beans, tinned, drained",
        480,
    ),
    ("1 x 400g tin chopped tomatoes", "metric", "uk", "chopped tomatoes, tinned", 400),
    ("5-6 carrots", "metric", "uk", "carrot, raw", 440),
    ("2 to 3 tbsp olive oil", "us", "us", "olive oil", 33.75),
    ("half a cucumber", "metric", "uk", "cucumber, unpeeled, raw", 175),
    ("a few sprigs of thyme", "metric", "uk", "thyme leaf, fresh", 2.4),
    ("a handful of flat-leaf parsley, chopped", "metric", "uk", "parsley leaf, fresh", 10),
    ("1½ tsp ground cumin", "metric", "uk", "cumin seeds", 3.2),
    ("1 heaped tbsp honey", "metric", "uk", "honey, runny", 32),
    ("a pinch of saffron", "metric", "uk", "saffron", 0.05),
    ("a knob of butter", "metric", "uk", "salted butter", 15),
    ("2 sticks unsalted butter", "us", "us", "unsalted butter", 226),
    ("thumb-sized piece of ginger, grated", "metric", "uk", "ginger root, fresh", 15),
    ("5 cm piece of root ginger", "metric", "uk", "ginger root, fresh", 25),
    ("a glass of white wine", "metric", "uk", "white wine", 150),
    ("4 rashers smoked streaky bacon", "metric", "uk", "streaky bacon, raw", 72),
    ("3 slices wholemeal bread", "metric", "uk", "wholemeal bread", 114),
    ("2 sheets filo pastry", "metric", "uk", "filo pastry", 50),
    ("1 bulb of garlic", "metric", "uk", "garlic, fresh", 40),
    ("1 head of celery", "metric", "uk", "celery sticks, raw", 450),
    ("2 celery sticks, sliced", "metric", "uk", "celery sticks, raw", 80),
    ("1 vegetable stock cube", "metric", "uk", "vegetable stock cube", 10),
    ("2 x 150 g punnets raspberries", "metric", "uk", "raspberry, raw", 300),
    ("juice of 1 lemon", "metric", "uk", "lemon juice, fresh", 45),
    ("1 lemon, juiced", "metric", "uk", "lemon juice, fresh", 45),
    ("zest and juice of 1 orange", "metric", "uk", None, 89),
    ("1 grapefruit, zest only", "metric", "uk", "lemon zest", 12),
    ("6 eggs, yolks only", "metric", "uk", "egg yolk, fresh", 102),
    ("2 eggs, plus 3 egg yolks", "metric", "uk", None, 153),
    ("4 tomatoes", "metric", "uk", "tomato, raw", 340),
    ("4 tomatoes", "us", "us", "tomato, raw", 492),
    ("400 g tomatoes, chopped", "metric", "uk", "tomato, raw", 400),
    ("300 g potatoes, mashed", "metric", "uk", "potato, raw", 300),
    ("2 pak choi", "metric", "uk", "pak choi, raw", 300),
    ("1 kg mussels in their shells", "metric", "uk", "mussels, raw", 250),
    ("500 g chicken breast", "metric", "uk", "chicken breast, skinless, raw", 500),
    ("200 g rice", "metric", "uk", "white rice, long-grain, raw", 200),
    ("200 g cooked rice", "metric", "uk", "white rice, long-grain, boiled", 200),
    ("250 g red or green lentils", "metric", "uk", "red lentils, split, dry", 250),
    ("500 ml chicken or vegetable stock", "metric", "uk", "chicken stock, home-made", None),
    ("1 tsp dried oregano", "metric", "uk", "oregano, dried", 1),
    ("1 tbsp chopped fresh oregano", "metric", "uk", "oregano, fresh", None),
    ("2 good-quality free-range eggs", "metric", "uk", "egg, whole, fresh", 102),
    ("1 pint milk", "metric", "uk", "whole milk", 586),
    ("1 pint milk", "us", "us", "whole milk", 488),
    ("Honey 2 tablespoons", "us", "us", "honey, runny", 42),
    ("1 cup plus 2 tablespoons (212 g) sugar", "us", "us", "sugar, granulated", 212),
    ("3 large (about 600 g) sweet potatoes", "metric", "uk", "sweet potato, raw", 600),
    ("4 (150 g) salmon fillets", "metric", "uk", "salmon, farmed, raw", 600),
    ("1 cup (250 mL) water", "us", "us", "water", 236.1),
)


def _read(line: str, cups: str = "metric", region: str = "uk") -> Line:
    return read_line(line, cups=cups, region=region)


@pytest.mark.parametrize(("text", "cups", "region", "food", "grams"), EXAMPLES)
def test_line_is_read_as_a_cook_means_it(
    text: str, cups: str, region: str, food: str | None, grams: float | None
) -> None:
    line = _read(text, cups, region)
    if food is not None:
        assert [item.food.name for item in line.items] == [food]
    if grams is not None:
        assert float(sum(item.grams for item in line.items)) == pytest.approx(grams, rel=0.02)


@pytest.mark.parametrize(
    ("text", "foods"),
    [
        ("salt and pepper", ["table salt", "black pepper, ground"]),
        ("1 tsp each ground cumin, coriander and turmeric", None),
        ("2 eggs, plus 1 egg yolk", ["egg, whole, fresh", "egg yolk, fresh"]),
        ("zest and juice of 1 orange", ["orange juice, fresh", "orange zest"]),
        ("zest and juice of 2 limes", ["lime juice, fresh", "lemon zest"]),
    ],
)
def test_several_foods_of_one_line(text: str, foods: list[str] | None) -> None:
    names = [item.food.name for item in _read(text).items]
    assert names == foods if foods is not None else len(names) == 3


@pytest.mark.parametrize(
    ("text", "remark"),
    [
        ("5-6 carrots", "5 to 6: 5.5 is taken"),
        ("1 grapefruit, zest only", "read as lemon zest"),
        ("200 g chickpeas", "read as chickpeas, tinned, drained"),
        ("300 g udon noodles, cooked", "read as somen noodles, boiled"),
        ("1 small tin sweetcorn, drained", "a small tin is taken to hold 170 g"),
        ("1 kg chicken thighs, bone in", "80 % of it is eaten"),
        ("2 l vegetable oil, for deep-frying", "most of it stays in the pan"),
        ("35g/13oz cheddar", "it says 35 g and 369 g for the same"),
        ("olive oil, for frying", "no amount is written"),
        ("200 g chicken breast", "read as chicken breast, skinless, raw"),
        ("2 tbsp butter or margarine", "margarine may be used instead"),
        ("300 g flour, plus extra for dusting", "the extra is not counted"),
        ("1 x 400g tin chickpeas, drained", "240 g drained"),
        ("a bunch of coriander (optional)", "optional"),
    ],
)
def test_what_was_taken_is_said(text: str, remark: str) -> None:
    line = _read(text)
    printed = "; ".join([*line.remarks, *(one for item in line.items for one in item.remarks)])
    assert remark in printed


def test_a_thumb_needs_no_article() -> None:
    for text in ("thumb of ginger", "a thumb of fresh ginger, grated"):
        assert read_line(text).items[0].grams == 15, text


def test_range_may_be_read_as_its_most() -> None:
    assert read_line("5-6 carrots", pick="most").items[0].grams == 480
    most = read_line("100-150 g rice", pick="most")
    assert most.items[0].grams == 150
    assert "of a range the most is taken" in most.remarks
    assert read_line("5 carrots", pick="most").remarks == ()


def test_a_line_that_stood_in_a_week_before_is_not_taken_apart_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    week = (
        "week: {starts: 2026-11-30, days: [mon], guidance: uk}\n"
        "eaters: {Ada: {}}\n%s"
        "batches:\n  pot: {made: 2026-11-29, yield: %d portions, ingredients: [137 g carrots]}\n"
        "dishes: {Bowl: {kind: bowl, takes: {pot: 1}}}\n"
    )
    own = "foods: {carrots: {nutrition: {protein: 1 g}, allergens: none}}\n"
    taken: list[str] = []

    def counted(text: str) -> Written:
        taken.append(text)
        return written.read_written(text)

    monkeypatch.setattr(reading, "read_written", counted)
    recipes = [week_from(week % ("", portions)).batches["pot"].recipe for portions in (1, 2)]
    assert recipes[0] == recipes[1] is not None
    assert taken == ["137 g carrots"]
    # A food of one's own has that name in one week alone.
    recipe = week_from(week % (own, 1)).batches["pot"].recipe
    assert recipe is not None
    assert recipe.foods[0].name == "carrots"
    assert taken == ["137 g carrots"] * 2


def test_a_week_says_what_is_taken_of_its_ranges() -> None:
    week = (
        "week: {starts: 2026-11-30, days: [mon], guidance: uk%s}\n"
        "eaters: {Ada: {}}\n"
        "batches:\n  pot: {made: 2026-11-29, yield: 1 portion, ingredients: [5-6 carrots]}\n"
        "dishes: {Bowl: {kind: bowl, takes: {pot: 1}}}\n"
    )
    for said, grams in (("", 440), (", pick: middle", 440), (", pick: most", 480)):
        recipe = week_from(week % said).batches["pot"].recipe
        assert recipe is not None
        assert recipe.ingredients[0].grams == grams, said
    with pytest.raises(InputError, match="no way to take a range"):
        week_from(week % ", pick: least")


@pytest.mark.parametrize(
    ("text", "what", "mend"),
    [
        ("1 cup kidney beans", "dry, boiled or tinned", "tinned"),
        ("200 g dragon scales", "is not in the table", "Nothing like it"),
        ("3 plain flours", "does not know what one piece", "Write its mass in g"),
        ("roast chicken", "does not say how much", "Write an amount in front"),
        ("0 g rice", "is nothing", "above nothing"),
        ("500 kg rice", "more than a kitchen holds", "Check the number"),
        ("2 ml / 0 rice", "cannot be read", "Write the amount"),
    ],
)
def test_refusal_says_what_to_write(text: str, what: str, mend: str) -> None:
    with pytest.raises(Unread) as fault:
        _read(text)
    assert what in fault.value.what
    assert mend in fault.value.mend


def test_no_known_word_is_swapped_for_another() -> None:
    for text in ("100 g ham custard", "200 g chicken jelly", "100 g walnut beer"):
        with pytest.raises(Unread):
            _read(text)


def test_cups_have_to_be_said() -> None:
    with pytest.raises(Unread, match="does not say which"):
        read_line("1 cup rice", cups=None)
    assert read_line("150 g rice", cups=None).items[0].grams == 150


# -- properties ----------------------------------------------------------------------

_UNITS = ("g", "kg", "oz", "lb", "ml", "l", "cups", "tbsp", "tsp", "pints")
_WAYS = ("{} {} milk", "{}{} milk", "{} {} of milk", "{} {} fresh milk, warmed")


@given(
    count=st.integers(1, 400),
    parts=st.sampled_from(("", " 1/2", "½", ".25", " 3/4", "¾")),
    unit=st.sampled_from(_UNITS),
    way=st.sampled_from(_WAYS),
)
def test_every_amount_reads_back(count: int, parts: str, unit: str, way: str) -> None:
    written = read_written(way.format(f"{count}{parts}", unit))
    measure = written.amounts[0].measures[0]
    fraction = {"": 0, ".25": 0.25, " 1/2": 0.5, "½": 0.5, " 3/4": 0.75, "¾": 0.75}[parts]
    assert measure.count.middle == count + Decimal(str(fraction))
    assert written.name.endswith("milk")


@given(least=st.integers(1, 50), more=st.integers(1, 50), dash=st.sampled_from(("-", " to ", "–")))
def test_every_range_reads_back(least: int, more: int, dash: str) -> None:
    count = read_written(f"{least}{dash}{least + more} g rice").amounts[0].measures[0].count
    assert (count.least, count.most) == (least, least + more)


@given(st.integers(0, 999), st.integers(0, 99), st.integers(1, 99))
def test_every_fraction_is_its_number(whole: int, over: int, under: int) -> None:
    assert number(f"{whole} {over}/{under}") == whole + Decimal(over) / Decimal(under)


_PIECES = st.sampled_from(
    [*"½¼,;()/-–x<>%", " or ", " and ", " plus ", "2", "10", " g", " oz", " tin", "1/0", "onion"]
)


@given(st.lists(st.one_of(_PIECES, st.text(max_size=8)), max_size=14))
def test_any_text_is_read_or_refused(pieces: list[str]) -> None:
    text = "".join(pieces)
    try:
        line = _read(text)
    except Unread as fault:
        assert fault.what
        assert fault.mend
    else:
        assert line.items
        assert all(item.grams >= 0 for item in line.items)


@given(st.text(max_size=500))
def test_any_letters_are_taken_apart_or_refused(text: str) -> None:
    with contextlib.suppress(Unwritten):
        assert read_written(text).text == text


def test_the_tables_that_are_kept_are_those_of_the_grammar() -> None:
    with files("models.foods.lines").joinpath(TABLES).open("rb") as kept:
        assert kept.readline() == seal_of_tables(), "run python -m models.foods.lines.build"
        tables = Lark.load(kept)
    made = grammar()
    for line in ("2-3 heaped tbsp oil, plus extra", "1 tin (400 g) chopped tomatoes", "3 leeks"):
        assert tables.parse(line, start="line") == made.parse(line, start="line")


def test_tables_of_another_grammar_are_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(written, "seal_of_tables", lambda: b"another\n")
    _parser.cache_clear()
    made = _parser()
    _parser.cache_clear()
    assert made.parse("3 leeks", start="line") == _parser().parse("3 leeks", start="line")
    assert _parser() is not made


def test_what_may_be_used_instead_is_read_where_the_first_is_unknown() -> None:
    item = _read("2 tbsp Quince Royal or orange liqueur").items[0]
    assert item.food.source_id == "14414"
    assert item.remarks[0].endswith("the table knows no Quince Royal")
    # Nobody said what is in the first, so whoever avoids anything gets none of it.
    assert not item.food.allergens_known
    assert not item.food.families.told


@pytest.mark.parametrize(
    ("text", "instead"),
    [("500 g gnocchi", "'400 g boiled potatoes'"), ("2 tbsp Zwolquix", "its maker's name")],
)
def test_a_refusal_says_what_to_write(text: str, instead: str) -> None:
    with pytest.raises(Unread) as fault:
        _read(text)
    assert instead in fault.value.mend
