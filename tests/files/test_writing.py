import errno
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from coachbook.errors import CoachbookError
from coachbook.files.writing import check_places, put_in_place


def test_a_missing_folder_is_named_in_one_line(tmp_path: Path) -> None:
    target = tmp_path / "nowhere" / "sheet.pdf"
    with pytest.raises(CoachbookError) as caught:
        put_in_place(target, b"content")
    assert str(target) in caught.value.message
    assert "\n" not in str(caught.value)
    assert caught.value.hint
    assert not list(tmp_path.iterdir())


def test_a_folder_that_is_a_file_is_named_too(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("a file", encoding="utf-8")
    with pytest.raises(CoachbookError, match="cannot be written"):
        put_in_place(tmp_path / "file" / "sheet.pdf", b"content")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_read_only_folder_is_left_as_it_is(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(CoachbookError, match="cannot be written"):
        put_in_place(tmp_path / "sheet.pdf", b"content")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("step", ["write_bytes", "replace"])
def test_a_full_disk_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    old = tmp_path / "sheet.pdf"
    old.write_bytes(b"old")

    def fail(self: Path, *_: object) -> None:
        with self.open("wb") as half:
            half.write(b"half")
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, step, fail)
    with pytest.raises(CoachbookError, match="No space left on device"):
        put_in_place(old, b"new")
    assert [file.read_bytes() for file in tmp_path.iterdir()] == [b"old"]


def test_an_old_file_is_replaced(tmp_path: Path) -> None:
    put_in_place(tmp_path / "sheet.pdf", b"old")
    put_in_place(tmp_path / "sheet.pdf", b"new")
    assert [file.read_bytes() for file in tmp_path.iterdir()] == [b"new"]


def test_a_database_is_never_written_over(tmp_path: Path) -> None:
    book = tmp_path / "club.book"
    with closing(sqlite3.connect(book)) as made, made:
        made.execute("CREATE TABLE club (name TEXT)")
    before = book.read_bytes()
    with pytest.raises(CoachbookError, match="is a database"):
        put_in_place(book, b"%PDF")
    assert book.read_bytes() == before
    assert list(tmp_path.iterdir()) == [book]


def test_a_new_file_is_for_its_owner_alone(tmp_path: Path) -> None:
    put_in_place(tmp_path / "sheet.pdf", b"content")
    assert (tmp_path / "sheet.pdf").stat().st_mode & 0o777 == 0o600


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="there are no pipes with a name")
def test_what_is_no_file_is_left_as_it_is(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    with pytest.raises(CoachbookError, match="is not a file"):
        put_in_place(pipe, b"content")
    assert pipe.is_fifo()


def test_what_sqlite_keeps_beside_a_database_is_not_written(tmp_path: Path) -> None:
    with closing(sqlite3.connect(tmp_path / "club.book")) as made, made:
        made.execute("CREATE TABLE club (name TEXT)")
    with pytest.raises(CoachbookError, match=r"belongs to club\.book"):
        put_in_place(tmp_path / "club.book-wal", b"content")
    assert not (tmp_path / "club.book-wal").exists()


def test_two_files_never_go_to_one_place(tmp_path: Path) -> None:
    check_places((tmp_path / "one", tmp_path / "two"))
    with pytest.raises(CoachbookError, match="named for two files"):
        check_places((tmp_path / "one", tmp_path / "." / "x" / ".." / "one"))
