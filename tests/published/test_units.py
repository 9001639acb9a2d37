"""Units, nutrients, allergens and protein needs against the documents they come from.

A wrong factor or a forgotten allergen makes every plan wrong while every other test still
passes, so the published lists and factors are written out here a second time.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from models.foods.figures import AMINO_ACIDS
from models.week.week import Week
from models.words.allergens import EU_FOURTEEN, US_NINE, allergens
from models.words.needs import STANDARDS
from models.words.nutrients import NUTRIENTS, SALT_PER_SODIUM, USABLE
from models.words.units import fits, magnitude, parse, quantity
from tests.cases import each

from .claims import Cases, claim
from .rows_in_highs import week_from

# -- mass and energy ---------------------------------------------------------------


@claim("the pound, in kg", "SP 811: appendix B.8, footnote 22")
def test_the_pound_is_exact() -> Cases:
    yield "pound", Decimal("0.45359237"), magnitude(parse("1 lb"), "kilogram")


def test_the_ounce_is_a_sixteenth_of_a_pound() -> None:
    # NIST Handbook 44, appendix C: 1 avoirdupois ounce = 0.028 349 523 125 kg, 16 in a pound.
    assert magnitude(parse("1 oz"), "kilogram") == Decimal("0.028349523125")
    assert magnitude(parse("16 oz"), "gram") == magnitude(parse("1 lb"), "gram")


@claim("pound and ounce, in kg, to the seven digits printed", "SP 811: appendix B.8")
def test_mass_rounds_to_the_seven_digits_of_appendix_b() -> Cases:
    for amount, printed in (("1 lb", "0.4535924"), ("1 oz", "0.02834952")):
        yield (
            amount,
            Decimal(printed),
            round(magnitude(parse(amount), "kilogram"), len(printed) - 2),
        )


@claim(
    "the kilocalorie of food is the thermochemical one, in kJ",
    "SP 811: appendix B.8; INFOODS: ENERC",
    within="1e-25 kJ",
)
def test_the_kilocalorie_of_food_is_the_thermochemical_one() -> Cases:
    # One way is a division, so decimals of 28 digits cannot hold it: the last may be off.
    yield "kilocalorie", Decimal("4.184"), magnitude(parse("1 kcal"), "kilojoule")


@claim(
    "the reference intake of energy, 8400 kJ, in kcal",
    "Regulation 1169/2011: Annex XIII part B",
    within="0.5 %",
)
def test_the_reference_intake_of_energy_converts() -> Cases:
    yield "reference intake", 2000, round(magnitude(parse("8400 kJ"), "kilocalorie"), 3)


@claim("metric prefixes", "SI Brochure: table 7")
def test_metric_prefixes_are_those_of_the_si() -> Cases:
    for amount, unit, number in (
        ("1 kg", "gram", "1000"),
        ("1 mg", "gram", "0.001"),
        ("1 ug", "milligram", "0.001"),
        ("1 L", "millilitre", "1000"),
        ("1 dL", "millilitre", "100"),
        ("1 cL", "millilitre", "10"),
    ):
        yield amount, Decimal(number), magnitude(parse(amount), unit)


def test_ten_tenths_are_one() -> None:
    # Decimals throughout: in binary fractions ten times 0.1 is not 1.
    assert sum((parse("0.1 g") for _ in range(10)), quantity(0, "gram")) == parse("1 g")


# -- salt --------------------------------------------------------------------------


def eater_file(eater: str) -> Week:
    """Read a week of one lunch in which only the eater matters."""
    return week_from(
        f"""
week: {{starts: 2026-11-30, days: [mon]}}
eaters:
  Ada: {eater}
larder:
  crackers: {{pack: 100 g, chilled: no, nutrition: {{salt: 2.5 g, protein: 10 g}}}}
dishes:
  snack: {{kind: snack, goes_in: {{crackers: 30 g}}}}
"""
    )


@claim("salt in a gram of sodium, in g", "Regulation 1169/2011: Annex I (11)")
def test_salt_is_sodium_times_two_and_a_half() -> Cases:
    yield "salt", Decimal("2.5"), SALT_PER_SODIUM
    week = eater_file("{ceilings: {salt: 6 g}}")
    assert magnitude(week.larder["crackers"].nutrition["NA"], "gram") == 1
    (ceiling,) = week.eaters["Ada"].ceilings
    # Annex XIII part B of the same: reference intake 6 g of salt, so 2400 mg of sodium.
    assert ceiling.nutrient == "NA"
    assert magnitude(ceiling.amount, "milligram") == 2400


# -- protein needs -----------------------------------------------------------------

PROTEIN_NEEDS = {
    # g per kg of body mass and day, the upper end of a range, g a day on top.
    # Adults in good health:
    # WHO/FAO/UNU, WHO Technical Report Series 935 (2007): safe level of protein intake.
    "who-2007": ("0.83", None, "0"),
    # Institute of Medicine, Dietary Reference Intakes (2005): recommended allowance.
    "iom-2005": ("0.80", None, "0"),
    # COMA, Dietary Reference Values, Report on Health and Social Subjects 41 (1991): RNI.
    "uk-1991": ("0.75", None, "0"),
    # "Additional protein is recommended for pregnant women of 1, 9 and 31 g protein/day in the
    # first, second and third trimesters"; in lactation 19 g, "falling to 12.5 g/day after 6
    # months": WHO/FAO/UNU 2007 as quoted by the European Commission, Knowledge for policy,
    # Dietary recommendations for protein intake for pregnant and lactating women (2021).
    "who-2007-pregnancy-1": ("0.83", None, "1"),
    "who-2007-pregnancy-2": ("0.83", None, "9"),
    "who-2007-pregnancy-3": ("0.83", None, "31"),
    "who-2007-breast-feeding": ("0.83", None, "19"),
    "who-2007-breast-feeding-later": ("0.83", None, "12.5"),
    # IOM 2005: RDA 1.1 in pregnancy (seen quoted), 1.3 in lactation (from memory; the EAR of
    # 1.05 was seen in the report of the National Academies).
    "iom-2005-pregnancy": ("1.1", None, "0"),
    "iom-2005-breast-feeding": ("1.3", None, "0"),
    # Bauer and others, J Am Med Dir Assoc 14 (2013) 542, abstract: "at least in the range of 1.0
    # to 1.2 g protein per kilogram of body weight per day", over 65.
    "prot-age-2013": ("1.0", "1.2", "0"),
    # Deutz and others, Clin Nutr 33 (2014) 929, abstract: "at least 1.0-1.2 g protein/kg".
    "espen-2014": ("1.0", "1.2", "0"),
    # Thomas, Erdman and Burke, Med Sci Sports Exerc 48 (2016) 543: 1.2 to 2.0 (from memory).
    "acsm-2016": ("1.2", "2.0", "0"),
}


def daily_protein(standard: str, mass: str, share: str = "100 %") -> Decimal:
    """Read the floor of protein a week file sets for a standard, in g."""
    need = f"standard: {standard}, body_mass: {mass}, lunch_share: {share}"
    (floor,) = eater_file(f"{{daily_protein: {{{need}}}}}").eaters["Ada"].floors
    assert floor.nutrient == "PROCNT"
    assert not floor.weekly
    return magnitude(floor.amount, "gram")


@claim(
    "needs of protein: g for each kg and day, the upper end, g on top",
    "TRS 935; Knowledge for policy; IOM DRI; COMA; PROT-AGE; ESPEN; ACSM",
    of="standards",
    seen="pregnancy, breast-feeding and over 65 in quotation or from memory; athletes from memory",
)
def test_the_standards_are_those_published() -> Cases:
    assert set(STANDARDS) == set(PROTEIN_NEEDS)
    for name, (low, high, more) in PROTEIN_NEEDS.items():
        need = STANDARDS[name]
        upper = None if high is None else Decimal(high)
        yield name, (Decimal(low), upper, Decimal(more)), (need.per_kilo, need.upper, need.more)


@pytest.mark.parametrize(
    ("standard", "need"), [("who-2007", "53.12"), ("iom-2005", "51.2"), ("uk-1991", "48.0")]
)
def test_sixty_four_kilograms(standard: str, need: str) -> None:
    assert daily_protein(standard, "64 kg") == Decimal(need)


REFERENCE = [
    # EFSA, population reference intake 0.83 g per kg: "58.1 g of protein daily for a 70 kg
    # adult"; the figure is that of WHO/FAO/UNU 2007.
    ("who-2007", "70 kg", "58.1", "0.1"),
    # IOM 2005: 56 g for the reference man of 70 kg, 46 g for the woman of 57 kg.
    ("iom-2005", "70 kg", "56", "1"),
    ("iom-2005", "57 kg", "46", "1"),
    # COMA 1991, table 7.1: 55.5 g for men of 74 kg, 45.0 g for women of 60 kg.
    ("uk-1991", "74 kg", "55.5", "0.1"),
    ("uk-1991", "60 kg", "45.0", "0.1"),
    # WHO/FAO/UNU 2007: 0.83 x 60 = 49.8, and 31 g more.
    ("who-2007-pregnancy-3", "60 kg", "80.8", "0.1"),
    ("who-2007-pregnancy-1", "60 kg", "50.8", "0.1"),
    ("who-2007-breast-feeding", "60 kg", "68.8", "0.1"),
]


@claim(
    "grams of protein a day printed for reference adults",
    "EFSA reference values: 70 kg; IOM DRI: 70 and 57 kg; COMA: table 7.1; TRS 935",
)
def test_the_amounts_printed_for_reference_adults() -> Cases:
    for standard, mass, printed, step in REFERENCE:
        need = daily_protein(standard, mass).quantize(Decimal(step))
        yield f"{standard}, {mass}", Decimal(printed), need


def test_lunch_carries_its_share() -> None:
    assert daily_protein("who-2007", "64 kg", "35 %") == Decimal("18.592")


def test_body_mass_in_pounds_is_the_same_need() -> None:
    assert daily_protein("who-2007", "154 lb") == pytest.approx(
        Decimal("0.83") * 154 * Decimal("0.45359237")
    )


# -- allergens ---------------------------------------------------------------------

ANNEX_II = {
    # Regulation (EU) No 1169/2011, Annex II, points 1 to 14, without "and products thereof"
    # and without the exceptions; the word used here stands to the right.
    "Cereals containing gluten": "gluten",
    "Crustaceans": "crustaceans",
    "Eggs": "eggs",
    "Fish": "fish",
    "Peanuts": "peanuts",
    "Soybeans": "soya",
    "Milk": "milk",
    "Nuts": "nuts",
    "Celery": "celery",
    "Mustard": "mustard",
    "Sesame seeds": "sesame",
    "Sulphur dioxide and sulphites": "sulphites",
    "Lupin": "lupin",
    "Molluscs": "molluscs",
}

MAJOR_FOOD_ALLERGENS = {
    # United States, 21 U.S.C. 321(qq)(1): FALCPA 2004, and sesame by the FASTER Act 2021.
    "Milk": "milk",
    "Egg": "eggs",
    "Fish": "fish",
    "Crustacean shellfish": "crustaceans",
    "Tree nuts": "nuts",
    # Wheat is one of the cereals containing gluten of Annex II point 1.
    "Wheat": "gluten",
    "Peanuts": "peanuts",
    "Soybeans": "soya",
    "Sesame": "sesame",
}


@claim(
    "the allergens of EU law, in its order", "Regulation 1169/2011: Annex II, 1 to 14", of="groups"
)
def test_the_fourteen_of_annex_ii_are_complete_and_in_its_order() -> Cases:
    assert len(ANNEX_II) == 14
    yield from zip(ANNEX_II, ANNEX_II.values(), EU_FOURTEEN, strict=True)


@claim("the allergens of US law, which lie inside those", "FALCPA: 321(qq)(1)", of="groups")
def test_the_nine_of_the_united_states_lie_inside_the_fourteen() -> Cases:
    assert len(MAJOR_FOOD_ALLERGENS) == 9
    assert set(US_NINE) < set(EU_FOURTEEN)
    yield from zip(
        MAJOR_FOOD_ALLERGENS, sorted(MAJOR_FOOD_ALLERGENS.values()), sorted(US_NINE), strict=True
    )


BEYOND_ANNEX_II = {
    # FDA's list of tree nuts (from memory) has pine nuts, which no point of Annex II names.
    "Tree nuts": {"pine nuts"},
}


@each(("words", "group"), [*ANNEX_II.items(), *MAJOR_FOOD_ALLERGENS.items()])
def test_words_of_the_law_never_stand_for_another_group(words: str, group: str) -> None:
    # A heading may be unknown, which refuses the file; it must never pass as something else.
    assert allergens(words) in (frozenset({group, *BEYOND_ANNEX_II.get(words, ())}), None)


@pytest.mark.parametrize("cereal", ["wheat", "rye", "barley", "oats"])
def test_the_cereals_named_in_point_one_are_gluten(cereal: str) -> None:
    assert allergens(cereal) == frozenset({"gluten"})


def test_lactose_is_milk() -> None:
    # Annex II point 7: "Milk and products thereof (including lactose)".
    assert allergens("lactose") == frozenset({"milk"})


def test_shellfish_means_both_kinds() -> None:
    # The law has two groups, points 2 and 14; the bare word leaves open which.
    assert allergens("shellfish") == frozenset({"crustaceans", "molluscs"})


# -- nutrients ---------------------------------------------------------------------

TAGNAMES = {
    # FAO/INFOODS food component identifiers: tagname, what it is, its unit there.
    "ENERC": ("energy, total metabolizable; calculated", "kJ"),
    "PROCNT": ("protein, total; calculated from total nitrogen", "g"),
    "FAT": ("fat, total", "g"),
    "CHOAVL": ("carbohydrate, available", "g"),
    "CHOCDF": ("carbohydrate, total; calculated by difference", "g"),
    "FIBTG": ("fibre, total dietary; AOAC", "g"),
    "SUGAR": ("sugars, total", "g"),
    "NA": ("sodium", "mg"),
    "K": ("potassium", "mg"),
    "CA": ("calcium", "mg"),
    "FE": ("iron, total", "mg"),
    "VITA": ("vitamin A; sum of retinol and carotenoids", "ug"),
    "THIA": ("thiamin", "mg"),
    "RIBF": ("riboflavin", "mg"),
    "NIA": ("niacin, preformed", "mg"),
    "VITC": ("vitamin C", "mg"),
    "FASAT": ("fatty acids, total saturated", "g"),
    "PSACNS": ("non-starch polysaccharides; Englyst", "g"),
    "ALC": ("alcohol", "g"),
    "MG": ("magnesium", "mg"),
    "ZN": ("zinc", "mg"),
    "ID": ("iodine", "ug"),
    "VITA_RAE": ("vitamin A; retinol activity equivalents", "ug"),
    "VITD": ("vitamin D", "ug"),
    "VITB12": ("vitamin B12", "ug"),
    "FOLDFE": ("folate; dietary folate equivalents", "ug"),
    "FOL": ("folate, total", "ug"),
    "TRP": ("tryptophan", "mg"),
    "THR": ("threonine", "mg"),
    "ILE": ("isoleucine", "mg"),
    "LEU": ("leucine", "mg"),
    "LYS": ("lysine", "mg"),
    "MET": ("methionine", "mg"),
    "CYS": ("cystine", "mg"),
    "PHE": ("phenylalanine", "mg"),
    "TYR": ("tyrosine", "mg"),
    "VAL": ("valine", "mg"),
    "HISTN": ("histidine", "mg"),
}


def test_every_tagname_is_one_of_infoods() -> None:
    assert set(NUTRIENTS) - {USABLE} == set(TAGNAMES)


@claim("a nutrient is kept in the unit of its tagname", "INFOODS: tagnames", of="nutrients")
def test_nutrients_are_kept_in_the_unit_of_their_tagname() -> Cases:
    for tag in TAGNAMES.keys() - {"ENERC", *AMINO_ACIDS}:
        yield tag, parse(f"1 {TAGNAMES[tag][1]}"), quantity(1, NUTRIENTS[tag].unit)


@each("tag", AMINO_ACIDS)
def test_amino_acids_are_kept_in_grams_and_take_milligrams(tag: str) -> None:
    # INFOODS: mg unless g is said; the amounts here always say their unit.
    assert NUTRIENTS[tag].unit == "gram"
    assert parse(f"1000 {TAGNAMES[tag][1]}") == quantity(1, NUTRIENTS[tag].unit)


def test_energy_is_kept_in_kilocalories_and_takes_kilojoules() -> None:
    # INFOODS: ENERC is in kJ unless kcal is said; the amounts here always say their unit.
    assert NUTRIENTS["ENERC"].unit == "kilocalorie"
    assert fits(parse("1 kJ"), NUTRIENTS["ENERC"].unit)
