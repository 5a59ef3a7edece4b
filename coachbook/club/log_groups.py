"""Of which group an entry of the log is, found from its students as they are in groups now."""

from sqlmodel import col, select

from coachbook.club.book import Reading
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    MembershipRow,
    ObservationRow,
    PlayOutRow,
    TermPlanRow,
)


def groups_of_entries(book: Reading, first: int) -> dict[int, str]:
    """The group that all students of an entry are in, or whose plan it changes, for entries from `first`
    on; those with no such group, or with several, are not among the keys."""
    named = select(MembershipRow.student_id, GroupRow.name).join(GroupRow)
    groups_of: dict[int, set[str]] = {}
    for student_id, name in book.session.exec(named):
        groups_of.setdefault(student_id, set()).add(name)
    common: dict[int, set[str]] = {}
    for table in (AttendanceRow, AnswerRow, PlayOutRow, ObservationRow):
        told = select(table.entry_id, table.student_id).where(col(table.entry_id) >= first).distinct()
        for entry_id, student_id in book.session.exec(told):
            own = groups_of.get(student_id, set())
            common[entry_id] = common.get(entry_id, own) & own
    planned = select(TermPlanRow.entry_id, GroupRow.name).join(GroupRow)
    plans: dict[int, set[str]] = {}
    for entry, name in book.session.exec(planned.where(col(TermPlanRow.entry_id) >= first)):
        plans.setdefault(entry or 0, set()).add(name)
    common |= plans
    return {entry_id: next(iter(names)) for entry_id, names in common.items() if len(names) == 1}
