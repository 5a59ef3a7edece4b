"""Care of the data: a backup before the first logging of a day, and a check that marks again."""

from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club.backup import own_backups
from coachbook.club.book import Book, open_book, set_settings
from coachbook.club.connection import connect
from coachbook.club.log import log_play_out
from coachbook.club.sheets import save_worksheet
from coachbook.club.students import list_students
from coachbook.errors import CoachbookError
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.model.claims import MethodRule
from coachbook.model.facts import PlayOutEnd, PlayOutResult
from coachbook.model.settings import ClubSettings
from coachbook.model.syllabus import Goal
from coachbook.model.worksheet import Answer, AnswerForm, Worksheet
from coachbook.workflows.care import (
    before_logging,
    bring_back,
    erase_member,
    make_backup,
    rename_member,
    safe_first,
    traces_of,
)
from coachbook.workflows.checking import Checked, check_book
from coachbook.workflows.evening_log import CROSS, TICK, keep_answers, mark_sheet, undo
from tests.model.an_exercise import AN_EXERCISE
from tests.workflows.conftest import club_of

NOW = datetime(2026, 11, 25, 19, 30, tzinfo=UTC)
DAY = date(2026, 11, 25)
MATE = replace(AN_EXERCISE, unit="queen-box")
SHEET = Worksheet(
    "QB-1", "Harbour Lane", "queen-box", "The queen's box", 1, "First steps", DAY, 7, (MATE,) * 3
)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    made = club_of(tmp_path, ("Ana", "Bo"))
    with made.writing() as page:
        save_worksheet(page, SHEET, ["Ana"])
    return made


WHICH_RULE = replace(
    MATE,
    answer=Answer(
        AnswerForm.CHOICE, ("king_to_meeting_square",), options=tuple(rule.code for rule in QUEEN_BOX.rules)
    ),
    claims=(MethodRule("queen-box", "king_to_meeting_square", frozenset({"f6f7"})),),
)
"""As on a sheet of before the rules had numbers on it."""


def log(book: Book, *written: str) -> None:
    keep_answers(book, mark_sheet(SHEET, "Ana", dict(enumerate(written, start=1)), DAY, book.letters), NOW)


def check(book: Book, months: int = 12, on: date = DAY) -> Checked:
    return check_book(book, on, months, lambda _done, _of, _what: None)


def change(book: Book, *statements: str) -> None:
    with closing(connect(book.path)) as connection:
        for statement in statements:
            connection.execute(statement)


# Backups


def test_the_first_logging_of_a_day_is_preceded_by_a_backup_and_the_next_is_not(book: Book) -> None:
    for hours in (0, 1, 2, 26):
        before_logging(book, NOW + timedelta(hours=hours))
    assert len(own_backups(book.path)) == 2
    assert [backup.name[17:] for backup in own_backups(book.path)] == ["-daily-1.book", "-daily-2.book"]


def test_a_backup_is_named_by_the_time_where_the_coach_is(book: Book) -> None:
    made = make_backup(book, None, NOW)
    assert made.path.name == f"{NOW.astimezone():%Y-%m-%d-%H%M%S}.book"
    assert (made.counts.students, made.counts.sheets, made.counts.answers) == (2, 1, 0)


def test_what_was_brought_back_is_told(book: Book, tmp_path: Path) -> None:
    made = make_backup(book, tmp_path / "copy.book", NOW)
    log(book, "Qg7")
    erase_member(book, "Bo")
    rename_member(book, "Ana", "Anna")
    back = bring_back(book.path, made.path, NOW)
    assert (back.done.came_back, back.done.gone) == (("Ana", "Bo"), ("Anna",))
    assert (back.counts.students, back.counts.answers) == (2, 0)
    assert back.done.before in own_backups(book.path)


def test_the_usual_book_is_brought_back_if_none_is_named(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = make_backup(book, tmp_path / "copy.book", NOW)
    usual = tmp_path / "usual.book"
    monkeypatch.setattr("coachbook.workflows.care.usual_book", lambda: usual)
    assert bring_back(None, made.path, NOW).path == usual
    assert usual.exists()


def test_a_student_is_erased_after_a_look_at_what_there_is(book: Book) -> None:
    log(book, "Qg7", "Qh8")
    assert traces_of(book, "ANA") == ("Ana", 3)
    assert erase_member(book, "Ana").facts == 3
    with book.reading() as page:
        assert [student.name for student in list_students(page)] == ["Bo"]
    with pytest.raises(CoachbookError, match="nothing to take back"):
        undo(book, NOW)


# Checking


def test_all_is_well_with_answers_of_every_sort(book: Book) -> None:
    log(book, "Qg7", "Qh8", "")
    log(book, TICK, CROSS, "nonsense")
    make_backup(book, None, NOW)
    checked = check(book)
    assert (checked.students, checked.sheets, checked.answers) == (2, 1, 6)
    assert checked.backups == len(own_backups(book.path)) == 2  # one was made before the first logging
    assert (checked.findings, checked.renamed_slips) == ((), ())


@pytest.mark.parametrize(
    ("written", "statement", "told"),
    [
        ("Qg7", "UPDATE answer SET is_right = 0, slip = 'not mate'", "is kept as wrong, but it is right"),
        ("Qh8", "UPDATE answer SET is_right = 1, slip = ''", "is kept as right, but it is wrong"),
        ("Qg7", "UPDATE answer SET written = 'Qg8'", "is kept as right, but it is wrong (the key: Qg7#)"),
    ],
)
def test_an_answer_that_is_kept_as_what_it_is_not_is_found(
    book: Book, written: str, statement: str, told: str
) -> None:
    log(book, written)
    change(book, statement)
    (finding,) = check(book).findings
    assert (finding.file, finding.where) == ("club.book", "sheet QB-1, item 1")
    assert told in finding.message
    assert "Ana on 2026-11-25" in finding.message


def test_a_slip_that_has_another_name_today_is_counted_and_no_fault(book: Book) -> None:
    log(book, "nonsense", "nonsense too", "Qg7")
    change(book, "UPDATE answer SET slip = 'not mate' WHERE NOT is_right")
    checked = check(book)
    assert checked.renamed_slips == (("not mate", "unreadable", 2),)
    assert checked.findings == ()


@pytest.mark.parametrize("kept", ["is_right = 1, slip = ''", "is_right = 0, slip = 'wrong rule'"])
def test_a_number_that_was_read_by_the_list_before_is_no_fault(book: Book, kept: str) -> None:
    """Whether the coach meant the list's 3 or the card's, nobody knows today."""
    sheet = replace(SHEET, code="QB-2", items=(WHICH_RULE,))
    with book.writing() as page:
        save_worksheet(page, sheet, ["Ana"])
    keep_answers(book, mark_sheet(sheet, "Ana", {1: "3"}, DAY), NOW)
    change(book, f"UPDATE answer SET {kept}")  # noqa: S608 - two texts of this test's own
    checked = check(book)
    assert (checked.findings, checked.renamed_slips) == ((), ())


@pytest.mark.parametrize(("mark", "kept"), [(TICK, "wrong"), (CROSS, "right")])
def test_what_the_coach_ticked_is_not_marked_again_but_must_be_kept_so(
    book: Book, mark: str, kept: str
) -> None:
    log(book, mark)
    assert check(book).findings == ()
    change(book, "UPDATE answer SET is_right = NOT is_right, slip = ''")
    (finding,) = check(book).findings
    assert finding.message == f"is ticked '{mark}', but kept as {kept}; log it again"


def test_an_answer_in_the_clubs_letters_is_right_also_after_they_have_changed(book: Book) -> None:
    with book.writing() as page:
        set_settings(page, ClubSettings(letters="KDTLS"))
    log(open_book(book.path), "Dg7", "Qg7")
    assert check(open_book(book.path)).findings == ()
    with book.writing() as page:
        set_settings(page, ClubSettings())
    assert [finding.where for finding in check(open_book(book.path)).findings] == ["sheet QB-1, item 1"]


def test_a_sheet_that_does_not_say_what_it_said_is_found(book: Book) -> None:
    log(book, "Qg7")
    change(book, """UPDATE sheet SET body = replace(body, '"Qg7#"', '"Qx9#"')""")
    (finding,) = check(book).findings
    assert "The sheet QB-1 is damaged in the book" in finding.message


def test_a_play_out_that_cannot_have_been_is_found(book: Book) -> None:
    fen = "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"
    with book.writing() as page:
        played = PlayOutResult("Ana", "queen-box", DAY, fen, Goal.WIN, 9, PlayOutEnd.MATE, 1, "", ("g1g7",))
        log_play_out(page, played, NOW)
    assert check(book).findings == ()
    change(book, "UPDATE play_out SET used = 3")
    (finding,) = check(book).findings
    assert finding.where == "the play-out of Ana on 2026-11-25"


def test_a_backup_that_holds_a_damaged_sheet_is_told(book: Book) -> None:
    made = make_backup(book, None, NOW).path
    with closing(connect(made)) as connection:
        connection.execute("UPDATE sheet SET body = replace(body, 'Qg7#', 'Qf7#')")
    (finding,) = check(book).findings
    assert (finding.where, finding.message) == (
        f"backup {made.name}",
        "holds a damaged sheet QB-1; all else in it is whole",
    )


def test_the_book_is_kept_as_it_is_before_something_is_done(book: Book) -> None:
    made = safe_first(book, "import", NOW)
    assert made.name == f"{NOW.astimezone():%Y-%m-%d-%H%M%S}-before-import.book"
    assert made in own_backups(book.path)


def test_a_damaged_page_is_found_and_the_rest_not_looked_at(book: Book) -> None:
    with closing(connect(book.path)) as connection:
        (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = 'answer'").fetchone()
    pages = bytearray(book.path.read_bytes())
    pages[(root - 1) * 4096 : root * 4096] = b"\xaa" * 4096
    book.path.write_bytes(pages)
    checked = check(book)
    assert checked.findings
    assert {finding.where for finding in checked.findings} == {"the file"}


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def _forget(path: Path) -> None:
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("DELETE FROM student")


def _be_text(path: Path) -> None:
    path.write_text("no backup")


@pytest.mark.parametrize("spoil", [_cut, _forget, _be_text])
def test_a_backup_that_cannot_be_relied_on_is_found(book: Book, spoil: Callable[[Path], None]) -> None:
    made = make_backup(book, None, NOW).path
    spoil(made)
    (finding,) = check(book).findings
    assert finding.where == f"backup {made.name}"
    assert finding.message.endswith("; make a new one, and delete this")


def test_progress_is_told_for_each_sheet_and_backup(book: Book) -> None:
    made = make_backup(book, None, NOW).path
    steps: list[tuple[int, int, str]] = []
    check_book(book, DAY, 12, lambda done, of, what: steps.append((done, of, what)))
    assert steps == [(0, 2, "sheet QB-1"), (1, 2, made.name)]


# Who was not seen for long


@pytest.mark.parametrize(
    ("on", "months", "not_seen"),
    [
        (date(2027, 11, 25), 12, False),
        (date(2027, 11, 26), 12, True),
        (date(2026, 12, 25), 1, False),
        (date(2026, 12, 26), 1, True),
        (date(2027, 2, 25), 3, False),
    ],
)
def test_one_who_was_not_seen_for_so_many_months_is_listed(
    book: Book, on: date, months: int, not_seen: bool
) -> None:
    assert check(book, months, on).not_seen == ((("Ana", DAY),) if not_seen else ()) + (("Bo", None),)


@pytest.mark.parametrize("day", [date(2028, 3, 31), date(2028, 3, 29)])
def test_a_day_that_an_earlier_month_lacks_is_its_last(book: Book, day: date) -> None:
    change(book, "UPDATE sheet SET made_on = '2028-02-28'")
    assert ("Ana", date(2028, 2, 28)) in check(book, 1, day).not_seen
    change(book, "UPDATE sheet SET made_on = '2028-02-29'")
    assert check(book, 1, day).not_seen == (("Bo", None),)


@pytest.mark.parametrize("months", [0, -1, 1201])
def test_a_number_of_months_that_is_none_is_told(book: Book, months: int) -> None:
    with pytest.raises(CoachbookError, match="number of months cannot be"):
        check(book, months)
