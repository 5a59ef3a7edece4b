"""Plans in a book, for tests: keeping one, and reading the one in force."""

from datetime import UTC, datetime

from coachbook.club.book import Reading, Writing
from coachbook.club.terms import new_term, save_terms, terms_of
from coachbook.model.term_plan import PlanChange, TermPlan

NOW = datetime(2026, 9, 1, tzinfo=UTC)


def keep_plan(page: Writing, plan: TermPlan, group: str) -> None:
    """Keeps a plan as that of a new term."""
    save_terms(page, [new_term(page, group, plan)], PlanChange.PLANNED, NOW)


def plan_in_force(page: Reading, group: str) -> TermPlan | None:
    """The plan of a group's last term, None if it has none."""
    terms = terms_of(page, group)
    return terms[-1].plan if terms else None
