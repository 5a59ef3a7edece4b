"""What is taught on an evening, and what each student is given: by coachbook, and by the book alone."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Protocol

from coachbook.club.book import Book
from coachbook.model.play_outs import card_code
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, Slot, SlotKind
from coachbook.term.layout import WORK, Work, begin
from coachbook.term.request import TermRequest
from coachbook.workflows.evening_needs import Wanted, tonight_of
from coachbook.workflows.planning import TermWish, plan_terms

MINUTES = 60
Sessions = Mapping[tuple[str, date], PlannedSession]
"""By group and evening."""


@dataclass(frozen=True, slots=True)
class Given:
    """A group's evening: its session, and what each student, by name, is given."""

    session: PlannedSession
    papers: Mapping[str, Wanted]


class Coach(Protocol):
    """Plans term by term, and gives out papers evening by evening."""

    def begin_term(self, book: Book, group: str, dates: Sequence[date]) -> None: ...

    def evening(self, book: Book, group: str, on: date) -> Given: ...


@dataclass(frozen=True, slots=True)
class Coachbook:
    """What `term plan` and `evening prepare` give, out of the functions that they call."""

    syllabus: Syllabus

    def begin_term(self, book: Book, group: str, dates: Sequence[date]) -> None:
        plan_terms(
            book, self.syllabus, [group], TermWish(dates[0], dates[-1], (dates[0].weekday(),), MINUTES)
        )

    def evening(self, book: Book, group: str, on: date) -> Given:
        with book.reading() as page:
            tonight = tonight_of(page, self.syllabus, group, on)
        return Given(tonight.session, tonight.wanted)


@dataclass(slots=True)
class WithoutReview:
    """Follows a plan and never looks at the log: the sheet is on the unit that has most of the evening's
    minutes, or where there is none, on the one before; a card for each play-out in the plan, those of a
    unit in turn. Sheets are as long as `items` says, by student and evening."""

    syllabus: Syllabus
    sessions: Sessions
    items: Mapping[tuple[str, date], int]
    students: Mapping[str, Sequence[str]]
    _last: dict[str, str] = field(default_factory=dict)
    _given: Counter[tuple[str, str]] = field(default_factory=Counter)

    def begin_term(self, book: Book, group: str, dates: Sequence[date]) -> None:
        """The plan is there."""

    def evening(self, book: Book, group: str, on: date) -> Given:  # noqa: ARG002 - as every coach is asked
        session = self.sessions[group, on]
        subjects = session.units(SlotKind.NEW, SlotKind.PRACTICE)
        if subjects:
            self._last[group] = max(subjects, key=lambda unit: _minutes(session, unit))
        unit, cards = self._last[group], self._cards(group, session)
        counts = {name: self.items[name, on] for name in self.students[group]}
        papers = {name: Wanted(((unit, count),) if count else (), cards) for name, count in counts.items()}
        return Given(session, papers)

    def _cards(self, group: str, session: PlannedSession) -> tuple[str, ...]:
        cards = []
        for unit in session.units(SlotKind.PLAY_OUT):
            if known := len(self.syllabus.unit(unit).play_outs):
                cards.append(card_code(unit, self._given[group, unit] % known + 1))
                self._given[group, unit] += 1
        return tuple(cards)


def units_in_order(syllabus: Syllabus, groups: Sequence[str], dates: Sequence[date]) -> Sessions:
    """The naive plan: units in the order of the syllabus, each with its minutes (half of them new, the rest
    practice and play-outs, as in coachbook's plan), cut where an evening ends; after the last unit the first
    one again. As many minutes stay free at the end of an evening as in coachbook's plan."""
    free = MINUTES - TermRequest(tuple(dates), MINUTES, dates[0], dates[-1]).buffer
    sessions, waiting = dict[tuple[str, date], PlannedSession](), list[Work]()
    for on in dates:
        slots, left = list[Slot](), free
        while left:
            waiting = waiting or [begin(unit, None, None) for unit in syllabus.units]
            work = waiting[0]
            kind = next(kind for kind in WORK if work.left[kind])
            minutes = min(left, work.left[kind])
            slots.append(Slot(kind, work.unit.code, minutes))
            work.take(kind, minutes)
            left -= minutes
            waiting = waiting[1:] if work.is_done else waiting
        sessions |= {(group, on): PlannedSession(on, tuple(slots)) for group in groups}
    return sessions


def _minutes(session: PlannedSession, unit: str) -> int:
    return sum(slot.minutes for slot in session.slots if slot.unit == unit)
