"""Backups are whole copies or none, and there is one a day."""

import shutil
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club import backup as backup_module
from coachbook.club.backup import (
    DAILY_KEPT,
    back_up,
    back_up_daily,
    back_up_to,
    backups_folder,
    own_backups,
)
from coachbook.club.book import Book, open_book
from coachbook.club.connection import connect
from coachbook.club.soundness import find_fault_of_backup
from coachbook.errors import CoachbookError
from coachbook.model.club import ItemResult
from tests.club.copies import MORNING, add, break_page, files_in, log_evening, names, posix_only

Dump = Callable[[Path], list[str]]


@pytest.fixture
def full_book(evening_book: Book, make_result: Callable[..., ItemResult], now: datetime) -> Book:
    """An evening was logged in it."""
    log_evening(evening_book, make_result, now)
    return evening_book


# Making one


def test_a_backup_holds_what_the_book_holds_and_is_named_by_date_and_time(
    full_book: Book, dump: Dump
) -> None:
    made = back_up(full_book.path, MORNING)
    assert made == full_book.path.with_name("club.book.backups") / "2026-11-26-090507.book"
    assert dump(made) == dump(full_book.path)
    assert own_backups(full_book.path) == [made]
    assert files_in(full_book.path.parent) == [
        "club.book",
        "club.book.backups",
        f"club.book.backups/{made.name}",
    ]


@posix_only
def test_a_backup_and_its_folder_are_for_their_owner_only(full_book: Book) -> None:
    folder = backups_folder(full_book.path)
    folder.mkdir(mode=0o755)
    made = back_up(full_book.path, MORNING)
    assert stat.S_IMODE(made.stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_two_backups_of_one_second_are_two_files(full_book: Book) -> None:
    back_up(full_book.path, MORNING)
    assert back_up(full_book.path, MORNING).name == "2026-11-26-090507-2.book"


def test_a_backup_opens_as_a_book_of_its_own(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    add(open_book(made), "Zoe")
    assert names(made) == ["Mina", "Noor", "Tom", "Zoe"]
    assert names(full_book.path) == ["Mina", "Noor", "Tom"]


def test_a_backup_holds_what_another_program_has_just_logged_and_not_what_it_is_logging(book: Book) -> None:
    add(book, "Mina")
    with closing(connect(book.path)) as other:  # so that what was logged is still in the -wal file
        other.execute("SELECT * FROM student").fetchall()
        add(book, "Tom")
        assert names(back_up(book.path, MORNING)) == ["Mina", "Tom"]


def test_a_backup_keeps_nothing_that_was_deleted_before(book: Book) -> None:
    with closing(connect(book.path)) as careless:
        careless.execute("PRAGMA secure_delete = OFF")
        careless.execute("INSERT INTO student (id, name) VALUES (7, 'Wilhelmina')")
        careless.execute("DELETE FROM student")
    assert b"Wilhelmina" in book.path.read_bytes()
    assert b"Wilhelmina" not in back_up(book.path, MORNING).read_bytes()


def test_a_backup_elsewhere_is_written_where_the_coach_says_and_never_over_a_file(
    full_book: Book, tmp_path_factory: pytest.TempPathFactory, dump: Dump
) -> None:
    target = tmp_path_factory.mktemp("stick") / "copy of our club.book"
    back_up_to(full_book.path, target)
    assert dump(target) == dump(full_book.path)
    assert own_backups(full_book.path) == []
    before = target.read_bytes()
    with pytest.raises(CoachbookError, match="already a file"):
        back_up_to(full_book.path, target)
    assert target.read_bytes() == before
    with pytest.raises(CoachbookError, match="no folder"):
        back_up_to(full_book.path, target.parent / "none" / "club.book")
    with pytest.raises(CoachbookError, match=r"is a folder, not a backup\. Name a file in it"):
        back_up_to(full_book.path, target.parent)
    assert list(target.parent.iterdir()) == [target]


def test_where_there_are_no_links_a_backup_gets_its_name_too_and_never_over_a_file(
    full_book: Book, monkeypatch: pytest.MonkeyPatch, dump: Dump
) -> None:
    def no_links(_source: Path, _target: Path) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", no_links)
    target = full_book.path.with_name("copy.book")
    back_up_to(full_book.path, target)
    assert dump(target) == dump(full_book.path)
    with pytest.raises(CoachbookError, match="already a file"):
        back_up_to(full_book.path, target)
    assert files_in(target.parent) == ["club.book", "copy.book"]


def test_a_damaged_book_is_not_backed_up(full_book: Book) -> None:
    break_page(full_book.path)
    with pytest.raises(CoachbookError, match="is damaged"):
        back_up(full_book.path, MORNING)
    assert files_in(full_book.path.parent) == ["club.book"]


def test_a_copy_that_differs_from_the_book_is_no_backup(
    full_book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forget(copy: sqlite3.Connection) -> None:
        copy.execute("DELETE FROM answer WHERE item = 2")

    monkeypatch.setattr(backup_module, "make_single_and_clean", forget)
    with pytest.raises(CoachbookError, match="not the same"):
        back_up(full_book.path, MORNING)
    assert files_in(full_book.path.parent) == ["club.book"]


def test_what_a_killed_program_left_is_swept_away(full_book: Book) -> None:
    folder = backups_folder(full_book.path)
    folder.mkdir()
    for name in (".2026-11-25-080000.book.77.part", ".2026-11-25-080000.book.77.part-journal"):
        (folder / name).write_text("half")
    made = back_up(full_book.path, MORNING)
    assert list(folder.iterdir()) == [made]


# One a day


def test_there_is_one_backup_of_itself_a_day_and_the_newest_ten_stay(full_book: Book) -> None:
    asked = back_up(full_book.path, MORNING - timedelta(days=30))
    days = [MORNING + timedelta(days=number) for number in range(DAILY_KEPT + 3)]
    for day in days:
        made = back_up_daily(full_book.path, day)
        assert made is not None
        assert back_up_daily(full_book.path, day + timedelta(hours=8)) is None
    kept = [f"{day:%Y-%m-%d}-090507-daily.book" for day in days[-DAILY_KEPT:]]
    assert [backup.name for backup in own_backups(full_book.path)] == [asked.name, *kept]


def test_the_backup_of_the_day_is_not_replaced_by_that_of_a_damaged_book(full_book: Book) -> None:
    for number in range(DAILY_KEPT):
        back_up_daily(full_book.path, MORNING + timedelta(days=number))
    before = own_backups(full_book.path)
    break_page(full_book.path)
    with pytest.raises(CoachbookError, match="is damaged"):
        back_up_daily(full_book.path, MORNING + timedelta(days=99))
    assert own_backups(full_book.path) == before


def test_copies_that_earlier_versions_put_beside_the_book_count_as_its_backups(full_book: Book) -> None:
    beside = full_book.path.with_name("club.book.before-0001.bak")
    shutil.copy(full_book.path, beside)
    full_book.path.with_name("club.book.before-term.bak").write_text("the coach's own")
    full_book.path.with_name("other.book.before-0001.bak").write_text("another book's")
    assert own_backups(full_book.path) == [beside]
    assert find_fault_of_backup(beside) is None
    assert not list(full_book.path.parent.glob("*-wal"))
