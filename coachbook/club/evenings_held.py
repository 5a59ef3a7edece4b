"""On which evenings a group met, by the log: somebody of it was there, no guest of another group, or did
something.

Found by the database alone, without reading what was done.
"""

from datetime import date

from sqlmodel import col, or_, select

from coachbook.club.book import Reading
from coachbook.club.results import answer_holds, attendance_holds
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
)
from coachbook.club.students import roll_of_groups
from coachbook.model.term_plan import Closure


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
