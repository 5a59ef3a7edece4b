"""The club's own ways: what would change is shown before it is kept."""

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from coachbook.club.book import Book, open_book
from coachbook.model.settings import ClubSettings, DateStyle
from coachbook.workflows.club_settings import keep_settings
from tests.desk.conftest import ADDRESS, Browser, words

USUAL = {
    "club": "Hill Street",
    "paper": "A4",
    "notation": "figurine",
    "letters": "",
    "folder": "",
    "dates": "usual",
}


def chosen(coach: Browser, **ways: str) -> tuple[str, str]:
    """The page that shows what would change, and its address."""
    answer = coach.send("/settings", USUAL | ways)
    return words(answer.text), answer.url.path


def test_the_page_names_the_club_and_shows_its_ways(coach: Browser, foxes: Book) -> None:
    keep_settings(foxes, ClubSettings(letters="KDTLS", dates=DateStyle.DAY_FIRST))
    page = coach.get("/settings")
    assert "Settings of Hill Street" in page
    assert 'value="KDTLS"' in page
    assert '<option value="day-first" selected>' in page


def test_what_would_change_is_shown_and_kept_only_then(coach: Browser, foxes: Book) -> None:
    page, path = chosen(coach, paper="Letter", dates="month-first")
    assert "Paper A4 Letter" in page
    assert "Jan 12, 2027" in page
    assert "Folder" not in page
    assert open_book(foxes.path).settings == ClubSettings()
    coach.post(path)
    kept = open_book(foxes.path).settings
    assert (kept.paper.value, kept.dates) == ("Letter", DateStyle.MONTH_FIRST)
    assert '<option value="Letter" selected>' in coach.get("/settings")


def test_a_new_name_is_shown_and_kept_only_then(coach: Browser, foxes: Book) -> None:
    page, path = chosen(coach, club="  Mill <b> Road ")
    assert "Name Hill Street Mill &lt;b&gt; Road" in page
    assert open_book(foxes.path).club_name == "Hill Street"
    coach.post(path)
    assert open_book(foxes.path).club_name == "Mill <b> Road"
    assert "Settings of Mill &lt;b&gt; Road" in coach.get("/settings")
    assert "Mill &lt;b&gt; Road" in coach.get("/groups")


def test_a_refused_name_can_be_copied_from_the_page(coach: Browser) -> None:
    assert "x" * 61 in coach.send("/settings", USUAL | {"club": "x" * 61}, 422).text


def test_nothing_new_is_told_as_nothing(coach: Browser) -> None:
    assert "Nothing: all is as it was" in chosen(coach)[0]


def test_letters_are_shown_man_by_man_before_they_are_kept(coach: Browser, foxes: Book) -> None:
    page, path = chosen(coach, letters="kdtls")
    assert "king K queen D rook T bishop L knight S" in page
    assert "Papers still have little pieces" in page
    coach.post(path)
    assert open_book(foxes.path).letters == "KDTLS"


def test_letters_in_a_strange_order_are_doubted(coach: Browser) -> None:
    assert "Did you mean KDTLS?" in chosen(coach, letters="DKTLS")[0]
    assert "R means the king" in chosen(coach, letters="RDTFC")[0]


def test_a_folder_is_shown_with_its_whole_path(coach: Browser, foxes: Book, tmp_path: Path) -> None:
    page, path = chosen(coach, folder=f"{tmp_path}/<b>papers")
    assert f"{tmp_path}/&lt;b&gt;papers" in page
    coach.post(path)
    assert open_book(foxes.path).settings.folder == f"{tmp_path}/<b>papers"


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("club", ""),
        ("club", " . "),
        ("club", "x" * 61),
        ("club", "a\x00b"),
        ("paper", "A5"),
        ("notation", ""),
        ("dates", "tomorrow"),
        ("letters", "KD"),
        ("letters", "KKKKK"),
        ("folder", "x" * 900),
        ("folder", "a\x00b"),
        ("folder", "~no-such-user/x"),
    ],
)
def test_what_cannot_be_is_refused_in_words(coach: Browser, name: str, value: str) -> None:
    assert "Not done" in coach.send("/settings", USUAL | {name: value}, 422).text


def test_a_change_that_was_never_shown_is_not_kept(coach: Browser) -> None:
    for path in ("/settings/change/0123456789abcdef", "/settings/change/x"):
        coach.get(path, 422)
        coach.post(path, 422)


def test_a_link_lets_another_browser_of_the_laptop_in_once(coach: Browser) -> None:
    assert "/enter/" not in coach.get("/settings")
    page = coach.post("/settings/browser").text
    link = page.partition(f'value="{ADDRESS}')[2].partition('"')[0]
    other = TestClient(coach.client.app, base_url=ADDRESS)
    assert "Ana" in other.get(link).text
    assert "Settings of" in other.get("/settings").text
    assert TestClient(coach.client.app, base_url=ADDRESS).get(link).status_code == 403
    assert "/enter/" not in coach.get("/settings")


def test_a_helper_sees_no_settings(helper: Browser) -> None:
    helper.get("/settings", 403)
    helper.post("/settings/browser", 403)
