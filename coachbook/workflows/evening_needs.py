"""What a group needs on an evening: what goes on each student's sheet, which cards, who missed what.

Everything is decided by what was known before the evening, so that it says the same when it is over.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coachbook.club.book import Reading
from coachbook.club.results import EveningsByUnit, attendance, evenings, play_outs
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.minutes import items_for
from coachbook.model.play_outs import card_code
from coachbook.model.progress import ReviewAdvice
from coachbook.model.syllabus import Syllabus
from coachbook.model.term_plan import PlannedSession, SlotKind, TermPlan
from coachbook.progress.standing import good_evenings, review_advice
from coachbook.term.reviews import with_due
from coachbook.workflows.members import planned_sessions, term_at

MOST_ITEMS = 10
"""On a sheet: two pages."""

_FEW = 2
_ASSESSED_UNITS = 2
_MOST_CARDS = 2


@dataclass(frozen=True, slots=True)
class Wanted:
    """What one student is to be given: units with the number of items, in order, and cards."""

    items: tuple[tuple[str, int], ...]
    cards: tuple[str, ...]

    @property
    def in_short(self) -> str:
        """Such as "rook-box:2 queen-box:4"."""
        return " ".join(f"{unit}:{count}" for unit, count in self.items)


@dataclass(frozen=True, slots=True)
class Tonight:
    """A group's evening: its session (with who is due by what is known now), what each student (by name)
    is to be given, who needs review, and who was absent when which units were new and has yet to begin them.
    """

    group: str
    session: PlannedSession
    wanted: dict[str, Wanted]
    advice: tuple[ReviewAdvice, ...]
    missed: tuple[tuple[str, tuple[str, ...]], ...]


def tonight_of(tx: Reading, syllabus: Syllabus, group: str, on: date) -> Tonight:
    """The evening of a group. Raises CoachbookError if its plan has none on that day."""
    sessions = planned_sessions(tx, group)
    session = next((each for each in sessions if each.on == on), None)
    if session is None:
        raise CoachbookError(f"The plan of {group} has no evening on {on}.", Advice(Step.SHOW_THE_TERM))
    plan = term_at(tx, group, on).plan
    by_student = evenings(tx, group=group, until=on - timedelta(days=1))
    next_on = next((each.on for each in sessions if each.on > on), on)
    advice = review_advice(syllabus, by_student, on, due_by=next_on)
    missed = _missed(tx, sessions, by_student, group, session)
    wanted = {}
    for number, (name, seen) in enumerate(by_student.items()):
        own = [each for each in advice if each.student == name]
        cards = _Cards(syllabus, _played(tx, name, on), number)
        wanted[name] = Wanted(
            _items(syllabus, plan, session, seen, own, missed.get(name, ())),
            _cards(cards, plan, session, own),
        )
    planned = with_due(session, _due(session, advice), is_last=next_on == on, others=bool(advice))
    return Tonight(group, planned, wanted, advice, tuple(missed.items()))


def _due(session: PlannedSession, advice: Sequence[ReviewAdvice]) -> Counter[str]:
    """How many are due in each unit that is not practised tonight anyway."""
    practised = units_of(session, SlotKind.PRACTICE, SlotKind.PLAY_OUT)
    return Counter(each.unit for each in advice if each.unit not in practised)


def units_of(session: PlannedSession, *kinds: SlotKind) -> tuple[str, ...]:
    """The codes of the units in the slots of these kinds, each once, in order."""
    return tuple(dict.fromkeys(slot.unit for slot in session.slots if slot.unit and slot.kind in kinds))


def _items(
    syllabus: Syllabus,
    plan: TermPlan,
    session: PlannedSession,
    seen: EveningsByUnit,
    advice: Sequence[ReviewAdvice],
    missed: Sequence[str],
) -> tuple[tuple[str, int], ...]:
    """What was missed comes first (one unit an evening), then what is due, then what is practised: of that
    as many items as make the evening count for the unit's rule, and more where the planned minutes hold them
    and the sheet has room. An assessment asks for what the student
    has yet to show of what was taught; where practice is mixed the rest of the sheet is of what the student
    has begun; with nothing to practise or to bring back that is the unit begun last."""
    if any(slot.kind is SlotKind.ASSESSMENT for slot in session.slots):
        taught = _taught(plan, session.on) or tuple(seen)
        return _enough_of(syllabus, _yet_to_show(syllabus, taught, seen)[:_ASSESSED_UNITS])
    subjects = units_of(session, SlotKind.PRACTICE) or units_of(session, SlotKind.NEW)
    due = [each for each in advice if each.items and each.unit not in subjects]
    behind = [code for code in missed if code not in subjects][:1]
    main = _enough_of(syllabus, subjects[-1:] if due or behind else subjects[-2:])
    caught_up = _enough_of(syllabus, behind, _room_beside(main))
    review = _review(due, _room_beside((*caught_up, *main)))
    given = (*caught_up, *review, *main)
    if any(slot.kind is SlotKind.PRACTICE and not slot.unit for slot in session.slots):
        known = [code for code in _yet_to_show(syllabus, tuple(seen), seen) if code not in dict(given)]
        given += tuple(_enough_of(syllabus, known, _room_beside(given)))
    given = _filled(syllabus, session, given, [unit for unit, _ in main])
    return given or _enough_of(syllabus, _latest(syllabus, seen))


def _filled(
    syllabus: Syllabus,
    session: PlannedSession,
    given: Sequence[tuple[str, int]],
    practised: Sequence[str],
) -> tuple[tuple[str, int], ...]:
    """With more items of the units that are practised, as many as the minutes of their slots hold, as far as
    there is room on the sheet."""
    room, found = _room_beside(given), []
    for code, count in given:
        minutes = sum(
            slot.minutes for slot in session.slots if (slot.kind, slot.unit) == (SlotKind.PRACTICE, code)
        )
        fits = items_for(syllabus.unit(code), minutes) if code in practised else count
        more = max(0, min(room, fits - count))
        found.append((code, count + more))
        room -= more
    return tuple(found)


def _room_beside(given: Sequence[tuple[str, int]]) -> int:
    return MOST_ITEMS - sum(count for _, count in given)


def _review(due: Sequence[ReviewAdvice], room: int) -> list[tuple[str, int]]:
    """The most urgent units, each with the items that the advice asks for, or a few where these don't fit."""
    found = []
    for each in due:
        count = each.items if each.items <= room else min(_FEW, room)
        if count:
            found.append((each.unit, count))
            room -= count
    return found


def _enough_of(
    syllabus: Syllabus, units: Sequence[str], room: int = MOST_ITEMS
) -> tuple[tuple[str, int], ...]:
    """Of each unit as many items as its rule asks for, as far as there is room on the sheet."""
    found = []
    for code in units:
        count = min(syllabus.unit(code).secure.items, room)
        if count:
            found.append((code, count))
            room -= count
    return tuple(found)


def _yet_to_show(syllabus: Syllabus, taught: Sequence[str], seen: EveningsByUnit) -> tuple[str, ...]:
    """Units by how much is missing for their rules, of equal ones those taught last first."""

    def shown(code: str) -> tuple[int, int]:
        rule = syllabus.unit(code).secure
        return good_evenings(rule, seen.get(code, ())) - rule.evenings, -taught.index(code)

    return tuple(sorted(taught, key=shown))


def _taught(plan: TermPlan, until: date) -> tuple[str, ...]:
    """The units that the term has practised up to a day, in order."""
    past = (session for session in plan.sessions if session.on <= until)
    return tuple(dict.fromkeys(unit for session in past for unit in units_of(session, SlotKind.PRACTICE)))


def _latest(syllabus: Syllabus, seen: EveningsByUnit) -> tuple[str, ...]:
    """The unit that a student had last."""
    known = [unit.code for unit in syllabus.units if unit.code in seen]
    return tuple(sorted(known, key=lambda code: seen[code][-1].on)[-1:])


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


def _cards(
    cards: _Cards, plan: TermPlan, session: PlannedSession, advice: Sequence[ReviewAdvice]
) -> tuple[str, ...]:
    """The cards that review asks for, and for each unit that is to be played out the one that was played
    least often; where anything may be played, of the unit that was taught last."""
    kinds = (SlotKind.PLAY_OUT, SlotKind.ASSESSMENT)
    planned = units_of(session, *kinds)
    chosen = [cards.of(code) for code in planned]
    if not planned and any(slot.kind in kinds for slot in session.slots):
        taught = reversed(_taught(plan, session.on))
        chosen = [card for code in taught if (card := cards.of(code))][:1]
    asked = [each.play_out for each in advice if each.play_out]
    return tuple(dict.fromkeys([*asked, *filter(None, chosen)]))[:_MOST_CARDS]


def _missed(
    tx: Reading,
    sessions: Sequence[PlannedSession],
    by_student: Mapping[str, EveningsByUnit],
    group: str,
    tonight: PlannedSession,
) -> dict[str, tuple[str, ...]]:
    """Who was absent when units were new, with those in which they have done nothing yet; not what is
    new again tonight."""
    absent: dict[str, list[str]] = {}
    again = units_of(tonight, SlotKind.NEW)
    by_day = {(mark.on, mark.student) for mark in attendance(tx, group=group) if not mark.present}
    for session in sessions:
        for code in units_of(session, SlotKind.NEW) if session.on < tonight.on else ():
            for name, seen in by_student.items():
                if (session.on, name) in by_day and code not in seen and code not in again:
                    absent.setdefault(name, []).append(code)
    return {name: tuple(dict.fromkeys(codes)) for name, codes in absent.items()}
