"""Another name, and erasing: texts that mention the student are asked about, and the name is typed."""

import re
from datetime import UTC, datetime

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.club.log import log_observation
from coachbook.model.facts import Observation
from coachbook.workflows.evening_grid import evening_rows
from coachbook.workflows.members import students_of
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START


def names(book: Book) -> list[str]:
    return [student.name for student in students_of(book)]


def noted(book: Book, text: str) -> None:
    """A note on Bo."""
    with book.writing() as tx:
        log_observation(tx, Observation("Bo", "", START, text), datetime(2026, 9, 10, 20, tzinfo=UTC))


def note_on_bo(book: Book) -> list[str]:
    return [each.note for row in evening_rows(book, 1, START) for each in row.notes]


def worked(coach: Browser, path: str, **form: object) -> Response:
    headers = {"origin": coach.desk.address}
    return coach.wait_for_work(coach.client.post(path, data=form, headers=headers))


def marks(page: str, name: str = "mark") -> list[str]:
    return re.findall(f'name="{name}" value="([^"]+)"', page)


def test_without_a_mention_the_name_changes_at_once(coach: Browser, foxes: Book) -> None:
    assert "<h1>Anna</h1>" in worked(coach, "/student/1/rename", name="Anna").text
    assert names(foxes) == ["Anna", "Bo"]


def test_a_text_that_mentions_the_name_is_asked_about_first(coach: Browser, foxes: Book) -> None:
    noted(foxes, "Helped Ana.")
    page = coach.post("/student/1/rename", name="Cleo").text
    assert "1 other text may mention Ana." in words(page)
    assert names(foxes) == ["Ana", "Bo"]
    worked(coach, "/student/1/rename/keep", name="Cleo", mark=marks(page))
    assert names(foxes) == ["Bo", "Cleo"]
    assert note_on_bo(foxes) == ["Helped Cleo."]


def test_a_text_that_is_not_ticked_stays_and_is_told(coach: Browser, foxes: Book) -> None:
    noted(foxes, "Helped Ana.")
    page = words(worked(coach, "/student/1/rename/keep", name="Cleo").text)
    assert "Cleo is renamed" in page
    assert "Left as they are, though they may mention the name" in page
    assert note_on_bo(foxes) == ["Helped Ana."]


def test_before_erasing_all_is_said(coach: Browser, foxes: Book) -> None:
    noted(foxes, "Helped Ana.")
    page = words(coach.get("/student/1/erase"))
    assert "This erases Ana, with" in page
    assert "You cannot take this back." in page
    assert "A note on Bo" in page
    assert "coachbook cannot reach these; please see to them yourself:" in page
    assert "Your club's safeguarding rules and your data-protection law decide" in page.replace("&#39;", "'")
    assert names(foxes) == ["Ana", "Bo"]


def test_with_the_name_typed_the_student_goes_and_the_ticked_texts_change(
    coach: Browser, foxes: Book
) -> None:
    noted(foxes, "Helped Ana.")
    page = coach.get("/student/1/erase")
    told = words(worked(coach, "/student/1/erase", name=" Ana ", mark=marks(page)).text)
    assert "went with the name" in told
    assert "1 other text changed" in told
    assert "safeguarding rules" in told
    assert names(foxes) == ["Bo"]
    assert note_on_bo(foxes) == ["Helped (erased)."]
    assert "no longer in the book" in coach.get("/student/1", status=422)


def test_a_note_on_another_student_can_go_as_a_whole(coach: Browser, foxes: Book) -> None:
    noted(foxes, "Helped Ana.")
    page = coach.get("/student/1/erase")
    worked(coach, "/student/1/erase", name="Ana", gone=marks(page, "gone"))
    assert note_on_bo(foxes) == []


@pytest.mark.parametrize("typed", ["", "ana", "Bo"])
def test_with_another_name_typed_nothing_is_erased(coach: Browser, foxes: Book, typed: str) -> None:
    assert "Nothing was changed." in coach.post("/student/1/erase", status=422, name=typed).text
    assert names(foxes) == ["Ana", "Bo"]


@pytest.mark.parametrize("name", ["", "Bo", "?"])
def test_a_name_that_cannot_be_is_refused(coach: Browser, foxes: Book, name: str) -> None:
    for path in ("/student/1/rename", "/student/1/rename/keep"):
        coach.post(path, status=422, name=name)
    assert names(foxes) == ["Ana", "Bo"]


def test_a_student_who_is_gone_is_told(coach: Browser) -> None:
    coach.get("/student/9/erase", status=422)
    coach.post("/student/9/erase", status=422, name="Ana")
    coach.post("/student/9/rename", status=422, name="Cy")
    coach.get("/rewritten/nothing", status=422)


def test_a_helpers_tablet_renames_and_erases_nobody(helper: Browser, foxes: Book) -> None:
    helper.get("/student/1/erase", status=403)
    helper.post("/student/1/erase", status=403, name="Ana")
    helper.post("/student/1/rename", status=403, name="Cy")
    assert names(foxes) == ["Ana", "Bo"]
