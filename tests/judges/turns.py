"""The eight ways to turn and mirror a board, by files and ranks, and what looks the same under them."""

from collections.abc import Callable

import chess

Men = tuple[tuple[str, int], ...]

_WAYS: tuple[Callable[[int, int], tuple[int, int]], ...] = (
    lambda file, rank: (file, rank),
    lambda file, rank: (7 - file, rank),
    lambda file, rank: (file, 7 - rank),
    lambda file, rank: (7 - file, 7 - rank),
    lambda file, rank: (rank, file),
    lambda file, rank: (7 - rank, file),
    lambda file, rank: (rank, 7 - file),
    lambda file, rank: (7 - rank, 7 - file),
)

Turn = tuple[int, ...]
"""Where each of the 64 squares goes."""

TURNS: tuple[Turn, ...] = tuple(
    tuple(chess.square(*way(square % 8, square // 8)) for square in chess.SQUARES) for way in _WAYS
)
MIRRORED = TURNS[:2]
"""Left as it is, and mirrored from left to right: all that a board with pawns allows."""
UPSIDE_DOWN = TURNS[2]

CORNER = tuple(sorted({min(turn[square] for turn in TURNS) for square in chess.SQUARES}))
"""The ten squares a1, b1, c1, d1, b2 ... d4, to one of which every square can be turned."""


def turned(board: chess.Board, turn: Turn) -> chess.Board:
    """The men of a board on other squares, the same side to move."""
    result = chess.Board(None)
    result.turn = board.turn
    for square, man in board.piece_map().items():
        result.set_piece_at(turn[square], man)
    return result


def turned_move(move: chess.Move, turn: Turn) -> chess.Move:
    return chess.Move(turn[move.from_square], turn[move.to_square], move.promotion)


def position_class(fen: str) -> tuple[bool, Men]:
    """The same for positions that differ only by turning or mirroring the board; with pawns, by mirroring
    it from left to right."""
    board = chess.Board(fen)
    men = [(man.symbol(), square) for square, man in board.piece_map().items()]
    turns = MIRRORED if board.pawns else TURNS
    return board.turn, min(tuple(sorted((man, turn[square]) for man, square in men)) for turn in turns)
