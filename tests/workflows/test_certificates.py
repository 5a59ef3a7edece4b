"""A certificate is for a level of which every unit was secure once, with the days."""

from datetime import date

import pytest

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.printed import Certificate
from coachbook.workflows.certificates import certificate, level_of_student
from tests.workflows.foxes import (
    AIMS,
    FIFTH,
    FIRST,
    FOURTH,
    SECOND,
    START,
    SYLLABUS,
    THIRD,
    answered,
    played,
    week,
)


def learn(book: Book, *units: str, until: int = 0) -> None:
    for unit in units:
        for number in (until - 1, until):
            answered(book, "Ana", unit, week(number))


def earned(book: Book, on: date) -> Certificate:
    return certificate(book, SYLLABUS, level_of_student(book, SYLLABUS, "ana", 1, on))


def test_a_certificate_needs_every_unit_of_the_level_and_says_what_of_which_is_missing(foxes: Book) -> None:
    learn(foxes, FIRST, SECOND, FOURTH, FIFTH)
    answered(foxes, "Ana", THIRD, START)
    with pytest.raises(CoachbookError) as refused:
        earned(foxes, START)
    assert refused.value.message == (
        "Ana has not completed level 1 yet. Missing in Two big pieces: one more good evening (1 of 2; 5 items"
        " or more, 80% right), a play-out within the allowance."
    )
    learn(foxes, THIRD, until=3)
    played(foxes, "Ana", "PLAY-TWO-MAJORS-1", week(4))
    made = earned(foxes, week(4))
    assert (made.club, made.student, made.level, made.on) == ("Hill Street", "Ana", 1, week(4))
    assert (made.level_title, made.can) == (SYLLABUS.levels[0].title, tuple(list(AIMS.values())[:5]))
    assert made.days == (START, START, week(4), START, START)


def test_a_unit_that_fades_takes_no_certificate_away(foxes: Book) -> None:
    learn(foxes, FIRST, SECOND, THIRD, FOURTH, FIFTH)
    played(foxes, "Ana", "PLAY-TWO-MAJORS-1", START)
    made = earned(foxes, START)
    answered(foxes, "Ana", SECOND, week(20), "------")
    assert earned(foxes, week(60)) == made
    due = [unit.unit for unit in level_of_student(foxes, SYLLABUS, "Ana", 1, week(60)).units if unit.is_due]
    assert SECOND in due


def test_a_level_that_there_is_not_is_told_with_those_that_there_are(foxes: Book) -> None:
    with pytest.raises(CoachbookError, match="There is no level 99"):
        level_of_student(foxes, SYLLABUS, "Ana", 99, START)
