"""Names are read out of a book at once: also while it is written, and never with an error."""

from datetime import UTC, datetime
from pathlib import Path

from coachbook.club.book import create_book
from coachbook.club.names_at_once import NameOf, names_at_once
from coachbook.club.students import add_group, add_student
from tests.cli.drive import everything_in


def test_names_are_those_that_are_kept(tmp_path: Path) -> None:
    book = create_book(tmp_path / "club.book", "Harbour Lane")
    with book.writing() as tx:
        add_group(tx, "Owls")
        add_student(tx, "Zoë", ["Owls"])
        add_student(tx, "Ana", [])
    assert names_at_once(book.path, NameOf.GROUP) == ("Owls",)
    assert names_at_once(book.path, NameOf.STUDENT) == ("Ana", "Zoë")
    assert names_at_once(book.path, NameOf.SHEET) == ()


def test_while_another_program_writes_what_was_kept_before_is_read(tmp_path: Path) -> None:
    book = create_book(tmp_path / "club.book", "Harbour Lane")
    with book.writing() as tx:
        add_student(tx, "Ana", [])
    with book.writing() as tx:
        add_student(tx, "Bo", [])
        assert names_at_once(book.path, NameOf.STUDENT) == ("Ana",)


def test_what_is_no_book_has_no_names_and_stays_as_it_is(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text(f"{datetime.now(UTC)}: no book\n" * 99, encoding="utf-8")
    before = everything_in(tmp_path)
    for path in (tmp_path, tmp_path / "notes.txt", tmp_path / "none.book", Path("\0")):
        assert names_at_once(path, NameOf.STUDENT) == ()
    assert everything_in(tmp_path) == before
