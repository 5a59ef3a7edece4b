"""Whether a lone king catches a running pawn: tried out on boards, move by move, for every defence."""

from collections.abc import Iterator
from functools import lru_cache

import chess

from coachbook.endgame.probe import after_move

_MOST = 9
"""Moves of Black's king: more than any catch takes in which the pawn's own king is far away."""


def is_caught(board: chess.Board) -> bool:
    """Black, to move, can force the capture of White's pawn, or of what it becomes at once, whatever
    White does with pawn and king."""
    return any(_catches(board.epd(), most) for most in range(1, _MOST + 1))


def gets_through(board: chess.Board) -> bool:
    """Black is to move, and White can force a new queen that is not taken at once and does not stalemate."""
    return _passes(board.epd(), _MOST)


@lru_cache(maxsize=200_000)
def _catches(epd: str, left: int) -> bool:
    board = chess.Board(epd)
    if any(map(board.is_capture, board.legal_moves)):
        return True
    return left > 1 and any(_leaves_a_catch(after, left - 1) for after in _tried(board))


def _leaves_a_catch(board: chess.Board, left: int) -> bool:
    """Whether White has a move, and each of them leads to a catch."""
    if not any(board.legal_moves):
        return False
    return all(
        any(map(after.is_capture, after.legal_moves))
        if after.peek().promotion
        else _catches(after.epd(), left)
        for after in _tried(board)
    )


@lru_cache(maxsize=200_000)
def _passes(epd: str, left: int) -> bool:
    board = chess.Board(epd)
    if not any(board.legal_moves) or any(map(board.is_capture, board.legal_moves)):
        return False
    return all(any(_is_safe(then, left) for then in _tried(after)) for after in _tried(board))


def _is_safe(board: chess.Board, left: int) -> bool:
    """Whether White's last move made a queen that stays, or leads to one."""
    if board.peek().promotion:
        made_queen = board.peek().promotion == chess.QUEEN
        return made_queen and not board.is_stalemate() and not any(map(board.is_capture, board.legal_moves))
    return left > 1 and _passes(board.epd(), left - 1)


def _tried(board: chess.Board) -> Iterator[chess.Board]:
    """The boards after each move, those first that go on with the pawn or come nearer to it."""
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    goal = chess.square(chess.square_file(pawn), 7)
    for move in sorted(board.legal_moves, key=lambda move: _haste(move, pawn, goal)):
        yield after_move(board, move)


def _haste(move: chess.Move, pawn: chess.Square, goal: chess.Square) -> tuple[bool, int]:
    near = chess.square_distance(move.to_square, pawn) + chess.square_distance(move.to_square, goal)
    return move.from_square != pawn, -move.to_square if move.from_square == pawn else near
