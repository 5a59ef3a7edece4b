"""Closing an evening on one page: all that is still missing at a glance, and one press for what was not
finished."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from coachbook.club.book import Book
from coachbook.club.evenings_met import closed_at
from coachbook.club.students import group_numbered
from coachbook.errors import CoachbookError
from coachbook.model.facts import Doubt, Group
from coachbook.model.syllabus import Syllabus
from coachbook.wording.counting import shown_day
from coachbook.workflows.closing import NextWeek, ToClose, close, move_on, to_close
from coachbook.workflows.evening_to_log import Days
from coachbook.workflows.members import planned_session
from coachbook.workflows.playing_at_boards import still_playing


@dataclass(frozen=True, slots=True)
class ClosingView:
    """What is still `left` of a group's evening, what speaks against that day (None if nothing does), whether
    the group `has_plan` at all, whether it `is_planned` for that day, when it was closed, None if it was
    not, and who is still `playing` at a board."""

    group: Group
    left: ToClose
    doubt: Doubt | None
    has_plan: bool
    is_planned: bool
    closed_at: datetime | None
    playing: tuple[str, ...]

    @property
    def is_complete(self) -> bool:
        """Whether nothing is missing."""
        left = self.left
        return not (left.unmarked or left.sheets or left.cards)


def closing_view(book: Book, syllabus: Syllabus, group: int, on: date, today: date) -> ClosingView:
    """A group's evening (by the group's id) before it is closed. Raises CoachbookError for an unknown
    group."""
    with book.reading() as tx:
        own, days = group_numbered(tx, group), Days(tx, today)
        doubt, has_plan = days.doubt(on, [own.name]), bool(days.planned(own.name))
        is_planned, closed = planned_session(tx, own.name, on) is not None, closed_at(tx, own.name, on)
    left = to_close(book, syllabus, own.name, on)
    playing = tuple(dict.fromkeys(each.game.student for each in still_playing(book, syllabus, own.name, on)))
    return ClosingView(own, left, doubt, has_plan, is_planned, closed, playing)


def what_moved(
    book: Book, syllabus: Syllabus, group: int, on: date
) -> tuple[Group, NextWeek, tuple[str, ...]]:
    """Of which group (by its id) and what moves to its next evening, as the log and the plan stand now; and
    the titles of the units that are planned again. Raises CoachbookError for an unknown group, and for an
    evening that was not closed."""
    with book.reading() as tx:
        own = group_numbered(tx, group)
        if closed_at(tx, own.name, on) is None:
            raise CoachbookError(f"{own.name}: the evening of {shown_day(on)} was not closed.")
    again = to_close(book, syllabus, own.name, on).not_done
    return own, move_on(book, syllabus, own.name, on, ()), again


def close_evening(
    book: Book,
    syllabus: Syllabus,
    group: int,
    on: date,
    not_done: Sequence[str],
    today: date,
    now: datetime,
) -> tuple[Group, NextWeek]:
    """Plan anew what was not finished on a group's evening (by the group's id), and tell of which group and
    what moves. What is planned again already stays as it is.

    Raises CoachbookError for an unknown group, a unit that was not planned for that evening, and a day that
    is still to come.
    """
    if on > today:
        raise CoachbookError("This evening is still to come.", "Close it when it was held.")
    with book.reading() as tx:
        own = group_numbered(tx, group)
    left = to_close(book, syllabus, own.name, on)
    titles = dict(left.units)
    for code in not_done:
        if code not in titles:
            raise CoachbookError(f"The unit {code} was not planned for that evening.", "Load the page again.")
    new = [code for code in not_done if titles[code] not in left.not_done]
    return own, close(book, syllabus, own.name, on, new, now)
