"""The term plans of groups. An earlier plan is kept; the newest is the one in force."""

from sqlmodel import col, select

from coachbook.club.book import Reading, Writing
from coachbook.club.rows import TermPlanRow
from coachbook.club.stored import term_plan_from, term_plan_text
from coachbook.club.students import roll_of_groups
from coachbook.model.term import TermPlan


def save_term(book: Writing, plan: TermPlan, group: str) -> None:
    """Saves a group's plan in place of the one before. Raises CoachbookError for an unknown group."""
    group_id = roll_of_groups(book).id_of(group)
    book.session.add(TermPlanRow(group_id=group_id, body=term_plan_text(plan)))
    book.session.flush()


def current_term(book: Reading, group: str) -> TermPlan | None:
    """The group's newest plan, None if it has none. Raises CoachbookError for an unknown group."""
    newest = (
        select(TermPlanRow.body)
        .where(TermPlanRow.group_id == roll_of_groups(book).id_of(group))
        .order_by(col(TermPlanRow.id).desc())
    )
    body = book.session.exec(newest).first()
    return None if body is None else term_plan_from(body, group)
