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

BROKEN = """() => {
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    const range = document.createRange(), broken = new Set();
    while (walker.nextNode()) {
        const node = walker.currentNode;
        if (!node.parentElement.checkVisibility()) { continue; }
        for (const word of node.data.matchAll(/[\\p{L}\\d]+/gu)) {
            if (word[0].length > 12) { continue; }
            range.setStart(node, word.index);
            range.setEnd(node, word.index + word[0].length);
            const lines = new Set([...range.getClientRects()].map(box => Math.round(box.top)));
            if (lines.size > 1) { broken.add(word[0]); }
        }
    }
    return [...broken];
}"""
"""Words of at most twelve letters that stand on two lines."""


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
