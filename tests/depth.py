"""How much the checks on random weeks try: enough in the gate, far more in a deep run.

A deep run is one with Hypothesis's profile `deep`: `pytest --hypothesis-profile deep`. Sizes are
fixed when a module of tests is collected.
"""

from __future__ import annotations

from hypothesis import settings

GATE, DEEP = "gate", "deep"


def sized(gate: int, deep: int) -> int:
    """Give the size of a check: `gate` in the gate, `deep` in a deep run."""
    return deep if settings.default is settings.get_profile(DEEP) else gate
