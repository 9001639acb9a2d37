"""What every test of the project shares."""

from __future__ import annotations

from hypothesis import settings

from .depth import DEEP, GATE

# Tests run side by side on machines that do other things too: how long one example takes
# says nothing there. Speed is measured elsewhere.
settings.register_profile(GATE, deadline=None)
settings.register_profile(DEEP, deadline=None, max_examples=1_000)
settings.load_profile(GATE)
