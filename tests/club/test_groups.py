"""A group is renamed with all that hangs on it, and removed without anything of its students."""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import pytest

from coachbook.club.book import Book, create_book
from coachbook.club.groups import held_by, remove_group, rename_group
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.results import answers, attendance
from coachbook.club.sheets import Prepared, keep_prepared, prepared_for
from coachbook.club.students import add_group, add_student, list_groups, list_students, student_named
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, ItemResult
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from tests.club.plans import keep_plan, plan_in_force

ROOM = ("Tuesday", "Tuesday and Friday", "Juniors")
BUILDS = Reason(Why.NEXT, names=("Tuesday",))
"""A unit that is called like a group."""


def quiet(*groups: str) -> Reason:
    return Reason(Why.QUIET_SHEET, names=groups)


def plan_of(*whys: Reason, room: tuple[str, ...] = ROOM) -> TermPlan:
    slots = tuple(Slot(SlotKind.PRACTICE, "", 10, why) for why in whys)
    evening = PlannedSession(date(2026, 9, 2), slots)
    return TermPlan(date(2026, 9, 1), date(2026, 12, 18), 60, (evening,), room=room)


@pytest.fixture
def full_book(evening_book: Book, evening: date) -> Book:
    """Tuesday has a plan, shares a room, and papers of QB-1 were made ready for Mina."""
    with evening_book.writing() as w:
        for name in ROOM[1:]:
            add_group(w, name)
        keep_plan(w, plan_of(Reason(Why.NEXT), room=()), "Tuesday")
        keep_plan(w, plan_of(quiet("Juniors", "Tuesday and Friday")), "Tuesday")
        keep_plan(w, plan_of(BUILDS, quiet("Tuesday", "Tuesday and Friday")), "Juniors")
        keep_prepared(w, "Tuesday", evening, {"Mina": Prepared("QB-1", "queen-box:3", ("PLAY-1",))})
    return evening_book


def test_a_group_keeps_everything_under_its_new_name(full_book: Book, evening: date) -> None:
    with full_book.reading() as r:
        plan, papers = plan_in_force(r, "Tuesday"), prepared_for(r, "Tuesday", evening)
    with full_book.writing() as w:
        assert rename_group(w, "tuesday", " Thursday  club ") == ("Tuesday", "Thursday club")
    with full_book.reading() as r:
        assert ("Thursday club", 2) in [(group.name, group.size) for group in list_groups(r)]
        assert student_named(r, "Mina").groups == ("Thursday club",)
        assert prepared_for(r, "Thursday club", evening) == papers
        renamed = plan_in_force(r, "Thursday club")
        assert plan is not None
        assert renamed is not None
        assert renamed.sessions == plan.sessions
        assert renamed.room == ("Thursday club", *ROOM[1:])
        with pytest.raises(CoachbookError, match="no group 'Tuesday'"):
            list_students(r, "Tuesday")


def test_the_plans_of_its_room_mates_name_it_anew_and_no_other_group(full_book: Book) -> None:
    with full_book.writing() as w:
        rename_group(w, "Tuesday", "Thursday")
        assert plan_in_force(w, "Juniors") == plan_of(
            BUILDS, quiet("Thursday", "Tuesday and Friday"), room=("Thursday", *ROOM[1:])
        )


def test_there_and_back_again_the_book_is_as_it_was(
    full_book: Book, dump: Callable[[Path], list[str]]
) -> None:
    before = dump(full_book.path)
    with full_book.writing() as w:
        rename_group(w, "Tuesday", "Thursday")
    assert dump(full_book.path) != before
    with full_book.writing() as w:
        rename_group(w, "Thursday", "Tuesday")
    assert dump(full_book.path) == before


def test_a_group_may_change_the_case_of_its_name_but_not_take_anothers(full_book: Book) -> None:
    with full_book.writing() as w:
        assert rename_group(w, "Tuesday", "TUESDAY") == ("Tuesday", "TUESDAY")
    for new, told in (("juniors", "already a group 'Juniors'"), ("?", "A group needs a name")):
        with pytest.raises(CoachbookError, match=told), full_book.writing() as w:
            rename_group(w, "Tuesday", new)
    with pytest.raises(CoachbookError, match="no group 'Monday'"), full_book.writing() as w:
        rename_group(w, "Monday", "Sunday")


def test_what_hangs_on_a_group_is_known_before_it_goes(full_book: Book) -> None:
    with full_book.writing() as w:
        add_student(w, "Zoe", ["Tuesday", "Juniors"])
    with full_book.reading() as r:
        held = held_by(r, "tuesday")
        assert [student.name for student in held.students] == ["Mina", "Tom", "Zoe"]
        assert held.plans[-1] == plan_in_force(r, "Tuesday")
        assert (held.group, held.ready, held.sharing_hall) == ("Tuesday", 1, ("Juniors",))
        assert not held.is_empty
        assert held_by(r, "Tuesday and Friday").is_empty


def test_a_removed_group_takes_nothing_of_its_students_along(
    full_book: Book, make_result: Callable[..., ItemResult], now: datetime, evening: date
) -> None:
    with full_book.writing() as w:
        log_attendance(w, [Attendance("Mina", evening, present=True)], now)
        log_answers(w, [make_result()], now)
        done = attendance(w), answers(w)
    with full_book.writing() as w:
        assert remove_group(w, "tuesday").group == "Tuesday"
    with full_book.reading() as r:
        assert [group.name for group in list_groups(r)] == ["Juniors", "Tuesday and Friday"]
        assert [student.name for student in list_students(r)] == ["Mina", "Noor", "Tom"]
        assert student_named(r, "Mina").groups == ()
        assert (attendance(r), answers(r)) == done
        left = plan_in_force(r, "Juniors")
        assert left is not None
        assert left.room == ("Tuesday and Friday", "Juniors")


def test_who_is_left_alone_in_a_room_has_the_coach_to_itself(full_book: Book) -> None:
    with full_book.writing() as w:
        remove_group(w, "Tuesday and Friday")
        remove_group(w, "Tuesday")
        left = plan_in_force(w, "Juniors")
        assert left is not None
        assert left.room == ()


def test_a_new_group_of_the_same_name_begins_with_nothing(
    full_book: Book, evening: date, tmp_path: Path
) -> None:
    with full_book.writing() as w:
        remove_group(w, "Tuesday")
    with full_book.writing() as w:
        assert add_group(w, "Tuesday").name == "Tuesday"
        assert plan_in_force(w, "Tuesday") is None
        assert prepared_for(w, "Tuesday", evening) == {}
    empty = create_book(tmp_path / "empty.book", "No group")
    with pytest.raises(CoachbookError, match="no group 'Tuesday'"), empty.writing() as w:
        remove_group(w, "Tuesday")
