"""A user's own table is believed cell by cell, or refused with the line and a way out.

One figure that is read as another would be planned with for weeks. What is written for a
spreadsheet must run nothing there, and come back as it was.
"""

from __future__ import annotations

import csv
import re
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.foods.figures import NUTRIENT_TAGS
from models.foods.food import Food
from models.foods.own_table import (
    HEAVIEST_MEASURE,
    LARGEST_BYTES,
    MOST,
    MOST_ROWS,
    columns,
    plain_cell,
    read_own,
    write_rows,
)
from models.words.allergens import EU_FOURTEEN, PINE_NUTS
from models.words.errors import InputError
from tests.cases import each
from tests.depth import sized

CLASSES = frozenset({"cupboard", "cooked dishes"})
HEAD = "key,ENERC,PROCNT\n"


def written(folder: Path, text: str | bytes, name: str = "mine.csv") -> str:
    file = folder / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(file)


def foods_of(folder: Path, text: str | bytes) -> tuple[Food, ...]:
    return read_own(written(folder, text), CLASSES)


def food_of(folder: Path, **cells: str) -> Food:
    """Read a table of one food that has these cells, and a figure of energy."""
    cells = {"key": "oatcake", "ENERC": "440"} | cells
    row = ",".join('"' + cell.replace('"', '""') + '"' for cell in cells.values())
    (food,) = foods_of(folder, f"{','.join(cells)}\n{row}\n")
    return food


def refusal(folder: Path, text: str | bytes, line: int | None) -> InputError:
    file = written(folder, text)
    with pytest.raises(InputError) as caught:
        read_own(file, CLASSES)
    assert caught.value.where.source == file
    assert caught.value.where.line == line
    assert caught.value.mend
    assert "\x1b" not in caught.value.text
    return caught.value


# -- what is read --------------------------------------------------------------------


def test_every_cell_of_a_row_is_read(tmp_path: Path) -> None:
    food = food_of(
        tmp_path,
        key="oatcake, rough",
        aliases="rough oatcake; oat biscuit ;",
        group="bread",
        shop="dry goods",
        state="prepared",
        source="label",
        source_id="batch 7",
        WATER="5",
        ENERC="440",
        PROCNT="10.30",
        FAT="18",
        CHOCDF="60",
        FIBTG="9",
        SUGAR="0",
        NA="720",
        refuse="12.5",
        measures="piece=12.5; cup : Crushed = 90;",
        density="0.4",
        allergens_eu="gluten:oats;check label",
        storage_class="Cupboard",
        storage_number="12",
        note="from the tin",
    )
    assert food == Food(
        name="oatcake, rough",
        aliases=("rough oatcake", "oat biscuit"),
        group="bread",
        shop="dry goods",
        state="prepared",
        source="label",
        source_id="batch 7",
        nutrients={
            "ENERC": Decimal(440),
            "PROCNT": Decimal("10.3"),
            "FAT": Decimal(18),
            "CHOCDF": Decimal(60),
            "FIBTG": Decimal(9),
            "SUGAR": Decimal(0),
            "NA": Decimal(720),
        },
        measures={"piece": Decimal("12.5"), "cup:crushed": Decimal(90)},
        density=Decimal("0.4"),
        refuse=Decimal("12.5"),
        allergens=frozenset({"gluten"}),
        check_label=True,
        allergens_known=True,
        storage="cupboard",
        note="from the tin",
        water=Decimal(5),
        cereals=frozenset({"oats"}),
    )


def test_what_is_left_out_is_not_known_and_not_nought(tmp_path: Path) -> None:
    food = foods_of(tmp_path, "PROCNT,key,FAT\n12,oatcake,\n")[0]
    assert food.nutrients == {"PROCNT": Decimal(12)}
    assert food.measures == {}
    assert food.aliases == ()
    assert (food.density, food.refuse, food.water) == (None, None, None)
    assert (food.allergens, food.check_label, food.allergens_known) == (frozenset(), False, False)
    assert (food.group, food.shop, food.state, food.storage, food.note) == ("", "", "", "", "")


def test_a_food_without_source_is_traced_to_its_line_and_file_alone(tmp_path: Path) -> None:
    first, second = foods_of(tmp_path, "key,ENERC,source\na,1,\n\nb,2,label\n")
    assert (first.source, first.source_id) == ("own table mine.csv", "line 2")
    assert (second.source, second.source_id) == ("label", "")
    assert str(tmp_path) not in repr((first, second))


def test_a_file_name_cannot_carry_control_characters_into_a_report(tmp_path: Path) -> None:
    file = written(tmp_path, HEAD + "a,1,2\n", name="mine\x1b[31m.csv")
    assert read_own(file, CLASSES)[0].source == "own table mine[31m.csv"


@pytest.mark.parametrize(
    "text",
    [
        "key,ENERC,note\na,1,x;y\nb,2,\n",
        "key;ENERC;note\na;1;x;y\nb;2;\n".replace("x;y", '"x;y"'),
        "\ufeffkey,ENERC,note\na,1,x;y\nb,2,\n",
        "key,ENERC,note\r\na,1,x;y\r\nb,2,\r\n",
        "key,ENERC,note\ra,1,x;y\rb,2,\r",
        "key,ENERC,note\na,1,x;y\nb,2,",
        "\n\nkey,ENERC,note\n\n , ,\na,1,x;y\n,,\nb,2,\n,,\n,,\n",
        ' key , ENERC,note\n a , 1 ,  x;y \n"b","2",""\n',
    ],
)
def test_ways_to_write_the_same_table(tmp_path: Path, text: str) -> None:
    foods = foods_of(tmp_path, text)
    assert [(food.name, food.nutrients["ENERC"], food.note) for food in foods] == [
        ("a", Decimal(1), "x;y"),
        ("b", Decimal(2), ""),
    ]


def test_quotes_and_separators_may_stand_in_a_cell(tmp_path: Path) -> None:
    foods = foods_of(tmp_path, 'key,ENERC\n"tin, 5"" wide; oval",1\nit\'s,2\n')
    assert [food.name for food in foods] == ['tin, 5" wide; oval', "it's"]


def test_blanks_and_letters_of_any_script_may_stand_in_a_cell(tmp_path: Path) -> None:
    foods = foods_of(tmp_path, "key,ENERC\nрис\u00a0 белый,1\nنیم\u200cپز,2\n")
    assert [food.name for food in foods] == ["рис белый", "نیم\u200cپز"]


def test_a_header_alone_is_a_table_without_foods(tmp_path: Path) -> None:
    assert foods_of(tmp_path, HEAD) == ()


def test_a_table_may_come_by_standard_input(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Path(written(tmp_path, HEAD + "a,1,2\n")).open() as stream:
        monkeypatch.setattr("sys.stdin", stream)
        (food,) = read_own("-", CLASSES)
    assert food.source == "own table standard input"


@pytest.mark.parametrize(
    ("cell", "groups", "cereals", "check_label", "known"),
    [
        ("", "", "", False, False),
        (" ; ", "", "", False, False),
        ("none", "", "", False, True),
        ("None", "", "", False, True),
        ("check label", "", "", True, True),
        ("milk", "milk", "", False, True),
        ("Milk; Eggs", "milk eggs", "", False, True),
        ("milk;milk", "milk", "", False, True),
        ("gluten", "gluten", "", False, True),
        ("gluten:wheat;gluten:rye", "gluten", "wheat rye", False, True),
        ("gluten : emmer", "gluten", "emmer", False, True),
        ("wheat", "gluten", "wheat", False, True),
        ("cereals containing gluten", "gluten", "", False, True),
        ("tree nuts:almond", "nuts", "", False, True),
        ("nuts", "nuts", "", False, True),
        ("shellfish;check label", "crustaceans molluscs", "", True, True),
        # A slip that names two groups is taken for both.
        ("milk:wheat", "milk gluten", "", False, True),
        ("gluten:milk", "gluten milk", "", False, True),
    ],
)
def test_allergens_as_words(
    tmp_path: Path, cell: str, groups: str, cereals: str, check_label: bool, known: bool
) -> None:
    food = food_of(tmp_path, allergens_eu=cell)
    assert food.allergens == set(groups.split())
    assert food.cereals == set(cereals.split())
    assert (food.check_label, food.allergens_known) == (check_label, known)


@pytest.mark.parametrize("cell", ["tree nuts", "tree nuts:pine", "tree nuts:pine nuts"])
def test_tree_nuts_are_pine_nuts_too_until_others_are_named(tmp_path: Path, cell: str) -> None:
    assert food_of(tmp_path, allergens_eu=cell).allergens == {"nuts", PINE_NUTS}


@pytest.mark.parametrize(
    ("column", "text"),
    [
        *((tag, str(most)) for tag, most in MOST.items()),
        ("NA", "38758"),
        ("ENERC", "0"),
        ("FAT", "3.1000000000000001"),
        ("refuse", "0"),
        ("refuse", "99.9"),
        ("density", "0.05"),
        ("density", "3"),
        ("measures", f"piece={HEAVIEST_MEASURE}"),
        ("measures", "tsp=0.1"),
    ],
)
def test_figures_at_their_bounds_are_read(tmp_path: Path, column: str, text: str) -> None:
    food = food_of(tmp_path, **{column: text})
    number = Decimal(text.rpartition("=")[2])
    said = {"refuse": food.refuse, "density": food.density, "WATER": food.water}
    assert number in {*food.nutrients.values(), *food.measures.values(), *said.values()}


def test_sums_at_their_bounds_are_read(tmp_path: Path) -> None:
    food = food_of(tmp_path, WATER="45", PROCNT="20", FAT="20", CHOCDF="20", SUGAR="11", FIBTG="10")
    assert food.nutrients["CHOCDF"] == 20
    # Without total carbohydrate nothing is known that sugar could not be a part of.
    assert food_of(tmp_path, SUGAR="60", FIBTG="60").nutrients["SUGAR"] == 60


# -- what is refused -----------------------------------------------------------------

# The table with its lines, the line that the message names, the cell, what is wrong, and how
# to mend it.
CASES: list[tuple[str, int, str, str, str]] = [
    # -- the header
    ("lentils,343\n", 1, "", "unknown column 'lentils'", "The first line names the columns."),
    ("key,ENRC\n", 1, "", "unknown column 'ENRC'", "Did you mean 'ENERC'?"),
    ("Key,ENERC\n", 1, "", "unknown column 'Key'", "Did you mean 'key'?"),
    ("key,allergens,ENERC\n", 1, "", "unknown column 'allergens'", "'allergens_eu'?"),
    ("key,protein\n", 1, "", "unknown column 'protein'", "Did you mean 'PROCNT'?"),
    ("key,XQZ\n", 1, "", "unknown column 'XQZ'", "Known here"),
    ("key,\x1b[2J\n", 1, "", r"unknown column '\x1b[2J'", "Known here"),
    (f"key,{'x' * 900}\n", 1, "", "unknown column 'xxxxx", "Known here"),
    ("\n\nkey,ENRC\n", 3, "", "unknown column 'ENRC'", "'ENERC'?"),
    ("key,ENERC,\n", 1, "", "column 3 has no name", "Name it, or remove it."),
    ("key,ENERC,key\n", 1, "", "the column 'key' stands here twice", "Keep one"),
    ("key,FAT,FAT\n", 1, "", "the column 'FAT' stands here twice", "Keep one"),
    ("ENERC,PROCNT\na,1\n", 1, "", "the column 'key' is missing", "the name of each food"),
    ("key,note\na,b\n", 1, "", "no column of a nutrient", "ENERC, PROCNT, FAT"),
    ("key,WATER\na,1\n", 1, "", "no column of a nutrient", "ENERC, PROCNT, FAT"),
    ("key\tENERC\na\t1\n", 1, "", r"'key\tENERC' is not the name", "commas or semicolons"),
    ("key|ENERC\na|1\n", 1, "", "'key|ENERC' is not the name", "commas or semicolons"),
    # -- rows
    ("key,ENERC\na,1\nb,2,3\n", 3, "", "this row has 3 cells, the header has 2", "quotes"),
    ("key,ENERC\nb,12,5\n", 2, "", "this row has 3 cells", "decimals after a point"),
    ("key,ENERC\nb\n", 2, "", "this row has 1 cells", "in double quotes"),
    ('key,ENERC\na,1\n"b,2\nc,3\n', 3, "", "this row cannot be read", "write the quote twice"),
    ('key,ENERC\na,1\n"5" tin",2\n', 3, "", "this row cannot be read", "write the quote twice"),
    (f"key,ENERC\n{'a' * 140_000},1\n", 2, "", "this row cannot be read (field larger", "quote"),
    ('key,ENERC\na,1\n"b\nb",2\n', 3, "key", "a line break is in this cell", "on one line"),
    ('key,ENERC\n"b",2\n"c\r\nc",2\n', 3, "key", "a line break is in this cell", "on one line"),
    ('key,ENERC,note\na,1,"x\ny"\n', 2, "a > note", "a line break", "Write it on one line."),
    # -- names
    ("key,ENERC\na,1\n ,2\n", 3, "key", "this food has no name", "Write one in the column"),
    ("key,ENERC,aliases\n,2,b\n", 2, "key", "this food has no name", "Write one"),
    (
        f"key,ENERC\n{'n' * 61},2\n",
        2,
        f"{'n' * 60} > key",
        "is longer than 60 characters",
        "Shorten it.",
    ),
    (f"key,ENERC,aliases\na,2,b;{'n' * 61}\n", 2, "a > aliases", "longer than 60", "Shorten"),
    (f"key,ENERC,group\na,2,{'n' * 61}\n", 2, "a > group", "longer than 60", "Shorten"),
    (f"key,ENERC,note\na,2,{'n' * 301}\n", 2, "a > note", "longer than 300", "Shorten"),
    ("key,ENERC\n\x1b[31mred,2\n", 2, "key", "control character is in this cell (U+001B)", "text"),
    ("key,ENERC\na\0b,2\n", 2, "key", "control character is in this cell (U+0000)", "text"),
    ("key,ENERC\na\u2028b,2\n", 2, "key", "control character is in this cell (U+2028)", "text"),
    ("key,ENERC,note\na,2,x\ty\n", 2, "a > note", "control character is in this cell (U+0009)", ""),
    ("key,ENERC,storage_number\na,2,\x07\n", 2, "a > storage_number", "control character", ""),
    ("key,ENERC\na,1\nb,2\nA,3\n", 4, "A > key", "'A' is the name of a food on line 2", "no other"),
    (
        "key,ENERC,aliases\na,1,x\nb,2,X\n",
        3,
        "b > aliases",
        "'X' is the name of a food on line 2",
        "",
    ),
    ("key,ENERC,aliases\na,1,b\nb,2,\n", 3, "b > key", "'b' is the name of a food on line 2", ""),
    ("key,ENERC,aliases\na,1,A\n", 2, "a > aliases", "a food on this line already", "once"),
    ("key,ENERC,aliases\na,1,b;b\n", 2, "a > aliases", "a food on this line already", "once"),
    ("key,ENERC\nStraße,1\nSTRASSE,2\n", 3, "STRASSE > key", "a food on line 2 already", ""),
    # -- numbers
    ("key,ENERC\na,many\n", 2, "a > ENERC", "'many' is not a number", "as in 12.5. Leave the cell"),
    ("key,ENERC\na,12 kcal\n", 2, "a > ENERC", "'12 kcal' is not a number", "a bare number"),
    ("key,ENERC\na,<0.1\n", 2, "a > ENERC", "'<0.1' is not a number", "a bare number"),
    ("key,ENERC\na,nan\n", 2, "a > ENERC", "'nan' is not a number", "a bare number"),
    ("key,ENERC\na,inf\n", 2, "a > ENERC", "'inf' is not a number", "a bare number"),
    ("key,ENERC\na,1e2\n", 2, "a > ENERC", "'1e2' is not a number", "a bare number"),
    ("key,ENERC\na,1_0\n", 2, "a > ENERC", "'1_0' is not a number", "a bare number"),
    ("key,ENERC\na,٣\n", 2, "a > ENERC", "'٣' is not a number", "a bare number"),
    ("key,ENERC\na,=1+1\n", 2, "a > ENERC", "'=1+1' is not a number", "a bare number"),
    (f"key,ENERC\na,{'9' * 5000}\n", 2, "a > ENERC", "is not a number", "a bare number"),
    ("key,ENERC\na,-1\n", 2, "a > ENERC", "'-1' is negative", "Write 0 or more. Leave"),
    ("key,ENERC\na,'-1.5\n", 2, "a > ENERC", "'-1.5' is negative", "Write 0 or more. Leave"),
    ('key,ENERC\na,"12,5"\n', 2, "a > ENERC", "'12,5' has a comma", "after a point, as in 12.5"),
    ("key;ENERC\na;12,5\n", 2, "a > ENERC", "'12,5' has a comma", "after a point, as in 12.5"),
    ("key;ENERC\na;1.234,5\n", 2, "a > ENERC", "'1.234,5' has a comma", "between thousands"),
    ("key,WATER,FAT\na,101,1\n", 2, "a > WATER", "101 g is more than 100 g of food", "for 100 g"),
    ("key,ENERC\na,902.1\n", 2, "a > ENERC", "902.1 kcal is more", "the figure is in kcal"),
    ("key,ENERC\na,1841\n", 2, "a > ENERC", "can hold (902 kcal)", "the figure is in kcal"),
    ("key,PROCNT\na,100.01\n", 2, "a > PROCNT", "100.01 g is more", "Check the decimal point"),
    ("key,FAT\na,184\n", 2, "a > FAT", "184 g is more", "Check the decimal point"),
    ("key,CHOCDF\na,184\n", 2, "a > CHOCDF", "184 g is more", "Check the decimal point"),
    ("key,FIBTG\na,184\n", 2, "a > FIBTG", "184 g is more", "Check the decimal point"),
    ("key,SUGAR\na,184\n", 2, "a > SUGAR", "184 g is more", "Check the decimal point"),
    ("key,NA\na,40001\n", 2, "a > NA", "40001 mg is more", "the figure is in mg"),
    ("key,PROCNT,FAT\na,60,45.1\n", 2, "a", "come to 105.1 g in 100 g", "each is in g"),
    ("key,WATER,CHOCDF\na,60,60\n", 2, "a", "come to 120 g in 100 g", "each is in g"),
    ("key,SUGAR,CHOCDF\na,12,10\n", 2, "a", "sugar and fibre come to 12 g", "add the fibre"),
    ("key,SUGAR,FIBTG,CHOCDF\na,6,5.1,10\n", 2, "a", "11.1 g, total carbohydrate to 10 g", "add"),
    ("key,ENERC,refuse\na,1,100\n", 2, "a > refuse", "100 % thrown away", "from 0 to below 100"),
    ("key,ENERC,refuse\na,1,-1\n", 2, "a > refuse", "'-1' is negative", "Write 0 or more."),
    ("key,ENERC,refuse\na,1,10 %\n", 2, "a > refuse", "'10 %' is not a number", "a bare number"),
    ("key,ENERC,density\na,1,0\n", 2, "a > density", "0 is not the density", "water has 1"),
    ("key,ENERC,density\na,1,0.049\n", 2, "a > density", "0.049 is not the density", "0.05 to 3"),
    ("key,ENERC,density\na,1,1030\n", 2, "a > density", "1030 is not the density", "0.05 to 3"),
    # -- measures
    ("key,ENERC,measures\na,1,cup\n", 2, "a > measures", "'cup' is not a measure", "cup=200"),
    ("key,ENERC,measures\na,1,cup=\n", 2, "a > measures", "'cup=' is not a measure", "cup=200"),
    ("key,ENERC,measures\na,1,'=200\n", 2, "a > measures", "'=200' is not a measure", "cup=200"),
    ("key,ENERC,measures\na,1,cup:=2\n", 2, "a > measures", "'cup:=2' is not a mea", "chopped=130"),
    ("key,ENERC,measures\na,1,a:b:c=2\n", 2, "a > measures", "'a:b:c=2' is not a measure", "cup"),
    ("key,ENERC,measures\na,1,cup=big\n", 2, "a > measures", "'big' is not a number", "number"),
    ("key,ENERC,measures\na,1,cup=1=2\n", 2, "a > measures", "'1=2' is not a number", "number"),
    ('key,ENERC,measures\na,1,"tsp=1,5"\n', 2, "a > measures", "'1,5' has a comma", "a point"),
    ("key,ENERC,measures\na,1,cup=-2\n", 2, "a > measures", "'-2' is negative", "0 or more."),
    ("key,ENERC,measures\na,1,cup=0\n", 2, "a > measures", "of 0 g is none", "above 0, 20000 at"),
    ("key,ENERC,measures\na,1,cup=20001\n", 2, "a > measures", "of 20001 g is none", "20000 at"),
    ("key,ENERC,measures\na,1,cup=1;CUP=2\n", 2, "a > measures", "'cup' stands here twice", "Keep"),
    (f"key,ENERC,measures\na,1,{'c' * 61}=1\n", 2, "a > measures", "longer than 60", "Shorten"),
    # -- allergens and storage
    (
        "key,ENERC,allergens_eu\na,1,mlik\n",
        2,
        "a > allergens_eu",
        "'mlik' is not one of",
        "'milk'?",
    ),
    ("key,ENERC,allergens_eu\na,1,milk:\n", 2, "a > allergens_eu", "'milk:' is not one of", ""),
    ("key,ENERC,allergens_eu\na,1,:milk\n", 2, "a > allergens_eu", "':milk' is not one of", ""),
    ("key,ENERC,allergens_eu\na,1,glutn:rye\n", 2, "a > allergens_eu", "'glutn:rye' is not", ""),
    ("key,ENERC,allergens_eu\na,1,see label\n", 2, "a > allergens_eu", "'see label' is", "check"),
    ('key,ENERC,allergens_eu\na,1,"egg,soy"\n', 2, "a > allergens_eu", "'egg,soy'", "milk;eggs"),
    (
        "key,ENERC,allergens_eu\na,1,none;egg\n",
        2,
        "a > allergens_eu",
        "'none' stands",
        "none alone",
    ),
    ("key,ENERC,allergens_eu\na,1,none;check label\n", 2, "a > allergens_eu", "'none' stands", ""),
    (
        "key,ENERC,storage_class\na,1,cupbord\n",
        2,
        "a > storage_class",
        "'cupbord' is",
        "'cupboard'?",
    ),
    ("key,ENERC,storage_class\na,1,zz\n", 2, "a > storage_class", "'zz' is not", "may stay empty"),
]


@pytest.mark.parametrize(("text", "line", "path", "what", "mend"), CASES)
def test_nonsense_is_refused(
    tmp_path: Path, text: str, line: int, path: str, what: str, mend: str
) -> None:
    caught = refusal(tmp_path, text, line)
    assert what in caught.what
    assert mend in caught.mend
    assert " > ".join(map(str, caught.where.path)) == path
    assert len(caught.text) < 600


def test_the_first_fault_spoils_the_whole_table(tmp_path: Path) -> None:
    assert refusal(tmp_path, HEAD + "a,1,1\nb,x,1\nc,-1,1\n", 3).what == "'x' is not a number"


@pytest.mark.parametrize("text", ["", "\n\n", " \n", "\ufeff", "\ufeff\r\n"])
def test_an_empty_file_is_refused(tmp_path: Path, text: str) -> None:
    caught = refusal(tmp_path, text, None)
    assert caught.what == "it is empty"
    assert "key,ENERC" in caught.mend


def test_text_of_another_encoding_is_refused_with_its_line(tmp_path: Path) -> None:
    caught = refusal(tmp_path, HEAD.encode() + "a,1,2\ncrème,3,4\n".encode("latin-1"), 3)
    assert "not UTF-8" in caught.what
    assert "UTF-8" in caught.mend
    assert "not UTF-8" in refusal(tmp_path, HEAD.encode("utf-16"), 1).what


def test_a_directory_is_no_table(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="this is a directory\nName a food table"):
        read_own(str(tmp_path), CLASSES)


@pytest.mark.parametrize("name", ["missing.csv", "missing/mine.csv", "mine\0.csv", "n" * 5000])
def test_a_file_that_is_not_there_is_no_table(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError) as caught:
        read_own(str(tmp_path / name), CLASSES)
    assert "week" not in caught.value.mend
    assert caught.value.mend


def test_a_file_too_large_is_refused(tmp_path: Path) -> None:
    filler = "x" * 250
    line = f"a,1,2,{filler}\n"
    text = "key,ENERC,PROCNT,note\n" + line * (LARGEST_BYTES // len(line) + 1)
    assert "larger than 5000 kB" in refusal(tmp_path, text, None).what


def test_too_many_foods_are_refused_at_the_first_too_many(tmp_path: Path) -> None:
    rows = "".join(f"{number},1,2\n" for number in range(MOST_ROWS))
    assert len(foods_of(tmp_path, HEAD + rows)) == MOST_ROWS
    caught = refusal(tmp_path, HEAD + rows + "one more,1,2\n", MOST_ROWS + 2)
    assert "more than 20000 foods" in caught.what


@given(st.binary(max_size=200))
def test_no_bytes_end_in_anything_but_foods_or_a_refusal(data: bytes) -> None:
    _read_or_refuse(HEAD.encode() + data)


@given(
    st.text(alphabet='key,;="\n\r\t -+@0123.aENRCmesuri:', max_size=120),
    st.sampled_from(["", HEAD, "key,ENERC,measures\n", "key;ENERC;aliases;allergens_eu\n"]),
)
def test_no_text_ends_in_anything_but_foods_or_a_refusal(text: str, head: str) -> None:
    _read_or_refuse((head + text).encode())


def _read_or_refuse(data: bytes) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.stdin", _Stdin(data))
        try:
            foods = read_own("-", CLASSES)
        except InputError as refused:
            assert refused.mend
        else:
            assert all(food.name.isprintable() for food in foods)


class _Stdin:
    def __init__(self, data: bytes) -> None:
        self.buffer = self
        self.data = data

    def read(self, size: int) -> bytes:
        return self.data[:size]


# -- the program's own table ---------------------------------------------------------


def test_every_figure_of_the_food_table_has_a_column() -> None:
    assert {"WATER", *NUTRIENT_TAGS} <= set(columns())


# -- for spreadsheets ----------------------------------------------------------------


@each(
    ("text", "cell"),
    [
        ("", ""),
        ("oatcake", "oatcake"),
        ("it's", "it's"),
        ("'quoted'", "'quoted'"),
        ("1+1=2", "1+1=2"),
        ("3.5", "3.5"),
        ("-3.5", "-3.5"),
        ("+3", "+3"),
        ("=1+1", "'=1+1"),
        ("+1+1", "'+1+1"),
        ("-1+1", "'-1+1"),
        ("-", "'-"),
        ("-3.5 g", "'-3.5 g"),
        ("-3.", "'-3."),
        ("-٣", "'-٣"),
        ("--3", "'--3"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("\t=1+1", "'\t=1+1"),
        ("\r=1+1", "'\r=1+1"),
        ("\n=1+1", "'\n=1+1"),
        ("-3\n", "'-3\n"),
        ("=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"),
        # What looks shielded already is shielded once more, or reading would lose a letter.
        ("'=1+1", "''=1+1"),
    ],
)
def test_a_cell_that_begins_like_a_formula_is_made_plain(text: str, cell: str) -> None:
    assert plain_cell(text) == cell


def test_what_is_written_runs_nothing_and_splits_nowhere() -> None:
    hostile = '=HYPERLINK("http://x";"y")'
    food = _food(name=hostile, aliases="+1 @x", group="-1+1", note="\t=1", source="=1")
    text = write_rows([food])
    (row,) = list(csv.reader(text.splitlines()[1:]))
    assert not [cell for cell in row if re.match(r"[=+\-@\t\r]", cell)]
    assert text.splitlines()[1].startswith('"\'=HYPERLINK(""http://x"";""y"")","\'+1;@x","\'-1+1"')


def test_the_apostrophe_is_taken_off_again(tmp_path: Path) -> None:
    foods = foods_of(tmp_path, "key,ENERC\n'=a,1\n'-b,1\n''+c,1\n'd,1\n'@e,1\n")
    assert [food.name for food in foods] == ["=a", "-b", "'+c", "'d", "@e"]


_LETTERS = "abcdefgh äß'=+-@\"():/%&1290,."
_NAMES = st.text(alphabet=_LETTERS, min_size=1, max_size=30).map(
    lambda text: " ".join(text.split())
)
_WORDS = _NAMES | st.just("")
_QUALIFIED = st.from_regex(r"[a-z]{1,8}(:[a-z]{1,8}( [a-z]{1,8})?)?", fullmatch=True)
_GRAMS = st.decimals(min_value=Decimal("0.001"), max_value=HEAVIEST_MEASURE, places=3)


def _figures(tag: str) -> st.SearchStrategy[Decimal | None]:
    # Low enough that no sum of several is more than 100 g can hold.
    most = MOST[tag] if tag in {"ENERC", "NA"} else 20
    return st.none() | st.decimals(min_value=0, max_value=most, places=2)


def _food(name: str, **cells: str) -> Food:
    return Food(
        name=name,
        aliases=tuple(cells.get("aliases", "").split()),
        group=cells.get("group", ""),
        shop="",
        state="",
        source=cells.get("source", "label"),
        source_id="1",
        nutrients={},
        measures={},
        density=None,
        refuse=None,
        allergens=frozenset(),
        check_label=False,
        allergens_known=False,
        storage="",
        note=cells.get("note", ""),
    )


@st.composite
def foods(draw: st.DrawFn, names: list[str]) -> Food:
    """Draw a food that has as its names the first of these, and perhaps the second."""
    figures = {tag: draw(_figures(tag)) for tag in MOST}
    if figures["CHOCDF"] is not None:
        figures |= {"SUGAR": None, "FIBTG": None}
    known = draw(st.booleans())
    groups = (
        draw(st.frozensets(st.sampled_from([*EU_FOURTEEN, PINE_NUTS]))) if known else frozenset()
    )
    cereals = draw(st.frozensets(st.sampled_from(["wheat", "rye"]))) if "gluten" in groups else ""
    return Food(
        name=names[0],
        aliases=tuple(names[1:]),
        group=draw(_WORDS),
        shop=draw(_WORDS),
        state=draw(_WORDS),
        source=draw(_NAMES.filter(bool)),
        source_id=draw(_NAMES.filter(bool)),
        nutrients={
            tag: figure for tag, figure in figures.items() if figure is not None and tag != "WATER"
        },
        measures=draw(st.dictionaries(_QUALIFIED, _GRAMS, max_size=3)),
        density=draw(st.none() | st.decimals(Decimal("0.05"), 3, places=3)),
        refuse=draw(st.none() | st.decimals(0, Decimal("99.9"), places=1)),
        allergens=groups,
        check_label=known and draw(st.booleans()),
        allergens_known=known,
        storage=draw(st.sampled_from(["", *sorted(CLASSES)])),
        note=draw(_WORDS),
        water=figures["WATER"],
        cereals=frozenset(cereals),
    )


@st.composite
def tables(draw: st.DrawFn) -> tuple[Food, ...]:
    names = draw(
        st.lists(
            _NAMES.filter(bool), min_size=0, max_size=8, unique_by=lambda name: name.casefold()
        )
    )
    cut = draw(st.integers(1, 3))
    return tuple(draw(foods(names[at : at + cut])) for at in range(0, len(names), cut))


@settings(max_examples=sized(30, 1_000))
@given(tables())
def test_what_is_written_is_read_again(table: tuple[Food, ...]) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.stdin", _Stdin(write_rows(table).encode()))
        assert read_own("-", CLASSES) == table
