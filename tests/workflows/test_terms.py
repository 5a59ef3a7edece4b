"""Several terms of a group: planning one never touches another, and every command finds the evening."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.groups import terms_of
from coachbook.club.log import log_attendance
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance
from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import Closure, Difference, PlanDifference, PlannedSession, TermPlan
from coachbook.term.replan import planned_units, shape
from coachbook.wording.people import entry_in_words
from coachbook.wording.plans import differences_in_words
from coachbook.workflows.closing import groups_to_close, move_on
from coachbook.workflows.evening_log import redo, undo
from coachbook.workflows.members import term_at
from coachbook.workflows.planning import (
    ChangedPlans,
    TermWish,
    other_terms,
    plan_terms,
    preview_terms,
    term_of,
)
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.replanning import lock_session, pin_unit, replan_terms, unpin_unit
from coachbook.workflows.standings import load_syllabus, reviews_due
from coachbook.workflows.term_files import export_terms
from tests.club.copies import empty_book

SYLLABUS = load_syllabus()
AUTUMN = TermWish(date(2026, 9, 10), date(2026, 11, 12), weekdays=(3,), minutes=60)
SPRING = TermWish(date(2027, 1, 14), date(2027, 3, 18), weekdays=(3,), minutes=60)
NOW = datetime(2026, 9, 1, tzinfo=UTC)


def lines_of(changes: Iterable[PlanDifference]) -> list[str]:
    return differences_in_words(changes, SYLLABUS.titles)


def autumn(number: int) -> date:
    return AUTUMN.starts_on + timedelta(weeks=number)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Hill Street")
    with made.writing() as page:
        for group, names in (("Foxes", ("Ana", "Bo")), ("Owls", ("Cy", "Dee"))):
            add_group(page, group)
            for name in names:
                add_student(page, name, [group])
    return made


def plan(book: Book, *wishes: TermWish, group: str = "Foxes") -> ChangedPlans:
    return [plan_terms(book, SYLLABUS, (group,), wish, today=AUTUMN.starts_on) for wish in wishes][-1]


def plans(book: Book, group: str = "Foxes") -> list[TermPlan]:
    with book.reading() as page:
        return [term.plan for term in terms_of(page, group)]


def sessions(book: Book) -> dict[date, PlannedSession]:
    return {session.on: session for plan in plans(book) for session in plan.sessions}


def hold(book: Book, *days: date) -> None:
    with book.writing() as page:
        for on in days:
            log_attendance(page, [Attendance(name, on, present=True) for name in ("Ana", "Bo")], NOW)


def test_planning_the_next_term_leaves_the_present_one_as_it_is(book: Book) -> None:
    plan(book, AUTUMN)
    lock_session(book, SYLLABUS, "Foxes", autumn(5), locked=True)
    before = plans(book)
    spring = plan(book, SPRING)
    assert not spring.replaces
    assert plans(book) == [*before, spring.planned[0].plan]


def test_what_the_present_term_will_have_taught_is_not_planned_again(book: Book) -> None:
    taught = planned_units(plan(book, AUTUMN).planned[0].plan.sessions)
    spring = plan(book, SPRING).planned[0].plan
    assert taught <= set(spring.known)
    assert not taught & planned_units(spring.sessions)


def test_a_term_that_is_over_counts_by_what_the_log_says(book: Book) -> None:
    plan(book, AUTUMN)
    spring = plan_terms(book, SYLLABUS, ("Foxes",), SPRING, today=SPRING.starts_on)
    assert spring.planned[0].plan.known == ()


def test_a_plan_over_other_evenings_says_what_it_replaces_and_keeps_all_outside_its_days(book: Book) -> None:
    plan(book, AUTUMN)
    before = sessions(book)
    wish = replace(AUTUMN, starts_on=autumn(4), ends_on=autumn(6), minutes=90)
    made = plan(book, wish)
    assert made.replaces
    told = " ".join(line for each in made.terms for line in lines_of(each.changes))
    assert all(str(autumn(number)) in told for number in (4, 5, 6))
    after = sessions(book)
    assert {on: each for on, each in after.items() if on not in wish.days} == {
        on: each for on, each in before.items() if on not in wish.days
    }
    assert {after[autumn(number)].minutes for number in (4, 5, 6)} == {90}


def test_held_and_locked_evenings_stay_inside_the_days_of_a_new_plan(book: Book) -> None:
    plan(book, AUTUMN)
    hold(book, autumn(0), autumn(1))
    lock_session(book, SYLLABUS, "Foxes", autumn(2), locked=True)
    before = sessions(book)
    plan(book, replace(AUTUMN, minutes=90))
    after = sessions(book)
    assert [shape(after[autumn(number)]) for number in range(3)] == [
        shape(before[autumn(number)]) for number in range(3)
    ]
    assert after[autumn(2)].locked
    assert after[autumn(3)].minutes == 90


def test_a_locked_evening_that_falls_out_goes_and_is_told(book: Book) -> None:
    plan(book, AUTUMN)
    lock_session(book, SYLLABUS, "Foxes", autumn(2), locked=True)
    made = plan(book, replace(AUTUMN, skip=(autumn(2),)))
    assert autumn(2) not in sessions(book)
    assert any(each.evenings == (autumn(2),) and each.was for each in made.terms[0].changes)


def test_a_pin_on_these_days_is_kept_or_told(book: Book) -> None:
    plan(book, AUTUMN)
    pin_unit(book, SYLLABUS, "Foxes", "mate-in-one", autumn(3), AUTUMN.starts_on)
    plan(book, AUTUMN)
    assert [pin.unit for pin in plans(book)[-1].pins] == ["mate-in-one"]
    made = plan(book, replace(AUTUMN, skip=(autumn(3),)))
    assert any(
        "pin of Mate in one" in line and "is removed" in line for line in lines_of(made.terms[0].changes)
    )


def test_what_is_previewed_is_what_is_kept_and_a_preview_keeps_nothing(book: Book) -> None:
    plan(book, AUTUMN)
    before = plans(book)
    wish = replace(AUTUMN, starts_on=autumn(3), minutes=75)
    seen = preview_terms(book, SYLLABUS, ("Foxes",), wish, today=AUTUMN.starts_on)
    assert plans(book) == before
    made = plan_terms(book, SYLLABUS, ("Foxes",), wish, today=AUTUMN.starts_on, seen=seen)
    assert made.terms == seen.terms
    assert seen.entry is None


def test_a_plan_that_is_not_the_one_that_was_seen_is_not_kept(book: Book) -> None:
    plan(book, AUTUMN)
    wish = replace(AUTUMN, starts_on=autumn(3), minutes=75)
    seen = preview_terms(book, SYLLABUS, ("Foxes",), wish, today=AUTUMN.starts_on)
    hold(book, autumn(3))
    before = plans(book)
    with pytest.raises(CoachbookError, match="has changed while you looked"):
        plan_terms(book, SYLLABUS, ("Foxes",), wish, today=AUTUMN.starts_on, seen=seen)
    assert plans(book) == before


def test_replanning_a_term_leaves_the_others(book: Book) -> None:
    plan(book, AUTUMN, SPRING)
    _, spring = plans(book)
    replan_terms(book, SYLLABUS, ("Foxes",), autumn(2), cancel=[autumn(2)])
    changed, same = plans(book)
    assert autumn(2) not in {session.on for session in changed.sessions}
    assert same == spring
    day = SPRING.starts_on + timedelta(weeks=3)
    replan_terms(book, SYLLABUS, ("Foxes",), SPRING.starts_on, cancel=[day])
    assert plans(book)[0] == changed
    assert day not in sessions(book)


def test_pins_and_locks_are_of_the_term_that_has_the_evening(book: Book) -> None:
    plan(book, AUTUMN, SPRING)
    day = SPRING.starts_on + timedelta(weeks=4)
    lock_session(book, SYLLABUS, "Foxes", day, locked=True)
    assert [session.on for plan in plans(book) for session in plan.sessions if session.locked] == [day]
    lock_session(book, SYLLABUS, "Foxes", day, locked=False)
    unit = sorted(planned_units(plans(book)[1].sessions))[-1]
    with pytest.raises(CoachbookError, match="not pinned"):
        unpin_unit(book, SYLLABUS, "Foxes", unit, AUTUMN.starts_on)
    pin_unit(book, SYLLABUS, "Foxes", unit, SPRING.starts_on + timedelta(weeks=6), AUTUMN.starts_on)
    unpin_unit(book, SYLLABUS, "Foxes", unit, AUTUMN.starts_on)
    assert plans(book)[1].pins == ()


def test_the_evening_is_found_in_whichever_term_it_is(book: Book, tmp_path: Path) -> None:
    plan(book, SPRING, AUTUMN)
    last, first = AUTUMN.ends_on, SPRING.starts_on
    assert groups_to_close(book, last, ()) == ("Foxes",)
    assert groups_to_close(book, first, ()) == ("Foxes",)
    assert reviews_due(book, SYLLABUS, "Foxes", last).due_by == first
    hold(book, *(session.on for session in plans(book)[0].sessions))
    made = prepare_evening(
        book, SYLLABUS, None, (), tmp_path / "papers", last, PaperOptions(), in_words=in_words
    )
    assert made.on == first
    with book.reading() as page:
        assert term_at(page, "Foxes", last).plan.ends_on == AUTUMN.ends_on
        assert term_at(page, "Foxes", last + timedelta(days=20)).plan.starts_on == first
        assert term_at(page, "Foxes", SPRING.ends_on + timedelta(days=1)).plan.starts_on == first
    shown = term_of(book, SYLLABUS, "Foxes", last).plan
    assert [other.starts_on for other in other_terms(book, "Foxes", shown)] == [SPRING.starts_on]


def test_what_the_last_evening_of_a_term_did_not_finish_moves_to_the_next_term(book: Book) -> None:
    plan(book, AUTUMN)
    worked = (planned_units([session]) for session in reversed(plans(book)[0].sessions))
    unit = sorted(next(filter(None, worked)))[0]
    plan(book, SPRING)
    assert unit not in planned_units(plans(book)[1].sessions)
    hold(book, *(session.on for session in plans(book)[0].sessions))
    moved = move_on(book, SYLLABUS, "Foxes", AUTUMN.ends_on, [unit])
    assert moved.on == SPRING.starts_on
    assert unit in planned_units(plans(book)[1].sessions)
    assert any(SYLLABUS.unit(unit).title in line for line in lines_of(moved.changes))


def test_a_calendar_and_a_table_have_all_terms(book: Book, tmp_path: Path) -> None:
    plan(book, AUTUMN, SPRING)
    files = (tmp_path / "t.ics", tmp_path / "t.csv", tmp_path / "t.pdf")
    export_terms(book, SYLLABUS, ("Foxes",), files, AUTUMN.starts_on, NOW, PaperOptions())
    for path in (tmp_path / "t.ics", tmp_path / "t.csv"):
        told = path.read_text().replace("-", "")
        assert all(f"{day:%Y%m%d}" in told for day in sessions(book))


def test_a_calendar_that_has_an_evening_follows_it_into_another_term(book: Book) -> None:
    plan(book, AUTUMN)
    before = sessions(book)
    plan(book, replace(AUTUMN, starts_on=autumn(4), minutes=90, skip=(autumn(5),)))
    after = sessions(book)
    assert after[autumn(4)].sequence == before[autumn(4)].sequence + 1
    assert after[autumn(3)].sequence == before[autumn(3)].sequence
    assert {(gone.on, gone.sequence) for plan in plans(book) for gone in plan.cancelled} == {(autumn(5), 1)}


def test_a_plan_is_taken_back_and_brought_back(book: Book) -> None:
    plan(book, AUTUMN)
    before = plans(book)
    entry = plan(book, replace(AUTUMN, minutes=90)).entry
    assert entry is not None
    after = plans(book)
    taken = undo(book, NOW)
    assert entry_in_words(taken.entry.what) == "a term plan for Foxes, 2026-09-10 to 2026-11-12"
    assert taken.changes
    assert plans(book) == before
    assert redo(book).entry == entry
    assert plans(book) == after


def test_a_plan_by_which_an_evening_was_held_is_not_taken_back_before_its_log(book: Book) -> None:
    plan(book, AUTUMN)
    hold(book, autumn(0))
    before = plans(book)
    with pytest.raises(CoachbookError, match="2026-09-10 was held as it is planned now"):
        undo(book, NOW, 1)
    assert plans(book) == before
    undo(book, NOW)
    undo(book, NOW)
    assert plans(book) == []
    assert lines_of(change for _, change in redo(book).changes) == [
        "Evenings from 2026-09-10 to 2026-11-12 are planned again."
    ]


def test_what_goes_on_after_the_first_day_of_a_new_plan_is_not_taken_as_known(book: Book) -> None:
    old = plan(book, AUTUMN).planned[0].plan
    for number in range(1, 8):
        before = planned_units(session for session in old.sessions if session.on < autumn(number))
        after = planned_units(session for session in old.sessions if session.on >= autumn(number))
        wish = replace(AUTUMN, starts_on=autumn(number), ends_on=autumn(number))
        seen = preview_terms(book, SYLLABUS, ("Foxes",), wish, today=AUTUMN.starts_on)
        assert set(seen.planned[0].plan.known) == before - after


def test_what_a_plan_in_the_midst_of_a_term_teaches_is_known_to_the_rest_when_that_is_planned_anew(
    book: Book,
) -> None:
    plan(book, AUTUMN)
    middle = plan(book, replace(AUTUMN, starts_on=autumn(3), ends_on=autumn(4), minutes=120)).planned[0].plan
    taught = planned_units(middle.sessions)
    replan_terms(book, SYLLABUS, ("Foxes",), autumn(5), today=AUTUMN.starts_on)
    rest = [session for on, session in sessions(book).items() if on > autumn(4)]
    assert not taught & planned_units(rest)


def test_a_lock_that_a_new_plan_cannot_keep_stops_it(book: Book) -> None:
    plan(book, AUTUMN)
    lock_session(book, SYLLABUS, "Foxes", autumn(4), locked=True)
    before = plans(book)
    with pytest.raises(CoachbookError, match=r"2026-10-08 is locked with .* Unlock the evening"):
        plan(book, replace(AUTUMN, starts_on=autumn(3), minutes=75))
    assert plans(book) == before


def test_an_earlier_evening_that_was_not_held_can_still_be_cancelled(book: Book) -> None:
    plan(book, AUTUMN)
    hold(book, autumn(3))
    replan_terms(book, SYLLABUS, ("Foxes",), AUTUMN.starts_on, cancel=[autumn(1)])
    assert autumn(1) not in sessions(book)
    replan_terms(book, SYLLABUS, ("Foxes",), AUTUMN.starts_on, closures=[Closure(autumn(0), autumn(2))])
    assert min(sessions(book)) == autumn(3)
    days = Closure(autumn(2), autumn(4))
    with pytest.raises(CoachbookError, match="2026-10-01 cannot be cancelled: it was held"):
        replan_terms(book, SYLLABUS, ("Foxes",), AUTUMN.starts_on, cancel=[autumn(3)])
    with pytest.raises(CoachbookError, match="2026-10-01 cannot be cancelled: it was held"):
        replan_terms(book, SYLLABUS, ("Foxes",), AUTUMN.starts_on, closures=[days])


def test_what_is_before_an_evening_that_was_held_stays_whatever_the_days_of_a_new_plan(book: Book) -> None:
    plan(book, AUTUMN)
    hold(book, autumn(3))
    before = sessions(book)
    for last in (2, 9):
        plan(book, replace(AUTUMN, weekdays=(2,), ends_on=autumn(last)))
        assert [shape(sessions(book)[autumn(number)]) for number in range(4)] == [
            shape(before[autumn(number)]) for number in range(4)
        ]


def test_days_of_a_weekday_on_which_the_club_no_longer_meets_are_no_days_off(book: Book) -> None:
    plan(book, AUTUMN)
    hold(book, autumn(1))
    wednesday = autumn(4) - timedelta(days=1)
    changed = plan(book, replace(AUTUMN, weekdays=(2,), skip=(wednesday,))).planned[0].plan
    assert [day for day in changed.days_off if day > autumn(2)] == [wednesday]
    assert {day.weekday() for day in changed.days_off} == {2}
    again = replan_terms(book, SYLLABUS, ("Foxes",), autumn(5))
    assert again.planned[0].plan.weekdays == (2,)


def test_a_day_within_a_plan_in_the_midst_of_another_is_of_that_plan(book: Book) -> None:
    plan(book, AUTUMN, replace(AUTUMN, starts_on=autumn(3), ends_on=autumn(5)))
    with book.reading() as page:
        assert term_at(page, "Foxes", autumn(3) + timedelta(days=2)).plan.starts_on == autumn(3)
        assert term_at(page, "Foxes", autumn(6)).plan.starts_on == AUTUMN.starts_on


def test_a_lock_that_comes_back_with_a_plan_is_told(book: Book) -> None:
    plan(book, AUTUMN)
    lock_session(book, SYLLABUS, "Foxes", autumn(0), locked=True)
    plan(book, replace(AUTUMN, minutes=90))
    undo(book, NOW)
    lock_session(book, SYLLABUS, "Foxes", autumn(0), locked=False)
    assert PlanDifference(Difference.LOCKED, (autumn(0),)) in [change for _, change in redo(book).changes]
