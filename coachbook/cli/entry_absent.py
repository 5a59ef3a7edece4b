"""Typing who was absent, so that the line is not lost whatever happens before it is kept."""

from collections.abc import Sequence
from datetime import UTC, date, datetime

from coachbook.cli.drafts import put_aside_or_tell, taken_up
from coachbook.cli.entry import type_absences
from coachbook.club.book import Book
from coachbook.club.draft import DraftLine, Typed
from coachbook.workflows.attendance import answers_that_evening
from coachbook.workflows.care import before_typing
from coachbook.workflows.drafts import evening_aside


def type_who_was_absent(
    book: Book, group: str, students: Sequence[str], on: date, lines: Sequence[DraftLine] | None = None
) -> tuple[dict[str, bool], DraftLine]:
    """Who of a group was there, as typed, and the line that is put aside until that is kept.

    `lines` are those put aside that the coach goes on with; None if that is to be asked for. Raises
    CoachbookError, InterruptedEntryError.
    """
    if lines is None:
        found = evening_aside(book, on, [group])
        lines = taken_up(book, [line for line in found if line.what is Typed.ABSENT])
        before_typing(book, datetime.now(UTC))
    typed = next((line.text for line in lines if line.what is Typed.ABSENT and line.about == group), None)
    line = DraftLine(Typed.ABSENT, on, group)

    def aside(text: str) -> bool:
        return put_aside_or_tell(book, DraftLine(Typed.ABSENT, on, group, text=text))

    told = type_absences(group, students, on, answers_that_evening(book, students, on), aside, typed)
    return told, line
