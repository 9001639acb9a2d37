"""Invented weeks of whole households, of any size, drawn from a seed.

Unlike the random weeks of `tests/weeks.py`, which look for odd corners, these have the
shape of a real one: a lunch is two to four portions and a side, batches are cooked for about
what will be eaten, and some packs spoil. So they show how hard a week of that size is.

    python -m tests.households 4,5,12,3,1 > week.yaml    # eaters, days, dishes, batches, seed
"""

from __future__ import annotations

import json
import random
import sys
from dataclasses import dataclass
from typing import Any, TypeAlias

from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.week import Week

Entry: TypeAlias = dict[str, Any]

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
BATCHES = ("dumplings", "peas", "roots", "loaf", "pilaf", "braise", "curry", "slaw")
KINDS = ("bread", "rolled", "grain", "pasta", "salad", "stew", "plate")
APART = ("bread", "rolled", "grain", "pasta", "stew")

# What there is in the larder: unit, pack, price, days once opened, protein and fibre of one.
LARDER: tuple[tuple[str, str, int, float, int | str | None, float, float], ...] = (
    ("flatbread", "pieces", 6, 1.35, "keeps", 6, 4),
    ("crispbread", "pieces", 6, 1.8, "keeps", 5, 2),
    ("couscous", "g", 500, 1.8, None, 0.12, 0.05),
    ("pasta", "g", 500, 1.4, None, 0.12, 0.03),
    ("barley", "g", 125, 0.7, 1, 0.03, 0.04),
    ("leaves", "g", 120, 1.5, 2, 0.03, 0.02),
    ("yoghurt", "g", 400, 1.9, 5, 0.09, 0),
    ("sauce", "g", 240, 2.6, None, 0.1, 0.05),
    ("relish", "g", 280, 2.1, None, 0.01, 0.015),
    ("cheese", "g", 200, 2.8, "keeps", 0.24, 0),
    ("seeds", "g", 150, 2.4, None, 0.3, 0.06),
    ("apple", "pieces", 1, 0.4, None, 0.3, 4),
    ("pear", "pieces", 1, 0.55, None, 0.4, 5),
    ("egg", "pieces", 1, 0.4, 0, 7, 0),
)
CHOICES = {
    "fruit": [{"apple": "1 piece"}, {"pear": "1 piece"}],
    "sauce": [{"yoghurt": "50 g"}, {"sauce": "30 g"}, {"relish": "40 g"}],
    "topping": [{"cheese": "40 g"}, {"seeds": "15 g"}, {"egg": "1 piece"}],
}
SIDES = (
    ("flatbread", "1 piece"),
    ("crispbread", "2 pieces"),
    ("couscous", "60 g"),
    ("pasta", "80 g"),
    ("barley", "125 g"),
    ("leaves", "30 g"),
)
PRIORITIES = ("left_over", "repeats", "freshness", "thawed", "liking", "cost", "minutes")


@dataclass(frozen=True, slots=True)
class Household:
    """How large a week is, and which of that size.

    Attributes
    ----------
    groups
        Eaters fall into so many groups of alike ones; every eater alone where nothing is said.
    """

    eaters: int
    days: int
    dishes: int
    batches: int
    seed: int
    groups: int | None = None

    @classmethod
    def named(cls, text: str) -> Household:
        """Read "4,5,12,3,1": eaters, days, dishes, batches, seed."""
        return cls(*(int(number) for number in text.split(",")))

    def week(self, priorities: tuple[str, ...] = PRIORITIES) -> Week:
        """Read it as a week, with priorities in this order."""
        return week_of(parse("household", self.text(priorities)))

    def text(self, priorities: tuple[str, ...] = PRIORITIES) -> str:
        """Write it as a week file."""
        dice = random.Random(f"{self.eaters}.{self.days}.{self.dishes}.{self.batches}.{self.seed}")
        names = [f"Dish {at + 1:02d}" for at in range(self.dishes)]
        eaters = self._eaters(dice, names)
        batches = self._batches(dice)
        dishes = {name: _dish(dice, list(batches)) for name in names}
        kinds = {dish["kind"] for dish in dishes.values()}
        entry = {
            "week": {
                "name": f"household {self.eaters},{self.days},{self.dishes},{self.batches}",
                "starts": "2026-11-30",
                "days": list(DAYS[: self.days]),
                "guidance": "us",
            },
            "place": {"fridge": "yes", "microwave": "yes"},
            "eaters": eaters,
            "batches": batches,
            "larder": {row[0]: _item(*row[1:]) for row in LARDER},
            "choices": CHOICES,
            "dishes": dishes,
            "variety": {
                "most_times": 2,
                "days_between": 1,
                "kinds_apart": [kind for kind in APART if kind in kinds],
                "same_choice": 3,
                "batch_running": 4,
            },
            "priorities": list(priorities),
        }
        return json.dumps(entry, indent=1) + "\n"

    def _eaters(self, dice: random.Random, dishes: list[str]) -> Entry:
        groups = []
        for _ in range(self.groups or self.eaters):
            floors = {"protein": f"{dice.choice([15, 18, 22, 26, 30])} g"}
            fibre = dice.choice([0, 0, 5, 8])
            floors |= {"fibre": f"{fibre} g"} if fibre else {}
            liked = dice.sample(dishes, min(4, len(dishes)))
            likes = {dish: dice.choice([-2, -1, 1, 1, 2, 2]) for dish in liked}
            groups.append({"floors": floors, "likes": likes})
        return {f"E{at + 1}": groups[at % len(groups)] for at in range(self.eaters)}

    def _batches(self, dice: random.Random) -> Entry:
        drawn = []
        for name in BATCHES[: self.batches]:
            protein, fibre = dice.choice([4, 5, 6, 7, 8]), dice.choice([1, 2, 3])
            mass = dice.choice([40, 60, 80, 100])
            share = self.eaters * self.days * dice.uniform(1.6, 2.6) * 1.6 / self.batches
            portions = max(4, round(share))
            drawn.append((name, protein, fibre, mass, portions, dice.random() < 0.7))
        batches: Entry = {}
        for name, protein, fibre, mass, portions, freezes in drawn:
            batches[name] = {
                "made": "2026-11-29",
                "yield": f"{portions} portions",
                "portion": f"{mass} g",
                "nutrition": {
                    "protein": f"{protein} g",
                    "fibre": f"{fibre} g",
                    "energy": "90 kcal",
                },
                "cost": round(portions * dice.uniform(0.15, 0.4), 2),
                "fridge_life": "3 to 4",
                "allergens": "none",
                "freezes": "yes" if freezes else "no",
            }
            if freezes:
                batches[name]["freezer"] = f"{max(2, portions // 2)} portions"
        return batches


def _item(
    unit: str, pack: int, price: float, opened: int | str | None, protein: float, fibre: float
) -> Entry:
    per = 100 if unit == "g" else 1
    entry: Entry = {
        "pack": f"{pack} {'piece' if unit == 'pieces' and pack == 1 else unit}",
        "price": price,
        "nutrition": {
            "protein": f"{protein * per:g} g",
            "fibre": f"{fibre * per:g} g",
            "energy": "80 kcal",
        },
        "allergens": "none",
        "chilled": "yes",
    }
    entry |= {} if unit == "g" else {"piece": "60 g"}
    return entry | ({} if opened is None else {"opened_life": opened})


def _dish(dice: random.Random, batches: list[str]) -> Entry:
    kind = dice.choice(KINDS)
    number = dice.choice([1, 2, 2, 2, 3]) if len(batches) > 1 else 1
    takes: Entry = {}
    for name in dice.sample(batches, min(number, len(batches))):
        least = dice.choice([0, 1, 1, 2]) if takes else dice.choice([1, 2, 2, 3])
        takes[name] = f"{least} to {least + dice.choice([1, 2, 2, 3])}"
    choices = dice.sample(list(CHOICES), dice.choice([1, 1, 2]))
    sides = dict(dice.sample(SIDES, dice.choice([1, 1, 2])))
    return {
        "kind": kind,
        "takes": takes,
        "goes_in": sides,
        "choices": choices,
        "minutes": dice.randint(3, 9),
    }


if __name__ == "__main__":
    print(Household.named(sys.argv[1]).text(), end="")
