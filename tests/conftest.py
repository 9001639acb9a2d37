"""What every test of the project shares."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

from .depth import GATE

if TYPE_CHECKING:
    from playwright.sync_api import Browser

settings.load_profile(GATE)

# Weeks, rows and plans are many small things that live long: to look through them for cycles
# at each step takes a twentieth of the time of the tests.
gc.set_threshold(100_000, 50, 100)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """One browser for all that is looked at."""
    from .sheets.browser import browser  # noqa: PLC0415

    with browser() as running:
        yield running
