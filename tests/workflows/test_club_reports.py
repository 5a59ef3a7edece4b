"""What reports say of a student and of a term."""

from coachbook.club.book import Book
from coachbook.workflows.reports import family_report
from tests.workflows.foxes import AIMS, FIRST, SECOND, START, SYLLABUS, answered, week


def test_what_comes_next_builds_only_on_what_was_begun(foxes: Book) -> None:
    assert family_report(foxes, SYLLABUS, "Ana", START).next_up == (AIMS[FIRST],)
    answered(foxes, "Ana", FIRST, START)
    assert family_report(foxes, SYLLABUS, "Ana", week(1)).next_up == (AIMS[SECOND],)
