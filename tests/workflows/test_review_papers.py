"""The papers for review hold what the advice says, and never more than fits."""

import pytest

from coachbook.club.book import Book
from coachbook.club.sheets import sheets_of
from coachbook.model.print_options import PaperOptions
from coachbook.model.progress import Evening, ReviewAdvice
from coachbook.workflows import sheet_making
from coachbook.workflows.review_papers import ReviewPapers, make_review
from coachbook.workflows.standings import reviews_due
from tests.paper.printed import texts
from tests.workflows.foxes import FIRST, SECOND, START, SYLLABUS, THIRD, TITLES, answered, planned, week


def due(student: str, unit: str, items: int, play_out: str = "") -> ReviewAdvice:
    return ReviewAdvice(student, unit, TITLES[unit], 0.5, START, Evening(START, 2, 6), 0, items, play_out)


def made(book: Book, *advice: ReviewAdvice) -> ReviewPapers:
    return make_review(book, SYLLABUS, advice, START, 1, book.path.parent / "papers", PaperOptions())


def units_on(papers: ReviewPapers) -> list[list[str]]:
    return [[item.unit for item in sheet.items] for sheet, _ in papers.handed_out]


def test_a_sheet_holds_ten_items_at_most_the_most_urgent_units_first(foxes: Book) -> None:
    papers = made(foxes, due("Ana", SECOND, 5), due("Ana", FIRST, 7), due("Ana", THIRD, 5))
    assert units_on(papers) == [[SECOND] * 5 + [FIRST] * 5]


def test_each_student_has_a_sheet_of_their_own_and_cards_where_these_are_asked_for(foxes: Book) -> None:
    papers = made(
        foxes, due("Bo", FIRST, 3), due("Ana", THIRD, 0, "PLAY-TWO-MAJORS-2"), due("Ana", SECOND, 3)
    )
    assert [students for _, students in papers.handed_out] == [("Bo",), ("Ana",)]
    assert units_on(papers) == [[FIRST] * 3, [SECOND] * 3]
    sheets = [sheet for sheet, _ in papers.handed_out]
    assert len({sheet.code for sheet in sheets}) == 2
    assert [(sheet.club, sheet.unit, sheet.unit_title, sheet.level) for sheet in sheets] == [
        ("Hill Street", FIRST, "Review", 1),
        ("Hill Street", SECOND, "Review", 1),
    ]
    assert [(sheet.titles, sheet.made_on) for sheet in sheets] == [
        (((FIRST, TITLES[FIRST]),), START),
        (((SECOND, TITLES[SECOND]),), START),
    ]
    assert [file.name for file in papers.files] == [
        f"review-{START}{what}.pdf" for what in ("", "-key", "-cards")
    ]
    assert all(file.is_file() for file in papers.files)
    (cards,) = texts(papers.files[2])
    assert "PLAY-TWO-MAJORS-2" in cards
    assert "PLAY-TWO-MAJORS-1" not in cards
    with foxes.reading() as page:
        assert [[each.code for each in sheets_of(page, name)] for name in ("Bo", "Ana")] == [
            [sheet.code] for sheet in sheets
        ]


def test_cards_alone_make_no_sheet(foxes: Book) -> None:
    papers = made(foxes, due("Ana", THIRD, 0, "PLAY-TWO-MAJORS-1"))
    assert (papers.handed_out, papers.short) == ((), ())
    assert [file.name for file in papers.files] == [f"review-{START}-cards.pdf"]


def test_who_has_no_fresh_position_left_is_named(foxes: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sheet_making, "fresh_items", lambda *_: ())
    papers = made(foxes, due("Ana", FIRST, 3), due("Bo", THIRD, 0, "PLAY-TWO-MAJORS-1"))
    assert (papers.handed_out, papers.short) == ((), ("Ana",))


def test_what_is_due_by_the_next_planned_evening_is_due_now(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, START)
    assert reviews_due(foxes, SYLLABUS, None, week(1)).advice == ()
    planned(foxes)
    told = reviews_due(foxes, SYLLABUS, None, week(1))
    assert (told.due_by, told.is_planned) == (week(2), True)
    assert [(each.student, each.unit) for each in told.advice] == [("Ana", FIRST)]
    assert reviews_due(foxes, SYLLABUS, "foxes", week(1)) == told
    after = reviews_due(foxes, SYLLABUS, None, week(4))
    assert (after.due_by, after.is_planned) == (week(4), False)
