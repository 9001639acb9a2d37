"""How much the checks on random weeks try: enough in the gate, far more in a deep run.

A deep run is one with Hypothesis's profile `deep`: `pytest --hypothesis-profile deep`. Sizes are
fixed when a module of tests is collected.
"""

from __future__ import annotations

from hypothesis import HealthCheck, Phase, settings

GATE, DEEP = "gate", "deep"

# Tests run side by side on machines that do other things too: how long one example takes
# says nothing there. Speed is measured elsewhere.
settings.register_profile(GATE, deadline=None)
settings.register_profile(DEEP, deadline=None, max_examples=1_000)


def sized(gate: int, deep: int) -> int:
    """Give the size of a check: `gate` in the gate, `deep` in a deep run."""
    return deep if settings.default is settings.get_profile(DEEP) else gate


def repeatable(number: int) -> settings:
    """Give the settings under which the same cases come each time."""
    return settings(
        max_examples=number,
        deadline=None,
        derandomize=True,
        database=None,
        phases=(Phase.explicit, Phase.generate),
        suppress_health_check=(HealthCheck.too_slow, HealthCheck.filter_too_much),
    )
