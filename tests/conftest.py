"""What every test of the project shares."""

from __future__ import annotations

from hypothesis import settings

from .depth import GATE

settings.load_profile(GATE)
