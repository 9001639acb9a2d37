"""One small week with most kinds of rules in it, whose best plan is easy to see."""

from __future__ import annotations

WEEK = """\
week:
  name: Audited week
  starts: 2026-11-30
  days: [mon, tue, wed, thu]
  currency: EUR
  guidance: us
place: {fridge: yes, microwave: no}
elsewhere:
  - {day: thu, fridge: no, microwave: yes, cold_packs: 1}
eaters:
  Ada:
    box: tin
    floors: {protein: 8 g}
    ceilings: {energy: 600 kcal}
    must_not: {allergens: [nuts], foods: [pork]}
    likes: {Tart: 3, Bowl: 1}
batches:
  farls:
    made: 2026-11-29
    yield: 6 pieces
    portion: 30 g
    nutrition: {protein: 4 g, energy: 60 kcal}
    cost: 3.00
    fridge_life: 1 to 2
    life_source: the cook
    freezes: yes
    freezer: 2 pieces
    room: 40 mL
    allergens: [gluten]
    free_of: others
  beans:
    made: 2026-11-29
    yield: 240 g
    portion: 60 g
    nutrition: {protein: 5 g, energy: 80 kcal}
    cost: 2.00
    fridge_life: 3 to 4
    life_source: the cook
    texture: wet
    room: 60 mL
    allergens: none
    free_of: others
larder:
  leaves:
    pack: 60 g
    price: 1.20
    opened_life: 1
    per: 30 g
    nutrition: {protein: 0.5 g, energy: 6 kcal}
    texture: crisp
    room: 90 mL
    allergens: none
    free_of: others
    chilled: no
  apple:
    pack: 4 pieces
    price: 2.00
    nutrition: {protein: 0.4 g, energy: 77 kcal}
    allergens: none
    free_of: others
    chilled: no
  pear:
    pack: 1 piece
    price: 0.60
    use_by: 2026-12-01
    nutrition: {protein: 0.6 g, energy: 100 kcal}
    allergens: none
    free_of: others
    chilled: no
  praline:
    pack: 4 pieces
    price: 2.00
    nutrition: {protein: 1 g, energy: 60 kcal}
    allergens: [nuts]
    free_of: others
    chilled: no
  pie:
    pack: 4 pieces
    price: 4.00
    nutrition: {protein: 9 g, energy: 450 kcal}
    allergens: none
    free_of: others
    foods: [pork]
    chilled: no
  cracker:
    pack: 10 pieces
    price: 1.00
    nutrition: {protein: 3 g, energy: 50 kcal}
    texture: crisp
    room: 40 mL
    allergens: none
    free_of: others
    chilled: no
choices:
  side:
    - apple: 1 piece
    - pear: 1 piece
    - praline: 1 piece
    - pie: 1 piece
dishes:
  Tart:
    kind: bread
    takes: {farls: 2 to 4}
    goes_in: {leaves: 30 g}
    choices: [side]
    minutes: 6
  Bowl:
    kind: grain
    takes: {beans: 1 to 2}
    goes_in: {leaves: 30 g}
    choices: [side]
    extras: {cracker: {portion: 1 piece, most: 2}}
    minutes: 4
  Plate:
    kind: plate
    takes: {farls: 1 to 3, beans: 1 to 2}
    choices: [side]
    minutes: 5
  Pot:
    kind: hot
    takes: {beans: 2 to 3}
    minutes: 3
    microwave: yes
  Dry lunch:
    kind: dry
    goes_in: {cracker: 3 pieces}
    minutes: 2
boxes:
  tin: {compartments: [200 mL, 150 mL], pots: [60 mL]}
variety:
  most_times: 1
  kinds_apart: [[bread, plate]]
  same_choice: 2
  batch_running: 2
"""
"""Monday Tart, Tuesday Bowl, Wednesday Plate with thawed farls, Thursday Dry lunch."""


def edited(old: str, new: str, text: str = WEEK) -> str:
    """Change one place of a file; the place must be there, and only once."""
    assert text.count(old) == 1, f"{old!r} is {text.count(old)} times in the file"
    return text.replace(old, new)


def hard(eaters: int) -> str:
    """Write a week that no solver proves best while a test waits."""
    lines = [
        "week: {starts: 2026-11-30, days: [mon, tue, wed, thu, fri, sat, sun], guidance: us}",
        "place: {microwave: yes}",
        "eaters:",
    ]
    for eater in range(eaters):
        likes = ", ".join(f"D{dish}: {(eater * 7 + dish * 5) % 11 - 5}" for dish in range(12))
        floors = f"{{protein: {20 + eater % 5} g, fibre: 8 g}}"
        lines.append(f"  E{eater}: {{floors: {floors}, likes: {{{likes}}}}}")
    lines.append("batches:")
    for at in range(4):
        nutrition = f"{{protein: {4 + at}.{at + 1} g, fibre: {2 + at % 2}.3 g}}"
        lines.append(
            f"  B{at}: {{made: 2026-11-29, yield: {eaters * 9 + at} portions, "
            f"portion: {60 + 7 * at} g, nutrition: {nutrition}, cost: {3 + at}.10, "
            f"fridge_life: {2 + at % 2} to {5 + at % 2}, own_risk: yes, freezes: yes, "
            f"freezer: {eaters * 3}}}"
        )
    lines.append("larder:")
    lines += [
        f"  L{at}: {{pack: {90 + 35 * at} g, price: 1.{at}7, opened_life: {1 + at % 4}, "
        f"chilled: no, nutrition: {{protein: {3 + at}.3 g, fibre: 1.{at} g}}}}"
        for at in range(6)
    ]
    lines += [
        "choices:",
        "  C0: [{L0: 30 g}, {L1: 40 g}, {L2: 35 g}]",
        "  C1: [{L3: 45 g}, {L4: 25 g}, {L5: 55 g}]",
        "dishes:",
    ]
    for dish in range(12):
        first, second = dish % 4, (dish + 1 + dish // 4) % 4
        if first == second:
            second = (second + 1) % 4
        lines.append(
            f"  D{dish}: {{kind: K{dish % 4}, takes: {{B{first}: {dish % 3} to {dish % 3 + 3}, "
            f"B{second}: 1 to {3 + dish % 2}}}, choices: [C{dish % 2}], minutes: {3 + dish % 6}}}"
        )
    lines.append(
        "variety: {most_times: 2, kinds_apart: [K0, K1], same_choice: 3, batch_running: 3}"
    )
    return "\n".join(lines) + "\n"
