from collections.abc import Iterable
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import prepare_evening
from tests.club.copies import empty_book
from tests.workflows.foxes import START, SYLLABUS, week


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


def foxes_in(folder: Path) -> Book:
    """The Foxes (Ana and Bo), with a term of five evenings, and the papers of the first one."""
    book = club_of(folder, ("Ana", "Bo"), "Foxes", name="Hill Street")
    plan_terms(book, SYLLABUS, ("Foxes",), TermWish(START, week(5), weekdays=(3,), minutes=60))
    prepare_evening(
        book, SYLLABUS, START, (), folder / "papers", START, PaperOptions(), in_words=lambda _: ""
    )
    return book


@pytest.fixture(scope="session")
def first_foxes(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the Foxes, made once: each test has a copy."""
    folder = tmp_path_factory.mktemp("foxes")
    foxes_in(folder)
    return folder
