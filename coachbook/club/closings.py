"""Which evenings a coach has closed, and when: their own word, which nothing in the log says."""

from datetime import UTC, date, datetime

from sqlmodel import select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import ClosingRow
from coachbook.club.students import roll_of_groups


def keep_closed(tx: Writing, group: str, on: date, now: datetime) -> None:
    """Notes that a group's evening was closed `now`, which is aware; of one that was closed before, the later
    time. Raises CoachbookError for an unknown group."""
    row = ClosingRow(group_id=roll_of_groups(tx).id_of(group), evening=on, closed_at=now.astimezone(UTC))
    tx.session.merge(row)
    tx.session.flush()


def closed_at(tx: Reading, group: str, on: date) -> datetime | None:
    """When a group's evening was closed (aware UTC); None if it was not, or by a version that did not note
    it. Raises CoachbookError for an unknown group."""
    group_id = roll_of_groups(tx).id_of(group)
    found = select(ClosingRow.closed_at).where(ClosingRow.group_id == group_id, ClosingRow.evening == on)
    return tx.session.exec(found).first()
