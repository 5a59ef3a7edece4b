"""What goes on a student's sheet of an evening: as many items as its minutes hold, of what was taught.

The minutes are those of the evening's review, practice and assessment. An assessment comes first, and asks
for all units of a level; then what is caught up, then what is due (in the minutes of the review, and in up to
a third of those for practice), then what is practised; what is left over is of what was taught, the weakest
first.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from coachbook.club.results import EveningsByUnit
from coachbook.exercises.minutes import items_for, minutes_of_items
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind
from coachbook.progress.standing import good_evenings

MOST_ITEMS = 20
"""On a sheet: four pages of six boards at most, or three of nine."""

_FEW = 2
_LEAST = 5
"""Minutes for which a unit is begun on a sheet."""
_LITTLE_MORE = 1.2
"""How much longer a unit may take than its minutes, so that the evening counts for its rule."""


@dataclass(frozen=True, slots=True)
class StudentTonight:
    """A student on an evening: what was `seen` of each unit, what is due, what was `taught` before (in the
    order of the syllabus), and which of it an assessment asks for (nothing where there is none); what is
    `new` tonight, and the unit that is caught up, or ""."""

    seen: EveningsByUnit
    due: Sequence[ReviewAdvice]
    taught: Sequence[str]
    assessed: Sequence[str] = ()
    new: Sequence[str] = ()
    caught_up: str = ""

    @property
    def may_practise(self) -> frozenset[str]:
        """All that will have been explained when practice begins."""
        return frozenset((*self.taught, *self.new, self.caught_up)) - {""}


@dataclass(slots=True)
class _Sheet:
    """A sheet that is being filled: items by unit in the order of printing."""

    syllabus: Syllabus
    counts: dict[str, int] = field(default_factory=dict)

    @property
    def room(self) -> int:
        return MOST_ITEMS - sum(self.counts.values())

    def fill(self, unit: str, minutes: float, most: int = MOST_ITEMS) -> float:
        """Put on as many items of a unit as some minutes hold, and a little more where that makes the evening
        count for the unit's rule; the minutes that they take."""
        counts = self.syllabus.unit(unit).secure.items
        holds = items_for(self.syllabus.unit(unit), minutes) if minutes >= _LEAST else 0
        if holds < counts and self.takes(unit, counts) <= minutes * _LITTLE_MORE:
            holds = counts
        count = max(0, min(most, self.room, holds))
        if count:
            self.counts[unit] = self.counts.get(unit, 0) + count
        return self.takes(unit, count)

    def takes(self, unit: str, count: int) -> float:
        return minutes_of_items(self.syllabus.unit(unit), count)


def sheet_contents(
    syllabus: Syllabus, session: PlannedSession, student: StudentTonight
) -> tuple[tuple[str, int], ...]:
    """Units with the number of items, in the order in which they stand on the sheet."""
    sheet = _Sheet(syllabus)
    minutes = _minutes(session, student.may_practise)
    practised = {unit: float(own) for unit, own in minutes.practice.items()}
    minutes.mixed += minutes.assessed - _assess(sheet, student, minutes.assessed)
    if student.caught_up and student.caught_up not in practised:
        spent = sheet.fill(student.caught_up, 2 * _LEAST, syllabus.unit(student.caught_up).secure.items)
        minutes.mixed -= spent
    due = [each for each in student.due if each.items and each.unit in student.taught]
    due = [each for each in due if each.unit not in practised and each.unit not in sheet.counts]
    borrowed = sum(practised.values()) / 3
    spent = _review(sheet, due, max(0.0, minutes.mixed) + borrowed)
    minutes.mixed -= spent
    # What review or catching up took beyond the minutes for them goes off the practice.
    short = max(0.0, -minutes.mixed)
    total = sum(practised.values())
    for unit, own in practised.items():
        sheet.fill(unit, max(own - short * own / total, own * 2 / 3))
    _go_over(sheet, syllabus, student, minutes.mixed)
    return tuple(sheet.counts.items())


@dataclass(slots=True)
class _Minutes:
    """Of an evening, for a sheet: those of units that the student practises, of an assessment, and of all
    else: review, mixed practice, and practice of what the student was not taught."""

    practice: dict[str, int]
    assessed: int
    mixed: float


def _minutes(session: PlannedSession, allowed: Collection[str]) -> _Minutes:
    practice, assessed, mixed = dict[str, int](), 0, 0.0
    for slot in session.slots:
        if slot.kind is SlotKind.ASSESSMENT:
            assessed += slot.minutes
        elif slot.kind is SlotKind.PRACTICE and slot.unit in allowed:
            practice[slot.unit] = practice.get(slot.unit, 0) + slot.minutes
        elif slot.kind in (SlotKind.REVIEW, SlotKind.PRACTICE):
            mixed += slot.minutes
    return _Minutes(practice, assessed, mixed)


def _review(sheet: _Sheet, due: Sequence[ReviewAdvice], minutes: float) -> float:
    """Of each unit that is due, the most urgent first, what is advised, or what there is time for, as long as
    that is a few items; the minutes that they take."""
    left = minutes
    for each in due:
        fits = int(left / sheet.takes(each.unit, 1))
        if sheet.takes(each.unit, each.items) <= left * _LITTLE_MORE:
            fits = each.items
        count = min(each.items, fits, sheet.room)
        if count < min(_FEW, each.items):
            break
        sheet.counts[each.unit] = count
        left -= sheet.takes(each.unit, count)
    return minutes - left


def _assess(sheet: _Sheet, student: StudentTonight, minutes: float) -> float:
    """An item of each unit that an assessment asks for, as far as there is time, first of those with the
    fewest answers; then one more of these, and then of all in turn. The minutes that they take."""
    answers = {
        unit: sum(evening.tried for evening in student.seen.get(unit, ())) for unit in student.assessed
    }
    fewest = min(answers.values(), default=0)
    counts, waiting, left = dict.fromkeys(answers, 0), list(answers), minutes

    def turn(unit: str) -> tuple[bool, int, int]:
        return counts[unit] > 0, counts[unit] - (answers[unit] == fewest), answers[unit]

    while waiting and sum(counts.values()) < sheet.room:
        unit = min(waiting, key=turn)
        if sheet.takes(unit, 1) <= left:
            counts[unit] += 1
            left -= sheet.takes(unit, 1)
        elif counts[unit]:
            break
        else:
            waiting.remove(unit)
    sheet.counts |= {unit: count for unit, count in counts.items() if count}
    return minutes - left


def _go_over(sheet: _Sheet, syllabus: Syllabus, student: StudentTonight, minutes: float) -> None:
    """What was taught, the weakest first, as long as there is time for some of it: what is not on the sheet
    yet, and then more of what an assessment asks for."""
    weakest = yet_to_show(syllabus, student.taught, student.seen)
    others = [unit for unit in weakest if unit not in sheet.counts]
    more = [unit for unit in weakest if unit in sheet.counts and unit in student.assessed]
    for unit in (*others, *more):
        if minutes >= _LEAST:
            minutes -= sheet.fill(unit, minutes, syllabus.unit(unit).secure.items)


def yet_to_show(syllabus: Syllabus, taught: Sequence[str], seen: EveningsByUnit) -> tuple[str, ...]:
    """Units by how much is missing for their rules, of equal ones those taught last first."""

    def shown(code: str) -> tuple[int, int]:
        rule = syllabus.unit(code).secure
        return good_evenings(rule, seen.get(code, ())) - rule.evenings, -taught.index(code)

    return tuple(sorted(taught, key=shown))
