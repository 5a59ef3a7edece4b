"""Where names are typed or pasted, the desk says which of their letters papers cannot have; no name is
refused."""

import pytest

from coachbook.club.book import Book
from tests.desk.conftest import Browser, words

LETTERS = "\u05e9\u05dc"
NAME = f"{LETTERS} Ana"
TOLD = "No font of coachbook&#39;s has \u05e9 \u05dc: on paper a question mark stands for each."


def test_names_that_papers_have_all_letters_of_are_told_nothing_about(coach: Browser) -> None:
    for path in ("/groups", "/groups/1", "/student/1", "/settings"):
        assert "question mark" not in coach.get(path)
    assert (
        "question mark"
        not in coach.post("/groups/paste", names="Owls:\nZo\u00eb\n\u0416\u0435\u043d\u044f").text
    )


def test_a_pasted_list_says_which_letters_papers_lack_and_is_added_all_the_same(coach: Browser) -> None:
    seen = coach.post("/groups/paste", names=f"Owls:\n{NAME}").text
    assert seen.count(TOLD) == 1
    coach.post("/groups/paste/keep", names=f"Owls:\n{NAME}")
    assert TOLD in coach.get("/groups/2")
    assert NAME in words(coach.get("/groups/2"))


def test_a_table_says_it_before_it_is_added(coach: Browser) -> None:
    answer = coach.client.post(
        "/groups/import",
        data={},
        files={"table": ("names.csv", f"name,group\n{NAME},Foxes\n".encode(), "text/csv")},
        headers={"origin": coach.desk.address},
    )
    assert TOLD in answer.text


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("/groups", {"name": NAME}),
        ("/groups/1/students", {"names": NAME}),
        ("/groups/1/rename", {"name": NAME}),
        ("/student/1/rename", {"name": NAME}),
    ],
)
def test_the_page_that_shows_a_name_that_was_typed_says_it(
    coach: Browser, path: str, form: dict[str, str]
) -> None:
    page = coach.wait_for_work(coach.send(path, form))
    assert TOLD in page.text


def test_a_new_name_of_the_club_says_it_before_and_after_it_is_kept(coach: Browser, foxes: Book) -> None:
    ways = {"paper": "A4", "notation": "figurine", "letters": "", "folder": "", "dates": "usual"}
    seen = coach.send("/settings", ways | {"club": NAME})
    assert TOLD in seen.text
    assert TOLD in coach.post(seen.url.path).text
    assert foxes.club_name == "Hill Street"


def test_a_new_club_is_told_too(newcomer: Browser) -> None:
    assert TOLD in newcomer.post("/begin/club", name=NAME).text
