"""A group held the evenings of which the log says that somebody was there, or did something."""

from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.evenings_held import evenings_held
from coachbook.club.log import log_observation
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.facts import Observation
from tests.workflows.conftest import club_of
from tests.workflows.foxes import FIRST, NOW, START, answered, given, logged, played, present, week


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = club_of(tmp_path, ("Ana", "Bo"), "Foxes")
    with made.writing() as page:
        add_group(page, "Owls")
        add_student(page, "Cy", ["Owls"])
    return made


def held(book: Book) -> dict[str, frozenset[object]]:
    with book.reading() as page:
        return {group: frozenset[object](days) for group, days in evenings_held(page).items()}


def saw(book: Book, unit: str) -> None:
    with book.writing() as page:
        log_observation(
            page,
            Observation(
                "Ana",
                unit,
                week(3),
                "asks",
            ),
            NOW,
        )


def test_an_evening_was_held_if_somebody_was_there_answered_or_played(book: Book) -> None:
    assert held(book) == {"Foxes": frozenset(), "Owls": frozenset()}
    present(book, START, Ana=True, Bo=False)
    answered(book, "Bo", FIRST, week(1))
    played(book, "Ana", "PLAY-TWO-MAJORS-1", week(2))
    answered(book, "Cy", FIRST, week(4))
    assert held(book) == {"Foxes": {START, week(1), week(2)}, "Owls": {week(4)}}


def test_a_note_says_so_if_it_is_of_a_unit(book: Book) -> None:
    saw(book, "")
    assert held(book)["Foxes"] == frozenset()
    saw(book, FIRST)
    assert held(book)["Foxes"] == {week(3)}


def test_only_what_holds_counts(book: Book) -> None:
    present(book, START, Ana=True)
    present(book, START, Ana=False)
    sheet = given(book, "Bo", FIRST, START, 1)
    logged(book, "Bo", sheet, FIRST, START, "+")
    logged(book, "Bo", sheet, FIRST, week(1), "+")
    assert held(book)["Foxes"] == {week(1)}


def test_one_group_is_asked_about_by_its_name(book: Book) -> None:
    present(book, START, Cy=True)
    with book.reading() as page:
        assert evenings_held(page, "owls") == {"Owls": {START}}
        with pytest.raises(CoachbookError, match="Lions"):
            evenings_held(page, "Lions")
