"""The board's page: answers are hidden until asked for, and are those of the tables."""

from dataclasses import replace
from urllib.parse import quote, urlencode

import chess
import pytest

from coachbook.club.book import Book
from coachbook.desk import ending_board_page
from coachbook.desk.advice import in_words
from coachbook.model.print_options import Notation
from coachbook.model.settings import ClubSettings
from coachbook.paper.text import FIGURINE_FILE
from coachbook.workflows.club_settings import keep_settings
from coachbook.workflows.ending_board import on_board, plan_on_board
from tests.desk.conftest import Browser, words

QUEEN = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
BISHOPS = "8/8/8/4k3/8/3BBK2/8/8 w - - 0 1"
MATED = "k7/1Q6/1K6/8/8/8/8/8 b - - 0 1"


def path(**asked: object) -> str:
    return f"/board?{urlencode(asked)}"


def test_before_there_is_a_position_one_is_set_up(coach: Browser) -> None:
    page = coach.get("/board")
    assert 'data-mode="free"' in page
    assert "Is the game over?" in words(page)
    assert "Set up a position" in words(page)


def test_the_answers_are_there_and_hidden(coach: Browser) -> None:
    page = coach.get(path(fen=QUEEN))
    assert page.count("<details") == 3
    assert " open>" not in page
    assert 'class="marks' not in page
    text, found = words(page), on_board(QUEEN, "♔♕♖♗♘", in_words)
    assert "King and queen against king, White to move" in text
    for each in (found.verdict, found.line, *(f"{move.told} {move.worth}" for move in found.moves)):
        assert each in text


def test_a_position_that_has_been_set_up_is_set_up_again(coach: Browser) -> None:
    page = coach.get(f"/board/set-up?{urlencode({'fen': QUEEN})}")
    assert f'value="{QUEEN}"' in page
    assert 'aria-label="c2, white queen"' in page


def test_a_plan_is_stepped_through_with_its_marks(coach: Browser) -> None:
    page = coach.get(path(fen=QUEEN, step=0))
    assert '<details class="panel" id="plan" open>' in page
    assert 'class="marks"' in page
    assert "1. ♕c4 : make the box smaller." in words(page)
    page = coach.get(path(fen=QUEEN, step=1))
    text = words(page)
    assert "After ♕c4 : box 30 → 20." in text
    assert "Black may answer (the plan goes on from ♔d6 ): ♔d6 ♔f5 ♔f6" in text
    assert "Outlined: the queen&#39;s box. Shaded: the meeting square." in text


def test_a_reply_that_is_chosen_is_met_and_remembered(coach: Browser) -> None:
    page = coach.get(path(fen=QUEEN, step=1))
    chosen = path(fen=QUEEN, step=2, replies="e5f5")
    assert chosen.replace("&", "&amp;") in page
    page = coach.get(chosen)
    assert 'aria-label="f5, black king"' in page
    assert path(fen=QUEEN, step=3, replies="e5f5").replace("&", "&amp;") in page
    assert path(fen=QUEEN, step=1, replies="e5f5").replace("&", "&amp;") in page


def test_a_plan_ends_where_it_says(coach: Browser) -> None:
    last = plan_on_board(QUEEN, "KQRBN", 0).of
    text = words(coach.get(path(fen=QUEEN, step=last)))
    assert "The plan ends here." in text
    assert "Checkmate: White has won." in text
    assert "Next" not in text


def test_a_computed_line_tells_its_one_reply(coach: Browser) -> None:
    coach.wait_for_work(coach.client.get(path(fen=BISHOPS)))
    text = words(coach.get(path(fen=BISHOPS, step=1)))
    assert "One computed line" in text
    assert "Black answers ♔e6 ." in text


def test_where_the_game_is_over_there_is_only_who_won(coach: Browser) -> None:
    text = words(coach.get(path(fen=MATED)))
    assert "Checkmate: White has won." in text
    assert "Show the moves" not in text
    assert "Show the plan" not in text


def test_what_the_tables_do_not_know_is_said_beside_the_board(coach: Browser) -> None:
    text = words(coach.get(path(fen=chess.STARTING_FEN.replace("KQkq", "-"))))
    assert "This ending has 32 men; the tables go up to 5." in text
    assert "Show who wins" not in text


def test_an_ending_of_five_men_that_is_not_built_is_said(coach: Browser) -> None:
    text = words(coach.get(path(fen="1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1")))
    assert (
        "KRPKR is not solved yet. It can be built once: the page Board leads to the endings of five men."
        in text
    )
    assert "Show who wins" not in text


def test_a_move_in_writing_leads_to_the_position_after_it(coach: Browser) -> None:
    page = coach.get(path(fen=QUEEN, move="queen e2"))
    assert 'aria-label="e2, white queen"' in page
    assert "Black to move" in words(page)


def test_a_script_gets_the_part_that_changes(coach: Browser) -> None:
    part = coach.client.get(path(fen=QUEEN, step=1), headers={"x-part": "yes"}).text
    assert part.strip().startswith('<div id="looked"')
    assert "<nav" not in part


def test_an_ending_that_is_not_solved_yet_is_waited_for(
    coach: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    solved: list[str] = []
    monkeypatch.setattr(ending_board_page, "is_ready", lambda fen: fen in solved)
    monkeypatch.setattr(ending_board_page, "get_tables_ready", lambda fen, _: solved.append(fen))
    page = coach.wait_for_work(coach.client.get(path(fen=QUEEN))).text
    assert solved == [QUEEN]
    assert "King and queen against king" in words(page)


@pytest.mark.parametrize(
    "asked",
    [
        {"fen": "nonsense"},
        {"fen": "8/8/8/8/8/8/8/8 w - - 0 1"},
        {"fen": "8/8/8/4k3/4Q3/8/8/K7 w - - 0 1"},
        {"fen": QUEEN, "step": "-1"},
        {"fen": QUEEN, "step": "one"},
        {"fen": QUEEN, "step": "9" * 99},
        {"fen": QUEEN, "step": "999"},
        {"fen": QUEEN, "step": "2", "replies": "e5e4e3"},
        {"fen": QUEEN, "step": "2", "replies": "a1a2"},
        {"fen": QUEEN, "move": "Kd9"},
        {"fen": MATED, "step": "0"},
    ],
)
def test_nonsense_is_refused_in_words(coach: Browser, asked: dict[str, str]) -> None:
    assert "Not done" in coach.get(path(**asked), status=422)


def test_no_position_can_be_set_up_out_of_nonsense(coach: Browser) -> None:
    assert "Not done" in coach.get("/board/set-up?fen=nonsense", status=422)


@pytest.mark.parametrize("place", ["/board", "/board/set-up", path(fen=QUEEN)])
def test_the_board_is_the_coachs(helper: Browser, place: str) -> None:
    assert "the coach's" in helper.get(place, status=403).replace("&#39;", "'")


MATE = "k7/8/1K6/8/8/8/8/2Q5 w - - 0 1"


def moves_of(fen: str) -> str:
    return f"/moves?fen={quote(fen)}"


def test_the_moves_are_told_with_what_comes_of_each(helper: Browser) -> None:
    found = helper.client.get(moves_of(MATE)).json()
    assert (found["fen"], found["turn"], found["end"]) == (MATE, "white", "")
    mate = next(move for move in found["moves"] if move["uci"] == "c1c8")
    after = "k1Q5/8/1K6/8/8/8/8/8 b - - 1 1"
    assert mate == {"uci": "c1c8", "san": "Qc8#", "told": "♕c8#", "fen": after}
    over = helper.client.get(moves_of(after)).json()
    assert (over["turn"], over["moves"], over["end"]) == ("black", [], "checkmate")


def test_a_move_is_told_as_the_club_writes_it(coach: Browser, foxes: Book) -> None:
    keep_settings(foxes, replace(foxes.settings, notation=Notation.LETTERS, letters="KDTLS"))
    found = coach.client.get(moves_of(MATE)).json()
    assert [move["told"] for move in found["moves"] if move["uci"] == "c1c8"] == ["Dc8#"]


def test_there_are_moves_before_there_is_a_club(newcomer: Browser) -> None:
    assert newcomer.client.get(moves_of(MATE)).json()["moves"]


@pytest.mark.parametrize("fen", ["", "nonsense", "8/8/8/8/8/8/8/8 w - - 0 1", "<b>", "k7/8/8/8/8/8/8/K7"])
def test_of_nonsense_there_are_no_moves(coach: Browser, fen: str) -> None:
    answer = coach.client.get(moves_of(fen), headers={"x-part": "yes"})
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
