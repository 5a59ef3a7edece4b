"""One evening through the desk and through the terminal: the two books say the same."""

import shutil
from collections.abc import Sequence
from pathlib import Path

import pytest

from coachbook.cli import options
from coachbook.club.book import Book, open_book
from coachbook.club.groups import terms_of
from coachbook.club.results import answers, attendance, observations, play_outs
from coachbook.workflows.evening_grid import GridRow, evening_rows
from tests.cli.conftest import Calendar
from tests.cli.drive import done
from tests.desk.conftest import browser_of, desk_of
from tests.workflows.foxes import START

BASE = f"/evening/{START}/1"


def said(book: Book) -> list[object]:
    """Everything that the book holds of the evening and of what is planned from then on, but the order in
    which it was logged."""
    with book.reading() as tx:
        facts: list[Sequence[object]] = [attendance(tx), answers(tx), play_outs(tx), observations(tx)]
        plans = [term.plan for term in terms_of(tx, "Foxes")]
    return [sorted(map(str, each)) for each in facts] + [str(plans)]


def row_of(book: Book, name: str) -> GridRow:
    return next(row for row in evening_rows(book, 1, START) if row.student.name == name)


def at_the_terminal(path: Path, monkeypatch: pytest.MonkeyPatch, unit: str) -> None:
    """Bo is absent; Ana has a mistake in item 2, a play-out and a note; nothing is left over."""
    monkeypatch.setattr(options, "date", Calendar)
    monkeypatch.setattr(Calendar, "now", START)
    monkeypatch.setenv("COACHBOOK_BOOK", str(path))
    done("log", "playout", "Ana", "PLAY-QUEEN-BOX-1", "stalemate", "--date", str(START))
    ana = row_of(open_book(path), "Ana")
    signs = " ".join("0" if cell.item == 2 else "1" for cell in ana.cells)
    lines = ["2", "", signs, "", f"Ana, {unit}-: asks who is to move", "", "1", ""]
    done("evening", "close", str(START), "--ticks", typed="\n".join(lines))


def at_the_desk(path: Path, unit: str) -> None:
    """The same."""
    coach, book = browser_of(desk_of(path)), open_book(path)
    ana, bo = row_of(book, "Ana"), row_of(book, "Bo")
    coach.post(f"{BASE}/register/{ana.student.id}", state="here")
    coach.post(f"{BASE}/register/{bo.student.id}", state="absent")
    coach.post(f"{BASE}/all-right/{ana.student.id}", sheet=ana.sheet)
    coach.post(f"{BASE}/mark/{ana.student.id}", sheet=ana.sheet, item=2, mark="wrong")
    coach.post(f"{BASE}/play-out/{ana.student.id}/PLAY-QUEEN-BOX-1", told="stalemate")
    note = {"student": ana.student.id, "unit": unit, "impression": "TROUBLE", "note": "asks who is to move"}
    coach.send(f"{BASE}/note", note)
    coach.wait_for_work(coach.post(f"{BASE}/close", not_done=unit))


def test_an_evening_logged_at_the_desk_and_at_the_terminal_leaves_the_same_book(
    foxes: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other.book"
    shutil.copy(foxes.path, other)
    with foxes.reading() as tx:
        unit = terms_of(tx, "Foxes")[0].plan.sessions[0].slots[0].unit
    at_the_terminal(other, monkeypatch, unit)
    at_the_desk(foxes.path, unit)
    assert said(open_book(other)) == said(foxes)
