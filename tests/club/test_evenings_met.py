"""On which evenings a group met, by the log; and one that was closed is noted with its time, and goes with
the group."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.evenings_met import closed_at, evenings_held, keep_closed
from coachbook.club.groups import remove_group
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


def test_the_last_closing_of_an_evening_is_kept_with_its_time(book: Book) -> None:
    on, later = NOW.date(), NOW + timedelta(hours=1)
    with book.writing() as tx:
        assert closed_at(tx, "Foxes", on) is None
        for time in (NOW, later):
            keep_closed(tx, "Foxes", on, time)
    with book.reading() as tx:
        assert closed_at(tx, "foxes", on) == later.astimezone(UTC)
        assert closed_at(tx, "Owls", on) is None
        assert closed_at(tx, "Foxes", on + timedelta(days=7)) is None


def test_a_group_that_is_removed_takes_its_closings_along(book: Book) -> None:
    with book.writing() as tx:
        keep_closed(tx, "Foxes", NOW.date(), datetime.now(UTC))
        remove_group(tx, "Foxes")
        add_group(tx, "Foxes")
        assert closed_at(tx, "Foxes", NOW.date()) is None
