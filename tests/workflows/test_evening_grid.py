"""What a touch on the evening's grid keeps, and what the grid shows then."""

import shutil
from pathlib import Path
from uuid import uuid4

import pytest

from coachbook.club.book import Book, open_book
from coachbook.club.evenings_met import evenings_held
from coachbook.club.results import attendance
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, Slip
from coachbook.wording.people import entry_in_words
from coachbook.workflows.evening_grid import (
    CellMark,
    GridRow,
    evening_row,
    evening_rows,
    touch_all_right,
    touch_answers,
    touch_attendance,
    touch_guest,
    touch_note,
)
from coachbook.workflows.evening_log import keep_attendance, list_log, put_right, redo, undo
from coachbook.workflows.evening_view import could_be_guests
from coachbook.workflows.kept_once import Touch
from coachbook.workflows.members import add_member, add_teaching_group, groups_of, remove_teaching_group
from coachbook.workflows.planning import TermWish, plan_terms
from tests.workflows.foxes import NOW, START, SYLLABUS, week
from tests.workflows.foxes import present as logged_there


@pytest.fixture
def evening(first_foxes: Path, tmp_path: Path) -> Book:
    """The first evening of the Foxes, with its papers made."""
    shutil.copytree(first_foxes, tmp_path, dirs_exist_ok=True)
    return open_book(tmp_path / "club.book")


def touch() -> Touch:
    return Touch(str(uuid4()), NOW)


def group_of(book: Book, name: str = "Foxes") -> int:
    return next(each.id for each in groups_of(book) if each.name == name)


def ana(book: Book) -> GridRow:
    return evening_rows(book, group_of(book), START)[0]


def marks(row: GridRow) -> list[CellMark]:
    return [cell.mark for cell in row.cells]


def test_before_the_evening_nothing_is_logged_and_each_student_has_a_sheet(evening: Book) -> None:
    rows = evening_rows(evening, group_of(evening), START)
    assert [row.student.name for row in rows] == ["Ana", "Bo"]
    assert all(row.attendance is None and row.sheet and set(marks(row)) == {CellMark.NOTHING} for row in rows)


def test_a_row_alone_is_as_it_stands_in_the_grid(evening: Book) -> None:
    row = ana(evening)
    assert evening_row(evening, group_of(evening), START, row.student.id) == row


def test_who_came_late_was_there(evening: Book) -> None:
    touch_attendance(
        evening, touch(), group_of(evening), ana(evening).student.id, START, present=True, late=True
    )
    seen = ana(evening).attendance
    assert seen is not None
    assert (seen.present, seen.late) == (True, True)


def test_the_last_touch_on_a_register_holds(evening: Book) -> None:
    for present in (True, False):
        touch_attendance(evening, touch(), group_of(evening), ana(evening).student.id, START, present=present)
    seen = ana(evening).attendance
    assert seen is not None
    assert not seen.present
    assert len(list_log(evening, 10)) == 3  # the plan, and two touches


def test_the_same_touch_sent_again_does_not_count_again(evening: Book) -> None:
    row, same = ana(evening), touch()
    for _ in range(3):
        touch_answers(evening, same, row.student.id, row.sheet, {1: "\u2717"}, START)
    assert marks(ana(evening))[0] is CellMark.WRONG
    assert len(list_log(evening, 10)) == 2  # the plan, and one touch


def test_an_older_touch_that_arrives_again_does_not_win_over_a_later_one(evening: Book) -> None:
    row, first = ana(evening), touch()
    touch_answers(evening, first, row.student.id, row.sheet, {1: "\u2717"}, START)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "\u2713"}, START)
    touch_answers(evening, first, row.student.id, row.sheet, {1: "\u2717"}, START)
    assert marks(ana(evening))[0] is CellMark.RIGHT


def test_all_right_marks_what_is_not_right_yet_and_keeps_what_was_written(evening: Book) -> None:
    row = ana(evening)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "-", 2: "\u2713"}, START)
    before = ana(evening).cells[1]
    touch_all_right(evening, touch(), row.student.id, row.sheet, START)
    assert set(marks(ana(evening))) == {CellMark.RIGHT}
    assert ana(evening).cells[1] == before


def test_what_a_student_wrote_is_marked_by_the_rules(evening: Book) -> None:
    row = ana(evening)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "blue"}, START)
    cell = ana(evening).cells[0]
    assert (cell.mark, cell.written, cell.slip) == (CellMark.WRONG, "blue", Slip.UNREADABLE)


def test_a_dash_stands_for_what_was_left_blank(evening: Book) -> None:
    row = ana(evening)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "-"}, START)
    assert marks(ana(evening))[0] is CellMark.BLANK


def test_the_entry_of_a_touched_mark_says_whose_which_item_and_what_it_became(evening: Book) -> None:
    row = ana(evening)
    for sign in ("\u2713", "\u2717", "-", "blue"):
        touch_answers(evening, touch(), row.student.id, row.sheet, {2: sign}, START)
    touch_attendance(evening, touch(), group_of(evening), row.student.id, START, present=True, late=True)
    late, *answers = [entry_in_words(each.what) for each in list_log(evening, 5)]
    assert late == f"attendance of Ana on {START}: there, late"
    assert answers == [
        f"1 answer of Ana on sheet {row.sheet}, item 2 ({became})"
        for became in ("unreadable", "left blank", "wrong", "right")
    ]


def test_a_touch_is_an_entry_that_can_be_taken_back(evening: Book) -> None:
    row = ana(evening)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "\u2713"}, START)
    touch_answers(evening, touch(), row.student.id, row.sheet, {1: "\u2717"}, START)
    undo(evening, NOW)
    assert marks(ana(evening))[0] is CellMark.RIGHT


def test_a_touch_that_is_refused_can_be_sent_again(evening: Book) -> None:
    row, same = ana(evening), touch()
    with pytest.raises(CoachbookError, match="no item 99"):
        touch_answers(evening, same, row.student.id, row.sheet, {99: "\u2713"}, START)
    touch_answers(evening, same, row.student.id, row.sheet, {1: "\u2713"}, START)
    assert marks(ana(evening))[0] is CellMark.RIGHT


def test_a_sheet_of_somebody_else_takes_no_answer(evening: Book) -> None:
    stranger = add_member(evening, "Cy", ["Foxes"])
    with pytest.raises(CoachbookError, match="was not given to Cy"):
        touch_answers(evening, touch(), stranger.id, ana(evening).sheet, {1: "\u2713"}, START)


@pytest.mark.parametrize("number", [0, -1, 4096])
def test_a_student_or_group_that_is_gone_is_named_as_gone(evening: Book, number: int) -> None:
    with pytest.raises(CoachbookError, match="no longer in the book"):
        touch_attendance(evening, touch(), group_of(evening), number, START, present=True)
    with pytest.raises(CoachbookError, match="no longer in the book"):
        evening_rows(evening, number, START)


def names(book: Book) -> list[str]:
    return [row.student.name for row in evening_rows(book, group_of(book), START)]


def test_a_guest_whose_own_group_does_not_meet_has_a_row_that_evening_alone(evening: Book) -> None:
    add_teaching_group(evening, "Owls")
    guest = add_member(evening, "Cy", ["Owls"])
    assert [each.name for each in could_be_guests(evening, group_of(evening), START)] == ["Cy"]
    touch_guest(evening, touch(), group_of(evening), guest.id, START)
    assert names(evening) == ["Ana", "Bo", "Cy"]
    assert [row.student.name for row in evening_rows(evening, group_of(evening), week(1))] == ["Ana", "Bo"]
    assert could_be_guests(evening, group_of(evening), START) == ()


def three_groups(book: Book) -> tuple[int, int, int]:
    """The numbers of the Foxes and the Bears, who meet, and of Cy of the Owls, who do not."""
    for name in ("Owls", "Bears"):
        add_teaching_group(book, name)
    plan_terms(book, SYLLABUS, ("Bears",), TermWish(START, week(5), weekdays=(3,), minutes=60))
    bears = next(each.id for each in groups_of(book) if each.name == "Bears")
    return group_of(book, "Foxes"), bears, add_member(book, "Cy", ["Owls"]).id


def rows(book: Book, group: int) -> list[str]:
    return [row.student.name for row in evening_rows(book, group, START)]


def test_a_guest_stands_in_the_group_whose_guest_it_was_alone(evening: Book) -> None:
    foxes, bears, cy = three_groups(evening)
    touch_guest(evening, touch(), bears, cy, START)
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo"], ["Cy"])
    touch_attendance(evening, touch(), bears, cy, START, present=True, late=True)
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo"], ["Cy"])
    with evening.reading() as tx:
        assert [mark.guest_of for mark in attendance(tx, on=START)] == ["Bears"]
        assert START not in evenings_held(tx, "Owls")["Owls"]


def test_a_guest_of_whom_nobody_said_whose_stands_in_every_group(evening: Book) -> None:
    foxes, bears, _ = three_groups(evening)
    logged_there(evening, START, Cy=True)
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo", "Cy"], ["Cy"])


def test_when_the_group_of_a_guest_is_removed_nobody_says_whose_any_more(evening: Book) -> None:
    foxes, bears, cy = three_groups(evening)
    touch_guest(evening, touch(), bears, cy, START)
    undo(evening, NOW)
    remove_teaching_group(evening, "Bears", NOW)
    redo(evening)
    assert rows(evening, foxes) == ["Ana", "Bo", "Cy"]
    touch_guest(evening, touch(), foxes, cy, START)
    undo(evening, NOW)
    redo(evening)
    with evening.reading() as tx:
        assert [mark.guest_of for mark in attendance(tx, on=START)] == ["Foxes"]


def test_a_guest_who_is_put_right_stays_the_guest_of_the_same_group(evening: Book) -> None:
    foxes, bears, cy = three_groups(evening)
    touch_guest(evening, touch(), bears, cy, START)
    for there, away in (((), ("Cy",)), (("Cy",), ())):
        put_right(evening, None, there, away, START, NOW)
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo"], ["Cy"])
    put_right(evening, None, (), ("Cy",), START, NOW)
    put_right(evening, "foxes", ("Cy",), (), START, NOW)
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo", "Cy"], [])


def test_who_is_named_with_a_group_in_the_terminal_is_its_guest(evening: Book) -> None:
    foxes, bears, _ = three_groups(evening)
    keep_attendance(evening, {"Ana": True, "Cy": True}, START, NOW, "Foxes")
    assert (rows(evening, foxes), rows(evening, bears)) == (["Ana", "Bo", "Cy"], [])


def test_a_guest_of_no_group_has_a_row_and_its_notes(evening: Book) -> None:
    guest = add_member(evening, "Cy", [])
    touch_guest(evening, touch(), group_of(evening), guest.id, START)
    touch_note(evening, SYLLABUS, touch(), guest.id, START, "found a   mate")
    row = evening_rows(evening, group_of(evening), START)[-1]
    assert row == evening_row(evening, group_of(evening), START, guest.id)
    assert [note.note for note in row.notes] == ["found a mate"]


def test_who_has_an_evening_in_a_group_of_their_own_is_no_guest(evening: Book) -> None:
    add_teaching_group(evening, "Owls")
    plan_terms(evening, SYLLABUS, ("Owls",), TermWish(START, week(5), weekdays=(3,), minutes=60))
    owl = add_member(evening, "Cy", ["Owls"])
    assert could_be_guests(evening, group_of(evening), START) == ()
    with pytest.raises(CoachbookError, match="Cy is in Owls, which meets on that day"):
        touch_guest(evening, touch(), group_of(evening), owl.id, START)
    touch_attendance(evening, touch(), group_of(evening, "Owls"), owl.id, START, present=True)
    assert names(evening) == ["Ana", "Bo"]


def test_a_note_says_what_was_seen_and_of_which_unit(evening: Book) -> None:
    unit = SYLLABUS.units[0].code
    seen = touch(), ana(evening).student.id, START
    for _ in range(2):
        touch_note(evening, SYLLABUS, *seen, "asks at each step", unit=unit, impression=Impression.TROUBLE)
    (note,) = ana(evening).notes
    assert (note.unit, note.note, note.impression) == (unit, "asks at each step", Impression.TROUBLE)


@pytest.mark.parametrize(
    ("text", "unit", "impression", "refused"),
    [
        ("  ", "", Impression.NONE, "needs words"),
        ("so it is", "no-such-unit", Impression.NONE, "no-such-unit"),
        ("so it is", "", Impression.CAN, "Which unit is the note about"),
    ],
)
def test_a_note_that_says_nothing_is_refused(
    evening: Book, text: str, unit: str, impression: Impression, refused: str
) -> None:
    student = ana(evening).student.id
    with pytest.raises(CoachbookError, match=refused):
        touch_note(evening, SYLLABUS, touch(), student, START, text, unit=unit, impression=impression)
    assert ana(evening).notes == ()
