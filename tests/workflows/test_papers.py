"""A sheet is in the book before its paper appears; paper that cannot be written leaves nothing."""

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.students import add_student, list_students
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.files.reading import FOLDER_VARIABLE
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.care import erase_member
from coachbook.workflows.papers import papers_in
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.printed_sheets import list_sheets, make_sheets, reprint_sheets
from coachbook.workflows.sheet_making import SheetRequest
from coachbook.workflows.standings import load_syllabus
from tests.workflows.conftest import club_of

SYLLABUS = load_syllabus()
DAY = date(2026, 9, 10)
REQUEST = SheetRequest(SYLLABUS.unit("mate-in-one"), ("Ana", "Bo"), 2, 1, DAY)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return club_of(tmp_path, REQUEST.students, "Owls")


def make(book: Book, folder: Path) -> Path:
    return make_sheets(book, SYLLABUS, REQUEST, folder, PaperOptions()).sheets_pdf


def prepare(book: Book, folder: Path) -> tuple[str, ...]:
    return prepare_evening(book, SYLLABUS, DAY, (), folder, DAY, PaperOptions(), in_words=in_words).changes


def mode(path: Path) -> int:
    return path.stat().st_mode & 0o777


def cannot_be_put(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    usual = Path.replace

    def replace(part: Path, target: Path) -> Path:
        if target.name.endswith(name) and target.parent.name == "papers":
            raise OSError(28, "No space left on device")
        return usual(part, target)

    monkeypatch.setattr(Path, "replace", replace)


def test_papers_and_their_folder_are_for_the_coach_alone(book: Book, tmp_path: Path) -> None:
    sheets = make(book, tmp_path / "new" / "papers")
    assert {mode(file) for file in sheets.parent.iterdir()} == {0o600}
    assert mode(sheets.parent) == mode(sheets.parent.parent) == 0o700


def test_a_sheet_whose_paper_could_not_be_put_is_in_the_book_and_is_printed_again(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "papers"
    with monkeypatch.context() as patch:
        cannot_be_put(patch, ".pdf")
        with pytest.raises(CoachbookError, match="No space left on device") as told:
            make(book, folder)
    (sheet,) = list_sheets(book)
    assert "The sheet is in the book." in told.value.message
    assert told.value.hint == Advice(Step.PRINT_AGAIN, {"sheets": sheet.code})
    assert not folder.exists()
    assert reprint_sheets(book, [sheet.code], folder, PaperOptions()).sheets_pdf.is_file()


def test_an_evening_whose_paper_could_not_be_put_is_finished_by_preparing_it_again(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan_terms(book, SYLLABUS, ("Owls",), TermWish(DAY, date(2026, 10, 1), weekdays=(3,), minutes=60))
    folder = tmp_path / "papers"
    with monkeypatch.context() as patch:
        cannot_be_put(patch, "coach.pdf")
        with pytest.raises(CoachbookError, match=r"The evening is in the book\. Prepare it again"):
            prepare(book, folder)
    made = list_sheets(book)
    assert prepare(book, folder) == ()
    assert list_sheets(book) == made != ()
    assert sorted(file.name for file in folder.iterdir()) == ["coach.pdf", "print.pdf"]
    assert {mode(file) for file in folder.iterdir()} == {0o600}


@pytest.mark.parametrize("name", ["no/such.pdf", "club.book"])
def test_what_may_not_be_written_leaves_nothing_in_the_book(book: Book, tmp_path: Path, name: str) -> None:
    with pytest.raises(CoachbookError), papers_in(tmp_path) as papers, book.writing() as page:
        add_student(page, "Cy")
        papers.add(tmp_path / name, b"x")
    with book.reading() as page:
        assert [student.name for student in list_students(page)] == ["Ana", "Bo"]
    assert sorted(file.name for file in tmp_path.iterdir()) == ["club.book"]


def test_a_mistake_names_the_place_where_the_file_was_to_stand(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError) as told, papers_in(tmp_path) as papers:
        (papers.unfinished / "x.pdf").mkdir()
        papers.add(tmp_path / "x.pdf", b"x")
    assert str(told.value).startswith(f"{tmp_path / 'x.pdf'} cannot be written: Is a directory.")


KILLED = """
import os, signal
from pathlib import Path
from coachbook.cli.hints import in_words
from coachbook.workflows import printed_sheets as sheets
from coachbook.club.book import open_book
from tests.workflows.test_papers import make

def kill(*_):
    os.kill(os.getpid(), signal.SIGKILL)

{when} = kill
make(open_book(Path(os.environ["BOOK"])), Path(os.environ["PAPERS"]))
"""


def killed(book: Book, folder: Path, when: str) -> None:
    environment = {**os.environ, "BOOK": str(book.path), "PAPERS": str(folder), "PYTHONPATH": str(Path.cwd())}
    subprocess.run([sys.executable, "-c", KILLED.format(when=when)], check=False, env=environment)


def parts_in(folder: Path) -> list[str]:
    return [file.name for file in folder.iterdir() if file.name.endswith(".part")]


@pytest.mark.full
def test_who_is_killed_before_the_book_knows_the_sheet_leaves_no_paper(book: Book, tmp_path: Path) -> None:
    folder = tmp_path / "papers"
    killed(book, folder, "sheets.key_pdf")
    assert list_sheets(book) == ()
    assert [file.name for file in folder.iterdir()] == parts_in(folder)
    sheets = make(book, folder)
    assert parts_in(folder) == []
    assert sheets.is_file()


@pytest.mark.full
def test_who_is_killed_after_it_has_the_sheet_in_the_book(book: Book, tmp_path: Path) -> None:
    folder = tmp_path / "papers"
    killed(book, folder, "sheets.put_sheets_in_place")
    (sheet,) = list_sheets(book)
    assert [file.name for file in folder.iterdir()] == parts_in(folder)
    reprint_sheets(book, [sheet.code], folder, PaperOptions())
    assert parts_in(folder) == []


@pytest.mark.full
def test_erasing_sweeps_what_killed_programs_left_anywhere(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "cache"))
    folder = tmp_path / "papers"
    killed(book, folder, "sheets.put_sheets_in_place")
    assert len(parts_in(folder)) == 1
    erase_member(book, "Ana")
    assert parts_in(folder) == []
