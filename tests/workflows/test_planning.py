"""Terms are planned from where the groups stand, planned anew when something comes between, and the
book keeps nobody's name in a plan."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, ItemResult
from coachbook.model.term_plan import (
    Closure,
    Difference,
    Pin,
    PlanDifference,
    Reason,
    SlotKind,
    TermPlan,
    Why,
)
from coachbook.model.worksheet import Worksheet
from coachbook.term.replan import planned_units
from coachbook.wording.plans import differences_in_words
from coachbook.workflows.members import chosen_groups
from coachbook.workflows.planning import ChangedTerm, PlannedTerm, TermWish, plan_terms, term_of
from coachbook.workflows.replanning import lock_session, pin_unit, replan_terms, unpin_unit
from coachbook.workflows.standings import load_syllabus
from tests.club.copies import empty_book
from tests.club.plans import plan_in_force
from tests.model.an_exercise import AN_EXERCISE

SYLLABUS = load_syllabus()
START = date(2026, 9, 10)
WISH = TermWish(START, START + timedelta(weeks=9), weekdays=(3,), minutes=60)
FOXES, OWLS = ("Ana", "Bo"), ("Cy", "Dee")
NOW = datetime(2026, 9, 1, tzinfo=UTC)
FIRST, SECOND = "mate-or-stalemate", "mate-in-one"


def week(number: int) -> date:
    return START + timedelta(weeks=number)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Hill Street")
    with made.writing() as page:
        for group, names in (("Foxes", FOXES), ("Owls", OWLS)):
            add_group(page, group)
            for name in names:
                add_student(page, name, [group])
    return made


def answered(book: Book, student: str, unit: str, on: date, right: int = 6) -> None:
    """Six answers of a student in a unit on an evening."""
    code = f"{unit[:2]}-{student}-{on:%m%d}".upper()
    exercise = replace(AN_EXERCISE, unit=unit)
    sheet = Worksheet(code, "", unit, "", 1, "", on, 1, (exercise,) * 6)
    results = [
        ItemResult(student, code, unit, item, on, "Qg7#", item <= right, "" if item <= right else "blank")
        for item in range(1, 7)
    ]
    with book.writing() as page:
        save_worksheet(page, sheet, [student])
        log_answers(page, results, NOW)


def planned(book: Book, *groups: str, wish: TermWish = WISH) -> tuple[PlannedTerm, ...]:
    return plan_terms(book, SYLLABUS, groups, wish).planned


def replanned(book: Book, first: date, *, not_done: tuple[str, ...] = ()) -> ChangedTerm:
    return replan_terms(book, SYLLABUS, ("Foxes",), first, not_done=not_done).terms[0]


def begun(plan: TermPlan) -> list[str]:
    slots = (slot for session in plan.sessions for slot in session.slots if slot.kind is SlotKind.NEW)
    return list(dict.fromkeys(slot.unit for slot in slots))


def test_a_plan_begins_where_half_of_the_group_stands(book: Book) -> None:
    for on in (START - timedelta(30), START - timedelta(20)):
        answered(book, "Ana", FIRST, on)
    (foxes,) = planned(book, "Foxes")
    assert foxes.plan.known == (FIRST,)
    assert begun(foxes.plan)[0] == SECOND
    (owls,) = planned(book, "Owls")
    assert begun(owls.plan)[0] == FIRST


def told(changed: ChangedTerm) -> list[str]:
    return differences_in_words(changed.changes, SYLLABUS.titles)


def test_who_is_fading_has_a_review_on_the_first_evening(book: Book) -> None:
    for on in (START - timedelta(200), START - timedelta(190)):
        answered(book, "Ana", FIRST, on)
    (foxes,) = planned(book, "Foxes")
    review = foxes.plan.sessions[0].slots[0]
    assert (review.kind, review.why) == (
        SlotKind.REVIEW,
        Reason(Why.STUDENTS_DUE, counts=((FIRST, 1),), before_next=True),
    )
    assert [(each.student, each.unit) for each in foxes.reviews.planned if each.on == START] == [
        ("Ana", FIRST)
    ]


def test_the_plan_that_is_kept_is_the_one_that_is_shown(book: Book) -> None:
    (made,) = planned(book, "Foxes")
    assert term_of(book, SYLLABUS, "foxes", START) == made


def test_no_plan_in_the_book_names_a_student(book: Book) -> None:
    for name in FOXES:
        answered(book, name, FIRST, START - timedelta(100), right=3)
    planned(book, "Foxes", "Owls")
    replan_terms(book, SYLLABUS, ("Foxes", "Owls"), week(2), cancel=[week(2)])
    with book.reading() as page:
        for group in ("Foxes", "Owls"):
            told = repr(plan_in_force(page, group))
            assert not any(name in told for name in (*FOXES, *OWLS))


def test_groups_that_begin_together_learn_together_and_a_new_plan_alone_ends_it(book: Book) -> None:
    foxes, owls = planned(book, "Foxes", "Owls", "foxes")
    assert foxes.plan.room == owls.plan.room == ("Foxes", "Owls")
    assert owls.together[START, 0] == ("Foxes",)
    assert foxes.together.keys() == owls.together.keys()
    (alone,) = planned(book, "Owls")
    assert (alone.plan.room, alone.together) == ((), {})


def test_replanning_one_group_of_a_room_heeds_the_others(book: Book) -> None:
    planned(book, "Foxes", "Owls")
    replan_terms(book, SYLLABUS, ("Foxes",), week(1), cancel=[week(1)])
    with book.reading() as page:
        plans = [plan_in_force(page, group) for group in ("Foxes", "Owls")]
    assert all(plan is not None for plan in plans)
    taken: dict[tuple[date, int], set[tuple[int, str]]] = {}
    for plan in plans:
        for session in plan.sessions if plan else ():
            for start, slot in session.timed:
                for minute in range(start, start + slot.minutes) if slot.with_coach else ():
                    taken.setdefault((session.on, minute), set()).add((start, slot.unit))
    assert {len(lessons) for lessons in taken.values()} == {1}


def test_a_unit_without_answers_is_planned_again_once_anything_was_logged(book: Book) -> None:
    planned(book, "Foxes")
    assert replanned(book, week(2)).changes == ()
    answered(book, "Ana", FIRST, START)
    assert any("Mate in one move (again)" in line for line in told(replanned(book, week(2))))


def test_a_slow_evening_is_told_and_its_unit_comes_again(book: Book) -> None:
    planned(book, "Foxes")
    changed = replanned(book, week(1), not_done=(FIRST.upper(),))
    assert told(changed)[0].startswith("2026-09-17: was Mate in one move (goes on), ")
    assert "Is the game over? (again)" in told(changed)[0]


def test_a_closure_cancels_the_evenings_in_it(book: Book) -> None:
    planned(book, "Foxes")
    days = Closure(week(3) - timedelta(2), week(4) + timedelta(2))
    (changed,) = replan_terms(book, SYLLABUS, ("Foxes",), week(1), closures=[days]).terms
    assert [each.on for each in changed.planned.plan.cancelled] == [week(3), week(4)]


def test_a_pin_holds_through_replanning_until_it_is_taken_away(book: Book) -> None:
    planned(book, "Foxes")
    pinned = pin_unit(book, SYLLABUS, "Foxes", SECOND, week(4), START).planned[0].plan
    assert pinned.pins == (Pin(SECOND, week(4)),)
    later = replanned(book, week(1)).planned.plan
    begins = [session.on for session in later.sessions if any(slot.unit == SECOND for slot in session.slots)]
    assert begins[0] == week(4)
    moved = pin_unit(book, SYLLABUS, "Foxes", SECOND, week(3), START).planned[0].plan
    assert moved.pins == (Pin(SECOND, week(3)),)
    unpinned = unpin_unit(book, SYLLABUS, "Foxes", SECOND, START).planned[0].plan
    assert unpinned.pins == ()


def test_a_locked_evening_stays_until_it_is_unlocked(book: Book) -> None:
    (made,) = planned(book, "Foxes")
    locked = lock_session(book, SYLLABUS, "Foxes", week(3), locked=True)
    assert locked.planned[0].plan.sessions[3].locked
    replan_terms(book, SYLLABUS, ("Foxes",), week(4), cancel=[week(4)])
    kept = term_of(book, SYLLABUS, "Foxes", START).plan.sessions[3]
    assert (kept.slots, kept.locked) == (made.plan.sessions[3].slots, True)
    lock_session(book, SYLLABUS, "Foxes", week(3), locked=False)
    assert not term_of(book, SYLLABUS, "Foxes", START).plan.sessions[3].locked


@pytest.mark.parametrize(
    ("unit", "on", "first", "told"),
    [
        ("rook-box", week(1), START, "it builds on"),
        (SECOND, week(1) + timedelta(1), START, "the club does not meet then"),
        (SECOND, START, week(1), "2026-09-10 is over"),
        (FIRST, week(2), week(1), "began mate-or-stalemate before 2026-09-17"),
        ("rook-bix", week(2), START, "There is no unit"),
    ],
)
def test_a_pin_that_cannot_be_is_told_and_nothing_changes(
    book: Book, unit: str, on: date, first: date, told: str
) -> None:
    (made,) = planned(book, "Foxes")
    with pytest.raises(CoachbookError, match=told):
        pin_unit(book, SYLLABUS, "Foxes", unit, on, first)
    assert term_of(book, SYLLABUS, "Foxes", START) == made


def test_what_is_neither_pinned_nor_planned_cannot_be_freed(book: Book) -> None:
    planned(book, "Foxes")
    with pytest.raises(CoachbookError, match="mate-in-one is not pinned"):
        unpin_unit(book, SYLLABUS, "Foxes", SECOND, START)
    with pytest.raises(CoachbookError, match="no evening on 2026-09-11"):
        lock_session(book, SYLLABUS, "Foxes", START + timedelta(1), locked=True)


def test_a_zone_without_a_time_is_refused(book: Book) -> None:
    with pytest.raises(CoachbookError, match="A time zone alone says nothing"):
        planned(book, "Foxes", wish=TermWish(START, week(3), (3,), 60, zone="Europe/Dublin"))


def test_all_groups_or_some(book: Book) -> None:
    assert chosen_groups(book, (), every=True) == ("Foxes", "Owls")
    assert chosen_groups(book, ["owls"], every=False) == ("owls",)
    with pytest.raises(CoachbookError, match="not both"):
        chosen_groups(book, ["Owls"], every=True)


def present(book: Book, student: str, on: date) -> None:
    with book.writing() as page:
        log_attendance(page, [Attendance(student, on, present=True)], NOW)


def test_an_evening_that_was_held_is_never_planned_anew(book: Book) -> None:
    (before,) = planned(book, "Foxes")
    present(book, "Ana", START)
    again = replanned(book, week(1), not_done=(FIRST,)).planned.plan
    later = replan_terms(book, SYLLABUS, ("Foxes",), START, cancel=[week(2)]).planned[0].plan
    assert later.sessions[0] == again.sessions[0]
    assert shapes(later)[0] == shapes(before.plan)[0]
    assert begun(replace(later, sessions=later.sessions[1:]))[0] == FIRST
    with pytest.raises(CoachbookError, match=f"{START} cannot be cancelled: it was held."):
        replan_terms(book, SYLLABUS, ("Foxes",), START, cancel=[START])


def test_answers_tell_of_an_evening_that_was_held_too(book: Book) -> None:
    planned(book, "Foxes")
    answered(book, "Bo", FIRST, START)
    with pytest.raises(CoachbookError, match=f"{START} cannot be cancelled: it was held."):
        replan_terms(book, SYLLABUS, ("Foxes",), START, cancel=[START])


def test_a_pin_on_the_night_of_an_evening_leaves_that_evening_as_it_was(book: Book) -> None:
    (before,) = planned(book, "Foxes")
    present(book, "Ana", START)
    later = pin_unit(book, SYLLABUS, "Foxes", "two-majors", week(3), START).planned[0].plan
    assert shapes(later)[0] == shapes(before.plan)[0]
    assert later.pins == (Pin("two-majors", week(3)),)
    with pytest.raises(CoachbookError, match=f"{START} is over"):
        pin_unit(book, SYLLABUS, "Foxes", "two-majors", START, START)


def shapes(plan: TermPlan) -> list[tuple[tuple[str, str, int], ...]]:
    return [
        tuple((slot.kind, slot.unit, slot.minutes) for slot in session.slots) for session in plan.sessions
    ]


def test_a_pin_gives_way_to_an_evening_that_falls_out_or_was_not_done(book: Book) -> None:
    (before,) = planned(book, "Foxes")
    unit = begun(before.plan)[2]
    on = next(each.on for each in before.plan.sessions if unit in planned_units([each]))
    pin_unit(book, SYLLABUS, "Foxes", unit, on, START)
    gone = PlanDifference(Difference.PIN_GAVE_WAY, (on,), units=(unit,))
    with pytest.raises(CoachbookError, match="builds on"):
        pin_unit(book, SYLLABUS, "Foxes", begun(before.plan)[3], week(1), START)
    fallen = replan_terms(book, SYLLABUS, ("Foxes",), START, cancel=[on]).terms[0]
    assert gone in fallen.changes
    assert fallen.planned.plan.pins == ()
    assert on not in {session.on for session in fallen.planned.plan.sessions}


def test_a_lock_gives_way_to_what_was_not_done(book: Book) -> None:
    (before,) = planned(book, "Foxes")
    second = begun(before.plan)[1]
    on = next(each.on for each in before.plan.sessions if second in planned_units([each]))
    later = next(each.on for each in before.plan.sessions if each.on > on)
    lock_session(book, SYLLABUS, "Foxes", later, locked=True)
    first_again = [code for code in begun(before.plan) if code in planned_units(before.plan.sessions[:1])]
    changed = replan_terms(book, SYLLABUS, ("Foxes",), later, not_done=first_again).terms[0]
    locked = [session.on for session in changed.planned.plan.sessions if session.locked]
    gone = PlanDifference(Difference.LOCK_GAVE_WAY, (later,))
    assert (locked == []) == (gone in changed.changes)
    assert gone in changed.changes
