"""The examples in docstrings are true: each runs, and prints what stands below it."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
from collections.abc import Iterator

import models
import optimiser


def modules() -> Iterator[str]:
    for package in (models, optimiser):
        yield package.__name__
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if not module.name.endswith("__main__"):
                yield module.name


def test_every_example_is_true() -> None:
    tried = 0
    for name in modules():
        failed, attempted = doctest.testmod(importlib.import_module(name))
        assert not failed, name
        tried += attempted
    assert tried > 30
