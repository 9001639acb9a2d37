"""The counts of rooms, arrows and circles, on a house built for it and on our own."""

from __future__ import annotations

import ast
import importlib
import pkgutil
import re
import subprocess
import sys
from collections.abc import Iterator
from configparser import ConfigParser
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from optimiser import priorities, rules
from optimiser.cli import COMMANDS

from .house import arrows_of, circles_of

ROOT = Path(__file__).parent.parent


def test_circles_are_rooms_that_all_lead_to_each_other() -> None:
    arrows = {
        "a": {"b"},
        "b": {"c"},
        "c": {"a"},
        "d": {"a", "e"},
        "e": {"f"},
        "f": {"e"},
        "g": {"d"},
    }
    assert circles_of(arrows) == {frozenset("abc"), frozenset("ef")}
    assert circles_of({"a": {"b", "c"}, "b": {"c"}, "c": set()}) == set()


def test_a_small_house_is_counted(tmp_path: Path) -> None:
    files = {
        "models/__init__.py": "",
        "models/words.py": "",
        "models/week/__init__.py": "from models import words",
        "optimiser/__init__.py": "from optimiser import plan",
        "optimiser/plan.py": "import models.week.packed\nfrom optimiser import rules",
        "optimiser/rules/__init__.py": "from optimiser.rules import box",
        "optimiser/rules/box.py": "from models.words import *\nfrom optimiser.plan import x",
        "models/week/packed.py": "from models.week import x",
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    assert counted(tmp_path)[-2:] == [
        "circle: optimiser.plan, optimiser.rules",
        "rooms 4, arrows 5, circles 1",
    ]


def test_our_own_house_has_no_circle() -> None:
    assert circles_of(arrows_of(ROOT)) == set()


def test_every_room_is_one_that_a_report_may_read_or_may_not() -> None:
    walls = ConfigParser()
    walls.read(ROOT / ".importlinter")
    barred = set(walls["importlinter:contract:reports"]["forbidden_modules"].split())
    above = {"optimiser.cli", "optimiser.table", "optimiser.interface", "optimiser.report"}
    # What is said of a priority stands in its room.
    read = {"models.answers", "models.words", "optimiser.priorities"}
    assert barred | above | read == set(arrows_of(ROOT))


@pytest.mark.parametrize(
    ("floor", "what", "listed"),
    [(rules, "rules", rules.FAMILIES), (priorities, "PRIORITY", priorities.ROOMS)],
)
def test_no_room_of_a_rule_or_a_priority_is_left_out(
    floor: ModuleType, what: str, listed: tuple[ModuleType, ...]
) -> None:
    names = [f"{floor.__name__}.{module.name}" for module in pkgutil.iter_modules(floor.__path__)]
    rooms = [room for room in map(importlib.import_module, names) if hasattr(room, what)]
    assert set(rooms) == set(listed)


def test_the_map_names_every_module() -> None:
    room_of, named = "", set[str]()
    for line in part("## How the house is laid out", "```\n\n").splitlines():
        room_of = next(iter(re.findall(r"^((?:models|optimiser)/\w+)", line)), room_of)
        named |= {f"{room_of} {word}" for word in re.findall(r"\w+", line)}
    missing = [
        str(module.relative_to(ROOT))
        for floor in ("models", "optimiser")
        for room in (ROOT / floor).iterdir()
        for module in ([room] if room.suffix == ".py" else sorted(room.rglob("*.py")))
        if not named_on_the_map(module.relative_to(ROOT), named)
    ]
    assert missing == []


def named_on_the_map(module: Path, named: set[str]) -> bool:
    """Tell whether the map has a module: where each command or rule has a file, the room is."""
    floor, room, *inside = module.with_suffix("").parts
    if room == "__init__" or inside[-1:] == ["__init__"]:
        return True
    if not inside:
        return any(one.endswith(f" {room}") for one in named)
    by_command = room in ("answers", "report", "cli") and inside[0] in COMMANDS
    if by_command or room in ("rules", "priorities") or inside[0] == "tables":
        return f"{floor}/{room} {room}" in named
    return f"{floor}/{room} {inside[-1]}" in named


def test_no_two_classes_of_the_house_share_a_name() -> None:
    places: dict[str, list[str]] = {}
    for module, tree in modules_of("models", "optimiser", "scenarios"):
        for name in (*classes_of(tree), *aliases_of(tree)):
            places.setdefault(name, []).append(module)
    assert len(places) > 200
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


def test_classes_and_aliases_are_found_wherever_they_stand() -> None:
    text = "Row = dict[str, str]\nTOP = 1\nclass A:\n    class _B: ...\ndef f():\n    class C: ..."
    tree = ast.parse(text)
    assert (sorted(classes_of(tree)), aliases_of(tree)) == (["A", "C", "_B"], ["Row"])


SAYING_NOTHING = {"one", "said", "found"}


def test_names_say_what_they_hold() -> None:
    for module, tree in modules_of("models", "optimiser"):
        names = set(names_of(tree))
        assert not names & SAYING_NOTHING, (module, names & SAYING_NOTHING)


def test_names_are_found_wherever_they_are_given() -> None:
    text = "def a(b, *, c): d = [e for e in b]; self.f = lambda g: g\nclass H:\n    i: int = j"
    assert sorted(names_of(ast.parse(text))) == ["H", *"abcdefgi"]


def names_of(tree: ast.Module) -> Iterator[str]:
    """Give every name that a module gives: to values, arguments, fields, functions, classes."""
    for node in ast.walk(tree):
        match node:
            case ast.Name(id=name, ctx=ast.Store()) | ast.Attribute(attr=name, ctx=ast.Store()):
                yield name
            case ast.arg(arg=name) | ast.FunctionDef(name=name) | ast.ClassDef(name=name):
                yield name


def classes_of(tree: ast.Module) -> list[str]:
    return [node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]


def aliases_of(tree: ast.Module) -> list[str]:
    """Give the names of types that a module states outside its classes: those like a class's."""
    names = [
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign)
        for target in node.targets
        if isinstance(target, ast.Name)
    ]
    return [name for name in names if name[0].isupper() and not name.isupper()]


def test_what_gives_something_says_what_it_is() -> None:
    assert silent_givers("models", "optimiser") == []


def test_each_function_shows_an_example() -> None:
    # Whether it is true, another test tells.
    modules = modules_of("models", "optimiser")
    assert [f"{module}: {name}" for module, tree in modules for name in unshown_in(tree)] == []


def unshown_in(tree: ast.Module) -> Iterator[str]:
    """Name the public functions without an example; a command has its help instead."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and node.name[0] != "_":
            marks = " ".join(map(ast.unparse, node.decorator_list))
            told = re.search(r"(?m)^Examples\n-+\n(.+\n)*?>>> ", ast.get_docstring(node) or "")
            if not told and "command" not in marks and "overload" not in marks:
                yield node.name


def silent_givers(*floors: str) -> list[str]:
    """Name the public functions and methods that give something and do not say what."""
    modules = [*modules_of(*floors)]
    classes = {name: made for _, tree in modules for name, made in made_in(tree).items()}
    return [f"{module}: {name}" for module, tree in modules for name in silent_in(tree, classes)]


def silent_in(tree: ast.Module, classes: dict[str, ast.ClassDef]) -> Iterator[str]:
    for node in (tree, *(made for name, made in made_in(tree).items() if name[0] != "_")):
        above = told_above(node, classes) if isinstance(node, ast.ClassDef) else set[str]()
        for inside in node.body:
            if isinstance(inside, ast.FunctionDef) and inside.name[0] != "_" and gives(inside):
                text = ast.get_docstring(inside) or ""
                if inside.name not in above and not re.search(r"(?m)^(Returns|Yields)\n-+$", text):
                    yield inside.name


def told_above(made: ast.ClassDef, classes: dict[str, ast.ClassDef]) -> set[str]:
    """Name what the public classes that a class derives from have, and say, themselves."""
    bases = [classes[name] for name in map(ast.unparse, made.bases) if name in classes]
    own = {
        getattr(inside, "name", "") for base in bases if base.name[0] != "_" for inside in base.body
    }
    return own.union(*(told_above(base, classes) for base in bases))


def made_in(tree: ast.Module) -> dict[str, ast.ClassDef]:
    return {node.name: node for node in tree.body if isinstance(node, ast.ClassDef)}


def gives(function: ast.FunctionDef) -> bool:
    """Tell whether a function gives something when it is called; properties are not called."""
    marks = " ".join(map(ast.unparse, function.decorator_list))
    if "property" in marks or "overload" in marks or function.returns is None:
        return False
    return ast.unparse(function.returns) not in {"None", "NoReturn", "Iterator[None]"}


def test_functions_fit_on_a_screen() -> None:
    lengths = {
        f"{module}: {name}": lines
        for module, tree in modules_of("models", "optimiser")
        for name, lines in lengths_of(tree)
    }
    assert len(lengths) > 1_000
    assert {name: lines for name, lines in lengths.items() if lines > 50} == {}


def lengths_of(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Count the lines of every function but those of its docstring."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            first = node.body[0]
            told = ast.get_docstring(node) is not None
            words = (first.end_lineno or 0) - first.lineno + 1 if told else 0
            yield node.name, (node.end_lineno or 0) - node.lineno + 1 - words


def test_what_is_silent_or_long_is_found() -> None:
    text = (
        'def a() -> int:\n    """Add.\n\n    Returns\n    -------\n    Much.\n    """\n'
        "def b() -> int: ...\ndef _c() -> int: ...\ndef d() -> None: ...\nclass E:\n"
        "    @property\n    def f(self) -> int: ...\n    def g(self) -> int: ...\n"
        "class _H(E):\n    def i(self) -> int: ...\n"
        "class J(_H):\n    def g(self) -> int: ...\n    def i(self) -> int: ..."
    )
    tree = ast.parse(text)
    # What a public class above says need not be said again.
    assert [*silent_in(tree, made_in(tree))] == ["b", "g", "i"]
    assert dict(lengths_of(tree))["a"] == dict(lengths_of(tree))["b"] == 1
    shown = 'def a():\n    """Add.\n\n    Examples\n    --------\n    >>> a()\n    """\n'
    unshown = "@app.command()\ndef b(): ...\n@overload\ndef c(): ...\ndef d(): ...\ndef _e(): ..."
    assert [*unshown_in(ast.parse(f"{shown}{unshown}"))] == ["d"]


def modules_of(*floors: str) -> Iterator[tuple[str, ast.Module]]:
    for floor in floors:
        for module in sorted((ROOT / floor).rglob("*.py")):
            yield str(module.relative_to(ROOT)), parsed(module)


@cache
def parsed(module: Path) -> ast.Module:
    return ast.parse(module.read_text(encoding="utf-8"))


def test_the_way_of_a_plan_names_what_is_there() -> None:
    steps = re.findall(r"`(\w+)` in `([\w/.]+)`", part("### The way of", "Set up and run"))
    assert len(steps) >= 10
    for name, file in steps:
        tree = parsed(ROOT / file)
        assert name in {getattr(node, "name", None) for node in tree.body}, (name, file)


READERS = (
    *("models/file", "models/words", "models/foods", "models/week"),
    *("optimiser/cli", "optimiser/interface/whole.py"),
)
BOUND = re.compile("DEEPEST|HEAVIEST|(MOST|LARGEST|LONGEST|DEEPEST|HEAVIEST)_[A-Z_]+")
NO_BOUNDS = {
    ("models/file/following.py", "LONGEST_OF"): "of a name that the program makes",
    ("models/foods/food.py", "MOST_NEAR"): "how many are suggested",
    ("models/foods/naming.py", "MOST_NEAR"): "how many are suggested",
    ("models/foods/storage.py", "LONGEST_AT_HOME"): "a rule of how long food keeps",
    ("models/week/buying.py", "MOST_STEPS"): "work, not what is read",
}


def test_every_bound_of_what_is_read_stands_on_its_page_with_the_test_that_holds_it() -> None:
    text = part("## What is trusted", "\n## ")
    rows = re.findall(r"(?m)^\| `([\w/.]+)` `(\w+)` \| ([\d,]+) .*\| `(\w+)` \|$", text)
    bounds = {
        (module, name): f"{int(getattr(importlib.import_module(dotted), name)):,}"
        for module, tree in modules_of("models", "optimiser")
        if module.startswith(READERS)
        for name in filter(BOUND.fullmatch, names_of(ast.Module(constants_of(tree), [])))
        for dotted in [module.removesuffix(".py").replace("/", ".")]
    }
    assert NO_BOUNDS.keys() <= bounds.keys()
    told = {(module, name): value for module, name, value, _ in rows}
    assert told == {bound: bounds[bound] for bound in bounds.keys() - NO_BOUNDS.keys()}
    tests = "".join(file.read_text("utf-8") for file in (ROOT / "tests").rglob("test_*.py"))
    assert [test for *_, test in rows if f"def {test}(" not in tests] == []


def constants_of(tree: ast.Module) -> list[ast.stmt]:
    return [node for node in tree.body if isinstance(node, (ast.Assign, ast.AnnAssign))]


def part(start: str, end: str) -> str:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return text.partition(start)[2].partition(end)[0]


def counted(folder: Path) -> list[str]:
    words = [sys.executable, "-m", "tests.house", str(folder)]
    ran = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=True)
    return ran.stdout.splitlines()
