"""A group's evening that was closed is noted with its time, and goes with the group."""

from datetime import UTC, datetime, timedelta

from coachbook.club.book import Book
from coachbook.club.closings import closed_at, keep_closed
from coachbook.club.groups import remove_group
from coachbook.club.students import add_group
from tests.club.conftest import NOW


def test_the_last_closing_of_an_evening_is_kept_with_its_time(book: Book) -> None:
    on, later = NOW.date(), NOW + timedelta(hours=1)
    with book.writing() as tx:
        add_group(tx, "Foxes")
        add_group(tx, "Owls")
        assert closed_at(tx, "Foxes", on) is None
        for time in (NOW, later):
            keep_closed(tx, "Foxes", on, time)
    with book.reading() as tx:
        assert closed_at(tx, "foxes", on) == later.astimezone(UTC)
        assert closed_at(tx, "Owls", on) is None
        assert closed_at(tx, "Foxes", on + timedelta(days=7)) is None


def test_a_group_that_is_removed_takes_its_closings_along(book: Book) -> None:
    with book.writing() as tx:
        add_group(tx, "Foxes")
        keep_closed(tx, "Foxes", NOW.date(), datetime.now(UTC))
        remove_group(tx, "Foxes")
        add_group(tx, "Foxes")
        assert closed_at(tx, "Foxes", NOW.date()) is None
