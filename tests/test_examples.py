"""The examples in docstrings are true: each runs, and prints what stands below it."""

from __future__ import annotations

import ast
import doctest
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator

import models
import optimiser


def modules() -> Iterator[str]:
    for package in (models, optimiser):
        yield package.__name__
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            if not module.name.endswith("__main__"):
                yield module.name


def used_elsewhere() -> Iterator[Callable[..., object]]:
    """Give the functions of `models` that another of its rooms, or the optimiser, imports."""
    functions = set[Callable[..., object]]()
    for name in modules():
        tree = ast.parse(inspect.getsource(importlib.import_module(name)))
        for node in ast.walk(tree):
            if not isinstance(node, ast.ImportFrom) or not node.module:
                continue
            source = node.module
            if source.startswith("models.") and room(source) != room(name):
                there = importlib.import_module(source)
                things = (inspect.unwrap(getattr(there, alias.name)) for alias in node.names)
                functions |= {thing for thing in things if inspect.isroutine(thing)}
    yield from sorted(functions, key=lambda function: (function.__module__, function.__name__))


def room(module: str) -> str:
    return ".".join(module.split(".")[:2])


def test_what_other_rooms_use_says_what_it_takes_and_shows_an_example() -> None:
    functions = list(used_elsewhere())
    assert len(functions) > 100
    assert [silent for function in functions for silent in left_unsaid(function)] == []


def left_unsaid(function: Callable[..., object]) -> Iterator[str]:
    name = f"{function.__module__}.{function.__qualname__}"
    text = inspect.getdoc(function) or ""
    parts = dict(zip(["", *HEADS.findall(text)], HEADS.split(text)[::2], strict=True))
    heads = re.findall(r"(?m)^\S.*$", parts.get("Parameters", ""))
    named = set(re.findall(r"\w+", " ".join(heads)))
    yield from (
        f"{name}: {word}"
        for word in inspect.signature(function).parameters
        if word not in {*named, "self"}
    )
    if ">>> " not in parts.get("Examples", ""):
        yield f"{name}: Examples"


HEADS = re.compile(r"(?m)^(Parameters|Returns|Yields|Raises|Examples)\n-+$")


def test_every_example_is_true() -> None:
    tried = 0
    for name in modules():
        failed, attempted = doctest.testmod(importlib.import_module(name))
        assert not failed, name
        tried += attempted
    assert tried > 30
