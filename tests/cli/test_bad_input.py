"""Whatever is wrong with a week file ends as one message, with code 2 and nothing written.

The whole command runs here, as a stranger's script would run it: what is on either side
of it (a traceback, half a file, a hang) cannot be seen from inside.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from models.words.text import LARGEST_BYTES

from .command import one_message, run
from .conftest import Made
from .week import WEEK, edited

HERE = "# here"


def line_of(text: str) -> int:
    (line,) = [at for at, one in enumerate(text.splitlines(), start=1) if HERE in one]
    return line


def refused(folder: Path, name: str | Path, *parts: str) -> None:
    """Plan a file and see that it is refused, and that nothing is there that was not."""
    before = sorted(path.name for path in folder.iterdir())
    ran = run("plan", name, "--save", "kept.json", folder=folder)
    one_message(ran, *parts)
    assert sorted(path.name for path in folder.iterdir()) == before


# -- what is in the file -----------------------------------------------------------------

EDITS: dict[str, tuple[str, str, str]] = {
    # Name: what stands there, what is written instead, what is said.
    "a word for a list": ("days: [mon, tue, wed, thu]", "days: 3  # here", "days"),
    "a list for a mapping": ("place: {fridge: yes, microwave: no}", "place: [x]  # here", "a list"),
    "a number for a mapping": ("  Ada:\n", "  Bo: 3  # here\n  Ada:\n", "'3' stands where"),
    "nothing for a mapping": ("  Ada:\n", "  Bo:  # here\n  Ada:\n", "nothing is said here"),
    "a truth value for a name": ("kind: bread", "kind: true  # here", "is not a name"),
    "an unknown key": ("    minutes: 6", "    minute: 6  # here", "Did you mean 'minutes'?"),
    "a unit that does not fit": ("yield: 240 g", "yield: 240 mL  # here", "measure a yield"),
    "no unit": ("yield: 240 g", "yield: 240  # here", "240 has no unit"),
    "a negative amount": ("yield: 240 g", "yield: -240 g  # here", "'-240 g' is negative"),
    "a negative price": ("price: 1.20", "price: -1.20  # here", "-1.20 is no price"),
    "an absurd amount": ("yield: 240 g", "yield: 240000 kg  # here", "than a kitchen holds"),
    "an absurd number": ("price: 1.20", "price: 1e300  # here", "is not a usable number"),
    "a million pieces": ("yield: 6 pieces", "yield: 1000000 pieces  # here", "than a kitchen"),
    "no whole portions": ("yield: 240 g", "yield: 250 g  # here", "whole portions of 60 g"),
    "a batch that is not there": ("{beans: 2 to 3}", "{bean: 2 to 3}  # here", "'beans'?"),
    "a box that is not there": ("box: tin", "box: tins  # here", "Did you mean 'tin'?"),
    "a dish that can never be packed": ("{farls: 2 to 4}", "{farls: 7 to 9}  # here", "never be"),
    "made after the week": (
        "made: 2026-11-29\n    yield: 6",
        "made: 2026-12-03  # here\n    yield: 6",
        "too late for the last lunch",
    ),
    "a date that is none": ("starts: 2026-11-30", "starts: 2026-13-41  # here", "is not a date"),
    "the wrong day to start": ("starts: 2026-11-30", "starts: 2026-12-05  # here", "a Saturday"),
    "the last year there is": ("starts: 2026-11-30", "starts: 9999-12-30  # here", "no week to"),
    "a day outside the week": ("{day: thu, fridge", "{day: fri, fridge", "not a day of this week"),
    "a range downwards": ("fridge_life: 3 to 4", "fridge_life: 4 to 3  # here", "downwards"),
    "an allergen that is none": ("[gluten]", "[glutton]  # here", "Did you mean 'gluten'?"),
    "the same key twice": ("    minutes: 6", "    kind: x  # here", "'kind' is already on line"),
    "a tab": ("    minutes: 6", "\tminutes: 6  # here", "4 spaces before"),
    "an open bracket": ("takes: {farls: 2 to 4}", "takes: {farls: 2 to 4", "this is not YAML"),
    "a tag that makes objects": (
        "kind: bread",
        "kind: !!python/object/apply:os.system ['exit 7']  # here",
        "has no place here",
    ),
    "a tag of one's own": ("kind: bread", "kind: !secret bread  # here", "has no place here"),
    "a truth value by tag": ("kind: bread", "kind: !!bool bread  # here", ""),
    "an escape sequence in a name": ("kind: bread", 'kind: "\\x1b[31mred"  # here', "control"),
    "an escape sequence in a key": ("  Tart:", '  "\\x1b]0;title\\x07":  # here', "control"),
    "an escape sequence as it is": ("kind: bread", "kind: \x1b[31mred  # here", "not YAML"),
    "a line break in a name": ("  Tart:", '  "Ta\\nrt":  # here', "control character"),
    "markup in an unknown key": ("  Ada:\n", "  Ada:\n    '[bold]x[/]': 1  # here\n", "'[bold]x"),
    "markup that is not closed": ("kind: bread", "kind: bread\n    '[/x]': 1  # here", "'[/x]'"),
    "a very long name": ("  Tart:", f"  {'W' * 900}:  # here", "60"),
    "a very long key": ("    minutes: 6", f"    {'m' * 900}: 6  # here", "unknown key"),
    "half a character": ("kind: grain", 'kind: "\\ud800"  # here', ""),
}


@pytest.mark.parametrize("name", EDITS)
def test_a_fault_in_the_file_is_told_with_its_line(name: str, tmp_path: Path) -> None:
    old, new, said = EDITS[name]
    text = edited(old, new)
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    line = f"week.yaml, line {line_of(text)}" if HERE in text else "week.yaml, line "
    refused(tmp_path, "week.yaml", line, said)


BOMB = "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"a{at}: &a{at} [{', '.join([f'*a{at - 1}'] * 10)}]\n" for at in range(1, 10)
)

FILES: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "it is empty"),
    "only comments": (b"# nothing\n# here\n", "it holds only comments"),
    "a list": (b"- a\n- b\n", "line 1: this is not a week file"),
    "a word": (b"hello\n", "line 1: this is not a week file"),
    "JSON of something else": (b'{"a": 1}', "line 1 (a): unknown key 'a'"),
    "two documents": (WEEK.encode() + b"---\n" + WEEK.encode(), ", line "),
    "not UTF-8": (WEEK.replace("Audited", "Et\u00e9").encode("latin-1"), "line 2: it is not UTF-8"),
    "UTF-16": (WEEK.encode("utf-16"), "it is not UTF-8"),
    "a picture": (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "it is a picture, and no text"),
    "noughts": (b"\x00" * 100, "this is not YAML"),
    "an alias bomb": (BOMB.encode(), "it unfolds to more than"),
    "an anchor in itself": (b"week: &x [*x]\n", "line 1: it is nested too deeply"),
    "ten thousand brackets": (b"[" * 10_000, "week.yaml"),
    "ten thousand brackets closed": (b"[" * 10_000 + b"]" * 10_000, "too deeply"),
    "ten thousand braces": (b"{a: " * 10_000, "week.yaml"),
    "ten thousand indents": (
        b"".join(b" " * at + b"a:\n" for at in range(300)),
        "too deeply",
    ),
    "a merge": (b"a: &a {b: 1}\nc: {<<: *a}\n", "line 2: '<<' is not used"),
    "an older YAML": (b"%YAML 1.1\n---\nweek: no\n", "week.yaml, line "),
    "a long line": (b"week: " + b"x" * 50_000, "week.yaml, line 1"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_week_is_refused(name: str, tmp_path: Path) -> None:
    data, said = FILES[name]
    (tmp_path / "week.yaml").write_bytes(data)
    refused(tmp_path, "week.yaml", "week.yaml", said)


def test_fifty_megabytes_are_not_read(tmp_path: Path) -> None:
    with (tmp_path / "week.yaml").open("wb") as stream:
        stream.write(b"week: {starts: 2026-11-30}\n")
        stream.truncate(50_000_000)
    refused(tmp_path, "week.yaml", f"week.yaml: it is larger than {LARGEST_BYTES // 1000} kB")


@pytest.mark.parametrize("data", [b"", b"- a\n", b"\xff\xfe", b"#" * 200_000, b"[" * 5000])
def test_standard_input_is_refused_alike(data: bytes, tmp_path: Path) -> None:
    ran = run("plan", "-", "--save", "kept.json", folder=tmp_path, stdin=data)
    one_message(ran, "standard input")
    assert list(tmp_path.iterdir()) == []


# -- what is no file ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("none.yaml", "none.yaml: there is no such file"),
        ("none/none.yaml", "there is no such file"),
        ("plain.txt/none.yaml", "there is no such file"),
        ("folder", "--save: it is of one week, and this is a folder of weeks"),
        (".", "this is a folder of weeks"),
        ("", ""),
        ("x" * 4000, "it cannot be read"),
        ("\x1b[31mred.yaml", "there is no such file"),
        ("[bold]x[/bold].yaml", "[bold]x[/bold].yaml: there is no such file"),
        ("de\u200bmo", "there is no such file"),
    ],
)
def test_a_name_that_leads_to_no_file_is_refused(name: str, said: str, tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "plain.txt").write_text("x", encoding="utf-8")
    refused(tmp_path, name, said)


def test_a_line_break_in_a_file_name_stays_in_one_message(tmp_path: Path) -> None:
    refused(tmp_path, "no\nclearfridge: such", "there is no such file")


def test_a_ready_week_that_is_misspelt_is_a_missing_file(tmp_path: Path) -> None:
    refused(tmp_path, "demoo", "demoo: there is no such file", "clearfridge new")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root reads all")
def test_a_file_that_may_not_be_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "week.yaml"
    path.write_text(WEEK, encoding="utf-8")
    path.chmod(0)
    refused(tmp_path, "week.yaml", "week.yaml: it cannot be read")


def test_a_link_to_itself_is_refused(tmp_path: Path) -> None:
    (tmp_path / "week.yaml").symlink_to("week.yaml")
    refused(tmp_path, "week.yaml", "week.yaml: it cannot be read")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
def test_a_pipe_with_a_name_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "week.yaml")
    refused(tmp_path, "week.yaml", "week.yaml: this is not an ordinary file")


@pytest.mark.parametrize("name", ["/dev/zero", "/dev/null"])
def test_a_device_is_refused(name: str, tmp_path: Path) -> None:
    if not Path(name).exists():
        pytest.skip("no such device here")
    refused(tmp_path, name, f"{name}: this is not an ordinary file")


# -- the other commands --------------------------------------------------------------------


def test_check_refuses_with_the_same_words(tmp_path: Path) -> None:
    text = edited("yield: 240 g", "yield: 250 g")
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    checked = run("check", "week.yaml", folder=tmp_path)
    one_message(checked, "week.yaml, line ")
    assert run("plan", "week.yaml", "--json", folder=tmp_path) == checked
    (fault,) = run("check", "week.yaml", "--json", folder=tmp_path).data["faults"]
    assert fault["what"] in checked.err


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("cook",),
        ("plan",),
        ("check",),
        ("audit",),
        ("new",),
        ("plan", "demo", "demo"),
        ("plan", "demo", "--sav", "x"),
        ("plan", "demo", "--save"),
        ("plan", "demo", "--seconds", "soon"),
        ("plan", "demo", "--seconds", "0"),
        ("plan", "demo", "--seconds", "nan"),
        ("schema", "extra"),
        ("--nonsense",),
    ],
    ids=" ".join,
)
def test_bad_usage(words: tuple[str, ...], tmp_path: Path) -> None:
    ran = run(*words, folder=tmp_path)
    assert ran.code == 2
    assert "Traceback" not in ran.err
    if words:
        assert "Error" in ran.err
        assert ran.out == ""
    else:
        assert "Usage" in ran.out
    assert list(tmp_path.iterdir()) == []


def test_a_key_of_an_earlier_version_gets_the_new_one_named(made: Made, tmp_path: Path) -> None:
    said = "It is called 'no_lunch' now."
    (tmp_path / "old.yaml").write_text(WEEK + "skip: [{day: tue}]  # here\n", encoding="utf-8")
    line = f"line {line_of((tmp_path / 'old.yaml').read_text('utf-8'))}"
    refused(tmp_path, "old.yaml", "unknown key 'skip'", said, line)
    plan = made.data()
    plan["week"]["skip"] = [{"day": "tue"}]
    (tmp_path / "old.json").write_text(json.dumps(plan), encoding="utf-8")
    for command in ("audit", "labels"):
        ran = run(command, "old.json", folder=tmp_path)
        one_message(ran, "old.json, its week, line 1 (skip)", "unknown key 'skip'", said)


@pytest.mark.parametrize("more", ["", " " * 100_000])
def test_a_saved_plan_is_no_week_and_told_to_be_one(more: str, tmp_path: Path) -> None:
    run("plan", "minimal", "--no-reasons", "--save", "plan.json", folder=tmp_path).done()
    with (tmp_path / "plan.json").open("a", encoding="utf-8") as stream:
        stream.write(more)
    ran = run("why", "plan.json", folder=tmp_path)
    one_message(ran, "plan.json: it is a saved plan or another answer, and no week file")


def test_an_alias_of_nothing_is_told_by_its_name(tmp_path: Path) -> None:
    text = "week: {starts: 2026-11-30, days: mon}\neaters:\n  Ann: {}\n  Bob: *nope\n"
    (tmp_path / "week.yaml").write_text(text, encoding="utf-8")
    ran = run("check", "week.yaml", folder=tmp_path)
    one_message(ran, "week.yaml, line 4: nothing is anchored as 'nope'")


@pytest.mark.parametrize("sheet", [("shop",), ("calendar",), ("pack",), ("labels",), ("prep",)])
def test_a_file_is_not_named_in_vain(sheet: tuple[str, ...], tmp_path: Path) -> None:
    ran = run(*sheet, "minimal", "-o", "sheet.txt", "--json", folder=tmp_path)
    one_message(ran, "--json: it prints the figures, and -o writes the sheet")
    assert not (tmp_path / "sheet.txt").exists()
