"""Turning and mirroring: squares, square axes, packed king squares, and whole positions.

Squares are numbered as in the `chess` package: a1 = 0, h1 = 7, h8 = 63. A packed word is a
uint64 in which bit q stands for square q.
"""

from collections.abc import Sequence
from functools import cache

import chess
import numpy as np
from numpy.typing import NDArray

Words = NDArray[np.uint64]

MIRROR, FLIP, SWAP = 1, 2, 4
"""A turn is a sum of these, done in this order: files reversed, ranks reversed, the a1-h8
diagonal reflected. Every one of the eight symmetric copies of a position is such a sum (0 to 7)."""


@cache
def turned(turn: int) -> tuple[int, ...]:
    """Where each of the 64 squares goes under a turn."""
    squares = []
    for square in range(64):
        file, rank = square % 8, square // 8
        if turn & MIRROR:
            file = 7 - file
        if turn & FLIP:
            rank = 7 - rank
        if turn & SWAP:
            file, rank = rank, file
        squares.append(rank * 8 + file)
    return tuple(squares)


@cache
def inverse(turn: int) -> int:
    """The turn that undoes a turn."""
    there = turned(turn)
    return next(back for back in range(8) if all(turned(back)[there[q]] == q for q in (0, 1, 8)))


@cache
def king_squares(has_pawns: bool) -> tuple[int, ...]:
    """The squares to which the white king can be brought: files a to d with pawns on the
    board (only mirroring is allowed), else the ten squares a1, b1, c1, d1, b2 ... d4."""
    if has_pawns:
        return tuple(square for square in range(64) if square % 8 < 4)
    return tuple(square for square in range(64) if square // 8 <= square % 8 < 4)


@cache
def king_rows(has_pawns: bool) -> tuple[tuple[int, int], ...]:
    """For each square of the white king: its row in `king_squares`, and the turn to bring it there."""
    squares = king_squares(has_pawns)
    turns = (0, MIRROR) if has_pawns else range(8)
    return tuple(
        next((squares.index(turned(turn)[q]), turn) for turn in turns if turned(turn)[q] in squares)
        for q in range(64)
    )


def packed(cells: NDArray[np.bool_]) -> Words:
    """Sets from their squares: shape (..., 64) in, words of shape (...) out."""
    return np.packbits(cells, axis=-1, bitorder="little").view(np.uint64)[..., 0]


def unpacked(positions: Words) -> NDArray[np.bool_]:
    """All cells in one row: shape (cells,)."""
    return np.unpackbits(positions.reshape(-1).view(np.uint8), bitorder="little").view(np.bool_)


def turn_words(words: Words, turn: int) -> Words:
    """Move the bits of each word as `turned(turn)` moves squares."""
    if turn & MIRROR:
        words = _swap(
            _swap(_swap(words, 1, 0x5555555555555555), 2, 0x3333333333333333), 4, 0x0F0F0F0F0F0F0F0F
        )
    if turn & FLIP:
        words = words.byteswap().view(np.uint64)
    if turn & SWAP:
        words = _exchange(words, 28, 0x0F0F0F0F00000000)
        words = _exchange(words, 14, 0x3333000033330000)
        words = _exchange(words, 7, 0x5500550055005500)
    return words


def _swap(words: Words, distance: int, mask: int) -> Words:
    low, by = np.uint64(mask), np.uint64(distance)
    return ((words >> by) & low) | ((words & low) << by)


def _exchange(words: Words, distance: int, mask: int) -> Words:
    """Swap the bits under `mask` with those `distance` below them (a "delta swap")."""
    by = np.uint64(distance)
    moved: Words = np.uint64(mask) & (words ^ (words << by))
    return words ^ moved ^ (moved >> by)


def turns(board: chess.Board) -> Sequence[int]:
    """The turns that keep a position's meaning: eight without pawns, two with; the first changes nothing."""
    return (0, MIRROR) if board.pawns else range(8)


def turned_board(board: chess.Board, turn: int) -> chess.Board:
    """The position under one of its turns."""
    result = chess.Board(None)
    result.turn = board.turn
    for square, piece in board.piece_map().items():
        result.set_piece_at(turned(turn)[square], piece)
    if board.ep_square is not None:
        result.ep_square = turned(turn)[board.ep_square]
    return result


def symmetric_copies(board: chess.Board) -> tuple[chess.Board, ...]:
    """The position turned and mirrored: eight boards without pawns, two with; the first is itself."""
    return tuple(turned_board(board, turn) for turn in turns(board))


def symmetry_key(board: chess.Board) -> str:
    """The same text for all symmetric copies of a position, colours exchanged or not; another for any other.

    The men of the side to move are written as White's, each with its square ("Kb1 Qd5 kd8"),
    then the square on which a pawn can be taken en passant, if one can. Of all copies, the text
    that comes first in the alphabet. Castling rights are not looked at.
    """
    white = board if board.turn else board.mirror()
    men = [(piece.symbol(), square) for square, piece in white.piece_map().items()]
    if white.ep_square is not None and white.has_legal_en_passant():
        men.append(("x", white.ep_square))
    return min(_written(men, turned(turn)) for turn in turns(board))


def _written(men: list[tuple[str, int]], to: Sequence[int]) -> str:
    return " ".join(sorted(symbol + chess.SQUARE_NAMES[to[square]] for symbol, square in men))
