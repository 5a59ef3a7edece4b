"""Small tables over the 64 squares, from which every rule sees the board.

A square is its index (a1 is 0, h8 is 63); a set of squares is a uint64 with bit `square` set.
All tables are arrays indexed by squares, so that thousands of positions are looked at in one step.
Lines of queen and rook are those of an empty board; a man in the way casts a shadow:
`lines[piece] & ~SHADOW[piece, man]` is what the piece attacks past him.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

Bits = NDArray[np.uint64]
Squares = NDArray[np.int8]
Numbers = NDArray[np.int8]
Mask = NDArray[np.bool_]

_STRAIGHT = ((0, 1), (1, 0), (0, -1), (-1, 0))
_DIAGONAL = ((1, 1), (1, -1), (-1, -1), (-1, 1))
_JUMPS = ((1, 2), (2, 1), (2, -1), (1, -2), (-1, -2), (-2, -1), (-2, 1), (-1, 2))


def _bits(squares: Iterable[int]) -> int:
    return sum({1 << square for square in squares})


def _walk(square: int, step: tuple[int, int], reach: int) -> list[int]:
    """The squares met when going from `square` by `step`, at most `reach` times."""
    met: list[int] = []
    file, rank = square % 8 + step[0], square // 8 + step[1]
    while 0 <= file < 8 and 0 <= rank < 8 and len(met) < reach:
        met.append(file + 8 * rank)
        file, rank = file + step[0], rank + step[1]
    return met


def _steps(steps: Iterable[tuple[int, int]], reach: int) -> Bits:
    every = tuple(steps)
    return np.array(
        [_bits(met for step in every for met in _walk(square, step, reach)) for square in range(64)],
        dtype=np.uint64,
    )


def _shadows() -> Bits:
    shadows = np.zeros((64, 64), dtype=np.uint64)
    for square in range(64):
        for step in _STRAIGHT + _DIAGONAL:
            met = _walk(square, step, 7)
            for place, man in enumerate(met):
                shadows[square, man] = _bits(met[place + 1 :])
    return shadows


_INDEX = np.arange(64, dtype=np.int8)
FILE: Squares = _INDEX % 8
RANK: Squares = _INDEX // 8

BIT: Bits = np.uint64(1) << np.arange(64, dtype=np.uint64)
"""The set that holds just this square. Shape (64,)."""

KING: Bits = _steps(_STRAIGHT + _DIAGONAL, 1)
KNIGHT: Bits = _steps(_JUMPS, 1)
ROOK: Bits = _steps(_STRAIGHT, 7)
BISHOP: Bits = _steps(_DIAGONAL, 7)
QUEEN: Bits = ROOK | BISHOP
PAWN: Bits = _steps(((-1, 1), (1, 1)), 1)
"""What a white pawn attacks."""

SHADOW: Bits = _shadows()
"""SHADOW[piece, man]: the squares behind `man`, seen from `piece`; none if they share no line."""

_FILES_APART: Squares = np.abs(FILE[:, None] - FILE[None, :])
_RANKS_APART: Squares = np.abs(RANK[:, None] - RANK[None, :])
_KING_STEPS: Squares = np.maximum(_FILES_APART, _RANKS_APART)
_FILES_PLUS_RANKS: Squares = _FILES_APART + _RANKS_APART


def king_steps(here: Squares, there: Squares) -> Numbers:
    """How many steps a king needs from here to there on an empty board. Shape (n,)."""
    steps: Numbers = _KING_STEPS[here, there]
    return steps


def files_plus_ranks(here: Squares, there: Squares) -> Numbers:
    """How many files plus how many ranks lie between here and there. Shape (n,)."""
    apart: Numbers = _FILES_PLUS_RANKS[here, there]
    return apart


def on(sets: Bits, squares: Squares) -> Mask:
    """Whether each square belongs to its set. Shape (n,)."""
    return not_empty(sets & BIT[squares])


def not_empty(sets: Bits) -> Mask:
    """Whether each set holds any square. Same shape."""
    return sets.astype(np.bool_)


def count(sets: Bits) -> Numbers:
    """How many squares each set holds. Same shape."""
    return np.bitwise_count(sets).astype(np.int8)


def spread(sets: Bits) -> Bits:
    """Each set and all squares a king's step away from it. Same shape."""
    # np.uint64 scalars keep the shifts unsigned; the masks stop a step over the board's edge.
    one, eight = np.uint64(1), np.uint64(8)
    wide = sets | ((sets & _NOT_H) << one) | ((sets & _NOT_A) >> one)
    grown: Bits = wide | (wide << eight) | (wide >> eight)
    return grown


_NOT_A = np.uint64(_bits(square for square in range(64) if square % 8 != 0))
_NOT_H = np.uint64(_bits(square for square in range(64) if square % 8 != 7))


def squares_in(squares: int) -> tuple[int, ...]:
    """The squares of one set, in order."""
    return tuple(square for square in range(64) if squares >> square & 1)
