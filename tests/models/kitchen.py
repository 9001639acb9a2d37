"""Weeks for the tests of this folder, read through the same door as a user's file."""

from __future__ import annotations

import pytest

from models.file.reading import week_of
from models.file.yamltext import parse
from models.week.week import Week
from models.words.errors import InputError

NAME = "week.yaml"
HERE = "# here"
"""Marks the line that a message has to name."""


def week_from(text: str) -> Week:
    """Read a week."""
    return week_of(parse(NAME, text))


def refusal(text: str) -> InputError:
    """Read a week that must be refused."""
    with pytest.raises(InputError) as caught:
        week_from(text)
    return caught.value


def edited(text: str, old: str, new: str) -> str:
    """Change one place of a file; the place must be there, and only once."""
    assert text.count(old) == 1, f"{old!r} is {text.count(old)} times in the file"
    return text.replace(old, new)


def line_of(text: str, mark: str = HERE) -> int:
    """Find the line, from 1, that holds a mark."""
    (line,) = [at for at, line_text in enumerate(text.splitlines(), start=1) if mark in line_text]
    return line


FULL = """\
week:
  name: A small week
  note: for two
  starts: 2026-11-30
  days: [mon, Tuesday, wed]
  currency: EUR
  guidance: US
place:
  fridge: yes
  microwave: no
elsewhere:
  - day: tue
    eater: Ada
    fridge: no
    microwave: yes
    cold_packs: 2
no_lunch:
  - day: 2026-12-02
    eater: Bo
    why: away
eaters:
  Ada:
    box: tin
    floors: {protein: 10 g, energy: 418.4 kJ}
    ceilings: {salt: 2 g}
    week_floors: {fibre: 3 g}
    week_ceilings: {energy: 5000 kcal}
    must_not:
      allergens: [tree nuts]
      foods: [Pork, "  Blue   cheese "]
    likes: {Tart: 2, Bowl: -1}
  Bo: {}
batches:
  farls:
    made: 2026-11-29
    yield: 8 pieces
    portion: 30 g
    nutrition: {protein: 4 g, energy: 60 kcal, sodium: 100 mg}
    nutrition_source: the tub
    cost: 4.60
    fridge_life: 3 to 4 days
    life_source: USDA
    freezes: yes
    freezer: 1 to 3 portions
    texture: crisp
    room: 40 mL
    allergens: [wheat, egg]
    foods: [Oats, egg]
  beans:
    made: 2026-11-30
    yield: 0.3 kg
    portion: 60 g
    nutrition: {energy: 80 kcal, salt: 0.5 g}
    fridge_life: 3
    freezes: yes
    chilled: no
    own_risk: yes
larder:
  leaves:
    pack: 90 g
    price: 1.2
    opened_life: 3
    use_by: 2026-12-05
    per: 30 g
    nutrition: {protein: 0.6 g, energy: 7 kcal, salt: 0 g}
    nutrition_source: the bag
    texture: crisp
    room: 100 mL
    allergens: none
    chilled: yes
  apple:
    pack: 4 pieces
    chilled: no
    price: 2
    piece: 150 g
    nutrition: {energy: 77 kcal, sodium: 1 mg}
  oil:
    pack: 0.25 L
    chilled: no
    nutrition: {energy: 800 kcal, sodium: 0 mg}
choices:
  side:
    - apple: 1 piece
    - leaves: 15 g
dishes:
  Tart:
    kind: bread
    takes: {farls: 2 to 20, beans: 1}
    goes_in: {leaves: 30 g, oil: 1 cL}
    choices: [side]
    extras: {apple: {portion: 0.5 pieces, most: 2}}
    minutes: 6
    microwave: yes
    most: 2
  Bowl:
    kind: grain
    extras:
      oil: {portion: 5 mL}
boxes:
  tin:
    compartments: [500 mL, 0.2 L]
    pots: [60 mL]
variety:
  most_times: 3
  days_between: 1
  kinds_apart: [bread, [grain, bread]]
  same_choice: 2
  batch_running: 2
priorities: [liking, file_order, left_over]
"""
