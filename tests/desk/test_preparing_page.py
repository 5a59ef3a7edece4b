"""The pages before an evening: what is asked, the two files, and what they took."""

import re

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.workflows.planning import TermWish, plan_terms
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START, SYLLABUS, week

NEXT = f"/evening/{week(1)}"


def made(coach: Browser, *, boards: str = "6", **ticked: str) -> str:
    answer = coach.post(f"{NEXT}/prepare", status=200, group="1", boards=boards, **ticked)
    return coach.wait_for_work(answer).text


def test_the_evening_leads_to_the_form_with_its_groups_ticked(coach: Browser) -> None:
    assert f'href="/evening/{START}/prepare"' in coach.get(f"/evening/{START}/1")
    page = coach.get(f"{NEXT}/prepare")
    assert re.search(r'name="group" value="1" checked> Foxes', page)
    assert "Papers for Thu 17 Sept 2026" in words(page)


def test_the_form_says_who_has_papers(coach: Browser) -> None:
    assert "(has papers already)" not in words(coach.get(f"{NEXT}/prepare"))
    assert "Foxes (has papers already)" in words(coach.get(f"/evening/{START}/prepare"))


def test_the_papers_are_made_beside_the_book_and_open_in_the_browser(coach: Browser, foxes: Book) -> None:
    page = made(coach)
    assert "For Foxes." in words(page)
    links = re.findall(r'href="(/made/\w+/pdf)"', page)
    folder = foxes.path.parent / f"evening-{week(1)}"
    for link, name in zip(links, ("print.pdf", "coach.pdf"), strict=True):
        answer = coach.client.get(link)
        assert answer.content == (folder / name).read_bytes()
        assert answer.headers["content-disposition"] == f'inline; filename="{name}"'


def test_what_would_take_less_paper_leads_to_the_form_with_it_chosen(coach: Browser) -> None:
    page = made(coach, boards="4", large="1")
    assert re.search(r"\d+ leaves of paper, \d+ pages", words(page))
    link = re.search(r'href="([^"]*)">\d+ leaves with both sides printed', page)
    assert link is not None
    form = coach.get(link[1].replace("&amp;", "&"))
    assert 'name="two_sides" value="1" checked' in form
    assert 'name="large" value="1" checked' in form
    assert '<option value="4" selected>' in form
    assert 'name="two_up" value="1">' in form


def test_how_leaves_with_two_pages_are_cut_is_told(coach: Browser) -> None:
    assert "cut the leaves" not in made(coach, two_up="1")
    assert "cut the leaves" in made(coach, two_up="1", two_sides="1")


def test_papers_that_are_made_again_say_what_has_changed(coach: Browser, foxes: Book) -> None:
    made(coach)
    assert "Nothing has changed since these papers were made." in words(made(coach))
    assert "printed again" in words(made(coach, large="1"))
    with foxes.writing() as page:
        add_student(page, "<Cy>", ["Foxes"])
    told = made(coach)
    assert "Changed since these papers were made" in told
    assert "&lt;Cy&gt; is new: sheet" in told


def test_the_papers_stay_to_be_seen_when_the_desk_was_started_anew(coach: Browser) -> None:
    made(coach)
    coach.desk.outcomes.keep(f"{NEXT}/papers", None)
    page = words(coach.get(f"{NEXT}/papers"))
    assert "For the printer For you" in page
    assert "leaves" not in page


def test_the_papers_of_some_groups_stand_beside_those_of_all_those_just_made_first(
    coach: Browser, foxes: Book
) -> None:
    with foxes.writing() as page:
        add_student(page, "Cy", [add_group(page, "Owls").name])
    plan_terms(foxes, SYLLABUS, ("Owls",), TermWish(START, week(1), weekdays=(3,), minutes=60))
    for groups, order in (
        (["1"], ["Foxes"]),
        (["2"], ["Owls", "Foxes"]),
        (["1", "2"], ["All groups", "Foxes", "Owls"]),
    ):
        made = coach.wait_for_work(coach.send(f"{NEXT}/prepare", {"group": groups, "boards": "6"})).text
        assert re.findall("<h2>(All groups|Foxes|Owls)</h2>", made) == order
        assert len(re.findall(r'href="/made/', made)) == 2 * len(order)


def test_an_evening_without_papers_says_so(coach: Browser) -> None:
    page = words(coach.get(f"/evening/{week(2)}/papers"))
    assert "There are no papers for this evening" in page
    assert "Not closed yet: Thu 10 Sept 2026" in page


@pytest.mark.parametrize(
    ("form", "told"),
    [
        ({"boards": "5"}, "There is no page of 5 boards."),
        ({"boards": "many"}, "no number"),
        ({"large": "1", "two_up": "1"}, "Large print is not large"),
        ({"group": []}, "No group is chosen."),
        ({"group": "x"}, "no number"),
        ({"group": "99"}, "This group is no longer in the book."),
    ],
)
def test_what_cannot_be_had_is_refused_in_words(coach: Browser, form: dict[str, object], told: str) -> None:
    answer = coach.client.post(
        f"{NEXT}/prepare",
        data={"group": "1", "boards": "6", **form},
        headers={"origin": coach.desk.address},
    )
    answer = coach.wait_for_work(answer)
    assert answer.status_code == 422
    assert told in words(answer.text)


@pytest.mark.parametrize("path", ["/evening/2026-09-11/prepare", "/evening/2026-09-11/papers"])
def test_a_day_without_an_evening_is_refused_in_words(coach: Browser, path: str) -> None:
    page = words(coach.get(path, status=422))
    assert "No evening is planned on Fri 11 Sept 2026. The next one is Thu 17 Sept 2026." in page


def test_a_day_that_is_none_is_refused(coach: Browser) -> None:
    assert "Not done" in coach.get("/evening/soon/prepare", status=422)


def test_papers_are_the_coachs_to_make(helper: Browser) -> None:
    helper.get(f"{NEXT}/prepare", status=403)
    helper.get(f"{NEXT}/papers", status=403)
    helper.post(f"{NEXT}/prepare", status=403, group="1", boards="6")
