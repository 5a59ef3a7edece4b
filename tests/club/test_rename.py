"""A student's old name does not linger in any file that coachbook keeps."""

from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path

import pytest

from coachbook.club.backup import back_up
from coachbook.club.book import Book, open_book
from coachbook.club.connection import connect
from coachbook.club.erase import rename_student
from coachbook.club.results import answers, observations
from coachbook.club.students import add_student, list_students
from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Worksheet
from tests.club.traces import MORNING, NAME, everything_of_others, files_with, fill, taken_out

Dump = Callable[[Path], list[str]]


@pytest.fixture
def full_book(book: Book, make_sheet: Callable[..., Worksheet], now: datetime) -> Book:
    """All that can be kept of a student is kept of Wilhelmina, and of Tom."""
    fill(book, NAME, make_sheet(code="QB-1", keys=("k1", "k2")), now)
    return book


def test_an_old_name_does_not_linger(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    before = everything_of_others(full_book)
    wording = taken_out(full_book.path, NAME, "Mina Okafor")
    done = rename_student(full_book.path, NAME.lower(), " Mina  Okafor ", wording)
    assert (done.student, done.backups, done.reworded, done.damaged, done.left) == (NAME, 1, 3, (), ())
    assert files_with(NAME, full_book.path.parent) == []
    for path in (full_book.path, made):
        with open_book(path).reading() as r:
            assert [student.name for student in list_students(r)] == ["Mina Okafor", "Tom"]
            assert [answer.student for answer in answers(r)] == ["Mina Okafor", "Tom"]
            assert [seen.note for seen in observations(r)] == [
                "Waited well; Mina Okafor and Mina Okafor's brother helped."
            ] * 2
    assert everything_of_others(full_book)[3] == before[3]


def test_a_name_can_be_written_in_another_way(full_book: Book) -> None:
    rename_student(full_book.path, NAME, "WilhelMina")
    with full_book.reading() as r:
        assert [student.name for student in list_students(r)] == ["Tom", "WilhelMina"]


@pytest.mark.parametrize(
    ("new", "told"),
    [("tom", "already a student 'Tom'"), ("", "needs a name"), ("x" * 61, "61 characters")],
)
def test_a_name_that_is_taken_or_none_is_refused(full_book: Book, dump: Dump, new: str, told: str) -> None:
    before = dump(full_book.path)
    with pytest.raises(CoachbookError, match=told):
        rename_student(full_book.path, NAME, new)
    with pytest.raises(CoachbookError, match="no student 'Ada'"):
        rename_student(full_book.path, "Ada", "Eve")
    assert dump(full_book.path) == before


def test_a_name_that_another_student_of_a_backup_has_is_refused_before_anything_changes(
    full_book: Book, dump: Dump
) -> None:
    first = back_up(full_book.path, MORNING)
    with full_book.writing() as w:
        add_student(w, "Mina")
    second = back_up(full_book.path, MORNING)
    with closing(connect(full_book.path)) as connection:
        connection.execute("DELETE FROM student WHERE name = 'Mina'")
    before = [dump(path) for path in (full_book.path, first, second)]
    with pytest.raises(CoachbookError, match=rf"already a student 'Mina' in .*{second.name}"):
        rename_student(full_book.path, NAME, "Mina")
    assert [dump(path) for path in (full_book.path, first, second)] == before


def test_a_damaged_backup_stays_and_is_told_when_a_student_is_renamed(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    made.write_bytes(made.read_bytes()[:5000])
    assert rename_student(full_book.path, NAME, "Mina").damaged == (made,)
    assert made.exists()
