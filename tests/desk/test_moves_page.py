"""What the board's script asks: which moves are legal."""

from dataclasses import replace
from urllib.parse import quote

import pytest

from coachbook.club.book import Book
from coachbook.model.print_options import Notation
from coachbook.model.settings import ClubSettings
from coachbook.paper.text import FIGURINE_FILE
from coachbook.workflows.club_settings import keep_settings
from tests.desk.conftest import Browser

MATE = "k7/8/1K6/8/8/8/8/2Q5 w - - 0 1"


def path(fen: str) -> str:
    return f"/moves?fen={quote(fen)}"


def test_the_moves_are_told_with_what_comes_of_each(helper: Browser) -> None:
    found = helper.client.get(path(MATE)).json()
    assert (found["fen"], found["turn"], found["end"]) == (MATE, "white", "")
    mate = next(move for move in found["moves"] if move["uci"] == "c1c8")
    after = "k1Q5/8/1K6/8/8/8/8/8 b - - 1 1"
    assert mate == {"uci": "c1c8", "san": "Qc8#", "told": "♕c8#", "fen": after}
    over = helper.client.get(path(after)).json()
    assert (over["turn"], over["moves"], over["end"]) == ("black", [], "checkmate")


def test_a_move_is_told_as_the_club_writes_it(coach: Browser, foxes: Book) -> None:
    keep_settings(foxes, replace(foxes.settings, notation=Notation.LETTERS, letters="KDTLS"))
    found = coach.client.get(path(MATE)).json()
    assert [move["told"] for move in found["moves"] if move["uci"] == "c1c8"] == ["Dc8#"]


def test_there_are_moves_before_there_is_a_club(newcomer: Browser) -> None:
    assert newcomer.client.get(path(MATE)).json()["moves"]


@pytest.mark.parametrize("fen", ["", "nonsense", "8/8/8/8/8/8/8/8 w - - 0 1", "<b>", "k7/8/8/8/8/8/8/K7"])
def test_nonsense_is_refused_in_words(coach: Browser, fen: str) -> None:
    answer = coach.client.get(path(fen), headers={"x-part": "yes"})
    assert answer.status_code == 422
    assert answer.headers["content-type"].startswith("text/plain")
    assert "Add ' w'" in answer.text or "not a position" in answer.text


def test_usual_ways_write_figurines_and_a_clubs_letters_are_used_where_it_has_any() -> None:
    assert ClubSettings().men == "♔♕♖♗♘"
    assert ClubSettings(notation=Notation.LETTERS).men == "KQRBN"
    assert ClubSettings(notation=Notation.LETTERS, letters="KDTLS").men == "KDTLS"


def test_the_men_that_moves_are_told_with_have_a_font_of_their_own(coach: Browser) -> None:
    answer = coach.client.get("/static/fonts/men.ttf")
    assert answer.status_code == 200
    assert answer.content == FIGURINE_FILE.read_bytes()
