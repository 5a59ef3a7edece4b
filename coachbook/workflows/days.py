"""Which evening something belongs to, and whether a day can have been an evening at all."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.club.prepared import evenings_of_sheet
from coachbook.club.results import answers
from coachbook.club.students import student_named
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.groups import days_held, planned_sessions


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why a day may be a slip: it is still to come; or the `group` has a plan, but neither planned nor held
    an evening then. `nearest` is the evening nearest to it, and `last` the last one up to today."""

    on: date
    group: str = ""
    nearest: date | None = None
    last: date | None = None

    @property
    def in_words(self) -> str:
        """One sentence."""
        if not self.group:
            return f"{self.on} is still to come."
        near = f" (the nearest is {self.nearest})" if self.nearest else ""
        return f"No evening is planned on {self.on} for {self.group}{near}."


@dataclass(frozen=True, slots=True)
class Days:
    """The evenings of groups, looked up once, as seen `today`."""

    page: Reading
    today: date
    _planned: dict[str, frozenset[date]] = field(default_factory=dict)
    _held: dict[str, frozenset[date]] = field(default_factory=dict)

    def doubt(self, on: date, groups: Iterable[str]) -> Doubt | None:
        """What speaks against a day for these groups; None if nothing does, as for one of them a day that
        it planned or held, or any that is past if it has no plan. Raises CoachbookError."""
        if on > self.today:
            return Doubt(on)
        groups = tuple(groups)
        if not groups or any(self._was_evening(group, on) for group in groups):
            return None
        known = sorted(self.planned(groups[0]) | self.held(groups[0]))
        past = [day for day in known if day <= self.today]
        nearest = min(known, key=lambda day: (abs(day - on), day))
        return Doubt(on, groups[0], nearest, past[-1] if past else None)

    def doubt_of_student(self, on: date, student: str) -> Doubt | None:
        """The same for the groups that a student is in. Raises CoachbookError."""
        return self.doubt(on, student_named(self.page, student).groups)

    def evening_of(self, student: str, sheet: Worksheet) -> date:
        """When a student had a sheet: the evening on which something of it is logged already; else the
        one for which it was made ready; else the first one of the student's groups, planned or held, from
        the day on which it was made. Never later than today, and today if there is none.

        Raises CoachbookError.
        """
        logged = [each.on for each in answers(self.page, student=student) if each.sheet == sheet.code]
        if logged:
            return logged[-1]
        ready = evenings_of_sheet(self.page, sheet.code)
        groups = student_named(self.page, student).groups
        days = ready.get(student) or frozenset[date]().union(*ready.values())
        days = days or frozenset[date]().union(*(self.planned(name) | self.held(name) for name in groups))
        return min((day for day in days if sheet.made_on <= day <= self.today), default=self.today)

    def planned(self, group: str) -> frozenset[date]:
        """The evenings of a group's plans; none if it has none. Raises CoachbookError."""
        if group not in self._planned:
            self._planned[group] = frozenset(each.on for each in planned_sessions(self.page, group))
        return self._planned[group]

    def held(self, group: str) -> frozenset[date]:
        """The days on which the log says that a group met. Raises CoachbookError."""
        if group not in self._held:
            self._held[group] = days_held(self.page, group)
        return self._held[group]

    def _was_evening(self, group: str, on: date) -> bool:
        return not self.planned(group) or on in self.planned(group) or on in self.held(group)


def doubt_of_groups(book: Book, on: date, today: date, groups: Sequence[str]) -> Doubt | None:
    """What speaks against a day for these groups; None if nothing does. Raises CoachbookError."""
    with book.reading() as page:
        return Days(page, today).doubt(on, groups)


def doubt_of_students(book: Book, on: date, today: date, students: Iterable[str]) -> Doubt | None:
    """The first thing that speaks against a day for one of these students. Raises CoachbookError."""
    with book.reading() as page:
        days = Days(page, today)
        found = (days.doubt_of_student(on, name) for name in students)
        return next((doubt for doubt in found if doubt), None)
