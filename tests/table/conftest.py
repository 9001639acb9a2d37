"""A week that is open, and a window on it without a browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from models.file.reading import ready_text

from .window import Window


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Window]:
    """Open a copy of the shortest week."""
    (tmp_path / "week.yaml").write_text(f"# mine\n{ready_text('minimal')}", encoding="utf-8")
    opened = Window(tmp_path / "week.yaml")
    yield opened
    opened.sitting.close()
