"""Whatever an evening is for and whatever a student has done: a sheet holds only what was explained by
then, and about as much as the minutes of its evening."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.minutes import minutes_of_items
from coachbook.model.progress import Evening, ReviewAdvice
from coachbook.model.term_plan import PlannedSession, Slot, SlotKind
from coachbook.progress.standing import review_advice
from coachbook.workflows.sheet_contents import MOST_ITEMS, StudentTonight, sheet_contents
from coachbook.workflows.standings import load_syllabus

SYLLABUS = load_syllabus()
CODES = [unit.code for unit in SYLLABUS.units[:10]]
ON = date(2026, 9, 10)
ON_PAPER = (SlotKind.REVIEW, SlotKind.PRACTICE, SlotKind.ASSESSMENT)

units = st.sampled_from(CODES)
slots = st.builds(
    Slot,
    st.sampled_from([SlotKind.NEW, SlotKind.PRACTICE, SlotKind.PLAY_OUT]),
    units,
    st.sampled_from([10, 15, 20, 25]),
)
openings = st.sampled_from(
    [
        (),
        (Slot(SlotKind.REVIEW, "", 10),),
        (Slot(SlotKind.ASSESSMENT, "", 20),),
        (Slot(SlotKind.PRACTICE, "", 15),),
    ]
)
sessions = st.builds(
    lambda first, rest: PlannedSession(ON, (*first, *rest)), openings, st.lists(slots, max_size=3)
)


@st.composite
def evenings_of_a_unit(draw: st.DrawFn) -> tuple[Evening, ...]:
    days = draw(st.sets(st.integers(1, 120), min_size=1, max_size=3))
    found = []
    for ago in sorted(days, reverse=True):
        tried = draw(st.integers(1, 8))
        found.append(Evening(ON - timedelta(ago), draw(st.integers(0, tried)), tried))
    return tuple(found)


@st.composite
def students(draw: st.DrawFn, session: PlannedSession) -> StudentTonight:
    seen = draw(st.dictionaries(units, evenings_of_a_unit(), max_size=5))
    taught = [code for code in CODES if code in seen or draw(st.booleans())]
    due: tuple[ReviewAdvice, ...] = review_advice(SYLLABUS, {"Ana": seen}, ON, due_by=ON + timedelta(7))
    missing = [code for code in CODES if code not in taught]
    return StudentTonight(
        seen,
        due,
        taught,
        assessed=taught,
        new=[slot.unit for slot in session.slots if slot.kind is SlotKind.NEW],
        caught_up=draw(st.sampled_from([*missing, ""])),
    )


evenings = sessions.flatmap(lambda session: st.tuples(st.just(session), students(session)))


def minutes_for(session: PlannedSession) -> int:
    return sum(slot.minutes for slot in session.slots if slot.kind in ON_PAPER)


def minutes_on(items: tuple[tuple[str, int], ...]) -> float:
    return sum(minutes_of_items(SYLLABUS.unit(unit), count) for unit, count in items)


@given(evenings)
def test_nothing_is_on_a_sheet_that_was_not_explained_to_the_student_by_then(
    drawn: tuple[PlannedSession, StudentTonight],
) -> None:
    session, student = drawn
    items = sheet_contents(SYLLABUS, session, student)
    assert {unit for unit, _ in items} <= {*student.taught, *student.new, student.caught_up}
    new = {unit for unit, _ in items} - {*student.taught, student.caught_up}
    assert new <= {slot.unit for slot in session.slots if slot.kind is SlotKind.PRACTICE}


@given(evenings)
def test_a_sheet_takes_no_longer_than_its_minutes_and_a_third(
    drawn: tuple[PlannedSession, StudentTonight],
) -> None:
    session, student = drawn
    items = sheet_contents(SYLLABUS, session, student)
    minutes = minutes_for(session)
    to_catch_up = 10 if student.caught_up else 0
    assert all(count > 0 for _, count in items)
    assert len({unit for unit, _ in items}) == len(items)
    assert sum(count for _, count in items) <= MOST_ITEMS
    assert minutes_on(items) <= minutes * 4 / 3 + to_catch_up + 3


@given(evenings)
def test_a_sheet_fills_its_minutes_where_enough_was_taught(
    drawn: tuple[PlannedSession, StudentTonight],
) -> None:
    session, student = drawn
    items = sheet_contents(SYLLABUS, session, student)
    minutes = minutes_for(session)
    if len(student.taught) >= 6 and sum(count for _, count in items) < MOST_ITEMS:
        assert minutes_on(items) >= minutes * 2 / 3 - 5


def test_what_an_assessment_leaves_is_filled_with_more_of_what_it_asks_for() -> None:
    """All that was taught is asked for, and a unit that was not taught is to be practised."""
    taught = [unit.code for unit in SYLLABUS.units[:8]]
    slots = (Slot(SlotKind.ASSESSMENT, "", 20), Slot(SlotKind.PRACTICE, SYLLABUS.units[9].code, 15))
    items = sheet_contents(SYLLABUS, PlannedSession(ON, slots), StudentTonight({}, (), taught, taught))
    assert {unit for unit, _ in items} == {*taught}
    assert 30 <= minutes_on(items) <= 38
