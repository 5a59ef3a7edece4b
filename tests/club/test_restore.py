"""Bringing a backup back restores all of it, or nothing is changed."""

import os
import stat
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.club import restore as restore_module
from coachbook.club.backup import back_up, back_up_to, own_backups
from coachbook.club.book import Book, create_book
from coachbook.club.connection import connect, read_revision
from coachbook.club.restore import restore
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import written_beside
from tests.club.copies import (
    MORNING,
    add,
    break_page,
    files_in,
    make_first_version,
    names,
    posix_only,
)

Dump = Callable[[Path], list[str]]


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
    make_first_version(old, "Ada")
    before = old.read_bytes()
    restore(full_book.path, old, MORNING)
    assert names(full_book.path) == ["Ada"]
    assert read_revision(full_book.path) == read_revision(create_book(old.with_name("new.book"), "X").path)
    assert old.read_bytes() == before
    assert not list(full_book.path.parent.glob("*old.book?*"))
    assert any("Ada" in line for line in dump(full_book.path))


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
        (break_page, "is damaged"),
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
    for spoil in (break_page, _cut_short):
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


def _let_another_go_first(monkeypatch: pytest.MonkeyPatch, another: Callable[[], object]) -> None:
    """Whoever has read a backup waits while another program restores."""
    read = restore_module._read_into

    def then_another(aside: Path, backup: Path) -> None:
        read(aside, backup)
        monkeypatch.setattr(restore_module, "_read_into", read)
        another()

    monkeypatch.setattr(restore_module, "_read_into", then_another)


@posix_only
@pytest.mark.parametrize("is_lost", [False, True], ids=["there is a book", "the book was lost"])
def test_two_restores_at_once_take_their_turn(
    two_books: tuple[Book, Path], monkeypatch: pytest.MonkeyPatch, is_lost: bool
) -> None:
    book, made = two_books
    other = back_up(book.path, MORNING)
    if is_lost:
        book.path.unlink()
    _let_another_go_first(monkeypatch, lambda: restore(book.path, other, MORNING))
    done = restore(book.path, made, MORNING)
    assert done.gone == ("Zoe",)
    assert names(book.path) == names(made)
    assert done.before is not None
    assert names(done.before) == names(other)


@posix_only
def test_what_a_program_is_writing_is_not_swept_away(two_books: tuple[Book, Path]) -> None:
    book, made = two_books
    with written_beside(book.path) as aside:
        journal = aside.with_name(f"{aside.name}-journal")
        journal.write_text("half")
        restore(book.path, made, MORNING)
        assert aside.exists()
        assert journal.exists()
    restore(book.path, made, MORNING)
    assert not list(book.path.parent.glob(".*"))


@posix_only
def test_a_pipe_is_neither_a_book_nor_a_backup(two_books: tuple[Book, Path]) -> None:
    book, made = two_books
    pipe = book.path.with_name("pipe")
    os.mkfifo(pipe)
    with pytest.raises(CoachbookError, match=r"pipe is not a file, so it is no book\."):
        restore(pipe, made, MORNING)
    with pytest.raises(CoachbookError, match=r"pipe is not a file, so it is no backup\."):
        restore(book.path, pipe, MORNING)
    os.mkfifo(made.with_name(f"{made.name}-wal"))
    with pytest.raises(CoachbookError, match=r"-wal is not a file, but stands beside the backup\."):
        restore(book.path, made, MORNING)
    assert "Zoe" in names(book.path)


@pytest.mark.parametrize(
    ("version", "told"),
    [
        ("DELETE FROM alembic_version", "has lost the number of its version"),
        ("UPDATE alembic_version SET version_num = '0000'", "no coachbook has written a version '0000'"),
        ("UPDATE alembic_version SET version_num = 'a001'", "no coachbook has written a version 'a001'"),
        ("UPDATE alembic_version SET version_num = '9999'", "was written by a newer coachbook"),
    ],
)
def test_what_is_wrong_with_the_version_of_a_backup_is_told_apart(
    two_books: tuple[Book, Path], version: str, told: str
) -> None:
    book, made = two_books
    with closing(connect(made)) as connection:
        connection.execute(version)
    with pytest.raises(CoachbookError, match=told):
        restore(book.path, made, MORNING)


@posix_only
def test_a_backup_is_read_from_a_medium_that_can_only_be_read(two_books: tuple[Book, Path]) -> None:
    book, made = two_books
    with closing(connect(made)) as copied_by_hand:
        copied_by_hand.execute("PRAGMA journal_mode = WAL")
    made.chmod(0o400)
    restore(book.path, made, MORNING)
    assert "Zoe" not in names(book.path)
    assert [path.name for path in book.path.parent.glob("copy*")] == ["copy.book"]
