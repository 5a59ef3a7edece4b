"""What holds according to the log besides answers: play-outs, and what the coach saw."""

from datetime import date

from sqlmodel import col, select

from coachbook.club.book import Reading
from coachbook.club.results import is_of
from coachbook.club.rows import ObservationRow, PlayOutRow, StudentRow
from coachbook.club.values import stored_as
from coachbook.model.club import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal


def play_outs(
    book: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> list[PlayOutResult]:
    """Play-outs in the order of evenings, then of logging.

    All of them, or those of a student, of the students now in a group, or of evenings up to and
    including `until`. Raises CoachbookError for an unknown student or group.
    """
    found = (
        select(StudentRow.name, PlayOutRow)
        .join(StudentRow)
        .where(*is_of(book, col(PlayOutRow.student_id), student, group))
        .order_by(col(PlayOutRow.evening), col(PlayOutRow.entry_id))
    )
    if until is not None:
        found = found.where(col(PlayOutRow.evening) <= until)
    return [
        PlayOutResult(
            student=name,
            unit=row.unit,
            on=row.evening,
            fen=row.fen,
            goal=stored_as(Goal, row.goal, "goal"),
            allowance=row.allowance,
            end=stored_as(PlayOutEnd, row.end, "end of a play-out"),
            used=row.used,
            card=row.card,
            moves=tuple(row.moves.split()),
            slip=row.slip,
        )
        for name, row in book.session.exec(found)
    ]


def observations(
    book: Reading, *, student: str | None = None, group: str | None = None, until: date | None = None
) -> list[Observation]:
    """What the coach saw, in the order of evenings, then of logging; chosen as with `play_outs`."""
    found = (
        select(StudentRow.name, ObservationRow)
        .join(StudentRow)
        .where(*is_of(book, col(ObservationRow.student_id), student, group))
        .order_by(col(ObservationRow.evening), col(ObservationRow.entry_id))
    )
    if until is not None:
        found = found.where(col(ObservationRow.evening) <= until)
    return [
        Observation(
            name, row.unit, row.evening, row.note, stored_as(Impression, row.impression, "impression")
        )
        for name, row in book.session.exec(found)
    ]
