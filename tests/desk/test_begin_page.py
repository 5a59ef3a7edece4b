"""From an empty folder to tonight's page: the club's name, its groups and students, the first term."""

from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.workflows.members import groups_of, open_club, students_of
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START, week

LIST = "Foxes:\nAna\nBen\n\nOwls:\nCy"


def path_of(browser: Browser) -> Path:
    assert browser.desk.book is not None
    return browser.desk.book


def book_of(browser: Browser) -> Book:
    return open_club(path_of(browser))


def test_without_a_book_the_first_page_asks_for_the_clubs_name(newcomer: Browser) -> None:
    page = words(newcomer.get("/"))
    assert "Step 1 of 3" in page
    assert "What is your club called?" in page


def test_a_name_makes_the_book_and_leads_to_the_groups(newcomer: Browser) -> None:
    page = words(newcomer.post("/begin/club", name="Hill Street").text)
    assert "Who is in Hill Street?" in page
    assert book_of(newcomer).club_name == "Hill Street"


@pytest.mark.parametrize("name", ["", "???", 61 * "x"])
def test_a_name_that_is_none_makes_no_book(newcomer: Browser, name: str) -> None:
    assert "Not done" in newcomer.post("/begin/club", status=422, name=name).text
    assert not path_of(newcomer).exists()


def test_a_list_is_shown_before_it_is_kept(newcomer: Browser) -> None:
    newcomer.post("/begin/club", name="Hill Street")
    page = words(newcomer.post("/groups/paste", names=LIST).text)
    assert "3 students in 2 groups would be added" in page
    assert "Ana and Ben" in page
    assert groups_of(book_of(newcomer)) == ()


def test_a_list_with_a_mistake_says_which_line_and_adds_nothing(newcomer: Browser) -> None:
    newcomer.post("/begin/club", name="Hill Street")
    for path in ("/groups/paste", "/groups/paste/keep"):
        page = words(newcomer.post(path, status=422, names="Foxes:\nAna\nAna").text)
        assert "Line 3: Ana stands on line 2, too" in page
    assert students_of(book_of(newcomer)) == ()


def test_from_an_empty_folder_to_tonights_page_in_eight_touches(newcomer: Browser) -> None:
    """Four fields are filled, and four buttons pressed."""
    newcomer.post("/begin/club", name="Hill Street")
    newcomer.post("/groups/paste", names=LIST)
    form = newcomer.post("/groups/paste/keep", names=LIST)
    assert form.url.path == "/term/new"
    assert "Step 3 of 3" in form.text
    fields = {"from": START, "until": week(5), "weekday": "3", "minutes": "60", "group": ["1", "2"]}
    plan = newcomer.wait_for_work(newcomer.post("/term/new", status=200, **fields))
    tonight = newcomer.wait_for_work(newcomer.post(plan.url.path))
    assert tonight.url.path == "/"
    assert "Thu 10 Sept 2026" in tonight.text
    assert newcomer.client.get("/begin").url.path == "/"


def test_a_club_with_groups_gets_more_of_them_in_the_same_box(coach: Browser, foxes: Book) -> None:
    assert "Step" not in coach.get("/groups/paste")
    page = words(coach.post("/groups/paste", names="Foxes:\nCy\n\nDee\n\nFoxs:\nEd").text)
    assert "This group is there already." in page
    assert "No name stands above these students." in page
    assert "There is a group Foxes already." in page
    assert coach.post("/groups/paste/keep", names="Owls:\nCy").url.path == "/groups"
    assert [student.name for student in students_of(foxes, "Owls")] == ["Cy"]


def test_who_already_has_a_club_is_led_to_tonight(coach: Browser) -> None:
    assert coach.client.get("/begin").url.path == "/"


def test_a_book_is_never_written_over(coach: Browser, foxes: Book) -> None:
    coach.post("/begin/club", status=422, name="Other")
    assert open_club(foxes.path).club_name == "Hill Street"


def test_a_helpers_tablet_begins_nothing(helper: Browser, foxes: Book) -> None:
    helper.get("/begin", status=403)
    helper.post("/begin/club", status=403, name="Other")
    helper.post("/groups/paste/keep", status=403, names="Owls:\nCy")
    assert len(groups_of(foxes)) == 1
    with pytest.raises(CoachbookError, match="no group"):
        students_of(foxes, "Owls")
