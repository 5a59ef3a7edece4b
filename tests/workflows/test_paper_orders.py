"""Papers that are ordered by numbers go to the club's folder, and are for those who were chosen."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.paper_orders import (
    ForWhom,
    SheetOrder,
    names_for,
    order_again,
    order_cards,
    order_lesson,
    order_poster,
    order_review,
    order_sheets,
)
from coachbook.workflows.posters import posters_known
from coachbook.workflows.printed_sheets import PrintedSheets
from coachbook.workflows.sheet_shown import sheet_view, sheets_listed
from tests.workflows.conftest import club_of
from tests.workflows.foxes import FIRST, START, SYLLABUS, answered, week

OPTIONS = PaperOptions()
FOXES, ANA = ForWhom(group=1), ForWhom(student=1)
OWN = "8/8/8/4k3/8/8/8/KQ6 w - - 0 1\nnothing\n7k/5Q2/8/8/8/8/8/K7 b - - 0 1"


def ordered(book: Book, whom: ForWhom = FOXES, **more: object) -> PrintedSheets:
    order = replace(SheetOrder("queen-box", whom, 3), **more)  # type: ignore[arg-type] # by name
    return order_sheets(book, SYLLABUS, order, 1, START, OPTIONS, lambda *_: None)


def test_a_group_a_student_and_nobody_in_particular_can_be_chosen(foxes: Book) -> None:
    assert names_for(foxes, FOXES) == ("Ana", "Bo")
    assert names_for(foxes, ANA) == ("Ana",)
    assert names_for(foxes, ForWhom()) == ()


def test_who_is_not_in_the_book_is_refused(foxes: Book) -> None:
    for whom in (ForWhom(group=9), ForWhom(student=9)):
        with pytest.raises(CoachbookError, match="no longer in the book"):
            names_for(foxes, whom)


@pytest.mark.parametrize(
    ("more", "students"),
    [
        ({}, [("Ana", "Bo")]),
        ({"forms": True}, [("Ana",), ("Bo",)]),
        ({"each": True}, [("Ana",), ("Bo",)]),
        ({"whom": ANA}, [("Ana",)]),
        ({"whom": ForWhom()}, [()]),
    ],
)
def test_sheets_are_for_those_who_were_chosen(
    foxes: Book, more: dict[str, Any], students: list[tuple[str, ...]]
) -> None:
    made = ordered(foxes, **more)
    assert [names for _, names in made.handed_out] == students
    assert made.sheets_pdf.parent == made.key_pdf.parent == foxes.path.parent
    assert made.sheets_pdf.is_file()
    assert len(sheets_listed(foxes, None, 10)) == len(students)


def test_a_sheet_for_nobody_reviews_nothing_and_cannot_be_one_for_each(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, START, "ss----")
    made = ordered(foxes, ForWhom())
    assert {item.unit for sheet, _ in made.handed_out for item in sheet.items} == {"queen-box"}
    with pytest.raises(CoachbookError, match="Nobody is chosen"):
        ordered(foxes, ForWhom(), each=True)


def test_own_positions_that_suit_come_first(foxes: Book) -> None:
    made = ordered(foxes, own=OWN, kind="smallest_box")
    (sheet, _), *_ = made.handed_out
    assert sheet.items[0].position.fen == "8/8/8/4k3/8/8/8/KQ6 w - - 0 1"
    assert len(sheet.items) == 3
    with pytest.raises(CoachbookError, match="None of your positions suits this"):
        ordered(foxes, own=OWN, kind="mate_in_two")


def test_a_sheet_is_printed_again_just_so(foxes: Book) -> None:
    made = ordered(foxes)
    before = made.sheets_pdf.read_bytes()
    made.sheets_pdf.unlink()
    again = order_again(foxes, [made.handed_out[0][0].code], OPTIONS)
    assert (again.sheets_pdf, again.sheets_pdf.read_bytes()) == (made.sheets_pdf, before)


def test_a_lesson_cards_and_a_poster_lie_in_the_clubs_folder(foxes: Book) -> None:
    lesson = order_lesson(foxes, SYLLABUS, "queen-box", FOXES, START, OPTIONS)
    blank, _ = order_cards(foxes, SYLLABUS, "queen-box", ForWhom(), OPTIONS, for_two=False)
    named, number = order_cards(foxes, SYLLABUS, "queen-box", FOXES, OPTIONS, for_two=False)
    poster = order_poster(foxes, SYLLABUS, posters_known()[0][0], OPTIONS)
    assert number == 2 * len(SYLLABUS.unit("queen-box").play_outs)
    for path in (lesson, blank, named, poster):
        assert path.parent == foxes.path.parent
        assert path.read_bytes().startswith(b"%PDF")


def test_every_method_has_its_poster_by_its_title() -> None:
    assert ("queen-box", "The queen's box") in posters_known()


def test_review_papers_are_for_those_who_are_due(tmp_path: Path) -> None:
    book = club_of(tmp_path, ("Ana", "Bo"), "Foxes", "Owls")
    due, made = order_review(book, SYLLABUS, FOXES, START, 1, OPTIONS)
    assert (due.advice, made) == ((), None)
    answered(book, "Ana", FIRST, START, "ss----")
    due, made = order_review(book, SYLLABUS, ForWhom(), week(1), 1, OPTIONS)
    assert [each.student for each in due.advice] == ["Ana"]
    assert made is not None
    assert [names for _, names in made.handed_out] == [("Ana",)]
    assert all(path.parent == tmp_path for path in made.files)


def test_the_newest_sheets_are_listed_first_and_those_of_a_student(foxes: Book) -> None:
    old, new = ordered(foxes, ANA), ordered(foxes, ForWhom())
    codes = [made.handed_out[0][0].code for made in (old, new)]
    assert {each.code for each in sheets_listed(foxes, None, 10)} == set(codes)
    assert len(sheets_listed(foxes, None, 1)) == 1
    assert [each.code for each in sheets_listed(foxes, 1, 10)] == codes[:1]
    assert sheets_listed(foxes, 2, 10) == ()


def test_a_saved_sheet_is_shown_with_what_stands_on_it(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, START, "ss----")
    made = order_sheets(
        foxes, SYLLABUS, SheetOrder("queen-box", ANA, 4), 1, week(1), OPTIONS, lambda *_: None
    )
    sheet = made.handed_out[0][0]
    view = sheet_view(foxes, sheet.code.lower(), "KQRBN")
    assert view.saved.students == ("Ana",)
    assert [each.position for _, each in view.items] == [item.position for item in sheet.items]
    assert {unit for unit, _ in view.items} == {"", SYLLABUS.unit(FIRST).title}
    assert (view.example is None) == (sheet.example is None)
    with pytest.raises(CoachbookError, match="There is no sheet"):
        sheet_view(foxes, "QB-99999", "KQRBN")
