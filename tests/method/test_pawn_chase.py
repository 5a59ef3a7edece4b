"""Which pawns are caught by force, and which get through: held against a race on coordinates."""

import chess
import pytest
from hypothesis import given, settings

from coachbook.endgame.probe import Result, probe
from coachbook.method.pawn_chase import catching_moves, chase
from tests.judges.chase import gets_home, is_caught
from tests.method.plain import legal_boards

MOST = 5
DRAWN_BY_OPPOSITION = ("8/3k4/8/3K2P1/8/8/8/8 b - - 0 1", "6k1/8/8/8/8/8/P7/3K4 b - - 0 1")
"""White's king comes to its pawn in time: nobody catches it, and yet it is a draw."""


def places(board: chess.Board) -> tuple[int, int, int]:
    """The squares of pawn, White's king and Black's king."""
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    return pawn, board.king(chess.WHITE) or 0, board.king(chess.BLACK) or 0


@given(legal_boards("P", chess.BLACK))
@settings(max_examples=60)
def test_what_a_race_finds_is_found_backwards(board: chess.Board) -> None:
    pawn, king, lone = places(board)
    king_name, pawn_name, lone_name = map(chess.square_name, (king, pawn, lone))
    if is_caught(king_name, pawn_name, lone_name, MOST):
        assert chase().caught[pawn, king, lone]
    if gets_home(king_name, pawn_name, lone_name, MOST):
        assert chase().through[pawn, king, lone]


@given(legal_boards("P", chess.BLACK))
def test_what_is_caught_is_drawn_and_gets_not_through(board: chess.Board) -> None:
    at = places(board)
    if chase().caught[at]:
        assert probe(board).result is Result.DRAW
        assert not chase().through[at]
        assert catching_moves(board)
    else:
        assert not catching_moves(board)


@pytest.mark.parametrize("fen", DRAWN_BY_OPPOSITION)
def test_a_draw_by_opposition_is_no_catch(fen: str) -> None:
    board = chess.Board(fen)
    assert probe(board).result is Result.DRAW
    assert not chase().caught[places(board)]
    assert not catching_moves(board)
