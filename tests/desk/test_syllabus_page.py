"""The syllabus: every unit has its page, its lines are walked through by links, and examples are fresh."""

import re

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.model.settings import ClubSettings
from coachbook.model.syllabus import Unit
from coachbook.workflows.club_settings import keep_settings
from coachbook.workflows.evening_log import list_log
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import SYLLABUS

BOX = "/syllabus/queen-box"


def made(coach: Browser, path: str) -> Response:
    return coach.wait_for_work(coach.client.get(path))


def test_the_levels_stand_by_title_with_their_units(coach: Browser) -> None:
    page = coach.get("/syllabus")
    for level in SYLLABUS.levels:
        assert f"<h2>{level.title.replace(chr(39), '&#39;')}</h2>" in page
    assert [f"/syllabus/{unit.code}" for unit in SYLLABUS.units] == re.findall(
        r'href="(/syllabus/[\w-]+)"', page
    )


@pytest.mark.full
@pytest.mark.parametrize("unit", SYLLABUS.units, ids=lambda unit: str(unit.code))
def test_every_unit_has_a_page_and_its_links_lead_somewhere(coach: Browser, unit: Unit) -> None:
    page = coach.get(f"/syllabus/{unit.code}")
    assert len(re.findall(f'href="/syllabus/{unit.code}/example/', page)) == len(unit.kinds)
    for line in range(1, len(unit.shows) + 1):
        assert f'href="/syllabus/{unit.code}/show/{line}/0"' in page
        coach.get(f"/syllabus/{unit.code}/show/{line}/0")
    assert page.count('class="board"') == sum(
        (len(unit.shows), len(unit.play_outs), sum(bool(each.fen) for each in unit.questions))
    )


def test_a_unit_says_what_its_lesson_says(coach: Browser) -> None:
    page = words(coach.get(BOX))
    for heading in ("Say", "Show", "Ask", "The rules", "What goes wrong", "Play out", "Exercises"):
        assert f" {heading} " in page
    assert "mate within 16 moves" in page
    assert "Secure after 2 evenings" in page


def test_a_line_is_walked_through_by_its_links(coach: Browser) -> None:
    path, seen = f"{BOX}/show/1/0", list[str]()
    while path:
        page = coach.get(path)
        seen.append(path)
        link = re.search(r'rel="next" href="([^"]+)"', page)
        path = link[1] if link else ""
    assert len(seen) == len(SYLLABUS.unit("queen-box").shows[0].line) + 1
    assert "At the end: it is mate." in words(page)
    assert f'rel="prev" href="{seen[-2]}"' in page
    assert 'rel="prev"' not in coach.get(seen[0])


def test_a_move_is_shown_with_its_sentence_and_its_marks(coach: Browser) -> None:
    page = coach.get(f"{BOX}/show/1/1")
    assert "1. Qc5" in words(page)
    assert "Yes: the box goes from 16 squares to 15." in words(page)
    assert "<polygon" in page  # the arrow of the move


def test_the_rules_have_pictures(coach: Browser) -> None:
    page = made(coach, "/syllabus/king-and-pawn/rules").text
    assert page.count('class="board"') >= 10
    assert "How we know" in page


@pytest.mark.parametrize("kind", [use.kind for use in SYLLABUS.unit("queen-box").kinds])
def test_an_example_has_its_answer_to_be_opened(coach: Browser, kind: str) -> None:
    page = made(coach, f"{BOX}/example/{kind}?seed=7").text
    assert "<details>\n<summary>Show the answer</summary>" in page
    assert page.count('class="board"') == 2
    assert f'href="{BOX}/example/{kind}?seed=8"' in page


def test_an_example_is_kept_nowhere(coach: Browser, foxes: Book) -> None:
    before = foxes.path.read_bytes()
    assert (
        made(coach, f"{BOX}/example/mate_in_two").text
        != made(coach, f"{BOX}/example/mate_in_two?seed=2").text
    )
    assert foxes.path.read_bytes() == before
    assert len(list_log(foxes, 10)) == 1  # the plan of the term


def test_moves_have_the_clubs_letters(coach: Browser, foxes: Book) -> None:
    assert " Q" in words(made(coach, f"{BOX}/rules").text)
    keep_settings(foxes, ClubSettings(letters="KDTLS"))
    assert "1. Dc5" in words(coach.get(f"{BOX}/show/1/1"))
    assert " D" in words(made(coach, f"{BOX}/rules").text)


def test_the_syllabus_is_read_without_a_club_too(newcomer: Browser) -> None:
    newcomer.get("/syllabus")
    newcomer.get(BOX)
    newcomer.get(f"{BOX}/show/1/1")


@pytest.mark.parametrize(
    "path",
    [
        "/syllabus/no-such-unit",
        f"{BOX}/show/1/99",
        f"{BOX}/show/0/0",
        f"{BOX}/show/9/0",
        f"{BOX}/example/no_such_kind",
        f"{BOX}/example/next_rule?seed=x",
        f"{BOX}/example/next_rule?seed=²",
        f"{BOX}/example/next_rule?seed=9999999999",
        "/syllabus/mate-in-one/rules",
    ],
)
def test_what_is_not_there_is_refused_in_words(coach: Browser, path: str) -> None:
    answer = made(coach, path)
    assert answer.status_code == 422
    assert "Not done" in answer.text


@pytest.mark.parametrize(
    "path", ["/syllabus", BOX, f"{BOX}/show/1/0", f"{BOX}/rules", f"{BOX}/example/next_rule"]
)
def test_a_helpers_tablet_has_no_syllabus(helper: Browser, path: str) -> None:
    helper.get(path, status=403)
