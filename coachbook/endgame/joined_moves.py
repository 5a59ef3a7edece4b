"""All moves of one man at once: joined, not counted, in pieces of the space that stay in the processor's
cache.

A piece is some cells for each square of the man. Its squares are brought to the front, as
an array of ranks, files and cells, so that a step of the man is a shift along the first two axes.
"""

from collections.abc import Iterator, Sequence
from math import prod

import chess
import numpy as np

from coachbook.endgame.symmetry import Words

Piece = tuple[int, slice, slice]
"""The axis of the man, and a part of the cells before it and of those after it."""

Step = tuple[int, int]
"""Files and ranks."""

STRAIGHT: tuple[Step, ...] = ((0, 1), (0, -1), (1, 0), (-1, 0))
DIAGONAL: tuple[Step, ...] = ((1, 1), (1, -1), (-1, 1), (-1, -1))
JUMPS: tuple[Step, ...] = ((1, 2), (2, 1), (-1, 2), (-2, 1), (1, -2), (2, -1), (-1, -2), (-2, -1))
SLIDES = {"Q": STRAIGHT + DIAGONAL, "R": STRAIGHT, "B": DIAGONAL}
KING_STEPS = STRAIGHT + DIAGONAL

_WIDTH = 2040
"""Cells of a piece for each square: all together take 1 MB. No power of two, for then the cells of all
squares would want the same place in the cache."""
_NOT_A, _NOT_H = np.uint64(~chess.BB_FILE_A & chess.BB_ALL), np.uint64(~chess.BB_FILE_H & chess.BB_ALL)


def pieces(shape: Sequence[int], axis: int) -> Iterator[Piece]:
    """The pieces of a space of this shape for the man of an axis, who has 64 squares."""
    before, after = prod(shape[:axis]), prod(shape[axis + 1 :])
    columns = min(after, _WIDTH)
    rows = _WIDTH // columns
    for row in range(0, before, rows):
        for column in range(0, after, columns):
            yield axis, slice(row, row + rows), slice(column, column + columns)


def squares_first(cells: Words, piece: Piece) -> Words:
    """The cells of a piece, shape (8 ranks, 8 files, n): a copy, or the cells themselves where they lie
    so."""
    return np.ascontiguousarray(_cells_of(cells, piece).swapaxes(0, 1)).reshape(8, 8, -1)


def add_to(cells: Words, piece: Piece, found: Words) -> None:
    """Add what was found in a piece, as `squares_first` gives it, to a set."""
    view = _cells_of(cells, piece)
    rows, squares, columns = view.shape
    view |= found.reshape(squares, rows, columns).swapaxes(0, 1)


def _cells_of(cells: Words, piece: Piece) -> Words:
    """Shape (cells before, 64 squares, cells after)."""
    axis, rows, columns = piece
    before = prod(cells.shape[:axis])
    return cells.reshape(before, 64, -1)[rows, :, columns]


def slide(into: Words, room: Words, steps: Sequence[Step]) -> Words:
    """From where a man that slides these ways comes into a set; `room`: where he stands alone."""
    found = np.zeros_like(into)
    for file_step, rank_step in steps:
        if rank_step:
            _sweep(into, room, found, rank_step, file_step)
        else:
            _sweep(into.swapaxes(0, 1), room.swapaxes(0, 1), found.swapaxes(0, 1), file_step, 0)
    return found


def _sweep(into: Words, room: Words, found: Words, ahead: int, aside: int) -> None:
    """One direction, line by line from the far edge: a line comes into the set from where it can step there,
    and from where it can step to what the line before has reached."""
    start, to = starts(aside), ends(aside)
    reached, before = np.zeros_like(into[0]), np.zeros_like(into[0])
    for line in range(6, -1, -1) if ahead > 0 else range(1, 8):
        reached, before = before, reached
        step = reached[start]
        np.bitwise_or(into[line + ahead, to], before[to], out=step)
        step &= room[line, start]
        found[line, start] |= step


def jump(into: Words, steps: Sequence[Step]) -> Words:
    """From where a man that jumps by these steps comes into a set."""
    found = np.zeros_like(into)
    for file_step, rank_step in steps:
        found[starts(rank_step), starts(file_step)] |= into[ends(rank_step), ends(file_step)]
    return found


def starts(step: int) -> slice:
    """The lines from which this step stays on the board."""
    return slice(max(-step, 0), 8 - max(step, 0))


def ends(step: int) -> slice:
    """The lines where it ends; of fewer than eight those that are left after one more step."""
    return slice(max(step, 0), min(step, 0) or None)


def join_black_king(found: Words, into: Words) -> None:
    """Add to `found` from where the black king, who is packed in the words, comes into the set: sideways
    first, then up and down from those and from his own square."""
    flat_found, flat_into = found.reshape(-1), into.reshape(-1)
    for start in range(0, len(flat_into), 64 * _WIDTH):
        here = flat_into[start : start + 64 * _WIDTH]
        if here.any():
            there = flat_found[start : start + 64 * _WIDTH]
            sideways = (here & _NOT_H) << np.uint64(1)
            sideways |= (here & _NOT_A) >> np.uint64(1)
            there |= sideways
            sideways |= here
            there |= sideways << np.uint64(8)
            there |= sideways >> np.uint64(8)
