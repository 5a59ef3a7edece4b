"""Looking at a board by the rules of `chess` alone: what a class can see and count on it."""

from collections.abc import Callable, Iterator
from pathlib import Path

import chess

from coachbook.syllabus import read_syllabus
from tests.judges import moves
from tests.judges.box import walls
from tests.judges.moves import can_take
from tests.judges.turns import CORNER

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")


def board_of(code: str) -> chess.Board:
    """The demonstration of a unit."""
    return chess.Board(SYLLABUS.unit(code).demonstration)


def after(board: chess.Board, *sans: str) -> chess.Board:
    """A copy of the board with these moves made."""
    copy = board.copy()
    for san in sans:
        copy.push_san(san)
    return copy


def moves_that(board: chess.Board, ends: Callable[[chess.Board], bool]) -> set[str]:
    """The legal moves (SAN without signs) after which `ends` is true of the board."""
    return {board.san(move).rstrip("+#") for move in board.legal_moves if ends(after(board, board.san(move)))}


def mates(board: chess.Board) -> set[str]:
    """The moves that mate, SAN without signs."""
    return _in_san(board, moves.mates(board.fen()))


def stalemates(board: chess.Board) -> set[str]:
    """The moves that stalemate, SAN without signs."""
    return _in_san(board, moves.stalemates(board.fen()))


def _in_san(board: chess.Board, found: set[str]) -> set[str]:
    return {board.san(chess.Move.from_uci(move)).rstrip("+#") for move in found}


def king_squares(board: chess.Board) -> set[str]:
    """Where the king of the side to move may go."""
    king = board.king(board.turn)
    return {chess.square_name(move.to_square) for move in board.legal_moves if move.from_square == king}


def boxes(board: chess.Board) -> dict[str, int]:
    """The size of the box by walls after each move of the queen or rook that he can't answer by taking."""
    sizes = {}
    for move in board.legal_moves:
        then = after(board, board.san(move))
        if move.from_square != board.king(chess.WHITE) and not can_take(then) and walls(then):
            sizes[board.san(move).rstrip("+#")] = len(walls(then))
    return sizes


def rectangle(corner: str, opposite: str) -> set[str]:
    return {f"{file}{rank}" for file in span(corner[0], opposite[0]) for rank in span(corner[1], opposite[1])}


def span(first: str, last: str) -> list[str]:
    return [chr(sign) for sign in range(ord(first), ord(last) + 1)]


def steps(start: int, end: int) -> int:
    return chess.square_distance(start, end)


def lone_king_positions(piece: str) -> Iterator[chess.Board]:
    """All legal positions of White's king and one piece against a king to move, up to symmetry."""
    for lone in CORNER:
        for king in chess.SQUARES:
            for man in chess.SQUARES:
                if len({lone, king, man}) == 3 and steps(king, lone) > 1:
                    board = chess.Board(None)
                    board.set_piece_at(lone, chess.Piece.from_symbol("k"))
                    board.set_piece_at(king, chess.Piece.from_symbol("K"))
                    board.set_piece_at(man, chess.Piece.from_symbol(piece))
                    board.turn = chess.BLACK
                    yield board
