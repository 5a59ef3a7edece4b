import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.method.border import from_board, move_of, to_board
from coachbook.method.moves import attacker_moves, lone_king_moves
from coachbook.method.positions import can_be_taken, in_check, is_mate, is_stalemate
from coachbook.method.starts import canonical, code, decode, legal_codes, looks_of, turned
from tests.method.plain import legal_boards

ENDINGS = ("Q", "R", "P", "RR", "QR", "BB", "BN")


def boards() -> st.SearchStrategy[chess.Board]:
    return st.sampled_from(ENDINGS).flatmap(legal_boards)


@given(boards())
def test_a_board_comes_back_from_the_border(board: chess.Board) -> None:
    assert to_board(from_board(board), 0).board_fen() == board.board_fen()


@given(boards())
def test_a_board_with_colours_changed_looks_the_same(board: chess.Board) -> None:
    assert code(from_board(board.mirror())) == code(from_board(board))


@given(boards())
def test_the_attackers_moves_are_those_of_the_chess_package(board: chess.Board) -> None:
    positions = from_board(board)
    moves = attacker_moves(positions)
    found = [move_of(moves, positions, row, chess.WHITE) for row in range(len(moves.of))]
    to_a_queen = {move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)}
    assert set(found) == to_a_queen
    assert len(found) == len(to_a_queen)


@given(boards(), st.integers(0))
def test_the_lone_kings_moves_and_fate_are_those_of_the_chess_package(board: chess.Board, pick: int) -> None:
    moves = sorted((move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)), key=str)
    move = moves[pick % len(moves)]
    rows = attacker_moves(from_board(board))
    after = next(
        rows.after.take(np.array([row]))
        for row in range(len(rows.of))
        if move_of(rows, from_board(board), row, chess.WHITE) == move
    )
    board.push(move)
    replies = lone_king_moves(after)
    found = {move_of(replies, after, row, chess.WHITE) for row in range(len(replies.of))}
    assert found == set(board.legal_moves)
    assert is_mate(after)[0] == board.is_checkmate()
    assert is_stalemate(after)[0] == board.is_stalemate()
    assert in_check(after)[0] == board.is_check()
    assert can_be_taken(after)[0] == any(board.is_capture(reply) for reply in board.legal_moves)


# Source: architecture of this project, counted by two separate programs (KQK, KRK, two majors).
@pytest.mark.parametrize(
    ("pieces", "positions", "up_to_symmetry"), [("Q", 144_508, 18_081), ("R", 175_168, 21_959)]
)
def test_there_are_as_many_legal_positions_as_published(
    pieces: str, positions: int, up_to_symmetry: int
) -> None:
    codes = legal_codes(pieces)
    assert len(codes) == up_to_symmetry
    assert looks_of(decode(pieces, codes)).sum() == positions


@given(boards(), st.integers(0, 7))
def test_turned_and_mirrored_positions_share_their_canonical_code(board: chess.Board, way: int) -> None:
    positions = from_board(board)
    if positions.pieces == "P":
        way &= 1
    assert canonical(turned(positions, way)) == canonical(positions)
