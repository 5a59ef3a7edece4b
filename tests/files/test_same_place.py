"""Threads that write the same place at once: each leaves a whole file, and nothing beside it."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path
from threading import Barrier

import pytest

from coachbook.club.draft import DraftLine, Typed, draft_file, read_draft, write_draft
from coachbook.files.unfinished import new_mark, unfinished_file, unfinished_folder, written_beside
from coachbook.files.writing import put_in_place

AT_ONCE = 8
LONG = 50_000

pytestmark = pytest.mark.usefixtures("cache")


@pytest.fixture
def place(tmp_path: Path) -> Path:
    folder = tmp_path / "place"
    folder.mkdir()
    return folder / "club.book"


def at_once(write: Callable[[int], None]) -> None:
    """Lets threads begin together, each with a number."""
    begin = Barrier(AT_ONCE)

    def wait_and_write(number: int) -> None:
        begin.wait()
        for _ in range(5):
            write(number)

    with ThreadPoolExecutor(AT_ONCE) as threads:
        for done in [threads.submit(wait_and_write, number) for number in range(AT_ONCE)]:
            done.result()


def test_papers_of_one_name_are_each_whole(place: Path, cache: Path) -> None:
    at_once(lambda number: put_in_place(place, str(number).encode() * LONG))
    content = place.read_text()
    assert content == content[0] * LONG
    assert list(place.parent.iterdir()) == [place]
    assert list((cache / "unfinished").iterdir()) == []


def test_drafts_of_one_book_are_each_whole(place: Path, cache: Path) -> None:
    def write(number: int) -> None:
        line = DraftLine(Typed.NOTE, date(2027, 1, 12), "Owls", "Ana", text=str(number) * LONG)
        write_draft(place, [line])

    at_once(write)
    (kept,) = read_draft(place)
    assert kept.text == kept.text[0] * LONG
    assert list(place.parent.iterdir()) == [draft_file(place)]
    assert list((cache / "unfinished").iterdir()) == []


def test_each_is_at_work_on_a_file_and_a_folder_of_its_own(place: Path) -> None:
    together = Barrier(AT_ONCE)

    def work(number: int) -> str:
        with (
            written_beside(place) as aside,
            unfinished_file(place.parent) as file,
            unfinished_folder(place.parent) as folder,
        ):
            for path in (aside, file, folder / "page"):
                path.write_text(str(number))
            together.wait()
            read = {path.read_text() for path in (aside, file, folder / "page")}
            together.wait()
        return ",".join(read)

    with ThreadPoolExecutor(AT_ONCE) as threads:
        assert list(threads.map(work, range(AT_ONCE))) == [str(number) for number in range(AT_ONCE)]
    assert list(place.parent.iterdir()) == []


def test_no_two_marks_are_the_same() -> None:
    assert len({new_mark() for _ in range(100)}) == 100
