from collections.abc import Callable
from datetime import date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.results import answers, attendance
from coachbook.club.taken_back import take_back
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, ItemResult
from coachbook.wording.people import entry_in_words
from tests.club.conftest import NOW

Dump = Callable[[Path], list[str]]
MakeResult = Callable[..., ItemResult]


def test_an_entry_says_in_words_what_was_logged(
    evening_book: Book, make_result: MakeResult, now: datetime, evening: date
) -> None:
    marks = [Attendance("Mina", evening, present=True), Attendance("tom", evening, present=False)]
    with evening_book.writing() as w:
        first = log_attendance(w, marks, now)
        assert (first.id, first.logged_at) == (1, now)
        assert entry_in_words(first.what) == "attendance on 2026-11-25: 1 of 2 there"
        one = log_answers(w, [make_result()], now)
        assert (one.id, entry_in_words(one.what)) == (2, "1 answer of Mina on sheet QB-1, item 1 (right)")
        rook = make_result("noor", "rb-1", 2, unit="rook-box")
        many = log_answers(w, [make_result(), make_result("Tom"), rook], now)
        assert entry_in_words(many.what) == "3 answers of 3 students on 2 sheets"
        assert (
            entry_in_words(log_attendance(w, marks[1:], now).what)
            == "attendance of Tom on 2026-11-25: absent"
        )
        both = [*marks, Attendance("Mina", evening + timedelta(days=7), present=True)]
        assert entry_in_words(log_attendance(w, both, now).what) == "attendance on 2 evenings"


def test_the_time_of_an_entry_is_kept_in_utc(evening_book: Book, make_result: MakeResult) -> None:
    local = datetime(2026, 11, 25, 20, 30, 1, 5, tzinfo=timezone(timedelta(hours=1)))
    with evening_book.writing() as w:
        log_answers(w, [make_result()], local)
    with evening_book.writing() as w:
        entry = take_back(w, NOW)
    assert entry.logged_at == local
    assert entry.logged_at.utcoffset() == timedelta(0)


def test_a_time_without_a_zone_is_a_bug(evening_book: Book, make_result: MakeResult, now: datetime) -> None:
    with pytest.raises(ValueError, match="time zone"), evening_book.writing() as w:
        log_answers(w, [make_result()], now.replace(tzinfo=None))


def test_undo_returns_the_book_exactly_to_what_it_was(
    evening_book: Book, make_result: MakeResult, now: datetime, evening: date, dump: Dump
) -> None:
    states = [dump(evening_book.path)]
    batches = [
        [make_result(item=1), make_result(item=2, slip="stalemate")],
        [make_result(item=1, written="Qg6", slip="not mate"), make_result("Tom")],
    ]
    logged = []
    for batch in batches:
        with evening_book.writing() as w:
            logged.append(log_answers(w, batch, now))
        states.append(dump(evening_book.path))
    with evening_book.writing() as w:
        logged.append(log_attendance(w, [Attendance("Mina", evening, present=True)], now))
    assert len({str(state) for state in states}) == 3
    for entry in reversed(logged):
        with evening_book.writing() as w:
            assert take_back(w, NOW) == entry
        assert dump(evening_book.path) == states.pop()


def test_there_may_be_nothing_to_take_back(book: Book) -> None:
    with pytest.raises(CoachbookError, match="nothing to take back"), book.writing() as w:
        take_back(w, NOW)


def test_an_answer_logged_again_replaces_the_earlier_until_it_is_taken_back(
    evening_book: Book, make_result: MakeResult, now: datetime
) -> None:
    first, second = make_result(written="Qg6", slip="not mate"), make_result("mina", "qb-1")
    with evening_book.writing() as w:
        log_answers(w, [first], now)
        log_answers(w, [second], now - timedelta(days=1))
        assert answers(w) == [make_result()]
        take_back(w, NOW)
        assert answers(w) == [first]


def test_attendance_logged_again_replaces_the_earlier_until_it_is_taken_back(
    evening_book: Book, now: datetime, evening: date
) -> None:
    there, away = (Attendance("Mina", evening, present=present) for present in (True, False))
    with evening_book.writing() as w:
        log_attendance(w, [there], now)
        log_attendance(w, [away], now)
        assert attendance(w) == [away]
        take_back(w, NOW)
        assert attendance(w) == [there]


@pytest.mark.parametrize(
    ("wrong", "complaint"),
    [
        ({"student": "Mira"}, r"no student 'Mira'\. Did you mean 'Mina'"),
        ({"sheet": "QB-7"}, r"no sheet 'QB-7'\. Did you mean 'QB-1'"),
        ({"item": 4}, r"Sheet QB-1 has no item 4\. Its items are 1 to 3"),
        ({"item": 0}, "Sheet QB-1 has no item 0"),
        ({"unit": "rook-box"}, "Item 1 of sheet QB-1 is of unit 'queen-box', not 'rook-box'"),
        ({"student": "Noor"}, "Sheet QB-1 was not given to Noor"),
        ({"student": "TOM", "sheet": "qb-1"}, "given twice: TOM, sheet qb-1, item 1"),
    ],
)
def test_nothing_of_a_batch_with_a_mistake_is_kept(
    evening_book: Book,
    make_result: MakeResult,
    now: datetime,
    dump: Dump,
    wrong: dict[str, str],
    complaint: str,
) -> None:
    before = dump(evening_book.path)
    batch = [make_result("Tom"), make_result("Tom", item=2), make_result(**wrong)]
    with evening_book.writing() as w, pytest.raises(CoachbookError, match=complaint):
        log_answers(w, batch, now)
    assert dump(evening_book.path) == before


def test_nothing_of_an_attendance_with_a_mistake_is_kept(
    evening_book: Book, now: datetime, evening: date, dump: Dump
) -> None:
    before = dump(evening_book.path)
    tom = Attendance("Tom", evening, present=True)
    for wrong, complaint in (("Mira", "no student 'Mira'"), ("tom", "given twice: tom on 2026-11-25")):
        with evening_book.writing() as w, pytest.raises(CoachbookError, match=complaint):
            log_attendance(w, [tom, Attendance(wrong, evening, present=False)], now)
    assert dump(evening_book.path) == before


def test_an_empty_batch_is_refused(evening_book: Book, now: datetime) -> None:
    with evening_book.writing() as w:
        with pytest.raises(CoachbookError, match="nothing to log"):
            log_answers(w, [], now)
        with pytest.raises(CoachbookError, match="nothing to log"):
            log_attendance(w, [], now)


class _TakeBackError(Exception):
    """Ends a transaction without keeping it."""


places = st.tuples(st.sampled_from(["Mina", "Tom"]), st.integers(1, 3))
batches = st.dictionaries(places, st.text("Qg67#-", max_size=3), min_size=1, max_size=4)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(st.lists(st.none() | batches, max_size=6))
def test_what_holds_is_what_the_entries_that_were_not_taken_back_say_last(
    evening_book: Book,
    make_result: MakeResult,
    now: datetime,
    acts: list[dict[tuple[str, int], str] | None],
) -> None:
    kept: list[dict[tuple[str, int], str]] = []
    with pytest.raises(_TakeBackError), evening_book.writing() as w:
        for act in acts:
            if act is not None:
                log_answers(
                    w, [make_result(who, item=n, written=text) for (who, n), text in act.items()], now
                )
                kept.append(act)
            elif kept:
                take_back(w, NOW)
                kept.pop()
        expected: dict[tuple[str, int], str] = {}
        for act in kept:
            expected |= act
        assert {(found.student, found.item): found.written for found in answers(w)} == expected
        raise _TakeBackError
