"""Which evening something belongs to, and what a coach goes through after it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from coachbook.club.book import Book, Reading
from coachbook.club.evenings_met import closed_at
from coachbook.club.names import find_named, no_such
from coachbook.club.results import answers, attendance, logged_students
from coachbook.club.sheets import evenings_of_sheet, prepared_codes, prepared_for, saved_sheet
from coachbook.club.students import in_order, list_groups, list_students, student_named
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.facts import Doubt
from coachbook.model.worksheet import Worksheet
from coachbook.wording.counting import shown_day
from coachbook.workflows.evening_log import GivenSheet
from coachbook.workflows.members import days_held, named_group, named_groups, planned_sessions
from coachbook.workflows.printed_sheets import list_sheets, sound_sheet


@dataclass(frozen=True, slots=True)
class Days:
    """The evenings of groups, looked up once, as seen `today`."""

    tx: Reading
    today: date
    _planned: dict[str, frozenset[date]] = field(default_factory=dict)
    _held: dict[str, frozenset[date]] = field(default_factory=dict)

    def doubt(self, on: date, groups: Iterable[str]) -> Doubt | None:
        """What speaks against a day for these groups; None if nothing does, as for one of them a day that
        it planned or held, or any that is past if it has no plan. Raises CoachbookError for an unknown
        group."""
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
        """The same for the groups that a student is in. Raises CoachbookError for an unknown
        student."""
        return self.doubt(on, student_named(self.tx, student).groups)

    def evening_of(self, student: str, sheet: Worksheet) -> date:
        """When a student had a sheet: the evening on which something of it is logged already; else the
        one for which it was made ready; else the first one of the student's groups, planned or held, from
        the day on which it was made. Never later than today, and today if there is none.

        Raises CoachbookError for an unknown student.
        """
        logged = [each.on for each in answers(self.tx, student=student) if each.sheet == sheet.code]
        if logged:
            return logged[-1]
        ready = evenings_of_sheet(self.tx, sheet.code)
        groups = student_named(self.tx, student).groups
        days = ready.get(student) or frozenset[date]().union(*ready.values())
        days = days or frozenset[date]().union(*(self.planned(name) | self.held(name) for name in groups))
        return min((day for day in days if sheet.made_on <= day <= self.today), default=self.today)

    def planned(self, group: str) -> frozenset[date]:
        """The evenings of a group's plans; none if it has none. Raises CoachbookError for an unknown
        group."""
        if group not in self._planned:
            self._planned[group] = frozenset(each.on for each in planned_sessions(self.tx, group))
        return self._planned[group]

    def held(self, group: str) -> frozenset[date]:
        """The days on which the log says that a group met. Raises CoachbookError for an unknown
        group."""
        if group not in self._held:
            self._held[group] = days_held(self.tx, group)
        return self._held[group]

    def _was_evening(self, group: str, on: date) -> bool:
        return not self.planned(group) or on in self.planned(group) or on in self.held(group)


def doubt_of_groups(book: Book, on: date, today: date, groups: Sequence[str]) -> Doubt | None:
    """What speaks against a day for these groups; None if nothing does. Raises CoachbookError for an
    unknown group."""
    with book.reading() as tx:
        return Days(tx, today).doubt(on, groups)


def doubt_of_students(book: Book, on: date, today: date, students: Iterable[str]) -> Doubt | None:
    """The first thing that speaks against a day for one of these students. Raises CoachbookError for an
    unknown student."""
    with book.reading() as tx:
        days = Days(tx, today)
        found = (days.doubt_of_student(on, name) for name in students)
        return next((doubt for doubt in found if doubt), None)


def evening_still_open(book: Book, until: date, groups: Sequence[str]) -> date | None:
    """The last of the evenings that are still open; None if there is none. Raises CoachbookError for an
    unknown group."""
    return next(iter(evenings_still_open(book, until, groups)), None)


def evenings_still_open(book: Book, until: date, groups: Sequence[str]) -> tuple[date, ...]:
    """The evenings up to a day that the plan of one of the groups (of any, if none is named) has since the
    last one that was closed, the last one first. Raises CoachbookError for an unknown group."""
    with book.reading() as tx:
        chosen = named_groups(tx, groups) if groups else tuple(list_groups(tx))
        days = {day for group in chosen for day in _open_of(tx, group.name, until)}
    return tuple(sorted(days, reverse=True))


def _open_of(tx: Reading, group: str, until: date) -> list[date]:
    """The planned evenings of a group since the last one that is closed."""
    found: list[date] = []
    for session in reversed(planned_sessions(tx, group)):
        if session.on <= until:
            if _is_closed(tx, group, session.on):
                break
            found.append(session.on)
    return found


def _is_closed(tx: Reading, group: str, on: date) -> bool:
    """Whether the coach has closed it, or it is known who was there, and something of the sheets that were
    made ready for them."""
    if closed_at(tx, group, on) is not None:
        return True
    marks = attendance(tx, on=on, group=group)
    there = {mark.student for mark in marks if mark.present}
    given = {name: kept.sheet for name, kept in prepared_for(tx, group, on).items() if kept.sheet}
    waiting = there & given.keys()
    return bool(marks) and (not waiting or any(name in logged_students(tx, given[name]) for name in waiting))


def class_list(book: Book, group: str | None) -> tuple[str, tuple[str, ...]]:
    """A group (the only one, if none is named) and its students. Raises CoachbookError if it has none."""
    with book.reading() as tx:
        name = named_group(tx, group).name
        students = tuple(student.name for student in list_students(tx, name))
    if not students:
        raise CoachbookError(f"The group {name} has no student yet.", Advice(Step.PUT_STUDENTS_IN))
    return name, students


def picked(names: tuple[str, ...], typed: str, what: str = "student") -> tuple[str, ...]:
    """Those of `names` that a line picks, by number (from 1) or name, with commas between; `what` they
    are is told in the error.

    A name may be without its accents. Raises CoachbookError for a number or name that none of them has.
    """
    bare = typed.replace(",", " ").split()
    parts = bare if all(part.isdecimal() for part in bare) else typed.split(",")
    chosen = {find_picked(names, part.strip(), what) for part in parts if part.strip()}
    return tuple(name for name in names if name in chosen)


def find_picked(names: tuple[str, ...], part: str, what: str) -> str:
    """The one of `names` with this number (from 1) or name. Raises CoachbookError if there is none."""
    numbered = {str(number): name for number, name in enumerate(names, start=1)}
    found = numbered.get(part) or find_named(part, names)
    if found is None and part.casefold().endswith(" late"):
        raise CoachbookError(f"'{part}': who comes late is there.", "Name only those who did not come.")
    if found is None and part.isdecimal():
        raise CoachbookError(
            f"There is no {what} {part[:20]} in the list.",
            "The only number is 1." if len(names) == 1 else f"Numbers are 1 to {len(names)}.",
        )
    if found is None:
        raise CoachbookError(f"The list has no {what} '{part}'.", no_such(what, part, names).hint)
    return found


def who_was_there(book: Book, group: str | None, present: Sequence[str]) -> dict[str, bool]:
    """Everyone in a group (the only one, if none is named), and whether they are among `present`.

    Guests from other groups count as present too. Raises CoachbookError for an unknown name.
    """
    students = class_list(book, group)[1]
    with book.reading() as tx:
        there = {student_named(tx, name).name for name in present}
    return dict.fromkeys(students, False) | dict.fromkeys(sorted(there), True)


def sheets_to_log(book: Book, code: str | None, on: date, group: str | None = None) -> tuple[GivenSheet, ...]:
    """The sheet named, else all that were made on the newest day up to `on`, each with its students;
    of these only students (of a group, if one is named) of whom no answer to it is logged yet, and
    who were not marked absent on that day. A sheet of one student that another took the place of, when
    the evening was prepared again, is not among them.

    Raises CoachbookError if there is none.
    """
    if code is not None:
        return (given_to(book, code),)
    made = [sheet for sheet in list_sheets(book) if sheet.made_on <= on]
    if not made:
        raise CoachbookError(f"No sheet was made by {shown_day(on)}.", Advice(Step.MAKE_A_SHEET))
    newest = [sheet.code for sheet in made if sheet.made_on == made[-1].made_on]
    with book.reading() as tx:
        logged = {code: logged_students(tx, code) for code in newest}
        away = {mark.student for mark in attendance(tx, on=on) if not mark.present}
        wanted = {student.name for student in list_students(tx, group)} - away
        prepared = prepared_codes(tx, made[-1].made_on)
    left = []
    for sheet, students in (given_to(book, code) for code in newest):
        if len(students) == 1 and sheet.code not in prepared.get(students[0], {sheet.code}):
            continue
        waiting = tuple(name for name in students if name in wanted - logged[sheet.code])
        if waiting:
            left.append((sheet, waiting))
    if not left:
        raise CoachbookError(
            f"Everything on the sheets of {shown_day(made[-1].made_on)} is logged.",
            "To change something, name the sheet.",
        )
    return tuple(sorted(left, key=lambda given: in_order(given[1][0])))


def given_to(book: Book, code: str) -> tuple[Worksheet, tuple[str, ...]]:
    """A sheet and the students it was given to. Raises CoachbookError if there is no such sheet."""
    with book.reading() as tx:
        return sound_sheet(tx, code), saved_sheet(tx, code).students
