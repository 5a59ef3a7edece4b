from collections.abc import Iterable
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from tests.club.copies import empty_book


def club_of(folder: Path, students: Iterable[str], *groups: str, name: str = "Harbour Lane") -> Book:
    """A new book with these students, each of them in all the groups."""
    made = empty_book(folder / "club.book", name)
    with made.writing() as page:
        for group in groups:
            add_group(page, group)
        for student in students:
            add_student(page, student, groups)
    return made


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    """A club with one group, the Foxes: Ana and Bo."""
    return club_of(tmp_path, ("Ana", "Bo"), "Foxes", name="Hill Street")
