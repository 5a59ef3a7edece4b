"""Whatever is wrong in a book is found; nothing is found in a book that is whole."""

from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.book_check import Counts, Finding, check_facts, check_file, count, stored_sheets
from coachbook.club.connection import connect
from coachbook.club.log import log_answers, log_attendance, log_observation, log_play_out
from coachbook.club.rows import Row
from coachbook.club.terms import save_terms, terms_of
from coachbook.model.facts import Attendance, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal
from coachbook.model.term_plan import PlanChange, PlannedSession, TermPlan
from tests.club.conftest import NOW
from tests.club.plans import keep_plan

MakeResult = Callable[..., ItemResult]
FEN = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"


@pytest.fixture
def full_book(evening_book: Book, make_result: MakeResult, now: datetime) -> Book:
    with evening_book.writing() as w:
        log_attendance(w, [Attendance("Mina", now.date(), present=True)], now)
        log_answers(w, [make_result(item=1), make_result(item=2)], now)
        log_answers(w, [make_result(item=2, slip="not mate", written="Qg8")], now)
        log_play_out(
            w, PlayOutResult("Mina", "queen-box", now.date(), FEN, Goal.WIN, 9, PlayOutEnd.MATE), now
        )
        log_observation(w, Observation("Mina", "queen-box", now.date(), "waited"), now)
    return evening_book


def findings(book: Book) -> list[Finding]:
    with book.reading() as r:
        return (
            check_file(r) + check_facts(r) + [each for sheet in stored_sheets(r) for each in sheet.findings]
        )


def spoil(path: Path, *statements: str) -> None:
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            connection.execute(statement)


def test_nothing_is_wrong_with_a_whole_book(full_book: Book) -> None:
    assert findings(full_book) == []


def test_what_it_holds_is_counted(full_book: Book) -> None:
    with full_book.reading() as r:
        assert count(r) == Counts(students=3, sheets=2, answers=3)


def test_a_sheet_comes_with_every_answer_that_was_ever_logged(full_book: Book) -> None:
    with full_book.reading() as r:
        first, second = stored_sheets(r)
    assert [(each.item, each.written, each.right) for each in first.answers] == [
        (1, "Qg7", True),
        (2, "Qg7", True),
        (2, "Qg8", False),
    ]
    assert (first.code, second.code, second.answers) == ("QB-1", "RB-1", ())


@pytest.mark.parametrize(
    ("statement", "where", "told"),
    [
        ("UPDATE student SET name = 'MINA' WHERE name = 'Tom'", "student Mina", "same name as MINA"),
        ("INSERT INTO teaching_group VALUES (2, 'TUESDAY')", "group Tuesday", "same name as TUESDAY"),
        ("UPDATE sheet SET body = '{}' WHERE code = 'QB-1'", "sheet QB-1", "cannot be read back"),
        ("UPDATE sheet SET body = replace(body, 'Qg7', 'Qf7')", "sheet QB-1", "is damaged in the book"),
        ("ALTER TABLE answer ADD COLUMN more TEXT", "the file", "not as they were made: answer)"),
        ("ALTER TABLE prepared RENAME COLUMN cards TO bards", "the file", "not as they were made: prepared)"),
        ("DROP INDEX ix_answer_copy", "the file", "not as they were made: answer)"),
        ("UPDATE sheet SET unit = 'x' WHERE code = 'QB-1'", "sheet QB-1", "another code, unit or date"),
        ("UPDATE sheet SET made_on = '2020-01-01' WHERE id = 1", "sheet QB-1", "another code, unit or date"),
        ("UPDATE sheet SET made_on = 'soon' WHERE id = 1", "sheet QB-1", "another code, unit or date"),
        ("UPDATE sheet_item SET key = 'k9' WHERE key = 'k2'", "sheet QB-1", "other items"),
        ("DELETE FROM sheet_item WHERE key = 'k3'", "sheet QB-1", "other items"),
        ("UPDATE answer SET evening = 'soon' WHERE item = 1", "sheet QB-1", "cannot be read back"),
        ("UPDATE attendance SET evening = 'soon'", "the attendance", "cannot be read back"),
        ("UPDATE log_entry SET logged_at = 'soon'", "the log", "cannot be read back"),
        ("UPDATE play_out SET goal = 'fun'", "the play-outs", "cannot be read back"),
        ("UPDATE observation SET impression = 'fun'", "the notes", "cannot be read back"),
        ("INSERT INTO term_plan VALUES (1, 1, '{}', 1, NULL, '')", "group Tuesday", "of group 'Tuesday'"),
        ("DELETE FROM student WHERE name = 'Mina'", "the file", "that belong to nothing in"),
        ("UPDATE answer SET slip = 'odd' WHERE is_right", "the file", "is damaged (CHECK constraint failed"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_its_place(full_book: Book, statement: str, where: str, told: str) -> None:
    spoil(full_book.path, statement)
    found = findings(full_book)
    assert any(place == where and told in words for place, words in found), found


def test_every_column_stands_twice_or_is_told_by_a_checksum() -> None:
    """A new column of facts belongs in the copy of its table. A key is part of every index."""
    told_by_the_body = {("sheet", "unit"), ("sheet_item", "key")}
    sealed = {("sheet", "body"), ("term_plan", "body")}
    once = set()
    for table in Row.metadata.sorted_tables:
        assert table.indexes or any(column.unique for column in table.columns)
        twice = {column for index in table.indexes for column in index.columns}
        once |= {
            (table.name, column.name)
            for column in table.columns
            if column not in twice and not column.primary_key and not column.unique
        }
    assert once == told_by_the_body | sealed


def test_a_term_plan_that_is_no_longer_in_force_is_read_back_too(full_book: Book, evening: date) -> None:
    plan = TermPlan(evening, evening, 60, (PlannedSession(evening, ()),))
    with full_book.writing() as w:
        keep_plan(w, plan, "Tuesday")
        (kept,) = terms_of(w, "Tuesday")
        save_terms(w, [kept], PlanChange.REPLANNED, NOW)
    spoil(full_book.path, "UPDATE term_plan SET body = '{}' WHERE id = 1")
    with full_book.reading() as r:
        assert terms_of(r, "Tuesday") == (kept,)
    assert [where for where, _ in findings(full_book)] == ["group Tuesday"]


def test_a_page_that_is_damaged_is_found(full_book: Book) -> None:
    pages = bytearray(full_book.path.read_bytes())
    pages[-4096:] = b"\xaa" * 4096
    full_book.path.write_bytes(pages)
    with full_book.reading() as r:
        found = check_file(r)
    assert found
    assert all(where == "the file" and "\n" not in told for where, told in found)
