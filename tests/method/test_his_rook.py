"""King, rook and pawn against king and rook: all moves are those of the chess package, captures and all."""

import chess
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.method.border import attacker, find_ending, from_board, move_of, to_board
from coachbook.method.moves import Moves, Side
from coachbook.method.positions import Positions, ending_name
from tests.judges.moves import after
from tests.method.plain import legal_boards

PLIES = 6
boards = legal_boards("RPr") | legal_boards("RPr", chess.BLACK)


def _after_moves(positions: Positions, *, white: bool) -> dict[str, int]:
    """Rows of all moves, by the boards after them; a pawn on its last rank is a queen."""
    moves = _moves(positions, white=white)
    shown = (_queened(to_board(moves.after, row, attacker_moves=not white)) for row in range(len(moves.of)))
    return {board.board_fen(): row for row, board in enumerate(shown)}


def _moves(positions: Positions, *, white: bool) -> Moves:
    return (Side.ATTACKER if white else Side.LONE_KING).moves(positions)


def _queened(board: chess.Board) -> chess.Board:
    for square in board.pieces(chess.PAWN, chess.WHITE) & chess.SquareSet(chess.BB_RANK_8):
        board.set_piece_at(square, chess.Piece.from_symbol("Q"))
    return board


def _by_package(board: chess.Board) -> set[str]:
    moves = [move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)]
    return {after(board, move).board_fen() for move in moves}


@settings(max_examples=150)
@given(boards, st.data())
def test_all_moves_of_both_sides_are_the_legal_ones_whatever_was_taken(
    board: chess.Board, data: st.DataObject
) -> None:
    positions = from_board(board)
    for _ in range(PLIES):
        found = _after_moves(positions, white=board.turn)
        assert set(found) == _by_package(board)
        # Captures first: they are rare, and what was taken goes with the king from then on.
        fewer = [fen for fen in sorted(found) if len(chess.Board(f"{fen} w").piece_map()) < len(_men(board))]
        going_on = fewer or sorted(found)
        if not going_on:
            break
        fen = data.draw(st.sampled_from(going_on))
        moves = _moves(positions, white=board.turn)
        positions = moves.after.take(np.array([found[fen]]))
        board = chess.Board(f"{fen} {'b' if board.turn else 'w'}")
        if board.queens:
            break


def _men(board: chess.Board) -> dict[int, chess.Piece]:
    return board.piece_map()


@given(boards)
def test_a_row_is_named_as_the_move_that_it_is(board: chess.Board) -> None:
    positions = from_board(board)
    moves = _moves(positions, white=board.turn)
    named = {move_of(moves, positions, row, chess.WHITE) for row in range(len(moves.of))}
    assert named == {move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)}


@given(boards)
def test_the_side_with_the_pawn_is_the_attacker_with_either_colour(board: chess.Board) -> None:
    assert find_ending(board) == find_ending(board.mirror()) == "RPr"
    assert (attacker(board), attacker(board.mirror())) == (chess.WHITE, chess.BLACK)
    assert [column.tolist() for column in from_board(board).men] == [
        column.tolist() for column in from_board(board.mirror()).men
    ]


@pytest.mark.parametrize(("pieces", "name"), [("RPr", "KRPKR"), ("Q", "KQK"), ("QR", "KQRK")])
def test_an_ending_is_called_by_the_men_of_both_sides(pieces: str, name: str) -> None:
    assert ending_name(pieces) == name


@pytest.mark.parametrize("men", ["8/8/8/4k3/8/8/8/K2R3r", "8/8/8/4k3/8/8/8/K2RP2q", "8/8/8/4k3/8/8/8/K7"])
def test_other_defenders_are_not_known_to_methods(men: str) -> None:
    board = chess.Board(f"{men} w - - 0 1")
    assert find_ending(board) is None
    with pytest.raises(CoachbookError, match="not a lone king, or king and rook"):
        from_board(board)
