"""What is typed and not kept lies in one private file, whole or not at all."""

import errno
import json
import os
import stat
from datetime import date
from pathlib import Path

import pytest

from coachbook.club.draft import DraftLine, Typed, draft_file, drop_draft, read_draft, write_draft
from coachbook.errors import CoachbookError

DAY = date(2027, 1, 12)
ANSWERS = DraftLine(Typed.ANSWERS, DAY, "QB-4K7M2", "Łucja", ((1, "Qe5"), (3, "")))
ABSENT = DraftLine(Typed.ABSENT, DAY, "Owls", text="Ana, Bo")
NOTE = DraftLine(Typed.NOTE, DAY, "Owls", "Ana", text="Ana, queen-box+: sees it")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "club.book"


def test_what_was_written_is_read_again_in_order(book: Path) -> None:
    assert read_draft(book) == ()
    write_draft(book, [ANSWERS, ABSENT, NOTE])
    assert read_draft(book) == (ANSWERS, ABSENT, NOTE)
    write_draft(book, [NOTE])
    assert read_draft(book) == (NOTE,)


def test_only_its_owner_may_read_it_and_nothing_unfinished_lies_beside_it(book: Path) -> None:
    write_draft(book, [ANSWERS])
    assert stat.S_IMODE(draft_file(book).stat().st_mode) == 0o600
    assert [path.name for path in book.parent.iterdir()] == ["club.book.typed"]


def test_without_a_line_there_is_no_draft(book: Path) -> None:
    write_draft(book, [ANSWERS])
    write_draft(book, [])
    assert list(book.parent.iterdir()) == []


def test_dropping_it_takes_what_a_killed_program_left_of_one_too(book: Path) -> None:
    assert not drop_draft(book)
    write_draft(book, [ANSWERS])
    (book.parent / ".club.book.typed.4711.part").write_text("Ana", encoding="utf-8")
    assert drop_draft(book)
    assert list(book.parent.iterdir()) == []


def test_a_later_line_about_the_same_has_the_same_key() -> None:
    assert DraftLine(Typed.ANSWERS, DAY, "QB-4K7M2", "Łucja", ((1, "Qe6"),)).key == ANSWERS.key
    assert DraftLine(Typed.ABSENT, DAY, "Owls", text="Bo").key == ABSENT.key
    assert DraftLine(Typed.NOTE, DAY, "Owls", "Ana", text="Ana, queen-box: helps").key != NOTE.key


def test_a_full_disk_leaves_the_draft_as_it_was_and_is_told(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_draft(book, [ANSWERS])

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(CoachbookError, match="No space left on device"):
        write_draft(book, [ANSWERS, NOTE])
    assert read_draft(book) == (ANSWERS,)
    assert [path.name for path in book.parent.iterdir()] == ["club.book.typed"]


@pytest.mark.parametrize(
    "content",
    [
        *(b"", b"\xff", b"[]", b"{}", b'{"form": 2, "lines": []}', b'{"form": 1, "lines": [{}]}'),
        json.dumps({"form": 1, "lines": [{"what": "poem"}]}).encode(),
        b'{"form": 1, "lines": [{"what": "note", "on": "x", "about": "", "student": "", "written": {},'
        b' "text": ""}]}',
        b'{"form": 1, "lines": [{"what": "note", "on": "2027-01-12", "about": 1, "student": "",'
        b' "written": {}, "text": ""}]}',
        b"[" * 100_000,
    ],
)
def test_a_draft_that_cannot_be_read_is_told_and_stays(book: Path, content: bytes) -> None:
    draft_file(book).write_bytes(content)
    with pytest.raises(CoachbookError, match="cannot be read") as told:
        read_draft(book)
    assert str(draft_file(book)) in told.value.message
    assert draft_file(book).read_bytes() == content
