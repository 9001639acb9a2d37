"""One browser for all sheets that are looked at."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from .browser import browser


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with browser() as running:
        yield running
