"""What every test of the project shares."""

from __future__ import annotations

import gc

from hypothesis import settings

from .depth import GATE

settings.load_profile(GATE)

# Weeks, rows and plans are many small things that live long: to look through them for cycles
# at each step takes a twentieth of the time of the tests.
gc.set_threshold(100_000, 50, 100)
