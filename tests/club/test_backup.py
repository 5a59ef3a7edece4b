"""Backups are whole copies or none, and bringing one back restores all of it."""

import shutil
import sqlite3
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club import backup as backup_module
from coachbook.club import restore as restore_module
from coachbook.club.backup import (
    DAILY_KEPT,
    back_up,
    back_up_daily,
    back_up_to,
    backups_folder,
    own_backups,
)
from coachbook.club.book import Book, create_book, open_book
from coachbook.club.connection import APPLICATION_ID, connect, read_revision
from coachbook.club.log import log_answers, log_attendance
from coachbook.club.restore import restore
from coachbook.club.soundness import find_fault_of_backup
from coachbook.club.students import add_student, list_students
from coachbook.errors import CoachbookError
from coachbook.model.club import Attendance, ItemResult

Dump = Callable[[Path], list[str]]
MakeResult = Callable[..., ItemResult]

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX permissions")
MORNING = datetime(2026, 11, 26, 9, 5, 7)


@pytest.fixture
def full_book(evening_book: Book, make_result: MakeResult, now: datetime) -> Book:
    """An evening was logged in it."""
    with evening_book.writing() as w:
        log_attendance(w, [Attendance(name, now.date(), present=True) for name in ("Mina", "Tom")], now)
        log_answers(w, [make_result(item=item) for item in (1, 2, 3)], now)
    return evening_book


def names(path: Path) -> list[str]:
    with open_book(path).reading() as r:
        return [student.name for student in list_students(r)]


def add(book: Book, name: str) -> None:
    with book.writing() as w:
        add_student(w, name)


def files_in(folder: Path) -> list[str]:
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


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
    pages = bytearray(full_book.path.read_bytes())
    pages[-4096:] = b"\xaa" * 4096
    full_book.path.write_bytes(pages)
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
    pages = bytearray(full_book.path.read_bytes())
    pages[-4096:] = b"\xaa" * 4096
    full_book.path.write_bytes(pages)
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


# Bringing one back


def test_a_book_is_brought_back_whole_and_can_go_back_again(full_book: Book, dump: Dump) -> None:
    evening = dump(full_book.path)
    made = back_up(full_book.path, MORNING)
    add(full_book, "Zoe")
    with full_book.writing() as w:
        w.session.connection().exec_driver_sql("DELETE FROM answer")
    later = dump(full_book.path)
    done = restore(full_book.path, made, MORNING)
    assert done.before == made.with_name("2026-11-26-090507-before-restore.book")
    assert (done.came_back, done.gone) == ((), ("Zoe",))
    assert dump(full_book.path) == evening
    assert dump(done.before) == later
    assert restore(full_book.path, done.before, MORNING).came_back == ("Zoe",)
    assert dump(full_book.path) == later
    with closing(connect(full_book.path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_backup_is_found_by_its_name_alone(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    add(full_book, "Zoe")
    restore(full_book.path, Path(made.name), MORNING)
    assert names(full_book.path) == ["Mina", "Noor", "Tom"]


def test_a_book_that_was_lost_is_brought_back(full_book: Book, dump: Dump) -> None:
    before = dump(full_book.path)
    made = back_up(full_book.path, MORNING)
    full_book.path.unlink()
    assert restore(full_book.path, made, MORNING).before is None
    assert dump(full_book.path) == before
    with closing(connect(full_book.path)) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    if sys.platform != "win32":
        assert stat.S_IMODE(full_book.path.stat().st_mode) == 0o600


def test_what_a_lost_book_left_beside_it_is_not_mixed_with_another(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    full_book.path.rename(full_book.path.with_name("moved.book"))
    left = full_book.path.with_name("club.book-wal")
    left.write_bytes(b"changes of the book that was moved")
    for attempt in (lambda: restore(full_book.path, made, MORNING), lambda: create_book(full_book.path, "X")):
        with pytest.raises(CoachbookError, match=r"There is a file club\.book-wal without its book"):
            attempt()
    assert not full_book.path.exists()
    assert left.exists()


def test_an_older_backup_is_upgraded_and_stays_as_it_is(full_book: Book, dump: Dump) -> None:
    old = full_book.path.with_name("old.book")
    _make_first_version(old)
    before = old.read_bytes()
    restore(full_book.path, old, MORNING)
    assert names(full_book.path) == ["Ada"]
    assert read_revision(full_book.path) == read_revision(create_book(old.with_name("new.book"), "X").path)
    assert old.read_bytes() == before
    assert not list(full_book.path.parent.glob("*old.book?*"))
    assert any("Ada" in line for line in dump(full_book.path))


def _make_first_version(path: Path) -> None:
    from alembic.migration import MigrationContext
    from alembic.operations import Operations
    from alembic.script import ScriptDirectory

    from coachbook.club.connection import create_private, engine_of, for_writing
    from coachbook.club.migrate import MIGRATIONS

    create_private(path)
    with for_writing(engine_of(path)).begin() as connection:
        context = MigrationContext.configure(connection)
        with Operations.context(context):
            ScriptDirectory(MIGRATIONS).get_revision("0001").module.upgrade()
        context.stamp(ScriptDirectory(MIGRATIONS), "0001")
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql("INSERT INTO club VALUES (1, 'Old Club')")
        connection.exec_driver_sql("INSERT INTO student VALUES (1, 'Ada')")


def _break_page(path: Path) -> None:
    pages = bytearray(path.read_bytes())
    pages[-4096:] = b"\xaa" * 4096
    path.write_bytes(pages)


def _cut_short(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:5000])


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _make_newer(path: Path) -> None:
    with closing(connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")


def _lose_parent(path: Path) -> None:
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        connection.execute("DELETE FROM student")


def _be_of_another_program(path: Path) -> None:
    with closing(connect(path)) as connection:
        connection.execute("PRAGMA application_id = 1")


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        (_break_page, "is damaged"),
        (_cut_short, "is damaged"),
        (_empty, "not a coachbook book"),
        (_make_newer, "newer coachbook"),
        (_lose_parent, "belong to nothing"),
        (_be_of_another_program, "not a coachbook book"),
    ],
)
def test_a_backup_that_is_not_sound_is_refused_and_the_book_untouched(
    full_book: Book, dump: Dump, spoil: Callable[[Path], None], told: str
) -> None:
    made = back_up(full_book.path, MORNING)
    before = dump(full_book.path)
    spoil(made)
    with pytest.raises(CoachbookError, match=told) as raised:
        restore(full_book.path, made, MORNING)
    assert made.name in str(raised.value)
    assert dump(full_book.path) == before
    assert own_backups(full_book.path) == [made]
    assert files_in(full_book.path.parent)[0] == "club.book"


def test_the_book_itself_and_a_missing_backup_are_refused(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    with pytest.raises(CoachbookError, match="is the book itself"):
        restore(full_book.path, full_book.path, MORNING)
    with pytest.raises(CoachbookError, match=rf"There is no backup none\. The newest are {made.name}\."):
        restore(full_book.path, Path("none"), MORNING)


def test_a_damaged_book_is_not_replaced_before_the_coach_has_moved_it(full_book: Book) -> None:
    made = back_up(full_book.path, MORNING)
    for spoil in (_break_page, _cut_short):
        spoil(full_book.path)
        before = full_book.path.read_bytes()
        with pytest.raises(CoachbookError, match=r"cannot be kept as a backup first.*move .* another folder"):
            restore(full_book.path, made, MORNING)
        assert full_book.path.read_bytes() == before
    full_book.path.unlink()
    restore(full_book.path, made, MORNING)
    assert names(full_book.path) == ["Mina", "Noor", "Tom"]


def test_contents_that_do_not_arrive_whole_are_undone(
    full_book: Book, dump: Dump, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = back_up(full_book.path, MORNING)
    add(full_book, "Zoe")
    before = dump(full_book.path)
    monkeypatch.setattr(restore_module, "indexes", lambda _book, _schema: [])
    with pytest.raises(CoachbookError, match="could not be brought back whole"):
        restore(full_book.path, made, MORNING)
    assert dump(full_book.path) == before


@pytest.fixture
def two_books(full_book: Book, tmp_path: Path) -> Iterator[tuple[Book, Path]]:
    made = tmp_path / "copy.book"
    back_up_to(full_book.path, made)
    add(full_book, "Zoe")
    yield full_book, made


def test_a_book_that_another_program_is_writing_is_not_replaced(
    two_books: tuple[Book, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    book, made = two_books
    monkeypatch.setattr("coachbook.club.connection.WAIT_SECONDS", 0.01)
    with closing(connect(book.path)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(CoachbookError, match="in use by another program"):
            restore(book.path, made, MORNING)
    assert "Zoe" in names(book.path)


@posix_only
def test_a_backup_is_read_from_a_medium_that_can_only_be_read(two_books: tuple[Book, Path]) -> None:
    book, made = two_books
    with closing(connect(made)) as copied_by_hand:
        copied_by_hand.execute("PRAGMA journal_mode = WAL")
    made.chmod(0o400)
    restore(book.path, made, MORNING)
    assert "Zoe" not in names(book.path)
    assert [path.name for path in book.path.parent.glob("copy*")] == ["copy.book"]
