"""The looks of a position: the same position turned and mirrored."""

from collections.abc import Sequence

import chess

from coachbook.endgame.symmetry import MIRROR, turned


def turns(board: chess.Board) -> Sequence[int]:
    """The turns that keep a position's meaning: eight without pawns, two with; the first changes nothing."""
    return (0, MIRROR) if board.pawns else range(8)


def look(board: chess.Board, turn: int) -> chess.Board:
    """The position under one of its turns."""
    result = chess.Board(None)
    result.turn = board.turn
    for square, piece in board.piece_map().items():
        result.set_piece_at(turned(turn)[square], piece)
    if board.ep_square is not None:
        result.ep_square = turned(turn)[board.ep_square]
    return result


def looks(board: chess.Board) -> tuple[chess.Board, ...]:
    """The position turned and mirrored: eight looks without pawns, two with; the first is itself."""
    return tuple(look(board, turn) for turn in turns(board))


def symmetry_key(board: chess.Board) -> str:
    """The same text for all looks of a position, colours exchanged or not; another for any other.

    The men of the side to move are written as White's, each with its square ("Kb1 Qd5 kd8"),
    then the square on which a pawn can be taken en passant, if one can. Of all looks, the text
    that comes first in the alphabet. Castling rights are not looked at.
    """
    white = board if board.turn else board.mirror()
    men = [(piece.symbol(), square) for square, piece in white.piece_map().items()]
    if white.ep_square is not None and white.has_legal_en_passant():
        men.append(("x", white.ep_square))
    return min(_written(men, turned(turn)) for turn in turns(board))


def _written(men: list[tuple[str, int]], to: Sequence[int]) -> str:
    return " ".join(sorted(symbol + chess.SQUARE_NAMES[to[square]] for symbol, square in men))
