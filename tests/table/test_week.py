"""The week as it is shown, and the file as it is kept: never out of date, never written over."""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path

import pytest

import optimiser
from models.words.errors import InputError
from optimiser.table.opened import opened
from optimiser.table.parts import PARTS
from optimiser.table.sitting import Sitting

from .window import WRONG, Window

COOK = (("batches", "rice and beans", "cook"), "4 portions")


def test_the_grid_is_the_plan_that_the_command_gives(window: Window) -> None:
    text = window.look()
    plan = optimiser.plan("minimal", reasons=False)
    for line in plan.lunches:
        assert line.dish in text
        assert f"{line.nutrients['PROCNT'].amount:.1f} g protein" in text
    assert "Nothing is left over. Proven the best week." in text


def test_a_change_is_one_edit_planned_anew_marked_undone_and_redone(window: Window) -> None:
    window.look()
    was = window.text
    window.sitting.change([COOK], "cook 4 portions of rice and beans")
    assert window.text == was.replace("yield:", "cook: 4 portions, yield:")
    # Until it is planned, what is shown says that it is of before.
    first = window.client.get("/").text
    assert ('class="old"' in first) != ("is left over" in first)
    text = window.look()
    assert "was Rice, beans and" in text or "was 2 portions" in text
    assert "cook 4 portions of rice and beans" in text
    changed = window.text
    window.do("/undo")
    assert window.text == was
    window.do("/redo")
    assert window.text == changed


def test_a_form_of_an_older_page_changes_nothing(window: Window) -> None:
    window.sitting.change([COOK], "cook less")
    changed = window.text
    assert "meanwhile" in window.do("/undo", WRONG, on="0123456789abcdef")
    assert window.text == changed


def test_what_something_else_wrote_is_shown_and_never_written_over(window: Window) -> None:
    window.look()
    theirs = window.text.replace("18 g", "19 g")
    window.file.write_text(theirs, encoding="utf-8")
    with pytest.raises(InputError, match="meanwhile"):
        window.sitting.change([COOK], "cook less")
    assert window.text == theirs
    text = window.look()
    assert "Something else changed week.yaml" in text
    assert "19 g" in text
    window.do("/take")
    assert window.text == theirs
    assert "Something else" not in window.look()
    window.do("/undo")
    assert "18 g" in window.text


def test_whatever_becomes_of_the_file_the_page_stays(window: Window) -> None:
    window.look()
    was = window.text
    window.file.write_bytes(b"week: \xff\xfe")
    assert "it is not UTF-8 text" in window.look()
    assert "not UTF-8" in window.do("/take", WRONG)
    window.file.unlink()
    assert "Something else changed" in window.look()
    window.file.mkdir()
    assert "a week cannot be kept there" in window.look()
    window.do("/undo", WRONG)
    window.file.rmdir()
    window.file.write_text(was, encoding="utf-8")
    assert "Something else changed" not in window.look()


@pytest.mark.parametrize(
    ("code", "mend"), [(errno.EROFS, "folder writable"), (errno.ENOSPC, "Free space on the disk")]
)
def test_what_cannot_be_written_is_told_with_what_to_do(
    window: Window, monkeypatch: pytest.MonkeyPatch, code: int, mend: str
) -> None:
    def fail(*_: object) -> None:
        raise OSError(code, os.strerror(code))

    was = window.text
    monkeypatch.setattr("optimiser.interface.whole._replace", fail)
    text = window.do("/who/eaters", WRONG, floor0="17")
    assert f"({os.strerror(code)})" in text
    assert mend in text
    assert "press again" in text
    assert "another file" not in text
    assert window.text == was


def test_a_file_that_became_read_only_was_changed_by_nobody(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.look()
    monkeypatch.setattr("optimiser.interface.whole._may_write", lambda _: False)
    text = window.look()
    assert "week.yaml cannot be read or written" in text
    assert "it is read-only" in text
    assert "Make the file and its folder writable" in text
    assert "Something else" not in text
    assert "read-only" in window.do("/who/eaters", WRONG, floor0="17")


def test_without_a_price_no_cost_is_proven(window: Window) -> None:
    assert " cost " in window.look().partition("What matters")[2]
    text = re.sub(r",? *price: [^,}\n]*", "", window.text)
    assert text != window.text
    window.sitting.write(text, "no prices")
    said = window.look()
    assert "No prices given" in said
    assert " cost " not in said.partition("What matters")[2]


def test_faults_stand_there_as_check_tells_them(window: Window) -> None:
    broken = window.text.replace("starts:", "stars:").replace("18 g", "18 stones")
    window.file.write_text(broken, encoding="utf-8")
    window.do("/take")
    text = window.look()
    assert "This file has faults" in text
    for fault in window.sitting.faults:
        assert fault.what in text
        assert fault.mend in text
    # Nothing that `check` refuses is written from here.
    window.do("/undo")
    was = window.text
    with pytest.raises(InputError):
        window.sitting.change([(("batches", "rice and beans", "cook"), "9999999 portions")], "x")
    assert window.text == was


def test_a_week_without_a_plan_says_what_clashes(tmp_path: Path) -> None:
    file = tmp_path / "week.yaml"
    file.write_text(optimiser.read_week("impossible").source.as_yaml(), encoding="utf-8")
    window = Window(file)
    text = window.look()
    assert "No week keeps every rule." in text
    assert all(rule.sentence in text for rule in optimiser.plan("impossible").conflict)
    window.sitting.close()


def test_every_part_is_shown_in_words(window: Window) -> None:
    window.look()
    for part in PARTS:
        if part.name:
            text = window.look(part.path)
            assert part.name in text
            assert "Minimal week Mon 30 Nov to Wed 2 Dec 2026 in week.yaml" in text
            for mark in ("{'", "[(", "built-in", "None", "object at"):
                assert mark not in text, (part.path, mark)


def test_names_are_words_and_never_marks(tmp_path: Path) -> None:
    file = tmp_path / "week.yaml"
    file.write_text(
        optimiser.read_week("minimal").source.as_yaml().replace("Ilse", "<b onclick=x>Ilse"),
        encoding="utf-8",
    )
    window = Window(file)
    window.look()
    assert "<b onclick" not in window.client.get("/").text
    window.sitting.close()


def test_stopped_or_dropped_no_answer_is_of_another_text(window: Window) -> None:
    sitting: Sitting = window.sitting
    started = []
    key = ("slow",)

    def slow(week: object) -> object:
        started.append(week)
        return optimiser.check("minimal")

    sitting.ask(key, slow)  # type: ignore[arg-type]
    sitting.change([COOK], "cook less")
    sitting.worker.wait()
    assert sitting.worker.answer((sitting.file.digest, *key)) is None


def test_what_was_stopped_can_be_looked_for_again(window: Window) -> None:
    sitting = window.sitting
    key = (sitting.digest, "plan")
    stopped = optimiser.plan("minimal", reasons=False).model_copy(
        update={"interrupted": True, "status": "feasible"}
    )
    sitting.worker.wait()
    sitting.worker.again(key)
    sitting.worker.ask(key, lambda: stopped)
    text = window.look()
    assert "Look on : for a better week" in text
    assert "Proven the best week" not in text
    window.do("/again")
    text = window.look()
    assert "Look on" not in text
    assert "Proven the best week" in text


def test_a_byte_order_mark_and_line_ends_stay(tmp_path: Path) -> None:
    file = tmp_path / "week.yaml"
    text = optimiser.read_week("minimal").source.as_yaml().replace("\n", "\r\n")
    file.write_bytes(f"\ufeff{text}".encode())
    sitting = Sitting(opened(str(file)))
    sitting.change([COOK], "cook less")
    now = file.read_bytes().decode()
    assert now.startswith("\ufeff")
    assert now.count("\r\n") == now.count("\n") > 5
    sitting.undo()
    assert file.read_bytes().decode() == f"\ufeff{text}"
    sitting.close()
