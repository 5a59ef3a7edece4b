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
    foreign_files,
    own_backups,
)
from coachbook.club.book import Book, open_book
from coachbook.club.connection import connect, write_clean_copy
from coachbook.club.soundness import find_damaged_text, find_fault_of_backup
from coachbook.errors import CoachbookError
from tests.club.copies import MORNING, add, break_page, files_in, names, posix_only

Dump = Callable[[Path], list[str]]


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
    def forget(book: sqlite3.Connection, target: Path) -> None:
        write_clean_copy(book, target)
        with closing(connect(target)) as copy:
            copy.execute("DELETE FROM answer WHERE item = 2")

    monkeypatch.setattr(backup_module, "write_clean_copy", forget)
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
    kept = [
        f"{day:%Y-%m-%d}-090507-daily-{number}.book"
        for number, day in list(enumerate(days, start=1))[-DAILY_KEPT:]
    ]
    assert [backup.name for backup in own_backups(full_book.path)] == [asked.name, *kept]


def test_the_backup_of_the_day_is_not_replaced_by_that_of_a_damaged_book(full_book: Book) -> None:
    for number in range(DAILY_KEPT):
        back_up_daily(full_book.path, MORNING + timedelta(days=number))
    before = own_backups(full_book.path)
    break_page(full_book.path)
    with pytest.raises(CoachbookError, match="is damaged"):
        back_up_daily(full_book.path, MORNING + timedelta(days=99))
    assert own_backups(full_book.path) == before


@pytest.mark.parametrize("wrong", [datetime(1970, 1, 1, 0, 5), datetime(2096, 1, 1, 9)])
def test_a_clock_that_was_wrong_once_does_not_end_the_daily_backups(full_book: Book, wrong: datetime) -> None:
    days = [MORNING + timedelta(days=number) for number in range(2 * DAILY_KEPT)]
    made = [back_up_daily(full_book.path, day) for day in (*days[:DAILY_KEPT], wrong, *days[DAILY_KEPT:])]
    names = [backup.name for backup in made if backup]
    assert len(names) == len(days) + 1
    assert {backup.name for backup in own_backups(full_book.path)} == set(names[-DAILY_KEPT:])
    assert names[DAILY_KEPT] == f"{wrong:%Y-%m-%d-%H%M%S}-daily-{DAILY_KEPT + 1}.book"


def test_the_backup_just_made_stays_whatever_its_date(full_book: Book) -> None:
    for number in range(DAILY_KEPT + 2):
        back_up_daily(full_book.path, datetime(2096, 1, 1 + number))
        made = back_up_daily(full_book.path, datetime(1970, 1, 1 + number))
        assert made in own_backups(full_book.path)


def test_a_clock_that_begins_anew_each_morning_does_not_end_them_either(full_book: Book) -> None:
    assert back_up_daily(full_book.path, datetime(1970, 1, 1, 2))
    assert back_up_daily(full_book.path, datetime(1970, 1, 1, 1))
    assert back_up_daily(full_book.path, datetime(1970, 1, 1, 3)) is None


def test_daily_backups_without_a_number_are_the_first_to_go(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    for number in range(DAILY_KEPT):
        shutil.copy(made, made.with_name(f"2030-01-{number + 10}-080000-daily.book"))
    daily = back_up_daily(full_book.path, MORNING)
    assert daily in own_backups(full_book.path)
    left = [each.name for each in own_backups(full_book.path) if each.name.startswith("2030")]
    assert left == [f"2030-01-{number + 10}-080000-daily.book" for number in range(1, DAILY_KEPT)]


def test_no_earlier_backup_goes_while_the_book_holds_a_damaged_sheet(full_book: Book) -> None:
    days = [MORNING + timedelta(days=number) for number in range(DAILY_KEPT + 1)]
    for day in days[:DAILY_KEPT]:
        back_up_daily(full_book.path, day)
    with closing(connect(full_book.path)) as connection:
        connection.execute("UPDATE sheet SET body = replace(body, 'Qg7', 'Qg6') WHERE code = 'QB-1'")
    made = back_up_daily(full_book.path, days[-1])
    assert made is not None
    assert len(own_backups(full_book.path)) == DAILY_KEPT + 1
    assert find_damaged_text(made) == "a damaged sheet QB-1"
    assert find_damaged_text(own_backups(full_book.path)[0]) is None


def test_files_of_other_names_are_no_backups_of_coachbook(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    own = [made.with_name(name) for name in ("christmas.book", "club.book.gpg")]
    for each in own:
        shutil.copy(made, each)
    assert own_backups(full_book.path) == [made]
    assert foreign_files(full_book.path) == own


def test_copies_that_earlier_versions_put_beside_the_book_count_as_its_backups(full_book: Book) -> None:
    beside = full_book.path.with_name("club.book.before-0001.bak")
    shutil.copy(full_book.path, beside)
    full_book.path.with_name("club.book.before-term.bak").write_text("the coach's own")
    full_book.path.with_name("other.book.before-0001.bak").write_text("another book's")
    assert own_backups(full_book.path) == [beside]
    assert find_fault_of_backup(beside) is None
    assert not list(full_book.path.parent.glob("*-wal"))
