"""Every priority through every command: none may meet a table that does not know it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from models.words.priorities import PRIORITY_NAMES, TIE_BREAK, ranked
from optimiser.cli import COMMANDS
from optimiser.priorities import PRIORITIES
from optimiser.sheets import lists
from tests.depth import sized

from .command import DONE, NO_PLAN, Ran, run

WEEK = """
week: {{name: Small, starts: 2026-11-30, days: [mon, tue, wed], guidance: us, currency: EUR}}
eaters: {{Ada: {{likes: {{Soup: 2, Toast: 1}}}}}}
batches:
  soup:
    made: 2026-11-29
    yield: 4 portions
    portion: 200 g
    cost: 4.00
    nutrition: {{protein: 8 g}}
    fridge_life: 1 to 2
    freezes: yes
    allergens: none
larder:
  bread:
    {{pack: 200 g, chilled: no, price: 1.50, opened_life: 1, allergens: [gluten], nutrition: {{}}}}
  cheese: {{pack: 90 g, chilled: no, price: 2.20, allergens: [milk], nutrition: {{}}}}
dishes:
  Soup: {{kind: pot, takes: {{soup: 1 to 2}}, minutes: 3}}
  Toast: {{kind: bread, goes_in: {{bread: 100 g, cheese: 30 g}}, minutes: 5}}
  Plain: {{kind: bread, goes_in: {{bread: 80 g}}, minutes: 1}}
variety: {{most_times: 2}}
priorities: [{order}]
"""

ASKED = {
    "plan": [["plan", "WEEK", "--save", "plan.json"], ["plan", "WEEK", "--bends"]],
    "why": [
        ["why", "WEEK", "--all"],
        ["why", "WEEK", "tue"],
        ["why", "WEEK", "tue", "--not", "Plain"],
        ["why", "WEEK", "--better", "NAME"],
    ],
    "mend": [["mend", "WEEK", "--until", "GOAL"]],
    "change": [["change", "plan.json", "--today", "tue", "--no-lunch", "wed"]],
    "next": [["next", "plan.json"]],
    "whatif": [["what-if", "WEEK", "--yield", "soup=3..5"]],
    "size": [["size", "WEEK"]],
    "others": [["others", "WEEK", "-n", "2", "--equal", "0"]],
    "tradeoff": [["trade-off", "WEEK", "NAME", "OTHER"]],
    "shop": [["shop", "WEEK"]],
    "prep": [["prep", "WEEK"]],
    "labels": [["labels", "WEEK"]],
    "pack": [["pack", "WEEK"]],
    "calendar": [["calendar", "WEEK"]],
    "page": [["page", "WEEK", "-o", "page.html"]],
    "share": [["share", "WEEK"]],
    "check": [["check", "WEEK"]],
    "audit": [["audit", "plan.json"]],
    **{name: [[name, "WEEK"], [name, "WEEK", "--as", "html"]] for name in lists.names()},
}
"""What each command is asked; `plan` keeps the plan that others read."""

ASKS_NOTHING_OF_A_WEEK = {"new", "open", "food", "schema"}


def test_every_command_is_asked() -> None:
    assert set(ASKED) | ASKS_NOTHING_OF_A_WEEK == set(COMMANDS)


@pytest.mark.parametrize("name", ranked(PRIORITY_NAMES))
def test_a_priority_goes_through_every_command(name: str, tmp_path: Path) -> None:
    priority = PRIORITIES[name]
    others = [other for other in PRIORITY_NAMES if other not in (name, TIE_BREAK)]
    (tmp_path / "week.yaml").write_text(WEEK.format(order=", ".join([name, *others])))
    way = ">=" if priority.most else "<="
    said = {
        "WEEK": "week.yaml",
        "NAME": name,
        "OTHER": others[0],
        "GOAL": f"{name} {way} {6 if priority.most else 0}",
    }
    place = PRIORITY_NAMES.index(name)
    for at, questions in enumerate(ASKED.values()):
        for words in questions:
            ran = run(*(said.get(word, word) for word in words), folder=tmp_path)
            assert ran.err == "", words
            assert ran.code in (DONE, NO_PLAN), words
            _says_its_unit(ran, name, words)
            # In the gate each command is asked for JSON at every third priority.
            if (at + place) % sized(3, 1):
                continue
            as_json = run(*(said.get(word, word) for word in words), "--json", folder=tmp_path)
            assert as_json.code == ran.code, (words, as_json)


def _says_its_unit(ran: Ran, name: str, words: list[str]) -> None:
    """See that a plan and a trade-off name the priority, and money only where it is money."""
    priority = PRIORITIES[name]
    text = " ".join(ran.out.split())
    if words[:1] == ["plan"]:
        said = re.search(rf"{priority.title}(?: \(more is better\))? (\S+ \S+)", text)
        assert said is not None, text
        assert ("EUR" in said[1]) == (priority.unit == "money")
    if words[:1] == ["trade-off"]:
        assert priority.title in text
