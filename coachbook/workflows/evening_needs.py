"""What a group needs on an evening: what goes on each student's sheet, which cards, who missed what.

Everything is decided by what was known before the evening, so that it says the same when it is over.
"""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coachbook.club.book import Reading
from coachbook.club.results import EveningsByUnit, evenings, play_outs
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.model.play_outs import card_code
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term_plan import PlannedSession, SlotKind, TermPlan
from coachbook.progress.standing import good_evenings, review_advice
from coachbook.term.reviews import with_due
from coachbook.term.taught import assessed_units, next_catch_up
from coachbook.wording.counting import shown_day
from coachbook.workflows.catching_up import Taught, taught_before
from coachbook.workflows.members import planned_sessions, session_on, term_at
from coachbook.workflows.sheet_contents import StudentTonight, sheet_contents

_MOST_CARDS = 2
_BY_MINUTES = "by minutes"
"""Marks what was decided since sheets hold as many items as their minutes."""
_ASSESSED = "assessed"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What one student is to be given: units with the number of items, in order, and cards. `assessed` are
    those units of which the sheet is an assessment, if it is one."""

    items: tuple[tuple[str, int], ...]
    cards: tuple[str, ...]
    assessed: tuple[str, ...] = ()

    @property
    def in_short(self) -> str:
        """Such as "by minutes rook-box:2 queen-box:4", or "by minutes assessed rook-box:2"."""
        marks = (_BY_MINUTES, *([_ASSESSED] if self.assessed else ()))
        return " ".join((*marks, *(f"{unit}:{count}" for unit, count in self.items)))

    def is_met_by(self, in_short: str) -> bool:
        """Whether papers for what was wanted then need not be made again."""
        return in_short == self.in_short or self.is_of_before(in_short)

    @staticmethod
    def is_of_before(in_short: str) -> bool:
        """Whether papers were made ready before sheets were filled by the minutes: they stay as they are."""
        return not in_short.startswith(_BY_MINUTES)


@dataclass(frozen=True, slots=True)
class CatchUp:
    """The units that a student missed and has yet to begin, the one for tonight, and who of the group could
    explain it ("" if nobody is sure of it)."""

    student: str
    missed: tuple[str, ...]
    tonight: str
    partner: str = ""


@dataclass(frozen=True, slots=True)
class Tonight:
    """A group's evening: its session (with who is due by what is known now), what each student (by name)
    is to be given, who needs review, and who has something to catch up.
    """

    group: str
    session: PlannedSession
    wanted: dict[str, Wanted]
    advice: tuple[ReviewAdvice, ...]
    catch_ups: tuple[CatchUp, ...] = ()


def tonight_of(tx: Reading, syllabus: Syllabus, group: str, on: date) -> Tonight:
    """The evening of a group. Raises CoachbookError if its plan has none on that day."""
    sessions = planned_sessions(tx, group)
    session = session_on(sessions, on)
    if session is None:
        raise CoachbookError(
            f"The plan of {group} has no evening on {shown_day(on)}.", Advice(Step.SHOW_THE_TERM)
        )
    plan = term_at(tx, group, on).plan
    by_student = evenings(tx, group=group, until=on - timedelta(days=1))
    next_on = next((each.on for each in sessions if each.on > on), on)
    taught = taught_before(tx, syllabus, group, by_student, on)
    advice = tuple(
        each
        for each in review_advice(syllabus, by_student, on, due_by=next_on)
        if each.unit not in taught.again
    )
    catch_ups = _catch_ups(syllabus, session, taught, by_student)
    tonight = {each.student: each.tonight for each in catch_ups}
    practised, new = _practised(plan, on), session.units(SlotKind.NEW)
    assessed = assessed_units(syllabus, plan.sessions, session)
    is_assessed = any(slot.kind is SlotKind.ASSESSMENT for slot in session.slots)
    wanted = {}
    for number, (name, seen) in enumerate(by_student.items()):
        own = [each for each in advice if each.student == name]
        before = [unit.code for unit in syllabus.units if unit.code in taught.known[name]]
        student = StudentTonight(
            seen,
            own,
            before,
            assessed=[code for code in before if code in assessed] or (before if is_assessed else ()),
            new=new,
            caught_up=tonight.get(name, ""),
        )
        cards = _Cards(syllabus, _played(tx, name, on), number)
        items = sheet_contents(syllabus, session, student)
        wanted[name] = Wanted(
            items,
            _cards(cards, practised, session, own, student.may_practise),
            tuple(unit for unit, _ in items if unit in student.assessed),
        )
    # The same students as in the list of those who are due, whatever is practised anyway.
    due = Counter(each.unit for each in advice)
    planned = with_due(session, due, is_last=next_on == on)
    return Tonight(group, planned, wanted, advice, catch_ups)


def _catch_ups(
    syllabus: Syllabus, session: PlannedSession, taught: Taught, by_student: Mapping[str, EveningsByUnit]
) -> tuple[CatchUp, ...]:
    """For each student who missed something: first what is practised tonight, else what comes first in the
    syllabus; not what is new again tonight. Nobody is asked to explain to two."""
    again = session.units(SlotKind.NEW)
    found, asked = list[CatchUp](), set[str]()
    for name, units in taught.missed.items():
        missed = tuple(unit for unit in units if unit not in again)
        if not missed:
            continue
        unit = next_catch_up(missed, session)
        able = _who_can(syllabus.unit(unit), by_student, asked | {name})
        asked |= {able}
        found.append(CatchUp(name, missed, unit, able))
    return tuple(found)


def _who_can(unit: Unit, by_student: Mapping[str, EveningsByUnit], but: Collection[str]) -> str:
    """Who has most good evenings in a unit, one at least; "" if nobody has."""
    good = {
        name: good_evenings(unit.secure, seen.get(unit.code, ()))
        for name, seen in by_student.items()
        if name not in but
    }
    return max((name for name in good if good[name]), key=lambda name: good[name], default="")


def _played(tx: Reading, student: str, on: date) -> Counter[str]:
    """How often a student has played each card before an evening."""
    return Counter(result.card for result in play_outs(tx, student=student, until=on - timedelta(days=1)))


@dataclass(frozen=True, slots=True)
class _Cards:
    """The cards of the units for one student, by how often each was played.

    Of those that were played equally often neighbours get different ones: `number` counts the students.
    """

    syllabus: Syllabus
    played: Counter[str]
    number: int

    def of(self, unit: str) -> str:
        """The one that was played least often, "" if the unit has none."""
        count = len(self.syllabus.unit(unit).play_outs)
        cards = [card_code(unit, (self.number + each) % count + 1) for each in range(count)]
        return min(cards, key=lambda code: self.played[code], default="")


def _practised(plan: TermPlan, until: date) -> tuple[str, ...]:
    """The units that the term has practised up to a day, in order."""
    past = (session for session in plan.sessions if session.on <= until)
    return tuple(dict.fromkeys(unit for session in past for unit in session.units(SlotKind.PRACTICE)))


def _cards(
    cards: _Cards,
    practised: Sequence[str],
    session: PlannedSession,
    advice: Sequence[ReviewAdvice],
    allowed: Collection[str],
) -> tuple[str, ...]:
    """The cards that review asks for, and for each unit that is to be played out the one that was played
    least often; where anything may be played, of the unit that was taught last. Only of what the student was
    taught."""
    kinds = (SlotKind.PLAY_OUT, SlotKind.ASSESSMENT)
    planned = session.units(*kinds)
    chosen = [cards.of(code) for code in planned if code in allowed]
    if not planned and any(slot.kind in kinds for slot in session.slots):
        last_first = (code for code in reversed(practised) if code in allowed)
        chosen = [card for code in last_first if (card := cards.of(code))][:1]
    asked = [each.play_out for each in advice if each.play_out]
    return tuple(dict.fromkeys([*asked, *filter(None, chosen)]))[:_MOST_CARDS]
