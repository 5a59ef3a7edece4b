"""Which evening is prepared if the coach names none."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.log import log_attendance
from coachbook.club.sheets import prepared_for
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.replanning import replan_terms
from coachbook.workflows.standings import load_syllabus
from tests.club.copies import empty_book
from tests.paper.printed import texts

SYLLABUS = load_syllabus()
START = date(2026, 9, 10)
NEXT, LAST = (START + timedelta(weeks=week) for week in (1, 3))
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = empty_book(tmp_path / "club.book", "Hill Street")
    with made.writing() as page:
        for group, name in (("Foxes", "Ana"), ("Owls", "Cy")):
            add_group(page, group)
            add_student(page, name, [group])
    plan_terms(made, SYLLABUS, ("Foxes", "Owls"), TermWish(START, LAST, weekdays=(3,), minutes=60))
    return made


def prepared(book: Book, today: date) -> tuple[date, tuple[str, ...]]:
    folder = book.path.parent / "papers"
    made = prepare_evening(
        book, SYLLABUS, None, (), folder, today, PaperOptions(), lambda *_: None, in_words=in_words
    )
    return made.on, made.groups


def present(book: Book, *students: str) -> None:
    with book.writing() as page:
        log_attendance(page, [Attendance(name, START, present=True) for name in students], NOW)


def test_it_is_todays_evening_until_every_group_has_held_it(book: Book) -> None:
    assert prepared(book, START) == (START, ("Foxes", "Owls"))
    present(book, "Ana")
    assert prepared(book, START) == (START, ("Foxes", "Owls"))
    present(book, "Cy")
    assert prepared(book, START) == (NEXT, ("Foxes", "Owls"))


def test_a_lesson_that_two_groups_have_is_printed_once_for_both(book: Book) -> None:
    prepared(book, START)
    pages = [" ".join(page.split()) for page in texts(book.path.parent / "papers" / "print.pdf")]
    lessons = [page for page in pages if "Say, in this order" in page]
    assert len(lessons) == 2
    assert all("Hill Street · Foxes, Owls" in lesson and "Minutes" in lesson for lesson in lessons)
    cover = " ".join(texts(book.path.parent / "papers" / "coach.pdf")[0].split())
    assert cover.count("Lesson Is the game over?") == 1


def test_a_lesson_of_one_group_has_its_minutes(book: Book) -> None:
    folder = book.path.parent / "own"
    prepare_evening(
        book, SYLLABUS, START, ("Owls",), folder, START, PaperOptions(), lambda *_: None, in_words=in_words
    )
    pages = [" ".join(page.split()) for page in texts(folder / "print-owls.pdf")]
    lesson, _ = (page for page in pages if "Say, in this order" in page)
    assert "Hill Street · Owls" in lesson
    assert "Minutes" in lesson


def test_where_the_evening_has_a_time_of_day_the_lesson_tells_it(book: Book) -> None:
    wish = TermWish(START, NEXT, weekdays=(3,), minutes=60, at="18:30")
    plan_terms(book, SYLLABUS, ("Owls",), wish)
    folder = book.path.parent / "own"
    prepare_evening(
        book, SYLLABUS, START, ("Owls",), folder, START, PaperOptions(), lambda *_: None, in_words=in_words
    )
    lesson, _ = (page for page in texts(folder / "print-owls.pdf") if "Say, in this order" in page)
    assert "18:30\N{EN DASH}18:55" in lesson
    assert "19:25\N{EN DASH}19:30" in lesson


def test_a_day_without_an_evening_is_told_with_the_next_one(book: Book) -> None:
    def refused(on: date) -> str:
        with pytest.raises(CoachbookError) as told:
            prepare_evening(
                book, SYLLABUS, on, (), book.path.parent / "x", START, PaperOptions(), in_words=in_words
            )
        return str(told.value)

    assert refused(START + timedelta(1)) == f"No evening is planned on 2026-09-11. The next one is {NEXT}."
    assert refused(LAST + timedelta(1)) == f"No evening is planned on 2026-10-02. The last one is {LAST}."
    replan_terms(book, SYLLABUS, ("Foxes", "Owls"), START, cancel=[START])
    assert refused(START) == f"2026-09-10 was cancelled. The next one is {NEXT}."


def test_the_register_and_the_coach_s_answers_name_the_same_students_in_the_same_order(book: Book) -> None:
    with book.writing() as page:
        for name in ("Zoe", "Bo"):
            add_student(page, name, ["Foxes"])
    prepared(book, START)
    folder = book.path.parent / "papers"
    (register,) = (text for text in texts(folder / "print.pdf") if "Register: Foxes" in text)
    (answers,) = (text for text in texts(folder / "coach.pdf") if "Answers: Foxes" in text)
    for page_text in (register, answers):
        words = page_text.split()
        assert [name for name in words if name in ("Ana", "Bo", "Zoe", "Cy")] == ["Ana", "Bo", "Zoe"]


def test_each_sheet_has_the_day_of_its_evening(book: Book) -> None:
    prepared(book, START)
    pages = [" ".join(page.split()) for page in texts(book.path.parent / "papers" / "print.pdf")]
    sheets = [page for page in pages if "Name " in page and "Date" in page]
    assert len(sheets) >= 2
    assert all("Date Thu 10 Sept 2026" in page for page in sheets)


def test_each_sheet_s_answers_are_in_the_coach_s_file_and_each_key_once(book: Book) -> None:
    with book.writing() as page:
        for name in ("Bo", "Dee", "Eve"):
            add_student(page, name, ["Foxes"])
    prepared(book, START)
    pages = texts(book.path.parent / "papers" / "coach.pdf")
    with book.reading() as page:
        given = prepared_for(page, "Foxes", START)
    (answers,) = (text for text in pages if "Answers: Foxes" in text)
    assert all(each.sheet in answers for each in given.values())
    keys = " ".join(" ".join(text.split()) for text in pages if "Keys " in text)
    assert "Ana 1, Dee 1" in keys
    assert "Bo 1, Eve 1" in keys
    assert keys.count("Ana 1,") == 1
