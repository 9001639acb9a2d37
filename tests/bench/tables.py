"""Print what share of the food table has each sort of data.

python -m tests.bench.tables
"""

from __future__ import annotations

from models.foods.figures import AMINO_ACIDS, NUTRIENT_TAGS
from models.foods.food import Food, table, yields
from models.foods.recipe import CARBOHYDRATE, per_hundred
from models.foods.storage import storage


def main() -> None:
    """Print the shares, a line each, as Markdown."""
    foods = list(table().values())
    print(f"| of {len(foods)} foods | have it | share |\n| --- | --- | --- |")
    for tag in (*NUTRIENT_TAGS, CARBOHYDRATE):
        _line(f"nutrient {tag}", [per_hundred(food, tag) is not None for food in foods])
    _line("water", [food.water is not None for food in foods])
    _line("a household measure", [bool(food.measures) for food in foods])
    _line("a cup or spoon, or a density", [_pours(food) for food in foods])
    _line("refuse", [food.refuse is not None for food in foods])
    _line("storage class", [food.storage in storage() for food in foods])
    _line("allergens settled", [food.allergens_settled for food in foods])
    _line("allergens by the usual recipe, read the label", [food.check_label for food in foods])
    _line("yield factor, raw to cooked", [food.name in yields() for food in foods])
    _line("all amino acids", [set(AMINO_ACIDS) <= food.nutrients.keys() for food in foods])
    kept = storage().values()
    print(f"\n| of {len(kept)} storage classes | have it | share |\n| --- | --- | --- |")
    _line("fridge life, US", [life.us is not None for life in kept])
    _line("fridge life, UK", [life.uk is not None for life in kept])
    _line("days once opened", [life.opened is not None for life in kept])
    _line("days once thawed", [life.thawed is not None for life in kept])
    _line("months in the freezer", [life.freezer_months is not None for life in kept])
    _line("whether it freezes well", [life.freezes_well is not None for life in kept])


def _pours(food: Food) -> bool:
    volumes = {"cup", "tbsp", "tsp", "floz"}
    units = {name.partition(":")[0] for name in food.measures}
    return food.density is not None or bool(units & volumes)


def _line(what: str, have: list[bool]) -> None:
    print(f"| {what} | {sum(have)} | {100 * sum(have) / len(have):.0f} % |")


if __name__ == "__main__":
    main()
