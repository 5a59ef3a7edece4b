"""A play-out typed in or made on the board: judged by its moves, and kept once."""

from uuid import uuid4

import pytest

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.model.facts import PlayOutEnd, PlayOutResult
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import START

CARD = f"/evening/{START}/1/play-out/1/PLAY-QUEEN-BOX-1"


def played(book: Book) -> list[PlayOutResult]:
    with book.reading() as tx:
        return play_outs(tx)


def test_a_play_out_shows_its_position_and_what_is_to_be_reached(coach: Browser) -> None:
    page = words(coach.get(CARD))
    assert "Ana: " in page
    assert "Mate within" in page


def test_how_it_ended_is_kept_and_shown(coach: Browser, foxes: Book) -> None:
    page = coach.post(CARD, told="stalemate").text
    (kept,) = played(foxes)
    assert (kept.student, kept.card, kept.end) == ("Ana", "PLAY-QUEEN-BOX-1", PlayOutEnd.STALEMATE)
    assert "Logged: stalemate" in words(page)


def test_where_time_ran_out_it_is_kept_and_does_not_count(coach: Browser, foxes: Book) -> None:
    page = coach.get(CARD)
    for button in ("gave up", "time ran out"):
        assert f'data-end="{button}"' in page
    page = coach.post(CARD, told="time ran out").text
    assert [(each.end, each.counts) for each in played(foxes)] == [(PlayOutEnd.STOPPED, False)]
    assert "Logged: stopped (does not count)" in words(page)


def test_the_same_play_out_sent_again_is_kept_once(coach: Browser, foxes: Book) -> None:
    touch = str(uuid4())
    for _ in range(2):
        coach.post(CARD, touch=touch, told="stalemate")
    assert len(played(foxes)) == 1


def test_a_play_out_put_in_place_of_the_last_takes_it_back(coach: Browser, foxes: Book) -> None:
    coach.post(CARD, told="stalemate")
    page = coach.post(CARD, told="gave up", which="instead").text
    assert [each.end for each in played(foxes)] == [PlayOutEnd.GAVE_UP]
    assert "Logged: gave up" in words(page)


def test_two_games_from_one_card_are_two(coach: Browser, foxes: Book) -> None:
    for _ in range(2):
        coach.post(CARD, told="stalemate")
    assert len(played(foxes)) == 2


def test_moves_are_judged_before_they_are_kept(coach: Browser, foxes: Book) -> None:
    told = coach.client.get(f"{CARD}/judged", params={"moves": "Ka2"}).json()["told"]
    assert told[0] == "Best moment:  1. Ka2: Keeping the win."
    assert played(foxes) == []


def test_moves_that_are_not_legal_are_named(coach: Browser) -> None:
    answer = coach.client.get(f"{CARD}/judged", params={"moves": "Kh1"}, headers={"x-part": "yes"})
    assert answer.status_code == 422
    assert "Kh1" in answer.text


@pytest.mark.parametrize(
    "form", [{}, {"told": "won it somehow on the way home"}, {"moves": "Qz9"}, {"told": "mated in 0"}]
)
def test_what_is_no_play_out_is_refused_in_words(coach: Browser, foxes: Book, form: dict[str, str]) -> None:
    assert "Not done" in coach.post(CARD, status=422, **form).text
    assert played(foxes) == []


def test_a_card_that_is_not_there_is_named_as_such(coach: Browser) -> None:
    coach.get(CARD.replace("QUEEN-BOX-1", "QUEEN-BOX-99"), status=422)
    coach.get(CARD.replace("QUEEN-BOX-1", "NONSENSE"), status=422)


def test_a_tablet_logs_no_play_outs(helper: Browser) -> None:
    helper.get(CARD, status=403)
