"""Headless Chromium for the page, driven by Playwright.

Debian's Chromium is used, never a browser that Playwright fetches. The gate installs it (package
`chromium`); where it is missing the tests of the page say so and are left out, unless
CLEARFRIDGE_BROWSER=required.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, sync_playwright

NAMES = ("chromium", "chromium-browser")
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def path() -> str:
    browser = next((where for name in NAMES if (where := shutil.which(name))), None)
    if browser is None:
        missing = "no Chromium on this machine: install Debian's package chromium"
        if os.environ.get("CLEARFRIDGE_BROWSER") == "required":
            pytest.fail(missing)
        pytest.skip(missing)
    return browser


@contextmanager
def browser() -> Iterator[Browser]:
    where = path()
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(executable_path=where, args=FLAGS)
        try:
            yield running
        finally:
            running.close()
