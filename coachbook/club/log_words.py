"""What an entry of the log says, in words made from its facts: no name is kept in a second place."""

from sqlmodel import col, func, select

from coachbook.club.book import Reading
from coachbook.club.rows import (
    AnswerRow,
    AttendanceRow,
    GroupRow,
    ObservationRow,
    PlayOutRow,
    SheetRow,
    StudentRow,
    TermPlanRow,
)
from coachbook.club.stored import term_plan_from
from coachbook.club.values import stored_as
from coachbook.model.term import PlanChange

_CHANGES = {
    PlanChange.PLANNED: "a term plan for",
    PlanChange.REPLANNED: "the rest of the term planned again for",
    PlanChange.PINNED: "a pin in the plan of",
    PlanChange.UNPINNED: "a pin taken out of the plan of",
    PlanChange.LOCKED: "an evening locked in the plan of",
    PlanChange.UNLOCKED: "an evening unlocked in the plan of",
    PlanChange.NOT_DONE: "what was not done, in the plan of",
}


def entry_in_words(book: Reading, entry_id: int) -> str:
    """Such as "6 answers of Noor on sheet QB-4K7M2"."""
    told = (each(book, entry_id) for each in (_attendance, _answers, _play_out, _observation, _plans))
    return next(filter(None, told), "nothing that is left")


def _attendance(book: Reading, entry_id: int) -> str:
    marks = select(StudentRow.name, col(AttendanceRow.evening), AttendanceRow.present).join(StudentRow)
    found = book.session.exec(marks.where(AttendanceRow.entry_id == entry_id)).all()
    evenings = {evening for _, evening, _ in found}
    if len(evenings) > 1:
        return f"attendance on {len(evenings)} evenings"
    if len(found) == 1:
        name, evening, present = found[0]
        return f"attendance of {name} on {evening}: {'there' if present else 'absent'}"
    there = sum(present for _, _, present in found)
    return "".join(f"attendance on {evening}: {there} of {len(found)} there" for evening in evenings)


def _answers(book: Reading, entry_id: int) -> str:
    written = (
        select(StudentRow.name, SheetRow.code, func.count())
        .select_from(AnswerRow)
        .join(StudentRow, col(StudentRow.id) == AnswerRow.student_id)
        .join(SheetRow, col(SheetRow.id) == AnswerRow.sheet_id)
        .where(AnswerRow.entry_id == entry_id)
        .group_by(StudentRow.name, SheetRow.code)
    )
    found = book.session.exec(written).all()
    if not found:
        return ""
    names = {name for name, _, _ in found}
    codes = {code for _, code, _ in found}
    count = sum(number for _, _, number in found)
    answers = "1 answer" if count == 1 else f"{count} answers"
    who = names.pop() if len(names) == 1 else f"{len(names)} students"
    where = f"sheet {codes.pop()}" if len(codes) == 1 else f"{len(codes)} sheets"
    return f"{answers} of {who} on {where}"


def _play_out(book: Reading, entry_id: int) -> str:
    played = select(StudentRow.name, PlayOutRow).join(StudentRow)
    found = book.session.exec(played.where(PlayOutRow.entry_id == entry_id)).first()
    if found is None:
        return ""
    name, row = found
    moves = "" if row.used is None else f" after {row.used} {'move' if row.used == 1 else 'moves'}"
    return f"a play-out of {name} in {row.unit} on {row.evening}: {row.end}{moves}"


def _observation(book: Reading, entry_id: int) -> str:
    seen = select(StudentRow.name, ObservationRow.unit, col(ObservationRow.evening)).join(StudentRow)
    found = book.session.exec(seen.where(ObservationRow.entry_id == entry_id)).first()
    return f"a note on {found[0]} in {found[1]} on {found[2]}" if found else ""


def _plans(book: Reading, entry_id: int) -> str:
    changed = select(TermPlanRow, GroupRow.name).join(GroupRow).where(TermPlanRow.entry_id == entry_id)
    found = book.session.exec(changed.order_by(col(TermPlanRow.id))).all()
    if not found:
        return ""
    row, group = found[0]
    plan = term_plan_from(row.body, group)
    groups = " and ".join(name for _, name in found)
    change = stored_as(PlanChange, row.change, "change of a plan")
    return f"{_CHANGES[change]} {groups}, {plan.starts_on} to {plan.ends_on}"
