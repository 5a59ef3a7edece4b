"""The plans of groups' terms. An earlier plan of a term is kept; the newest is the one in force.

Days that two terms of a group are planned for belong to the one that was planned later.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from sqlmodel import col, func, select

from coachbook.club.book import Reading, Writing
from coachbook.club.log import add_entry
from coachbook.club.rows import TakenBackRow, TermPlanRow
from coachbook.club.stored import term_plan_from, term_plan_text
from coachbook.club.students import roll_of_groups
from coachbook.model.facts import LogEntry
from coachbook.model.term_plan import PlanChange, Term, TermPlan


def save_terms(book: Writing, terms: Sequence[Term], change: PlanChange, logged_at: datetime) -> LogEntry:
    """Saves plans in place of those before, as one entry of the log that can be taken back.

    Raises CoachbookError for an unknown group.
    """
    roll = roll_of_groups(book)
    facts = [
        {
            "group_id": roll.id_of(term.group),
            "term": term.number,
            "change": str(change),
            "body": term_plan_text(replace(term.plan, taken_over=())),
        }
        for term in terms
    ]
    return add_entry(book, TermPlanRow, facts, logged_at)


def new_term(book: Reading, group: str, plan: TermPlan) -> Term:
    """A plan as that of a term that the book has no other plan of. Raises CoachbookError for an unknown
    group."""
    group_id = roll_of_groups(book).id_of(group)
    highest = func.coalesce(func.max(TermPlanRow.term), 0)
    kept = book.session.exec(select(highest).where(TermPlanRow.group_id == group_id)).one()
    gone = func.coalesce(func.max(func.json_extract(TakenBackRow.body, "$.term")), 0)
    taken_back = book.session.exec(select(gone).where(TakenBackRow.group_id == group_id)).one()
    return Term(group, max(kept, taken_back) + 1, plan)


def terms_of(book: Reading, group: str) -> tuple[Term, ...]:
    """A group's terms in order of their days, each with the plan in force: no two have an evening on one
    day. Raises CoachbookError for an unknown group, or a damaged plan."""
    roll = roll_of_groups(book)
    name = roll.name_of(group)
    newest_first = (
        select(TermPlanRow.term, TermPlanRow.body)
        .where(TermPlanRow.group_id == roll.id_of(group))
        .order_by(col(TermPlanRow.term).desc(), col(TermPlanRow.entry_id).desc(), col(TermPlanRow.id).desc())
    )
    found: list[Term] = []
    taken = set[int]()
    later: list[TermPlan] = []
    for number, body in book.session.exec(newest_first):
        if number in taken:
            continue
        taken.add(number)
        plan = term_plan_from(body, name)
        left = _less(plan, later)
        later.append(plan)
        if left is not None:
            found.append(Term(name, number, left))
    return tuple(sorted(found, key=lambda term: (term.plan.starts_on, term.number)))


def _less(plan: TermPlan, later: Sequence[TermPlan]) -> TermPlan | None:
    left: TermPlan | None = plan
    for other in later:
        left = left.without(other.days) if left is not None else None
    return left
