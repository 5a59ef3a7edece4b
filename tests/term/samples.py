"""Syllabuses, dates and requests for the tests of the term."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from hypothesis import strategies as st

from coachbook.model.syllabus import Level, Syllabus, Unit
from coachbook.model.term_plan import Pin, PlannedSession, Slot, SlotKind, TermPlan
from coachbook.syllabus import read_syllabus
from coachbook.term.request import SHORTEST_SESSION, TermRequest

SHIPPED = read_syllabus(Path(__file__).parents[2] / "curricula")
TITLES = {unit.code: unit.title for unit in SHIPPED.units}
WITH_PLAY_OUTS = next(unit for unit in SHIPPED.units if unit.play_outs)
START = date(2026, 9, 10)
WORK = (SlotKind.NEW, SlotKind.PRACTICE, SlotKind.PLAY_OUT)


def weekly(evenings: int) -> tuple[date, ...]:
    return tuple(START + timedelta(weeks=week) for week in range(evenings))


def request(
    evenings: int,
    minutes: int = 60,
    *,
    known: frozenset[str] = frozenset(),
    goal: int | None = None,
    pins: tuple[Pin, ...] = (),
    room: tuple[str, ...] = (),
) -> TermRequest:
    return TermRequest(
        weekly(evenings),
        minutes,
        START,
        START + timedelta(weeks=evenings),
        known=known,
        goal=goal,
        pins=pins,
        room=room,
    )


def unit(code: str, minutes: int, *prerequisites: str, level: int = 1, plays: bool = False) -> Unit:
    return replace(
        WITH_PLAY_OUTS,
        code=code,
        title=code,
        level=level,
        minutes=minutes,
        prerequisites=prerequisites,
        play_outs=WITH_PLAY_OUTS.play_outs if plays else (),
    )


def syllabus_of(*units: Unit) -> Syllabus:
    numbers = sorted({unit.level for unit in units})
    return Syllabus(
        tuple(
            Level(number, f"Level {number}", tuple(unit for unit in units if unit.level == number))
            for number in numbers
        )
    )


def told(plan: TermPlan) -> list[list[str]]:
    """Each evening's slots but the minutes to spare."""
    return [
        [
            f"{slot.kind} {slot.unit or 'mixed'} {slot.minutes}"
            for slot in session.slots
            if slot.kind is not SlotKind.BUFFER
        ]
        for session in plan.sessions
    ]


def all_slots(plan: TermPlan) -> list[Slot]:
    return [slot for session in plan.sessions for slot in session.slots]


def work_in(sessions: tuple[PlannedSession, ...]) -> Iterator[tuple[date, Slot]]:
    """The slots of units, with their evenings, in order."""
    return (
        (session.on, slot)
        for session in sessions
        for slot in session.slots
        if slot.unit and slot.kind in WORK
    )


def check_prerequisites(syllabus: Syllabus, plan: TermPlan) -> None:
    """Fails if a unit begins before all that it builds on has been taught in full."""
    done, left = set(plan.known), {unit.code: unit.minutes for unit in syllabus.units}
    for on, slot in work_in(plan.sessions):
        if slot.unit in done:
            continue
        assert done.issuperset(syllabus.unit(slot.unit).prerequisites), (on, slot)
        left[slot.unit] -= slot.minutes
        if left[slot.unit] <= 0:
            done.add(slot.unit)


def check_evenings(plan: TermPlan, dates: tuple[date, ...]) -> None:
    """Fails unless each date is there once, filled to the minute and not over."""
    assert tuple(session.on for session in plan.sessions) == dates
    for session in plan.sessions:
        assert session.minutes == plan.minutes
        assert session.slots[-1].kind is SlotKind.BUFFER
        assert session.slots[-1].minutes >= 5
        assert all(slot.minutes > 0 and slot.why for slot in session.slots)


@st.composite
def syllabuses(draw: st.DrawFn) -> Syllabus:
    """Up to six units in up to three levels; the order need not be that of the prerequisites."""
    codes = [f"u{number}" for number in range(draw(st.integers(1, 6)))]
    units = [
        unit(
            code,
            draw(st.integers(5, 120)),
            *draw(st.sets(st.sampled_from(codes[:number])) if number else st.just(())),
            level=draw(st.integers(1, 3)),
            plays=draw(st.booleans()),
        )
        for number, code in enumerate(codes)
    ]
    return syllabus_of(*draw(st.permutations(units)))


minutes_of_evenings = st.integers(SHORTEST_SESSION, 150)
