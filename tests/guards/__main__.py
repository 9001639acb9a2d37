"""Which everyday names are let through to someone who avoids what their words tell.

    python -m tests.guards             every name of everyday.csv, against every word for a family
    python -m tests.guards REVISION    and what bars each name that the table has not there

A new name is a new way past a guard: royal icing holds egg, and panch phoron mustard, though
neither says so. The first part finds what the words of a name tell and its line does not bar, and
should be empty; what no word tells, only a cook can see in the second.
"""

from __future__ import annotations

import csv
import io
import subprocess
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from models.foods.avoided import avoided
from models.foods.facts import Facts, RecipeLine, Unclear
from models.foods.families import derived
from models.foods.food import builtin
from models.foods.tabled import rows
from models.week.guards import Guard, Kind, verdict
from models.words.families import ALLERGEN_OF, WITHIN

NO_SUCH_THING = {
    "fondant icing": {"gluten"},
    "pudding rice, raw": {"dairy"},
    "rice milk, unsweetened": {"dairy"},
    "crisp chow mein noodles": {"nightshades", "potatoes"},
    "pizza base, raw": {"nightshades", "tomatoes"},
    "cherry pie filling, tinned": {"gluten"},
    "apple pie filling, tinned": {"gluten"},
}
"""Foods, and what words of their names only seem to tell: judged by hand, common practice."""
TABLE = "models/foods/tables/everyday.csv"
REGIONS = ("uk", "us")


@dataclass(frozen=True, slots=True)
class Cell:
    """One name in one region: its food, and the words that bar it."""

    name: str
    region: str
    food: str
    told: frozenset[str]
    barring: frozenset[str]

    @property
    def let_through(self) -> list[str]:
        """Words that the name tells, and that do not bar it."""
        return sorted(self.told - self.barring - NO_SUCH_THING.get(self.food, set()))


def names(table: Iterable[Mapping[str, str]]) -> dict[tuple[str, str], str]:
    """Give every name with the regions it is one in, and the sort of its food."""
    every: dict[tuple[str, str], str] = {}
    for row in table:
        for alias in (row["key"], *filter(None, row["aliases"].split(";"))):
            region, _, name = alias.rpartition(":")
            for where in (region,) if region in REGIONS else REGIONS:
                every.setdefault((name.lstrip("~?"), where), row["group"])
    return every


def cells(every: Mapping[tuple[str, str], str]) -> Iterable[Cell]:
    """Judge each name, where a line of it can be read."""
    for region in REGIONS:
        foods = builtin(region)
        facts = Facts(foods, "us", region, {})
        guards = {word: _guards(word) for word in WITHIN}
        for name, where in every:
            if where != region:
                continue
            try:
                recipe = facts.recipe([RecipeLine(f"100 g {name}")])
            except Unclear:
                continue
            contents = facts.contents(recipe, None, ())
            barring = frozenset(
                word
                for word, all_ in guards.items()
                if any(verdict(guard, "pot", contents).barred for guard in all_)
            )
            food = " + ".join(part.name for part in recipe.foods)
            yield Cell(name, region, food, derived((name,), every[name, where]).holds, barring)


def _guards(word: str) -> list[Guard]:
    meant = avoided([ALLERGEN_OF.get(word, word)], builtin(), frozenset())
    of_law = [Guard(Kind.ALLERGEN, group) for group in meant.allergens]
    return [*of_law, *(Guard(Kind.FOOD, food) for food in meant.foods)]


def _at(revision: str) -> list[dict[str, str]]:
    told = subprocess.run(
        ["git", "show", f"{revision}:{TABLE}"],
        capture_output=True,
        text=True,
        check=True,
    )
    return list(csv.DictReader(io.StringIO(told.stdout)))


def main() -> None:
    """Print the cells, one a line."""
    every = names(rows("everyday.csv"))
    old = names(_at(sys.argv[1])) if len(sys.argv) > 1 else every
    through = 0
    for cell in cells(every):
        through += bool(cell.let_through)
        where = f"{cell.name} ({cell.region}: {cell.food})"
        if cell.let_through:
            print(f"LET THROUGH {where}: {', '.join(cell.let_through)}")
        if (cell.name, cell.region) not in old:
            print(f"{where}: barred by {', '.join(sorted(cell.barring)) or 'nothing'}")
    print(f"{len(every)} names, {through} let through")


if __name__ == "__main__":
    main()
