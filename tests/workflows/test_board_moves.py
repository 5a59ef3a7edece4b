"""What a board that knows no rules is told: the legal moves, and how a game has ended."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.workflows.board_moves import legal_moves, position_after

LETTERS = "KQRBN"
FIGURINES = "♔♕♖♗♘"
PAWN = "8/1P5k/8/8/8/8/8/K7 w - - 0 1"


@given(st.lists(st.integers(0, 200), max_size=40))
def test_the_moves_are_those_of_the_rules_and_lead_where_they_say(choices: list[int]) -> None:
    board = chess.Board()
    for choice in choices:
        moves = list(board.legal_moves)
        if not moves:
            break
        board.push(moves[choice % len(moves)])
    found = legal_moves(board.fen(), LETTERS)
    assert {move.uci for move in found.moves} == {move.uci() for move in board.legal_moves}
    for move in found.moves:
        after = board.copy(stack=False)
        after.push_san(move.san)
        assert move.fen == after.fen()
        assert after.move_stack[-1].uci() == move.uci


def test_a_pawn_at_the_end_becomes_four_men_and_each_is_told_as_the_club_writes() -> None:
    found = [move for move in legal_moves(PAWN, FIGURINES).moves if move.uci.startswith("b7b8")]
    assert [(move.uci[-1], move.san, move.told) for move in found] == [
        ("b", "b8=B", "b8=♗"),
        ("n", "b8=N", "b8=♘"),
        ("q", "b8=Q", "b8=♕"),
        ("r", "b8=R", "b8=♖"),
    ]


@pytest.mark.parametrize(
    ("fen", "end", "moves"),
    [
        (PAWN, "", 7),
        ("k7/1Q6/1K6/8/8/8/8/8 b - - 0 1", "checkmate", 0),
        ("k7/2Q5/1K6/8/8/8/8/8 b - - 0 1", "stalemate", 0),
        ("k7/8/1K6/8/8/8/8/6B1 b - - 0 1", "draw by too few men to mate with", 1),
        ("7k/8/8/8/8/8/R7/K7 w - - 149 99", "", 15),
        ("7k/8/8/8/8/8/R7/K7 w - - 150 99", "draw by seventy-five moves", 15),
    ],
)
def test_the_end_of_a_game_is_told(fen: str, end: str, moves: int) -> None:
    found = legal_moves(fen, LETTERS)
    assert (found.end, len(found.moves)) == (end, moves)


@pytest.mark.parametrize(
    "fen",
    [
        "",
        "nonsense",
        "8/8/8/8/8/8/8/8 w - - 0 1",
        "8/8/4k3/8/3Q4/8/8/K7",
        "8/8/4k3/4Q3/8/8/8/K7 w - - 0 1",
        "k7/8/8/8/8/8/8/KP6 w - - 0 1",
    ],
)
def test_what_is_no_position_has_no_moves(fen: str) -> None:
    with pytest.raises(CoachbookError):
        legal_moves(fen, LETTERS)


@pytest.mark.parametrize(
    ("written", "letters"), [("Qd5", None), ("queen d5", None), ("d4d5", None), ("Dd5", "KDTLS")]
)
def test_a_move_is_made_as_a_person_writes_it(written: str, letters: str | None) -> None:
    after = position_after("8/7k/8/8/3Q4/8/8/K7 w - - 0 1", written, letters)
    assert after.split()[:2] == ["8/7k/8/3Q4/8/8/8/K7", "b"]


@pytest.mark.parametrize("written", ["", "Qd9", "Kd5", "Qd5 Kg7", "hello"])
def test_what_is_no_legal_move_is_refused(written: str) -> None:
    with pytest.raises(CoachbookError, match="no legal move"):
        position_after("8/7k/8/8/3Q4/8/8/K7 w - - 0 1", written, None)
