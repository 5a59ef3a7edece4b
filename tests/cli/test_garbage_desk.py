"""The desk on which garbage is tried notices what must not be, and puts everything back."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli import desk as module
from tests.cli.desk import Call, Desk, StrayedError
from tests.cli.drive import Ran, everything_in

CALL = Call(("log", "attendance"))
KEPT = "Kept: attendance on 2026-09-10: 2 of 3 there.\n"


def log(book: Path, *students: int) -> None:
    """Logs, as a bug might, attendance of so many students as one entry; they may not exist."""
    with closing(sqlite3.connect(book)) as open_book, open_book:
        entry = open_book.execute(
            "INSERT INTO log_entry (logged_at) VALUES ('2026-09-10 20:00:00')"
        ).lastrowid
        for student in students:
            row = (student, "2026-09-24", entry, True)
            columns = "student_id, evening, entry_id, present, late"
            open_book.execute(f"INSERT INTO attendance ({columns}) VALUES (?, ?, ?, ?, 0)", row)  # noqa: S608


def undo(book: Path) -> None:
    with closing(sqlite3.connect(book)) as open_book, open_book:
        open_book.execute("PRAGMA foreign_keys = ON")
        open_book.execute("DELETE FROM log_entry WHERE id = 1")


WRONG: dict[str, tuple[Callable[[Path], object], Ran]] = {
    "another exit code": (lambda _: None, Ran(1, "", "coachbook: No.\n")),
    "not a word": (lambda _: None, Ran(2, "", "")),
    "whose line": (lambda _: None, Ran(2, "", "Traceback (most recent call last):\n")),
    "a traceback in a line": (lambda _: None, Ran(2, "", "coachbook: Traceback (most recent call last):\n")),
    "an endless line": (lambda _: None, Ran(2, "", f"coachbook: {'x' * 1000}\n")),
    "many lines": (lambda _: None, Ran(2, "", "coachbook: No.\n" * 2)),
    "a line that commands the terminal": (lambda _: None, Ran(2, "", "coachbook: \x1b[2J\n")),
    "output that commands the terminal": (lambda _: None, Ran(0, "\x9b2J\n", "")),
    "refused, but a file is left": (lambda book: book.with_name("x").touch(), Ran(2, "", "coachbook: No.\n")),
    "refused, but a file is gone": (lambda book: book.unlink(), Ran(2, "", "coachbook: No.\n")),
    "refused, but logged": (lambda book: log(book, 1, 2, 3), Ran(2, "", "coachbook: No.\n")),
    "an unfinished file": (lambda book: book.with_name(".x.1.part").touch(), Ran(0, "", "")),
    "told, but not kept": (lambda _: None, Ran(0, KEPT, "")),
    "kept, but not told": (lambda book: log(book, 1, 2, 3), Ran(0, "", "")),
    "half of it kept": (lambda book: log(book, 1, 2), Ran(0, KEPT, "")),
    "an entry without a fact": (lambda book: log(book), Ran(0, KEPT, "")),
    "a fact of nobody": (lambda book: log(book, 1, 2, 99), Ran(0, KEPT, "")),
    "something else is gone": (undo, Ran(0, "", "")),
    "a damaged book": (lambda book: book.write_bytes(book.read_bytes()[:9000]), Ran(0, "", "")),
}


@pytest.mark.parametrize(("does", "told"), WRONG.values(), ids=WRONG)
def test_it_notices(
    desk: Desk, does: Callable[[Path], object], told: Ran, monkeypatch: pytest.MonkeyPatch
) -> None:
    def wrong(*_words: str, typed: bytes) -> Ran:
        does(desk.book)
        assert typed == b""
        return told

    monkeypatch.setattr(module, "run", wrong)
    before = everything_in(desk.folder)
    with pytest.raises((AssertionError, sqlite3.DatabaseError)):
        desk.try_out(CALL)
    assert everything_in(desk.folder) == before


def test_it_lets_pass_what_is_right(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def right(*_words: str, typed: bytes) -> Ran:
        log(desk.book, 1, 2, 3)
        return Ran(0, KEPT + typed.decode(), "")

    monkeypatch.setattr(module, "run", right)
    before = everything_in(desk.folder)
    assert [facts.total() for facts in desk.try_out(CALL).logged] == [3]
    assert everything_in(desk.folder) == before


@pytest.mark.parametrize(
    "strays",
    [
        lambda outside: outside.write_text("x"),
        lambda outside: outside.mkdir(),
        lambda outside: os.close(os.open(outside, os.O_CREAT | os.O_WRONLY)),
        lambda outside: Path("club.book").rename(outside),
        lambda outside: sqlite3.connect(outside),
        lambda outside: outside.parent.chmod(0o700),
        lambda _: os.system("true"),  # noqa: S605, S607 - it is not let
    ],
)
def test_nothing_is_let_outside_its_folder(
    desk: Desk, tmp_path: Path, strays: Callable[[Path], object], monkeypatch: pytest.MonkeyPatch
) -> None:
    outside = tmp_path / "outside"

    def wrong(*_words: str, typed: bytes) -> Ran:
        strays(outside)
        return Ran(0, typed.decode(), "")

    monkeypatch.setattr(module, "run", wrong)
    with pytest.raises(StrayedError):
        desk.try_out(CALL)
    assert not outside.exists()
    assert desk.book.exists()


def test_a_bug_shows_itself(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    def buggy(*_words: str, typed: bytes) -> Ran:
        raise ZeroDivisionError(typed)

    monkeypatch.setattr(module, "run", buggy)
    with pytest.raises(ZeroDivisionError):
        desk.try_out(CALL)
