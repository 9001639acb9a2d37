"""The examples of each module as a test of its own: a mutant is tried by those that reach it.

The gate does not look here; it runs all of them in `tests/test_examples.py`.
"""

from __future__ import annotations

import doctest
import importlib

import pytest

from tests.test_examples import modules


def examples(name: str) -> list[doctest.DocTest]:
    """Give the examples of a module, each once: a mutant bears the text of its original."""
    found = doctest.DocTestFinder().find(importlib.import_module(name), name)
    mutated = [
        test for test in found if "__mutmut" in test.name and not test.name.endswith("_orig")
    ]
    return [test for test in found if test.examples and test not in mutated]


@pytest.mark.parametrize("name", tuple(modules()))
def test_examples(name: str) -> None:
    for test in examples(name):
        assert not doctest.DocTestRunner().run(test).failed, test.name
