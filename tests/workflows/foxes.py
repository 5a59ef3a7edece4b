"""A group of two, and what it did: just the facts, without papers."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from coachbook.club.book import Book
from coachbook.club.log import log_answers, log_attendance, log_play_out
from coachbook.club.sheets import save_worksheet
from coachbook.model.facts import Attendance, ItemResult, PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.standings import load_syllabus
from tests.model.an_exercise import AN_EXERCISE

SYLLABUS = load_syllabus()
FIRST, SECOND, THIRD, FOURTH, FIFTH = (unit.code for unit in SYLLABUS.units[:5])
TITLES, AIMS = SYLLABUS.titles, {unit.code: unit.aim for unit in SYLLABUS.units}
START = date(2026, 9, 10)
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)


def week(number: int) -> date:
    return START + timedelta(weeks=number)


def planned(book: Book, weeks: int = 5) -> None:
    """A term of as many Thursdays, an hour each."""
    plan_terms(book, SYLLABUS, ("Foxes",), TermWish(START, week(weeks - 1), weekdays=(3,), minutes=60))


def given(
    book: Book, student: str, unit: str, on: date, items: int = 6, *, others: tuple[str, ...] = ()
) -> str:
    """A sheet of a unit, made for an evening: its code. With `others` it is a shared one."""
    code = f"{unit}-{student}-{on:%y%m%d}".upper()
    exercise = replace(AN_EXERCISE, unit=unit)
    with book.writing() as page:
        save_worksheet(
            page, Worksheet(code, "", unit, "", 1, "", on, 1, (exercise,) * items), (student, *others)
        )
    return code


def logged(book: Book, student: str, code: str, unit: str, on: date, marks: str) -> None:
    """The first answers of a sheet: "+" is right, "s" a stalemate, "-" left blank."""
    slips = {"+": "", "s": "stalemate", "-": "not tried"}
    results = [
        ItemResult(student, code, unit, item, on, "Qg7#", mark == "+", slips[mark])
        for item, mark in enumerate(marks, start=1)
    ]
    with book.writing() as page:
        log_answers(page, results, NOW)


def answered(book: Book, student: str, unit: str, on: date, marks: str = "++++++") -> None:
    """A sheet of a unit with its answers, of an evening."""
    logged(book, student, given(book, student, unit, on, len(marks)), unit, on, marks)


def played(
    book: Book, student: str, card: str, on: date, end: PlayOutEnd = PlayOutEnd.MATE, used: int = 1
) -> None:
    """A play-out of a card, which was to be won."""
    unit = next(unit for unit in SYLLABUS.units if card.startswith(f"PLAY-{unit.code}-".upper()))
    start = unit.play_outs[int(card[-1]) - 1]
    result = PlayOutResult(student, unit.code, on, start.fen, Goal.WIN, start.allowance, end, used, card)
    with book.writing() as page:
        log_play_out(page, result, NOW)


def present(book: Book, on: date, **here: bool) -> None:
    with book.writing() as page:
        log_attendance(page, [Attendance(name, on, there) for name, there in here.items()], NOW)
