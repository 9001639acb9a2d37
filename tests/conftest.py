"""What every test of the project shares."""

from __future__ import annotations

from hypothesis import settings

# Tests run side by side on machines that do other things too: how long one example takes
# says nothing there. Speed is measured elsewhere.
settings.register_profile("suite", deadline=None)
settings.load_profile("suite")
