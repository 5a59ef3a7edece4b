"""The papers for review hold what the advice says, and never more than fits."""

from coachbook.club.book import Book
from coachbook.model.progress import ReviewAdvice
from coachbook.paper.options import PaperOptions
from coachbook.workflows.review_papers import ReviewPapers, make_review
from tests.workflows.foxes import FIRST, SECOND, START, SYLLABUS, THIRD, TITLES


def due(student: str, unit: str, items: int, play_out: str = "") -> ReviewAdvice:
    return ReviewAdvice(student, unit, TITLES[unit], 0.5, START, "2 of 6", items, play_out)


def made(book: Book, *advice: ReviewAdvice) -> ReviewPapers:
    return make_review(book, SYLLABUS, advice, START, 1, book.path.parent / "papers", PaperOptions())


def units_on(papers: ReviewPapers) -> list[list[str]]:
    return [[item.unit for item in sheet.items] for sheet, _ in papers.handed_out]


def test_a_sheet_holds_ten_items_at_most_the_most_urgent_units_first(foxes: Book) -> None:
    papers = made(foxes, due("Ana", SECOND, 5), due("Ana", FIRST, 7), due("Ana", THIRD, 5))
    assert units_on(papers) == [[SECOND] * 5 + [FIRST] * 5]
