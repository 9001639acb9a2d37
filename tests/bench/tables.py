"""Print what share of the food table has each sort of data.

python -m tests.bench.tables
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from models.foods.figures import AMINO_ACIDS
from models.foods.food import Food, table, yields
from models.foods.recipe import CARBOHYDRATE, per_hundred
from models.foods.storage import storage


def main() -> None:
    """Print the shares as the Markdown table that stands in DEVELOPERS.md."""
    print("\n".join(lines()))


def lines() -> Iterator[str]:
    """Give the lines of that table."""
    foods, kept = list(table().values()), list(storage().values())

    def known(*tags: str) -> list[bool]:
        return [any(per_hundred(food, tag) is not None for tag in tags) for food in foods]

    left = (
        ("energy; protein; fat", known("ENERC"), known("PROCNT"), known("FAT")),
        ("carbohydrate, total or available", known("CHOCDF", CARBOHYDRATE)),
        ("fibre; sugar; sodium", known("FIBTG", "PSACNS"), known("SUGAR"), known("NA")),
        ("household measure", [bool(food.measures) for food in foods]),
        ("cup, spoon or density", [_pours(food) for food in foods]),
        ("storage class", [food.storage in storage() for food in foods]),
        (
            'allergens settled; "read the label"',
            [food.allergens_settled for food in foods],
            [food.check_label for food in foods],
        ),
        (
            "yield factor; all eleven amino acids",
            [food.name in yields() for food in foods],
            [set(AMINO_ACIDS) <= food.nutrients.keys() for food in foods],
        ),
    )
    right = (
        ("fridge life, US", [life.us is not None for life in kept]),
        ("fridge life, UK", [life.uk is not None for life in kept]),
        ("days once opened", [life.opened is not None for life in kept]),
        ("days once thawed", [life.thawed is not None for life in kept]),
        ("months in the freezer", [life.freezer_months is not None for life in kept]),
        ("whether it freezes well", [life.freezes_well is not None for life in kept]),
    )
    yield f"| of {len(foods):,} foods | share | | of {len(kept)} storage classes | share |"
    yield "| --- | --- | --- | --- | --- |"
    for food, life in zip_longest(map(_cells, left), map(_cells, right), fillvalue="| | |"):
        yield f"{food} {life}"


def _cells(row: tuple[str, *tuple[list[bool], ...]]) -> str:
    what, *have = row
    return f"| {what} | {'; '.join(f'{100 * sum(some) / len(some):.0f}' for some in have)} % |"


def _pours(food: Food) -> bool:
    volumes = {"cup", "tbsp", "tsp", "floz"}
    units = {name.partition(":")[0] for name in food.measures}
    return food.density is not None or bool(units & volumes)


if __name__ == "__main__":
    main()
