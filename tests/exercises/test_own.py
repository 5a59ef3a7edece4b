"""A coach's own positions: read, refused with a reason, offered for the kinds that they suit."""

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.endgame.symmetry import symmetry_key, turned_board
from coachbook.exercises.generate import supplies
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.exercises.verify import check_exercise
from coachbook.workflows.own_positions import Offer, OwnPosition, _offer, offers, read_positions

GAMES = """[White "Ada"]
[Black "Bo"]
[SetUp "1"]
[FEN "8/8/8/4k3/8/8/2R5/K7 w - - 0 1"]

1. Rc4 Kd5 *

[White "Cy"]
[Black "Di"]
[SetUp "1"]
[FEN "7k/8/8/8/8/8/PPPPP3/K7 w - - 0 1"]

1. e4 *

[White "Eli"]
[Black "Fay"]

1. e4 e5 2. Qh5 Ke7 3. Qxe5# *
"""

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def one(text: str) -> OwnPosition:
    (position,) = read_positions(text)
    return position


def made(text: str) -> dict[str, Offer]:
    """The offers that are exercises, by kind."""
    return {offer.kind: offer for offer in offers(one(text), "own") if offer.exercise is not None}


def test_fen_and_epd_are_read_line_by_line_and_comments_passed_over() -> None:
    text = "# mine\n8/8/8/4k3/8/8/2Q5/K7 w - - 0 1\n\nk7/8/1K6/8/8/8/8/7R w - - bm Rh8#;\n"
    assert [position.where for position in read_positions(text)] == ["line 2", "line 4"]
    assert all(not position.fault for position in read_positions(text))


def test_of_games_the_set_up_position_or_the_first_small_one_is_taken() -> None:
    first, second, third = read_positions(GAMES)
    assert first.board is not None
    assert first.board.fen() == "8/8/8/4k3/8/8/2R5/K7 w - - 0 1"
    assert "7 men" in second.fault
    assert third.fault == "it has no position with at most 4 men"
    assert [position.text for position in (first, third)] == ["Ada - Bo", "Eli - Fay"]


def test_kings_alone_are_refused() -> None:
    position = one("8/8/8/8/8/8/8/K1k5 w - - 0 1")
    assert position.fault == "there is nothing on it but the kings, and nothing to ask"
    assert offers(position, "own") == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("r3k3/8/8/8/8/8/8/4K3 w q - 0 1", "castling"),
        ("8/8/8/4k3/8/8/1Q6/K7 w - - 0 1", "not a legal position"),
        ("8/8/8/8 w", "neither FEN nor EPD"),
        ("8/8/8/4k3/8/8/2R5/K7", "it does not say who is to move: add ' w' or ' b' after the pieces"),
        ('[White "Ada"]\n[SetUp "1"]\n[FEN "8/8/8/4k3/8/8/2R5/K7"]\n\n*', "does not say who is to move"),
        ("mate in two, please", "neither FEN nor EPD"),
        ("rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w - - 0 1", "men"),
    ],
)
def test_what_cannot_be_used_is_told_with_the_reason(text: str, told: str) -> None:
    assert told in one(text).fault
    assert offers(one(text), "own") == ()


def test_the_stronger_side_is_shown_as_white() -> None:
    position = one("8/4k3/8/8/3p4/8/8/K6q w - - 0 1")
    assert position.exchanged
    assert position.board is not None
    assert position.board.turn == chess.BLACK


def test_a_position_is_offered_for_what_it_suits_and_no_more() -> None:
    assert "every_mate" in made("k7/8/1K6/8/8/8/8/7R w - - 0 1")
    assert "every_mate" not in made("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1")
    assert "final_position" in made("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1")
    assert set(made("8/8/4k3/8/8/4K3/4P3/8 b - - 0 1")) == {"only_move", "opposition", "win_or_draw"}


def test_every_other_kind_says_why_not() -> None:
    found = offers(one("8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"), "own")
    assert [offer.kind for offer in found] == list(kind_names())
    assert all(bool(offer.reason) == (offer.exercise is None) for offer in found)


@pytest.mark.parametrize("kind", kind_names())
def test_a_position_that_a_kind_found_itself_is_offered_in_every_look(kind: str) -> None:
    for ending in ("KQK", "KRK", "KPK"):
        for each in supplies(kind, (ending,)):
            for index in range(0, len(each.cells), max(1, len(each.cells) // 5)):
                board = each.survey.board(each.cells[index])
                if board.is_valid() and find_kind(kind).draft(board) is not None:
                    turned = turned_board(board, 1)
                    read = one(turned.fen()).board
                    assert read is not None
                    offer = _offer(kind, find_kind(kind), read, "own", 0)
                    assert offer.exercise is not None, (turned.fen(), offer.reason)
                    shown = chess.Board(offer.exercise.position.fen)
                    assert shown == turned or offer.exercise.kind == "build_position"
                    assert offer.exercise.key == symmetry_key(shown)


@FEW
@given(st.permutations(range(64)), st.sampled_from(["KQk", "KRk", "KPk", "kqK", "kpK", "KNk"]), st.booleans())
def test_any_position_is_refused_or_makes_sound_exercises(squares: list[int], men: str, white: bool) -> None:
    board = chess.Board(None)
    board.turn = white
    for square, symbol in zip(squares, men, strict=False):
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    for offer in offers(one(board.fen()), "own"):
        if offer.exercise is not None:
            check_exercise(offer.exercise)


@given(st.text())
def test_any_text_is_read_without_a_traceback(text: str) -> None:
    for position in read_positions(text):
        assert bool(position.fault) == (position.board is None)


def test_a_position_of_ones_own_has_four_men_at_most() -> None:
    (found,) = read_positions("1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1")
    assert found.fault == "it has 5 men; your own can have up to 4"
