"""The examples in docstrings are true: each runs, and prints what stands below it."""

from __future__ import annotations

import ast
import doctest
import functools
import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import models
import optimiser
from models.answers.plan import PlanFile
from models.file import reading
from models.week.week import Week
from optimiser import planning


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


def test_what_other_rooms_use_says_what_it_takes() -> None:
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


HEADS = re.compile(r"(?m)^(Parameters|Returns|Yields|Raises|Examples)\n-+$")


def test_every_example_is_true(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(planning, "plan_week", planned_once())
    monkeypatch.setattr(reading, "read_week", functools.cache(reading.read_week))
    tried = 0
    for name in modules():
        failed, attempted = doctest.testmod(importlib.import_module(name))
        assert not failed, name
        tried += attempted
    assert tried > 1_000


def planned_once() -> Callable[..., PlanFile]:
    """Plan as the program does, but what examples plan again and again only once."""
    solve, held = planning.plan_week, dict[str, PlanFile]()

    @functools.wraps(solve)
    def plan_week(week: Week, **ways: Any) -> PlanFile:
        asked = {name: way for name, way in ways.items() if name not in {"stop", "say"}}
        key = repr((week, asked))
        if key not in held:
            held[key] = solve(week, **ways)
        return held[key]

    return plan_week
