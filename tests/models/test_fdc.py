"""A download of FoodData Central is read as it is published, or refused with file and line.

The rows are laid out as the published ones are, SR Legacy, Foundation and survey foods each
in its own way; the figures are invented where they are not those of a food named here.
"""

from __future__ import annotations

import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import models.foods.fdc
from models.foods.fdc import LONGEST_DESCRIPTION, LONGEST_LINE, LONGEST_NAME, read_fdc
from models.foods.food import Food
from models.words.errors import InputError
from models.words.nutrients import NUTRIENTS

FOOD = """\
"fdc_id","data_type","description","food_category_id","publication_date"
"172420","sr_legacy_food","Lentils, raw","16","2019-04-01"
"171688","sr_legacy_food","Apples, raw, with skin (fuji's and others)","9","2019-04-01"
"321358","foundation_food","Hummus, commercial","16","2019-04-01"
"319874","sample_food","HUMMUS, FIRST SAMPLE","16","2019-04-01"
"319875","market_acquisition","HUMMUS, AS BOUGHT","16","2019-04-01"
"319876","sub_sample_food","Hummus","16","2019-04-01"
"2705383","survey_fndds_food","Milk, NFS","9602","2022-10-28"
"1105904","branded_food","BEANS","Beans","2020-11-13"
"""
NUTRIENT = """\
"id","name","unit_name","nutrient_nbr","rank"
"2047","Energy (Atwater General Factors)","KCAL","957","280.0"
"2048","Energy (Atwater Specific Factors)","KCAL","958","290.0"
"1003","Protein","G","203","600.0"
"1004","Total lipid (fat)","G","204","800.0"
"1005","Carbohydrate, by difference","G","205","1110.0"
"1008","Energy","KCAL","208","300.0"
"1051","Water","G","255","100.0"
"1062","Energy","kJ","268","400.0"
"1063","Sugars, Total","G","269.3","1500.0"
"1079","Fiber, total dietary","G","291","1200.0"
"1093","Sodium, Na","MG","307","5800.0"
"2000","Sugars, total including NLEA","G","269","1510.0"
"""
FIGURES = """\
"id","fdc_id","nutrient_id","amount","data_points","derivation_id","min","max","median","footnote","min_year_acquired"
"1","172420","1051","8.26","2","1","","","","",""
"2","172420","1008","352","0","49","","","","",""
"3","172420","1003","24.63","15","1","","","","",""
"4","172420","1004","1.06","14","1","","","","",""
"5","172420","1005","63.35","0","49","","","","",""
"6","172420","1079","10.7","8","1","","","","",""
"7","172420","2000","2.03","4","1","","","","",""
"8","172420","1093","6","15","1","","","","",""
"9","172420","1062","1473","0","49","","","","",""
"10","171688","1008","52","0","49","","","","",""
"11","171688","1003","0","0","49","","","","",""
"12","171688","1004","","0","49","","","","",""
"13","321358","2048","229","0","49","","","","",""
"14","321358","2047","243","0","49","","","","",""
"15","321358","1063","0.34","0","49","","","","",""
"16","321358","1005","-0.12","0","49","","","","",""
"17","321358","1093","4.26E2","0","49","","","","",""
"18","319875","1003","many","0","49","","","","",""
"19","2705383","208","52","0","49","","","","",""
"20","2705383","203","3.33","0","49","","","","",""
"21","2705383","307","39","0","49","","","","",""
"22","1105904","1003","7","0","49","","","","",""
"""
PORTION = """\
"id","fdc_id","seq_num","amount","measure_unit_id","portion_description","modifier","gram_weight","data_points","footnote","min_year_acquired"
"1","172420","1","1.0","9999","","cup","192.0","","",""
"2","172420","2","1","9999","","tbsp","12","","",""
"3","171688","1","1.0","9999","","cup, quartered or chopped","125.0","","",""
"4","171688","2","1.0","9999","","cup slices","109.0","","",""
"5","171688","3","1.0","9999","","large (3-1/4"" dia)","223.0","","",""
"6","171688","4","1.0","9999","","NLEA serving","242.0","","",""
"7","321358","","2.0","1001","","","33.9","","",""
"8","321358","","1.0","1000","","whipped","230.0","","",""
"9","321358","","1.0","1038","","","28.35","","",""
"10","2705383","1","","9999","1 cup","10205","244.0","","",""
"11","2705383","2","","9999","Quantity not specified","90000","0.0","","",""
"12","2705383","3","","9999","1 fl oz (no ice)","30000","30.5","","",""
"13","1105904","","many","9999","","cup","heavy","","",""
"""
UNIT = """\
"id","name"
"1000","cup"
"1001","tablespoon"
"1038","oz"
"9999","undetermined"
"""
CATEGORY = """\
"id","code","description"
"9","0900","Fruits and Fruit Juices"
"16","1600","Legumes and Legume Products"
"""
FILES = {
    "food.csv": FOOD,
    "nutrient.csv": NUTRIENT,
    "food_nutrient.csv": FIGURES,
    "food_portion.csv": PORTION,
    "measure_unit.csv": UNIT,
    "food_category.csv": CATEGORY,
}
HUMMUS, LENTILS, APPLES, MILK = "321358", "172420", "171688", "2705383"


def folder_of(folder: Path, **files: str | bytes | None) -> str:
    """Write the download, some files of it (`food` for food.csv) otherwise or, None, not."""
    for name, text in (FILES | {f"{name}.csv": text for name, text in files.items()}).items():
        if text is not None:
            (folder / name).write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(folder)


def zip_of(file: Path, within: str = "", files: dict[str, str] = FILES) -> str:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(within + name, text)
    return str(file)


def foods_of(folder: Path, **files: str | bytes | None) -> dict[str, Food]:
    return {food.source_id: food for food in read_fdc(folder_of(folder, **files))}


def refusal(place: str) -> InputError:
    with pytest.raises(InputError) as caught:
        read_fdc(place)
    assert caught.value.mend
    assert len(caught.value.what) < 200
    return caught.value


def portions(*rows: str) -> str:
    head = PORTION.partition("\n")[0]
    return "\n".join([head, *(f'"1","172420","1",{row},"","",""' for row in rows)])


# -- what is read --------------------------------------------------------------------


def test_a_food_is_read_whole(tmp_path: Path) -> None:
    assert foods_of(tmp_path)[LENTILS] == Food(
        name="lentils, raw",
        aliases=("fdc 172420",),
        group="pulses",
        shop="",
        state="",
        source="USDA FoodData Central",
        source_id="172420",
        nutrients={
            "ENERC": Decimal(352),
            "PROCNT": Decimal("24.63"),
            "FAT": Decimal("1.06"),
            "CHOCDF": Decimal("63.35"),
            "FIBTG": Decimal("10.7"),
            "SUGAR": Decimal("2.03"),
            "NA": Decimal(6),
        },
        measures={"cup": Decimal(192), "tbsp": Decimal(12)},
        density=None,
        refuse=None,
        allergens=frozenset(),
        check_label=False,
        allergens_known=False,
        storage="",
        note="",
        water=Decimal("8.26"),
    )


def test_only_foods_are_taken_and_in_the_order_of_the_file(tmp_path: Path) -> None:
    assert list(foods_of(tmp_path)) == [LENTILS, APPLES, HUMMUS, MILK]


def test_branded_foods_alone_are_passed_over_without_an_error(tmp_path: Path) -> None:
    head, *rows = FOOD.splitlines()
    assert foods_of(tmp_path, food=f"{head}\n{rows[-1]}\n") == {}


def test_what_was_not_measured_is_absent_and_nought_is_nought(tmp_path: Path) -> None:
    apples = foods_of(tmp_path)[APPLES]
    assert apples.nutrients == {"ENERC": Decimal(52), "PROCNT": Decimal(0)}
    assert apples.water is None


def test_energy_and_sugars_fall_back_on_what_else_is_published(tmp_path: Path) -> None:
    hummus = foods_of(tmp_path)[HUMMUS]
    assert hummus.nutrients["ENERC"] == 243
    assert hummus.nutrients["SUGAR"] == Decimal("0.34")
    more = '"30","321358","1008","230"\n"31","321358","2000","0.5"\n"32","321358","1063","0.4"\n'
    hummus = foods_of(tmp_path, food_nutrient=FIGURES + _padded(more))[HUMMUS]
    assert hummus.nutrients["ENERC"] == 230
    assert hummus.nutrients["SUGAR"] == Decimal("0.5")


def _padded(rows: str) -> str:
    return "".join(f'{row},"","","","","","",""\n' for row in rows.splitlines())


def test_the_first_of_two_figures_of_one_nutrient_holds(tmp_path: Path) -> None:
    more = _padded('"30","172420","1003","1"\n')
    assert foods_of(tmp_path, food_nutrient=FIGURES + more)[LENTILS].nutrients["PROCNT"] == Decimal(
        "24.63"
    )


def test_carbohydrate_by_difference_may_come_out_a_little_below_nothing(tmp_path: Path) -> None:
    assert foods_of(tmp_path)[HUMMUS].nutrients["CHOCDF"] == 0


def test_the_survey_names_nutrients_by_number(tmp_path: Path) -> None:
    milk = foods_of(tmp_path)[MILK]
    assert milk.nutrients == {
        "ENERC": Decimal(52),
        "PROCNT": Decimal("3.33"),
        "NA": Decimal(39),
    }
    assert milk.group == ""


def test_a_nutrient_without_a_number_is_read_by_its_id(tmp_path: Path) -> None:
    nutrient = NUTRIENT.replace('"203"', '""')
    assert foods_of(tmp_path, nutrient=nutrient)[LENTILS].nutrients["PROCNT"] == Decimal("24.63")


def test_each_kind_of_food_has_its_measures(tmp_path: Path) -> None:
    foods = foods_of(tmp_path)
    assert foods[APPLES].measures == {
        "cup:quartered or chopped": Decimal(125),
        "cup:slices": Decimal(109),
        "large": Decimal(223),
    }
    assert foods[HUMMUS].measures == {"tbsp": Decimal("16.95"), "cup:whipped": Decimal(230)}
    assert foods[MILK].measures == {"cup": Decimal(244), "floz": Decimal("30.5")}


@pytest.mark.parametrize(
    ("row", "measures"),
    [
        ('"1.0","9999","","tablespoon","9"', {"tbsp": "9"}),
        ('"1.0","9999","","Teaspoon, ground","2"', {"tsp:ground": "2"}),
        ('"3.0","9999","","pieces (mean weight, all sorts)","37"', {"piece": "12.333"}),
        ('"2.0","9999","","slices","56"', {"slice": "28"}),
        ('"0.25","9999","","cup","5"', {"cup": "20"}),
        ('"8.0","9999","","fl oz","246"', {"floz": "30.75"}),
        ('"1.0","9999","","slice, large (5"" dia)","42"', {"slice:large": "42"}),
        ('"1.0","9999","","medium, whole","60"', {"medium:whole": "60"}),
        ('"1.0","9999","","small","60"', {"small": "60"}),
        ('"1.0","1000","","pitted, halves","60"', {"cup:pitted, halves": "60"}),
        ('"1.0","1000","a comment of 1 line","","60"', {"cup": "60"}),
        ('"","9999","1/2 cup, diced","61508","60"', {"cup:diced": "120"}),
        ('"","9999","2 tablespoons","61508","30"', {"tbsp": "15"}),
        ('"1","9999","1.5 cup","61508","30"', {"cup": "20"}),
        ('"1.0","7777","","cup","60"', {"cup": "60"}),
        # Nothing that could be taken for another measure than it is.
        ('"1.0","9999","","medium slice","60"', {}),
        ('"1.0","9999","","extra large","60"', {}),
        ('"1.0","9999","","cupcake","60"', {}),
        ('"1.0","9999","","cup From 19191","60"', {}),
        ('"1.0","9999","","cup; =1","60"', {}),
        ('"1.0","9999","","cup a:b=c","60"', {}),
        (f'"1.0","9999","","cup, {"x" * 41}","60"', {}),
        ('"1.0","9999","","serving 1/2 cup","60"', {}),
        ('"1.0","9999","","oz","28.35"', {}),
        ('"1.0","1038","","cup","60"', {}),
        ('"","9999","1 1/2 cup","61508","60"', {}),
        ('"","9999","cup","61508","60"', {}),
        ('"","9999","","","60"', {}),
        ('"","9999","","cup","60"', {}),
        ('"0","9999","","cup","60"', {}),
        ('"1.0","9999","","cup",""', {}),
        ('"1.0","9999","","cup","0.0"', {}),
    ],
)
def test_a_measure_is_named_as_in_the_food_table(
    tmp_path: Path, row: str, measures: dict[str, str]
) -> None:
    lentils = foods_of(tmp_path, food_portion=portions(row))[LENTILS]
    assert lentils.measures == {name: Decimal(grams) for name, grams in measures.items()}


def test_a_measure_that_was_weighed_whole_wins_over_one_that_is_divided(tmp_path: Path) -> None:
    text = portions(
        '"0.33","9999","","cup","60"',
        '"1.0","9999","","cup","182"',
        '"1.0","9999","","cup","190"',
        '"0.5","9999","","cup","80"',
    )
    assert foods_of(tmp_path, food_portion=text)[LENTILS].measures == {"cup": Decimal(182)}


def test_a_name_longer_than_any_is_cut(tmp_path: Path) -> None:
    foods = read_fdc(folder_of(tmp_path, food=FOOD.replace("Lentils", "lentils and " * 30)))
    assert max(len(food.name) for food in foods) == LONGEST_NAME


def test_foods_of_one_name_are_told_apart(tmp_path: Path) -> None:
    more = """\
"1","foundation_food","lentils, RAW","16","2019-04-01"
"2","foundation_food","LENTILS, raw","16","2023-10-26"
"3","foundation_food","Lentils,  raw","16","2020-10-30"
"""
    names = {number: food.name for number, food in foods_of(tmp_path, food=FOOD + more).items()}
    assert names[LENTILS] == "lentils, raw (fdc 172420)"
    assert (names["1"], names["2"]) == ("lentils, raw (fdc 1)", "lentils, raw")
    assert names["3"] == "lentils, raw (fdc 3)"
    assert names[MILK] == "milk, nfs"


def test_of_foods_published_together_the_first_keeps_the_name(tmp_path: Path) -> None:
    more = '"1","sr_legacy_food","Lentils, raw","16","2019-04-01"\n'
    foods = foods_of(tmp_path, food=FOOD + more)
    assert (foods[LENTILS].name, foods["1"].name) == ("lentils, raw", "lentils, raw (fdc 1)")


def test_control_characters_do_not_get_into_names(tmp_path: Path) -> None:
    food = FOOD.replace("Lentils, raw", "Lentils,\x1b[31m\nraw\x85\t").replace('""', '"')
    category = CATEGORY.replace("Legumes and", "Legumes\x07and")
    lentils = foods_of(tmp_path, food=food, food_category=category)[LENTILS]
    assert lentils.name == "lentils, [31m raw"
    assert lentils.group == "pulses"


def test_measures_and_categories_may_be_missing(tmp_path: Path) -> None:
    foods = foods_of(tmp_path, food_portion=None, measure_unit=None, food_category=None)
    assert foods[LENTILS].measures == {}
    assert foods[LENTILS].group == ""
    assert foods[LENTILS].nutrients["PROCNT"] == Decimal("24.63")


def test_without_units_the_measures_that_name_their_own_are_read(tmp_path: Path) -> None:
    foods = foods_of(tmp_path, measure_unit=None)
    assert foods[LENTILS].measures == {"cup": Decimal(192), "tbsp": Decimal(12)}
    assert foods[HUMMUS].measures == {}


@pytest.mark.parametrize("within", ["", "FoodData_Central_sr_legacy_food_csv_2018-04/"])
def test_a_zip_reads_as_its_folder_does(tmp_path: Path, within: str) -> None:
    file = zip_of(tmp_path / "download.zip", within, FILES | {"other.csv": "x", "deep/er/a": "b"})
    assert read_fdc(file) == read_fdc(folder_of(tmp_path))
    assert sorted(item.name for item in tmp_path.iterdir()) == sorted([*FILES, "download.zip"])


@pytest.mark.parametrize(
    "change",
    [
        lambda text: "\ufeff" + text,
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.rstrip("\n"),
        lambda text: text.replace("\n", "\n\n"),
    ],
    ids=["BOM", "CRLF", "no last line end", "blank lines"],
)
def test_ways_to_write_the_same_files(tmp_path: Path, change: object) -> None:
    assert callable(change)
    plain = read_fdc(folder_of(tmp_path))
    other = tmp_path / "other"
    other.mkdir()
    changed = {name.removesuffix(".csv"): change(text) for name, text in FILES.items()}
    assert read_fdc(folder_of(other, **changed)) == plain


def test_columns_may_stand_in_another_order(tmp_path: Path) -> None:
    rows = [line.split('","') for line in NUTRIENT.replace('"\n', "\n").splitlines()]
    turned = "\n".join(",".join(f'"{cell.strip(chr(34))}"' for cell in row[::-1]) for row in rows)
    assert foods_of(tmp_path, nutrient=turned)[LENTILS] == foods_of(tmp_path)[LENTILS]


def test_lines_are_read_whole_where_blocks_of_the_file_meet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    food = FOOD.replace("Lentils", "Lentils à la crème brûlée")
    plain = read_fdc(folder_of(tmp_path, food=food))
    for size in (1, 7, 64):
        monkeypatch.setattr(models.foods.fdc, "_BLOCK", size)
        assert read_fdc(str(tmp_path)) == plain


def test_the_units_are_those_of_the_program() -> None:
    # Figures are taken over as they are, so the units have to be the same.
    symbols = {"G": "g", "MG": "mg", "KCAL": "kcal"}
    for tag, item in NUTRIENTS.items():
        if tag in {tag for tag, _ in models.foods.fdc._IDS.values()}:
            assert symbols[models.foods.fdc._UNITS.get(tag, "G")] == item.symbol


# -- what is refused -----------------------------------------------------------------

# The file, what stands in it, what is written instead, the line that is named, what is wrong.
CASES: list[tuple[str, str, str, int | None, str]] = [
    ("food", '"172420"', '"12a"', 2, "'12a' is not the number of a food"),
    ("food", '"172420"', '"\x1b[1m"', 2, r"'\x1b[1m' is not the number of a food"),
    ("food", '"172420"', '"-1"', 2, "'-1' is not the number of a food"),
    ("food", '"171688"', '"172420"', 3, "the food 172420 stands here a second time"),
    ("food", "Lentils, raw", " \t", 2, "this food has no description"),
    ("food", "Lentils, raw", "x" * (LONGEST_DESCRIPTION + 1), 2, "longer than 500 characters"),
    ("food", '"description"', '"name"', 1, "the column 'description' is missing"),
    ("food", '"fdc_id"', '"id"', 1, "the column 'fdc_id' is missing"),
    ("food", '"data_type",', "", 1, "the column 'data_type' is missing"),
    ("food", FOOD, "", 1, "the column 'fdc_id' is missing"),
    ("food", '"16","2019-04-01"\n"171688"', '"16"\n"171688"', 2, "has 4 cells, the header has 5"),
    ("food", '"Lentils, raw"', "Lentils, raw", 2, "this row has 6 cells, the header has 5"),
    ("food", '"Lentils, raw"', '"Lentils" raw', 2, "this row cannot be read ("),
    ("food", '"Milk, NFS"', '"Milk, NFS', 8, "this row cannot be read ("),
    ("food", '"BEANS","Beans","2020-11-13"', '"BEANS', 9, "this row cannot be read ("),
    ("food", "Lentils", "x" * 140_000, 2, "this row cannot be read (field larger"),
    ("food", "Lentils", "x" * (LONGEST_LINE + 2_000_000), 2, "this line is longer than 1000 kB"),
    ("nutrient", '"unit_name"', '"unit"', 1, "the column 'unit_name' is missing"),
    ("nutrient", '"1093","Sodium, Na","MG"', '"1093","Na","G"', 12, "1093 is in 'G', not in MG"),
    ("nutrient", '"1008","Energy","KCAL"', '"1008","E","kJ"', 7, "1008 is in 'kJ', not in KCAL"),
    ("nutrient", '"1003","Protein","G"', '"1003","P","\x07"', 4, r"1003 is in '\x07', not in G"),
    ("nutrient", NUTRIENT, '"id","unit_name","nutrient_nbr"\n"1","G","2"', None, "none of the nut"),
    ("food_nutrient", '"amount"', '"value"', 1, "the column 'amount' is missing"),
    ("food_nutrient", '"nutrient_id"', '"nutrient"', 1, "the column 'nutrient_id' is missing"),
    ("food_nutrient", '"24.63"', '"24,63"', 4, "'24,63' is not a number"),
    ("food_nutrient", '"24.63"', '"nan"', 4, "'nan' is not a number"),
    ("food_nutrient", '"24.63"', '"Infinity"', 4, "'Infinity' is not a number"),
    ("food_nutrient", '"24.63"', '"1E999999"', 4, "'1E999999' is not a number"),
    ("food_nutrient", '"24.63"', '"٣"', 4, "'٣' is not a number"),
    ("food_nutrient", '"24.63"', f'"{"9" * 5000}"', 4, "is not a number"),
    ("food_nutrient", '"24.63"', '"\x1b[1m"', 4, r"'\x1b[1m' is not a number"),
    ("food_nutrient", '"24.63"', '"-0.1"', 4, "'-0.1' is negative"),
    ("food_nutrient", '"-0.12"', '"-5.1"', 17, "'-5.1' is negative"),
    ("food_nutrient", '"24.63"', '"105.1"', 4, "'105.1' is more PROCNT than 100 g of food can"),
    ("food_nutrient", '"24.63"', '"1E50"', 4, "'1E50' is more PROCNT than 100 g of food can"),
    ("food_nutrient", '"352"', '"1473"', 3, "'1473' is more ENERC than 100 g of food can hold"),
    ("food_nutrient", '"24.63","15"', '"24.63', 4, "this row cannot be read ("),
    (
        "food_nutrient",
        '"3","172420","1003","24.63"',
        '"3","172420"',
        4,
        "9 cells, the header has 11",
    ),
    ("food_portion", '"gram_weight"', '"grams"', 1, "the column 'gram_weight' is missing"),
    ("food_portion", '"modifier"', '"unit"', 1, "the column 'modifier' is missing"),
    ("food_portion", '"192.0"', '"heavy"', 2, "'heavy' is not a number"),
    ("food_portion", '"192.0"', '"-192.0"', 2, "'-192.0' is negative"),
    ("food_portion", '"192.0"', '"20001"', 2, "a measure of 20001 g is none"),
    ("food_portion", '"2.0","1001"', '"two","1001"', 8, "'two' is not a number"),
    ("food_portion", '"2.0","1001"', '"-2","1001"', 8, "'-2' is negative"),
    ("food_portion", '"2.0","1001"', '"0.001","1001"', 8, "a measure of 33900.000 g is none"),
    ("measure_unit", '"name"', '"unit"', 1, "the column 'name' is missing"),
    ("food_category", '"description"', '"name"', 1, "the column 'description' is missing"),
]


@pytest.mark.parametrize(("file", "old", "new", "line", "what"), CASES)
def test_nonsense_is_refused_with_its_file_and_line(
    tmp_path: Path, file: str, old: str, new: str, line: int | None, what: str
) -> None:
    text = FILES[f"{file}.csv"]
    assert old in text
    place = folder_of(tmp_path, **{file: text.replace(old, new, 1)})
    caught = refusal(place)
    assert what in caught.what
    assert caught.where.source == f"{place}/{file}.csv"
    assert caught.where.line == line
    assert "\x1b" not in caught.text


@pytest.mark.parametrize("name", ["food", "nutrient", "food_nutrient"])
def test_a_missing_file_is_named(tmp_path: Path, name: str) -> None:
    caught = refusal(folder_of(tmp_path, **{name: None}))
    assert caught.text.startswith(f"{tmp_path}/{name}.csv: there is no such file\n")
    assert "CSV" in caught.mend


def test_a_folder_in_place_of_a_file_is_a_missing_file(tmp_path: Path) -> None:
    (tmp_path / "food.csv").mkdir()
    caught = refusal(folder_of(tmp_path, food=None))
    assert caught.text.startswith(f"{tmp_path}/food.csv: there is no such file\n")


def test_a_folder_that_may_not_be_read_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def denied(self: Path) -> bool:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "is_file", denied)
    assert "it cannot be read (Permission denied)" in refusal(folder_of(tmp_path)).what


def test_text_of_another_encoding_is_refused_with_its_line(tmp_path: Path) -> None:
    food = FOOD.replace("Milk", "Crème").encode("latin-1")
    caught = refusal(folder_of(tmp_path, food=food))
    assert (caught.where.line, caught.what) == (8, "it is not UTF-8 text")


@pytest.mark.parametrize("size", [1, 7, 64])
def test_lines_are_counted_on_where_blocks_of_the_file_meet(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int
) -> None:
    monkeypatch.setattr(models.foods.fdc, "_BLOCK", size)
    caught = refusal(folder_of(tmp_path, food=FOOD.replace("Milk", "Crème").encode("latin-1")))
    assert caught.where.line == 8
    caught = refusal(folder_of(tmp_path, food_nutrient=FIGURES.replace('"24.63"', '"x"')))
    assert caught.where.line == 4


def test_lines_are_counted_on_after_a_line_break_in_a_cell(tmp_path: Path) -> None:
    food = FOOD.replace("Lentils, raw", "Lentils,\nraw").replace('"171688"', '"x"')
    assert refusal(folder_of(tmp_path, food=food)).where.line == 4


def test_too_many_lines_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(models.foods.fdc, "MOST_LINES", 40)
    caught = refusal(folder_of(tmp_path, food=FOOD + "\n" * 40))
    assert "it has more than" in caught.what


def test_too_many_foods_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(models.foods.fdc, "MOST_FOODS", 3)
    caught = refusal(folder_of(tmp_path))
    assert (caught.where.line, caught.what) == (8, "more than 3 foods are here")


@pytest.mark.parametrize("name", ["missing", "missing/download.zip", "down\0load", "n" * 5000])
def test_what_is_not_there_is_refused(tmp_path: Path, name: str) -> None:
    caught = refusal(str(tmp_path / name))
    assert "FoodData Central" in caught.mend


def test_a_device_is_no_download() -> None:
    assert "neither a folder nor a zip" in refusal("/dev/null").what


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"fdc_id,data_type\n", b"\x1f\x8b" * 40])
def test_a_file_that_is_no_zip_is_refused(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "download.zip"
    file.write_bytes(data)
    caught = refusal(str(file))
    assert "this is not a zip" in caught.what
    assert caught.where.source == str(file)


def test_a_zip_of_other_files_is_refused(tmp_path: Path) -> None:
    file = zip_of(tmp_path / "download.zip", files={"README.md": "x", "a/b/food.csv": FOOD})
    assert "food.csv: there is no such file" in refusal(file).text


def test_a_zip_of_two_downloads_is_refused(tmp_path: Path) -> None:
    file = zip_of(tmp_path / "download.zip", files=FILES | {"other/food.csv": FOOD})
    assert "several folders" in refusal(file).what


def test_a_zip_with_a_file_twice_is_refused(tmp_path: Path) -> None:
    file = zip_of(tmp_path / "download.zip")
    with (
        zipfile.ZipFile(file, "a") as archive,
        pytest.warns(UserWarning, match="Duplicate name"),
    ):
        archive.writestr("food.csv", FOOD)
    assert "holds food.csv twice" in refusal(file).what


@pytest.mark.parametrize("zipped", [False, True])
def test_a_download_too_large_is_refused_before_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, zipped: bool
) -> None:
    place = zip_of(tmp_path / "download.zip") if zipped else folder_of(tmp_path)
    size = sum(len(text.encode()) for text in FILES.values())
    monkeypatch.setattr(models.foods.fdc, "LARGEST_BYTES", size)
    assert read_fdc(place)
    monkeypatch.setattr(models.foods.fdc, "LARGEST_BYTES", size - 1)
    caught = refusal(place)
    assert caught.where.source == place
    assert "come to more than" in caught.what
    assert "SR Legacy" in caught.mend


def test_a_zip_that_understates_its_size_is_refused(tmp_path: Path) -> None:
    file = Path(zip_of(tmp_path / "download.zip", files=FILES | {"food.csv": FOOD * 1000}))
    size = (len(FOOD.encode()) * 1000).to_bytes(4, "little")
    data = file.read_bytes()
    assert data.count(size) == 2
    file.write_bytes(data.replace(size, (200).to_bytes(4, "little")))
    caught = refusal(str(file))
    assert caught.where.source == f"{file}/food.csv"


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_zip_packed_in_an_unusual_way_is_refused(tmp_path: Path, method: int) -> None:
    file = tmp_path / "download.zip"
    with zipfile.ZipFile(file, "w", method) as archive:
        for name, text in FILES.items():
            archive.writestr(name, text)
    assert "food.csv is packed in a way" in refusal(str(file)).what


def test_a_zip_with_a_password_is_refused(tmp_path: Path) -> None:
    file = Path(zip_of(tmp_path / "download.zip"))
    data = bytearray(file.read_bytes())
    for mark, at in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + at] |= 1
    file.write_bytes(data)
    assert "it cannot be read (" in refusal(str(file)).what


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60)
@given(at=st.integers(0, 4000), byte=st.integers(0, 255), cut=st.integers(0, 60))
def test_a_zip_damaged_anywhere_ends_in_foods_or_a_refusal(
    tmp_path: Path, at: int, byte: int, cut: int
) -> None:
    file = Path(zip_of(tmp_path / "download.zip", "folder/"))
    data = bytearray(file.read_bytes())
    data[at % len(data)] = byte
    file.write_bytes(data[: len(data) - cut])
    try:
        foods = read_fdc(str(file))
    except InputError as refused:
        assert refused.mend
    else:
        assert len(foods) == 4
