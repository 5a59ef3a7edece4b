import os
import shutil
import sqlite3
import stat
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError
from sqlmodel import delete

from coachbook.club.book import Book, create_book, open_book
from coachbook.club.connection import connect
from coachbook.club.rows import MembershipRow, SheetRow
from coachbook.club.students import add_student, list_students
from coachbook.errors import Advice, CoachbookError, Step

posix_only = pytest.mark.skipif(sys.platform == "win32", reason="needs POSIX permissions")


def test_a_new_book_opens_with_its_club_name_and_no_students(tmp_path: Path) -> None:
    path = tmp_path / "our club #1?.book"
    assert create_book(path, "  Rook  Club ").club_name == "Rook Club"
    book = open_book(path)
    assert (book.path, book.club_name) == (path, "Rook Club")
    with book.reading() as r:
        assert list_students(r) == []


def test_between_transactions_a_book_is_one_file(evening_book: Book) -> None:
    assert list(evening_book.path.parent.iterdir()) == [evening_book.path]


@posix_only
def test_a_book_and_its_side_files_are_for_their_owner_only(book: Book) -> None:
    umask = os.umask(0)
    try:
        with book.writing() as w:
            add_student(w, "Mina")
            modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in book.path.parent.iterdir()}
    finally:
        os.umask(umask)
    assert modes == {"club.book": 0o600, "club.book-wal": 0o600, "club.book-shm": 0o600}


@posix_only
def test_a_book_that_was_copied_here_for_all_to_read_is_made_private(book: Book) -> None:
    book.path.chmod(0o644)
    open_book(book.path)
    assert stat.S_IMODE(book.path.stat().st_mode) == 0o600


def test_foreign_keys_are_on_in_every_transaction(evening_book: Book) -> None:
    for transaction in (evening_book.reading, evening_book.writing):
        with transaction() as t:
            assert t.session.connection().exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), evening_book.writing() as w:
        w.session.add(MembershipRow(student_id=99, group_id=1))
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), evening_book.writing() as w:
        w.session.exec(delete(SheetRow))


def test_writers_do_not_block_readers(book: Book) -> None:
    with book.writing() as w:
        add_student(w, "Mina")
        with book.reading() as r:
            assert list_students(r) == []


def test_a_transaction_that_raises_leaves_no_trace(book: Book, dump: Callable[[Path], list[str]]) -> None:
    before = dump(book.path)
    with pytest.raises(KeyError), book.writing() as w:
        add_student(w, "Mina")
        raise KeyError
    assert dump(book.path) == before


def test_opening_a_current_book_loads_no_alembic(book: Book) -> None:
    code = "import sys, pathlib; from coachbook.club.book import open_book; "
    code += "print(open_book(pathlib.Path(sys.argv[1])).club_name, 'alembic' in sys.modules)"
    ran = subprocess.run(
        [sys.executable, "-c", code, str(book.path)], capture_output=True, text=True, check=True
    )
    assert ran.stdout == "Rook and Pawn Club False\n"


def test_an_existing_file_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("mine")
    with pytest.raises(CoachbookError, match="already a file"):
        create_book(path, "Rook Club")
    assert path.read_text() == "mine"


def test_what_a_killed_program_left_of_a_new_book_does_not_block_another(tmp_path: Path) -> None:
    for name in (".club.book.77.part", ".club.book.77.part-journal"):
        (tmp_path / name).touch()
    create_book(tmp_path / "club.book", "Rook Club")
    assert [path.name for path in tmp_path.iterdir()] == ["club.book"]


def test_a_book_is_made_only_where_there_is_a_folder(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="no folder"):
        create_book(tmp_path / "nowhere" / "club.book", "Rook Club")
    with pytest.raises(CoachbookError, match="is a folder, not a book"):
        create_book(tmp_path, "Rook Club")
    assert list(tmp_path.iterdir()) == []


def test_a_club_needs_a_name(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="A club needs a name"):
        create_book(tmp_path / "club.book", " ")
    assert list(tmp_path.iterdir()) == []


def test_what_is_no_book_is_not_opened(tmp_path: Path) -> None:
    with pytest.raises(CoachbookError, match="no book"):
        open_book(tmp_path / "missing.book")
    with pytest.raises(CoachbookError, match="not a file"):
        open_book(tmp_path)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("content", [b"", b"x", b"Dear coach,\n" * 500, bytes(8192)])
def test_a_file_that_is_no_database_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "club.book"
    path.write_bytes(content)
    path.chmod(0o644)
    with pytest.raises(CoachbookError, match="not a coachbook book"):
        open_book(path)
    assert path.read_bytes() == content
    assert stat.S_IMODE(path.stat().st_mode) == 0o644
    assert list(tmp_path.iterdir()) == [path]


def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE alembic_version (version_num TEXT)")
        other.execute("INSERT INTO alembic_version VALUES ('0001')")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(CoachbookError, match="not a coachbook book"):
        open_book(path)
    assert path.read_bytes() == before


def test_a_damaged_book_is_told(evening_book: Book) -> None:
    pages = bytearray(evening_book.path.read_bytes())
    pages[4096:] = b"\xaa" * (len(pages) - 4096)
    evening_book.path.write_bytes(pages)
    with pytest.raises(CoachbookError, match="is damaged"):
        open_book(evening_book.path)
    with pytest.raises(CoachbookError, match="is damaged"), evening_book.reading() as r:
        list_students(r)


def test_a_book_cut_short_is_told(evening_book: Book) -> None:
    content = evening_book.path.read_bytes()
    evening_book.path.write_bytes(content[:5000])
    with pytest.raises(CoachbookError, match="is damaged"):
        open_book(evening_book.path)


def test_a_newer_book_is_refused_and_left_alone(book: Book, dump: Callable[[Path], list[str]]) -> None:
    with closing(connect(book.path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0099'")
    before = dump(book.path)
    with pytest.raises(CoachbookError, match=r"newer coachbook\. Update coachbook"):
        open_book(book.path)
    assert dump(book.path) == before
    assert list(book.path.parent.iterdir()) == [book.path]


@pytest.mark.parametrize(
    ("spoil", "told"),
    [
        ("DELETE FROM alembic_version", "is damaged: it has lost the number of its version"),
        (
            "UPDATE alembic_version SET version_num = '0000'",
            "is damaged: no coachbook has written a version '0000'",
        ),
        ("DELETE FROM club", "is damaged: it has lost the club's name"),
        ("UPDATE club SET name = x'ff'", "is damaged: it has lost the club's name"),
        ("UPDATE club SET letters = x'ff'", "is damaged: the club's settings cannot be read"),
        ("UPDATE club SET dates = 'roman'", "is damaged: the club's settings cannot be read"),
    ],
)
def test_a_book_that_lost_what_it_begins_with_is_told_with_what_to_do(
    book: Book, spoil: str, told: str
) -> None:
    with closing(connect(book.path)) as connection:
        connection.execute(spoil)
    with pytest.raises(CoachbookError, match=told) as found:
        open_book(book.path)
    assert found.value.hint == Advice(Step.RESTORE_THE_BOOK)


@posix_only
def test_what_was_made_beside_a_read_only_book_can_be_used_when_it_no_longer_is(book: Book) -> None:
    with closing(connect(book.path)) as other:
        other.execute("SELECT * FROM student").fetchall()
        sides = [book.path.with_name(f"{book.path.name}{suffix}") for suffix in ("-wal", "-shm")]
        for side in sides:
            side.chmod(0o400)
        open_book(book.path)
        assert [stat.S_IMODE(side.stat().st_mode) for side in sides] == [0o600, 0o600]


def test_a_side_file_that_vanished_a_moment_ago_is_no_trouble(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = book.path.with_name(f"{book.path.name}-wal")
    monkeypatch.setattr("coachbook.club.connection.side_files", lambda _: [gone])
    assert open_book(book.path).path == book.path


@posix_only
def test_a_pipe_is_not_waited_for(book: Book, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(CoachbookError, match=r"pipe is not a file, so it is no book\."):
        open_book(pipe)
    os.mkfifo(tmp_path / "club.book-wal")
    with pytest.raises(CoachbookError, match=r"-wal is not a file, but stands beside the book\."):
        open_book(book.path)


def test_a_book_that_vanished_is_told(book: Book) -> None:
    book.path.unlink()
    with pytest.raises(CoachbookError, match="cannot be opened"), book.reading() as r:
        list_students(r)
    assert not book.path.exists()


def test_a_book_held_by_another_program_is_told(book: Book, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("coachbook.club.connection.WAIT_SECONDS", 0.01)
    with closing(connect(book.path)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(CoachbookError, match="in use by another program"), book.writing() as w:
            add_student(w, "Mina")


@posix_only
@pytest.mark.parametrize("room", [0, 5_000, 60_000])
def test_a_book_for_which_there_is_no_room_leaves_no_file(tmp_path: Path, room: int) -> None:
    ran = _run_with_room(room, "create_book(path, 'Rook Club')", tmp_path / "club.book")
    assert "coachbook.errors.CoachbookError: The book" in ran
    assert list(tmp_path.iterdir()) == []


@posix_only
def test_what_there_is_no_room_for_is_not_half_written(book: Book, dump: Callable[[Path], list[str]]) -> None:
    before = dump(book.path)
    many = "with open_book(path).writing() as w: [add_student(w, f'Mina {n}' + 50 * 'x') for n in range(60)]"
    ran = _run_with_room(8_192, many, book.path)
    assert "coachbook.errors.CoachbookError: The book" in ran
    assert dump(book.path) == before


def _run_with_room(room: int, code: str, path: Path) -> str:
    """The last line that `code` complains with, where no file may grow beyond `room` bytes."""
    start = f"""
import resource, sys
from pathlib import Path
from coachbook.club.book import create_book, open_book
from coachbook.club.students import add_student
import coachbook.club.book
path = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, ({room}, {room}))
"""
    ran = subprocess.run(
        [sys.executable, "-c", start + code, str(path)], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 1
    return ran.stderr.splitlines()[-1]


@pytest.fixture
def shared_folder() -> Iterator[Path]:
    """A folder that an ordinary user can reach, even when the tests run as root."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o777)
    yield folder
    folder.chmod(0o700)
    shutil.rmtree(folder)


@contextmanager
def ordinary_user() -> Iterator[None]:
    """Permissions do not bind root, so the block runs as another user if need be."""
    user = os.geteuid()
    if user == 0:
        os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(user)


@posix_only
def test_nothing_is_made_in_a_folder_that_can_only_be_read(shared_folder: Path) -> None:
    shared_folder.chmod(0o555)
    with ordinary_user(), pytest.raises(CoachbookError, match="Permission denied"):
        create_book(shared_folder / "club.book", "Rook Club")
    assert list(shared_folder.iterdir()) == []


@posix_only
def test_a_book_that_can_only_be_read_is_not_written(
    shared_folder: Path, dump: Callable[[Path], list[str]]
) -> None:
    path = shared_folder / "club.book"
    with ordinary_user():
        book = create_book(path, "Rook Club")
    before = dump(path)
    path.chmod(0o400)
    with ordinary_user(), pytest.raises(CoachbookError, match="can only be read"), book.writing() as w:
        add_student(w, "Mina")
    assert dump(path) == before


@posix_only
def test_a_book_of_somebody_else_is_not_opened(shared_folder: Path) -> None:
    path = shared_folder / "club.book"
    create_book(path, "Rook Club")
    if os.geteuid() != 0:
        path.chmod(0o000)
    with ordinary_user(), pytest.raises(CoachbookError, match="cannot be opened"):
        open_book(path)
