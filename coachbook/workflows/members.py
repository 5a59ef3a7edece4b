"""The club's students and groups: one by one, or many from a table."""

from pathlib import Path

from coachbook.club.book import Book, Writing, create_book
from coachbook.club.names import name_key
from coachbook.club.students import add_group, add_student, list_groups
from coachbook.errors import CoachbookError
from coachbook.model.problem import Problem
from coachbook.workflows.tables import read_table


def new_club(path: Path, name: str) -> Book:
    """A new, empty book. Raises CoachbookError; then nothing is left behind."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CoachbookError(
            f"The folder {path.parent} cannot be made ({error.strerror}).",
            "Choose another place for the book.",
        ) from error
    return create_book(path, name)


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


class _NothingKeptError(CoachbookError):
    """Undoes the transaction; never shown."""
