"""The book's own backups in a list, and a copy of the book to take along."""

import tempfile
from pathlib import Path

import pytest

from coachbook.club.book import Book, open_book
from coachbook.errors import CoachbookError
from coachbook.workflows.care import backups_of, copy_of_book, make_backup, safe_first
from coachbook.workflows.members import students_of
from tests.workflows.foxes import NOW


def test_the_newest_backup_comes_first_with_why_it_was_made(foxes: Book) -> None:
    make_backup(foxes, None, NOW)
    safe_first(foxes, "remove", NOW.replace(year=NOW.year + 1))
    found = backups_of(foxes.path)
    assert [each.why for each in found] == ["before-remove", ""]
    assert [each.counts.students for each in found if each.counts] == [2, 2]
    assert found[1].made == NOW.astimezone().replace(tzinfo=None)


def test_a_backup_that_cannot_be_read_has_no_counts(foxes: Book) -> None:
    make_backup(foxes, None, NOW).path.write_bytes(b"torn")
    (found,) = backups_of(foxes.path)
    assert found.counts is None


def test_no_book_has_no_backups(tmp_path: Path) -> None:
    assert backups_of(tmp_path / "none" / "club.book") == ()
    assert backups_of(tmp_path / "club.book") == ()


def test_a_copy_is_whole_and_leaves_nothing_behind(
    foxes: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(place))
    (tmp_path / "copy.book").write_bytes(copy_of_book(foxes))
    assert list(place.iterdir()) == []
    assert students_of(open_book(tmp_path / "copy.book")) == students_of(foxes)


def test_there_is_no_copy_of_a_damaged_book(foxes: Book) -> None:
    foxes.path.write_bytes(foxes.path.read_bytes()[:5000])
    with pytest.raises(CoachbookError):
        copy_of_book(foxes)
