import shutil
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.cli.drive import done, sheet_in

SYLLABUS = Path(__file__).with_name("syllabus")


@dataclass(frozen=True, slots=True)
class Club:
    """A club in a folder of its own; `sheet` was given to the Owls on 2026-09-10."""

    folder: Path
    book: Path
    sheet: str


@pytest.fixture(scope="session")
def first_club(tmp_path_factory: pytest.TempPathFactory) -> Club:
    folder = tmp_path_factory.mktemp("club")
    book = folder / "club.book"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COACHBOOK_BOOK", str(book))
        patch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
        done("club", "new", "Harbour Lane")
        for group in ("Owls", "Foxes"):
            done("group", "add", group)
        for name, group in (("Ana", "Owls"), ("Bo", "Owls"), ("Łucja", "Owls"), ("Dee", "Foxes")):
            done("student", "add", name, "--group", group)
        day = ("--date", "2026-09-10", "--seed", "7")
        made = done("sheet", "make", "--unit", "queen-box", "--group", "Owls", *day, "--to", str(folder))
    code = made.splitlines()[1].split()[0]
    assert sheet_in(book, code).code == code
    return Club(folder, book, code)


@pytest.fixture
def club(first_club: Club, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Club:
    """A fresh copy, which the commands take as theirs."""
    folder = tmp_path / "club"
    shutil.copytree(first_club.folder, folder)
    book = folder / first_club.book.name
    monkeypatch.setenv("COACHBOOK_BOOK", str(book))
    monkeypatch.setenv("COACHBOOK_SYLLABUS", str(SYLLABUS))
    monkeypatch.chdir(folder)
    return Club(folder, book, first_club.sheet)
