"""The looks of a position: the same position turned and mirrored."""

import chess

from coachbook.endgame.symmetry import MIRROR, turned


def looks(board: chess.Board) -> tuple[chess.Board, ...]:
    """The position turned and mirrored: eight looks without pawns, two with; the first is itself."""
    turns = (0, MIRROR) if board.pawns else range(8)
    return tuple(_turned_board(board, turn) for turn in turns)


def _turned_board(board: chess.Board, turn: int) -> chess.Board:
    result = chess.Board(None)
    result.turn = board.turn
    for square, piece in board.piece_map().items():
        result.set_piece_at(turned(turn)[square], piece)
    if board.ep_square is not None:
        result.ep_square = turned(turn)[board.ep_square]
    return result


def symmetry_key(board: chess.Board) -> str:
    """The same text for all looks of a position, colours exchanged or not: its smallest EPD."""
    flipped = board.mirror()
    return min(look.epd() for one in (board, flipped) for look in looks(one))
