"""Tables are shown with their mistakes first, and kept whole or not at all."""

import tempfile
from pathlib import Path
from uuid import uuid4

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.workflows.evening_grid import CellMark, evening_rows
from coachbook.workflows.evening_log import list_log
from tests.desk.conftest import ADDRESS, Browser, words
from tests.workflows.foxes import START

HERE = "/settings/tables"
ANSWERS = "student,item,answer\nAna,1,-\nBo,2,\N{CHECK MARK}\n"
ATTENDANCE = f"date,student,present\n{START},Ana,yes\n{START},Bo,no\n"


def read(coach: Browser, kind: str, table: str | bytes, status: int = 200, **form: str) -> Response:
    """The page that shows what is in a table, and its address."""
    answer = coach.client.post(
        f"{HERE}/read/{kind}",
        data={"touch": str(uuid4()), **form},
        files={"table": ("an evening.csv", table, "text/csv")},
        headers={"origin": ADDRESS},
    )
    answer = coach.wait_for_work(answer)
    assert answer.status_code == status, answer.text
    return answer


def entries(book: Book) -> int:
    return len(list_log(book, 100))


def test_answers_are_marked_and_shown_and_nothing_is_kept(coach: Browser, foxes: Book) -> None:
    before = entries(foxes)
    page = words(read(coach, "answers", ANSWERS).text)
    assert "What is in an evening.csv" in page
    assert "Thu 10 Sept 2026" in page
    assert "Bo 1 of 1" in page
    assert entries(foxes) == before


def test_what_was_shown_is_kept_once(coach: Browser, foxes: Book) -> None:
    before = entries(foxes)
    path = read(coach, "answers", ANSWERS).url.path
    for _ in range(2):
        assert "In the log: " in words(coach.wait_for_work(coach.post(path)).text)
    assert entries(foxes) == before + 1
    ana, bo = evening_rows(foxes, 1, START)
    assert (ana.cells[0].mark, bo.cells[1].mark) == (CellMark.BLANK, CellMark.RIGHT)


def test_attendance_is_shown_and_kept(coach: Browser, foxes: Book) -> None:
    answer = read(coach, "attendance", ATTENDANCE)
    assert "Ana Thu 10 Sept 2026 yes Bo Thu 10 Sept 2026 no" in words(answer.text)
    coach.wait_for_work(coach.post(answer.url.path))
    seen = [row.attendance for row in evening_rows(foxes, 1, START)]
    assert [each is not None and each.present for each in seen] == [True, False]


def test_each_mistake_is_told_with_its_line_and_none_is_kept(coach: Browser, foxes: Book) -> None:
    before = entries(foxes)
    answer = read(coach, "answers", "student,item,answer\nAna,1,x\n<b>Cy</b>,1,x\nBo,first,x\n")
    page = words(answer.text)
    assert "line 3: " in page and "is not an item number." in page
    assert "&lt;b&gt;Cy" in answer.text
    assert "Keep all of it" not in page
    coach.wait_for_work(coach.post(answer.url.path))
    assert entries(foxes) == before


def test_a_day_without_an_evening_is_doubted_until_it_is_meant(coach: Browser) -> None:
    table = "date,student,present\n2026-09-09,Ana,yes\n"
    answer = read(coach, "attendance", table)
    assert "The days are meant as they stand" in answer.text
    answer = coach.wait_for_work(coach.post(f"{answer.url.path}/sure"))
    assert "Wed 9 Sept 2026" in answer.text
    assert "Keep all of it" in answer.text
    assert "Keep all of it" in read(coach, "attendance", table, sure="1").text


@pytest.mark.parametrize(
    "table", [b"", b"\x00\xff\x00", b"name\n", b"a" * 6_000_000, b'student,item\n"', b"\n" * 9]
)
@pytest.mark.parametrize("kind", ["answers", "attendance"])
def test_what_is_no_table_is_refused_in_words(coach: Browser, foxes: Book, kind: str, table: bytes) -> None:
    before = entries(foxes)
    answer = coach.wait_for_work(
        coach.client.post(
            f"{HERE}/read/{kind}",
            data={"touch": str(uuid4())},
            files={"table": ("t.csv", table)},
            headers={"origin": ADDRESS},
        )
    )
    assert "Nothing can be kept yet" in answer.text or "Not done" in answer.text
    assert entries(foxes) == before


def test_a_table_of_a_head_alone_has_nothing_to_keep(coach: Browser) -> None:
    assert "There is nothing to log." in read(coach, "attendance", "date,student,present\n", 422).text
    page = read(coach, "answers", "student,item,answer\n").text
    assert "It has no lines" in page
    assert "Keep all of it" not in page


def test_an_upload_leaves_nothing_behind(
    coach: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "temporary").mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "temporary"))
    coach.wait_for_work(coach.post(read(coach, "answers", ANSWERS).url.path))
    read(coach, "answers", b"\xff")
    assert list((tmp_path / "temporary").iterdir()) == []


def test_a_form_without_a_table_is_refused(coach: Browser) -> None:
    assert "No file came" in coach.post(f"{HERE}/read/answers", 422).text
    assert "Not done" in read(coach, "games", ANSWERS, 422).text


def test_answers_are_written_as_a_table_that_can_be_read_again(coach: Browser) -> None:
    coach.wait_for_work(coach.post(read(coach, "answers", ANSWERS).url.path))
    for form in ({}, {"group": "1"}, {"since": "2026-09-10", "until": "2026-09-10"}):
        answer = coach.send(f"{HERE}/export", form)
        assert answer.headers["content-disposition"].startswith("attachment")
        assert "Ana," in answer.text and "Bo," in answer.text
    assert "Bo," not in coach.post(f"{HERE}/export", since="2026-09-11").text
    assert "Keep all of it" in read(coach, "answers", coach.post(f"{HERE}/export").content).text


@pytest.mark.parametrize("form", [{"group": "99"}, {"group": "x"}, {"since": "31 Feb"}, {"until": "<b>"}])
def test_an_export_that_cannot_be_is_refused_in_words(coach: Browser, form: dict[str, str]) -> None:
    assert "Not done" in coach.send(f"{HERE}/export", form, 422).text


def test_a_tablet_reads_and_writes_no_table(helper: Browser) -> None:
    helper.get(HERE, 403)
    helper.post(f"{HERE}/export", 403)
    helper.post(f"{HERE}/read/answers", 403)
