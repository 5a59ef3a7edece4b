"""The club's students and groups: one by one, or many from a table."""

from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from coachbook.club.book import Book, Reading, Writing, create_book, open_book, set_letters
from coachbook.club.names import name_key
from coachbook.club.students import (
    add_group,
    add_student,
    list_groups,
    list_students,
    put_in_group,
    take_out_of_group,
)
from coachbook.errors import CoachbookError
from coachbook.model.club import Group, Student
from coachbook.model.problem import Problem
from coachbook.paper.options import PaperOptions
from coachbook.paper.text import unprintable
from coachbook.workflows.places import usual_book
from coachbook.workflows.tables import read_table


def new_club(path: Path, name: str) -> Book:
    """A new, empty book. Raises CoachbookError; then nothing is left behind."""
    made = [folder for folder in path.parents if not folder.exists()]
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        return create_book(path, name)
    except OSError as error:
        raise CoachbookError(
            f"The folder {path.parent} cannot be made ({error.strerror}).",
            "Choose another place for the book.",
        ) from error
    except CoachbookError:
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        raise


def open_club(path: Path | None) -> Book:
    """The book at `path`; the usual one if none is named. Raises CoachbookError."""
    usual = usual_book()
    if path is None and not usual.exists():
        raise CoachbookError("There is no club yet.", "Make one with 'coachbook club new NAME'.")
    return open_book(path or usual)


def students_of(book: Book, group: str | None = None) -> tuple[Student, ...]:
    """The students of the club, or of a group, by name. Raises CoachbookError for an unknown group."""
    with book.reading() as page:
        return tuple(list_students(page, group))


def groups_of(book: Book) -> tuple[Group, ...]:
    """The groups by name. Raises CoachbookError."""
    with book.reading() as page:
        return tuple(list_groups(page))


def choose_letters(book: Book, letters: str) -> str:
    """Keep the club's own letters for the pieces, as capitals; "" for none. Raises CoachbookError for
    letters that cannot be."""
    chosen = letters.strip().upper()
    if chosen:
        PaperOptions(letters=chosen)
    with book.writing() as page:
        set_letters(page, chosen)
    return chosen


def add_member(book: Book, name: str, groups: Iterable[str]) -> Student:
    """Add a student, to these groups. Raises CoachbookError."""
    with book.writing() as page:
        return add_student(page, name, groups)


def cannot_be_printed(names: Iterable[str]) -> tuple[str, ...]:
    """Those of the names that hold a sign which no font of coachbook's has: on paper it is a mark only."""
    return tuple(name for name in names if unprintable(name))


def add_teaching_group(book: Book, name: str) -> Group:
    """Add a group. Raises CoachbookError."""
    with book.writing() as page:
        return add_group(page, name)


def put_members(book: Book, students: Iterable[str], group: str) -> tuple[str, tuple[str, ...]]:
    """Put students in a group: its name, and who is in it then. Raises CoachbookError."""
    with book.writing() as page:
        put_in_group(page, students, group)
        return _members(page, group)


def take_members(book: Book, students: Iterable[str], group: str) -> tuple[str, tuple[str, ...]]:
    """Take students out of a group: its name, and who is in it then. Raises CoachbookError."""
    with book.writing() as page:
        take_out_of_group(page, students, group)
        return _members(page, group)


def import_students(book: Book, path: Path) -> tuple[int, tuple[Problem, ...]]:
    """Add the students of a table (name, group); all of them, or none if anything is wrong.

    A group that is not there yet is made; the group may be left empty. Returns how many were
    added, and the mistakes.
    """
    rows, problems = read_table(path, ("name",), ("group",))
    found = list(problems)
    try:
        with book.writing() as page:
            for row in rows:
                try:
                    _add(page, row["name"], row["group"])
                except CoachbookError as error:
                    found.append(row.problem(path, str(error)))
            if found:
                raise _NothingKeptError("mistakes in the table")
    except _NothingKeptError:
        return 0, tuple(found)
    return len(rows), ()


def _add(page: Writing, name: str, group: str) -> None:
    if group and name_key(group) not in {name_key(known.name) for known in list_groups(page)}:
        add_group(page, group)
    add_student(page, name, [group] if group else [])


def _members(page: Reading, group: str) -> tuple[str, tuple[str, ...]]:
    name = next(known.name for known in list_groups(page) if name_key(known.name) == name_key(group))
    return name, tuple(student.name for student in list_students(page, group))


class _NothingKeptError(CoachbookError):
    """Undoes the transaction; never shown."""
