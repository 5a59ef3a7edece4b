"""A number that was given to a student, a group or an entry of the log is never given to another."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from sqlmodel import select

from coachbook.club.backup import back_up
from coachbook.club.book import Book, open_book
from coachbook.club.connection import connect
from coachbook.club.erase import erase_student
from coachbook.club.groups import remove_group
from coachbook.club.log import log_attendance
from coachbook.club.restore import restore
from coachbook.club.rows import StudentRow
from coachbook.club.students import add_group, add_student, list_students
from coachbook.club.taken_back import take_back
from coachbook.model.facts import Attendance
from tests.club.conftest import NOW
from tests.club.copies import MORNING, make_first_version


def new_student(book: Book, name: str) -> int:
    with book.writing() as tx:
        return add_student(tx, name).id


def new_group(book: Book, name: str) -> int:
    with book.writing() as tx:
        return add_group(tx, name).id


def new_entry(book: Book, name: str) -> int:
    with book.writing() as tx:
        return log_attendance(tx, [Attendance(name, NOW.date(), present=True)], NOW).id


def test_the_number_of_an_erased_student_is_not_given_again(book: Book) -> None:
    first = new_student(book, "Ana")
    erase_student(book.path, "Ana")
    assert new_student(book, "Cy") == first + 1


def test_the_number_of_a_removed_group_is_not_given_again(book: Book) -> None:
    first = new_group(book, "Foxes")
    with book.writing() as tx:
        remove_group(tx, "Foxes")
    assert new_group(book, "Owls") == first + 1


def test_the_number_of_an_entry_is_not_given_again_after_what_was_taken_back_is_gone(book: Book) -> None:
    for name in ("Ana", "Bo"):
        new_student(book, name)
    first = new_entry(book, "Bo")
    with book.writing() as tx:
        take_back(tx, NOW, first)
    erase_student(book.path, "Ana")
    assert new_entry(book, "Bo") == first + 1


def test_an_erased_student_leaves_nothing_but_the_counter(
    book: Book, dump: Callable[[Path], list[str]]
) -> None:
    before = dump(book.path)
    new_student(book, "Ana")
    new_entry(book, "Ana")
    erase_student(book.path, "Ana")
    assert dump(book.path) == before
    with closing(connect(book.path)) as file:
        counters = dict(file.execute("SELECT name, seq FROM sqlite_sequence"))
    assert {name: number for name, number in counters.items() if number} == {"student": 1, "log_entry": 1}


def test_a_backup_that_is_brought_back_gives_no_number_again(book: Book) -> None:
    new_student(book, "Ana")
    made = back_up(book.path, MORNING)
    assert new_student(book, "Bo") == 2
    restore(book.path, made, MORNING)
    with book.reading() as tx:
        assert [each.name for each in list_students(tx)] == ["Ana"]
    assert new_student(book, "Cy") == 3


def test_a_backup_whose_counter_is_ahead_keeps_it(book: Book) -> None:
    new_student(book, "Ana")
    new_student(book, "Bo")
    erase_student(book.path, "Bo")
    made = back_up(book.path, MORNING)
    other = book.path.with_name("other.book")
    other.write_bytes(made.read_bytes())
    with closing(connect(book.path)) as file:
        file.execute("UPDATE sqlite_sequence SET seq = 1 WHERE name = 'student'")
    restore(book.path, other, MORNING)
    assert new_student(book, "Cy") == 3


def test_an_old_book_gets_counters_and_keeps_its_rows_and_references(tmp_path: Path) -> None:
    path = tmp_path / "old.book"
    make_first_version(path, "Mina")
    book = open_book(path)
    with book.reading() as tx:
        assert tx.session.exec(select(StudentRow.id)).all() == [1]
    erase_student(path, "Mina")
    assert new_student(book, "Tom") == 2
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA foreign_key_check").fetchall() == []
