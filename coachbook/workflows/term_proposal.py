"""The term that a coach is proposed to plan next: days and hours as in the last one, to be changed."""

from dataclasses import dataclass
from datetime import date, timedelta

from coachbook.club.book import Book
from coachbook.club.groups import terms_of_all
from coachbook.club.students import list_groups
from coachbook.model.dates import WEEKDAYS
from coachbook.model.facts import Group
from coachbook.workflows.planning import TermWish

_TERM = timedelta(weeks=12)
"""From the first evening to the last."""
_MINUTES = 60


@dataclass(frozen=True, slots=True)
class TermProposal:
    """A wish to begin with, for all `groups`; `is_first` says that no term was planned before."""

    wish: TermWish
    groups: tuple[Group, ...]
    is_first: bool


def propose_term(book: Book, today: date) -> TermProposal:
    """The term after the last one that is planned, with its weekdays, minutes and hour. The first one begins
    today, on the weekdays that groups are named after, if any."""
    with book.reading() as tx:
        groups = tuple(list_groups(tx))
        planned = terms_of_all(tx)
        plans = [term.plan for group in groups for term in planned.get(group.name, ())]
    if not plans:
        named = {group.name.casefold() for group in groups}
        weekdays = tuple(number for number, day in enumerate(WEEKDAYS) if day.casefold() in named)
        return TermProposal(TermWish(today, today + _TERM, weekdays, _MINUTES), groups, is_first=True)
    last = max(plans, key=lambda plan: (plan.ends_on, plan.starts_on))
    first = max(today, last.ends_on + timedelta(days=1))
    held_on = last.weekdays or tuple(sorted({session.on.weekday() for session in last.sessions}))
    wish = TermWish(first, first + _TERM, held_on, last.minutes, at=last.at, zone=last.zone)
    return TermProposal(wish, groups, is_first=False)
