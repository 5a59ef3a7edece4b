"""On which evenings a group met, by the log, and which of them a coach has closed."""

from datetime import UTC, date, datetime

from sqlmodel import col, or_, select

from coachbook.club.book import Reading, Writing
from coachbook.club.results import answer_holds, attendance_holds
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    ClosingRow,
    GroupRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
)
from coachbook.club.students import roll_of_groups
from coachbook.model.term_plan import Closure


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


def evenings_held(
    tx: Reading, group: str | None = None, *, within: Closure | None = None
) -> dict[str, frozenset[date]]:
    """By the name of each group, or of one alone, its evenings; those `within` some days alone, if they are
    given. Raises CoachbookError for an unknown group."""
    groups = {row.id: row.name for row in tx.session.exec(select(GroupRow))}
    if group is not None:
        group_id = roll_of_groups(tx).id_of(group)
        groups = {group_id: groups[group_id]}
    is_own = or_(col(AttendanceRow.guest_of).is_(None), AttendanceRow.guest_of == MembershipRow.group_id)
    conditions = (
        (AttendanceRow, (col(AttendanceRow.present), attendance_holds(), is_own)),
        (AnswerRow, (answer_holds(),)),
        (PlayOutRow, ()),
        (ObservationRow, (col(ObservationRow.unit) != "",)),
    )
    found: dict[int, set[date]] = {group_id: set() for group_id in groups}
    for table, holds in conditions:
        days = (
            select(MembershipRow.group_id, col(table.evening))
            .join_from(MembershipRow, table, col(table.student_id) == MembershipRow.student_id)
            .where(col(MembershipRow.group_id).in_(groups), *holds)
            .distinct()
        )
        if within is not None:
            days = days.where(col(table.evening).between(within.first, within.last))
        for group_id, evening in tx.session.exec(days):
            found[group_id].add(evening)
    return {groups[group_id]: frozenset(days) for group_id, days in found.items()}
