"""The truth about small positions in the plainest way that there is: try everything, count squares.

Rules of the game: the package `chess` (`legal_moves`, `is_attacked_by`).
"""

from collections.abc import Callable
from functools import lru_cache
from itertools import product

import chess

Men = tuple[tuple[str, int, int], ...]

_TURNS: tuple[Callable[[int, int], tuple[int, int]], ...] = (
    lambda file, rank: (file, rank),
    lambda file, rank: (7 - file, rank),
    lambda file, rank: (file, 7 - rank),
    lambda file, rank: (7 - file, 7 - rank),
    lambda file, rank: (rank, file),
    lambda file, rank: (7 - rank, file),
    lambda file, rank: (rank, 7 - file),
    lambda file, rank: (7 - rank, 7 - file),
)


def position_class(fen: str) -> tuple[str, Men]:
    """The same for positions without pawns that differ only by turning or mirroring the board."""
    placement, side, *_ = fen.split()
    men = []
    for row, text in enumerate(placement.split("/")):
        file = 0
        for letter in text:
            if letter.isdigit():
                file += int(letter)
            else:
                men.append((letter, file, 7 - row))
                file += 1
    looks = (tuple(sorted((man, *turn(file, rank)) for man, file, rank in men)) for turn in _TURNS)
    return side, min(looks)


def mates(fen: str) -> set[str]:
    """The moves (UCI) after which the other side is in check and has no move."""
    return {move for move, check, stuck in _tried(fen) if check and stuck}


def stalemates(fen: str) -> set[str]:
    """The moves (UCI) after which the other side is not in check and has no move."""
    return {move for move, check, stuck in _tried(fen) if stuck and not check}


@lru_cache(maxsize=1)
def _tried(fen: str) -> list[tuple[str, bool, bool]]:
    found, start = [], chess.Board(fen)
    for move in start.legal_moves:
        board = start.copy(stack=False)
        board.push(move)
        king = board.king(board.turn)
        assert king is not None
        check = board.is_attacked_by(not board.turn, king)
        found.append((move.uci(), check, not any(board.legal_moves)))
    return found


def box(fen: str) -> set[str]:
    """The squares between the walls: walk from the lone king each way until a wall or the edge."""
    board = chess.Board(fen)
    lone = board.king(chess.BLACK)
    assert lone is not None
    (piece,) = (square for square, man in board.piece_map().items() if man.symbol() in "QR")

    def walk(start: int, wall: int, step: int) -> list[int]:
        passed = []
        while 0 <= start <= 7 and start != wall:
            passed.append(start)
            start += step
        return passed

    file, rank = lone % 8, lone // 8
    files = {*walk(file, piece % 8, 1), *walk(file, piece % 8, -1)}
    ranks = {*walk(rank, piece // 8, 1), *walk(rank, piece // 8, -1)}
    return {"abcdefgh"[f] + str(r + 1) for f, r in product(files, ranks)}


def walked(fen: str) -> set[str]:
    """The squares that the lone king reaches by legal moves while White passes, taking nothing."""
    start = chess.Board(fen)
    start.turn = chess.BLACK
    reached, waiting = {start.king(chess.BLACK)}, [start]
    while waiting:
        board = waiting.pop()
        for move in board.legal_moves:
            if move.to_square not in reached and not board.is_capture(move):
                reached.add(move.to_square)
                after = board.copy(stack=False)
                after.push(move)
                after.turn = chess.BLACK
                waiting.append(after)
    return {chess.square_name(square) for square in reached if square is not None}
