from pathlib import Path

import pytest

from coachbook.club.book import Book, create_book
from coachbook.club.students import add_group, add_student


@pytest.fixture
def foxes(tmp_path: Path) -> Book:
    """A club with one group, the Foxes: Ana and Bo."""
    made = create_book(tmp_path / "foxes.book", "Hill Street")
    with made.writing() as page:
        add_group(page, "Foxes")
        for name in ("Ana", "Bo"):
            add_student(page, name, ["Foxes"])
    return made
