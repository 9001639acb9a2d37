"""A week whose every name and note tries to be more than text."""

from __future__ import annotations

NASTY = "</script><script>window.hit=1</script><b><i>x</i></b>"
"""Ends a block, begins a script, opens tags."""
FORMULA = "=HYPERLINK(1)+cmd"
BROKEN = "a;b,c\\\\nEND:VCALENDAR"

HOSTILE = f"""
week:
  name: "{NASTY}"
  note: "<img src=x onerror=window.hit=2> {{{{ 7*7 }}}}"
  starts: 2026-11-30
  days: [mon, tue]
  currency: "<b>"
  guidance: us
eaters:
  "Ada {NASTY}": {{box: "tin {NASTY}"}}
batches:
  "{NASTY}":
    made: 2026-11-29
    yield: 6 pieces
    portion: 40 g
    nutrition: {{protein: 5 g}}
    nutrition_source: "{FORMULA}"
    fridge_life: 3
    life_source: "{NASTY}"
    allergens: none
    room: 40 mL
larder:
  "{FORMULA}":
    pack: 4 pieces
    chilled: no
    price: 1.20
    allergens: none
    shop: "# {NASTY}"
  "{BROKEN}":
    pack: 200 g
    chilled: no
    price: 2
    opened_life: 2
    allergens: none
    texture: wet
    room: 60 mL
    shop: "[x](javascript:alert(1))"
choices:
  "pick {NASTY}":
    - "{FORMULA}": 1 piece
    - "{BROKEN}": 50 g
dishes:
  "Dish {NASTY}":
    kind: "k {NASTY}"
    takes: {{"{NASTY}": 2 to 4}}
    choices: ["pick {NASTY}"]
  "- [ ] second":
    kind: other
    takes: {{"{NASTY}": 1 to 3}}
    goes_in: {{"{BROKEN}": 100 g}}
boxes:
  "tin {NASTY}": {{compartments: [300 mL, 200 mL], pots: [50 mL]}}
variety: {{most_times: 1}}
"""
