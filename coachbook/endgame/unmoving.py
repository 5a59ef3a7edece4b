"""Unmoving: the sets of positions from which one move of a man leads into a given set.

Every chess rule is a shift of an array along an axis (see `space`). A slider's move is a
repeated one-square shift over cells in which it stands alone. The packed black king's move
is a shift of bits. The white king, who is kept on few squares by symmetry, may step off
them: then the whole board is turned with him.

Each single move (a direction and a distance) comes as a set of its own, so that they can be
counted ("exactly one move leads there"). Where they are only joined ("some move leads there")
it is quicker to make all moves of a piece at once: see `joined_moves`.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import product
from math import prod
from operator import itemgetter

import chess
import numpy as np

from coachbook.endgame.joined_moves import (
    JUMPS,
    KING_STEPS,
    SLIDES,
    add_to,
    ends,
    join_black_king,
    jump,
    pieces,
    slide,
    squares_first,
    starts,
)
from coachbook.endgame.space import ALL, WHITE, Man, Space
from coachbook.endgame.symmetry import Words, inverse, king_rows, turn_words, turned

Single = tuple[Callable[[Words], Words], Words]
"""A single move's cells, and where they lie: a function from an array of the space to the view of
it that has their shape."""

ALL_MEN = "KQRBNP"

_STEPS = {**SLIDES, "N": JUMPS}
_NEIGHBOURING_FILES = tuple((f, b) for f in range(8) for b in (f - 1, f + 1) if 0 <= b < 8)
_NOT_A, _NOT_H = np.uint64(~chess.BB_FILE_A & chess.BB_ALL), np.uint64(~chess.BB_FILE_H & chess.BB_ALL)


class Unmover:
    """Unmoves the men of one space; keeps where each of them stands alone."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.alone = {man.axis: space.stands_alone(man.axis) for man in space.men}
        self._room = {
            man.axis: [squares_first(self.alone[man.axis], each) for each in pieces(space.shape, man.axis)]
            for man in space.men
            if not man.is_pawn
        }
        self._king_steps = _white_king_steps(space.material.has_pawns) if space.file is None else ()

    def some(self, side: int, into: Words, movers: str = ALL_MEN) -> Words:
        """The cells from which some move of this side, by one of these men, leads into the set.

        Cells that are no positions may be among them; the caller masks them.
        """
        found = self.space.empty()
        if "K" in movers:
            self._join_king(found, side, into)
        for man in (each for each in self.space.men_of(side) if each.letter in movers):
            self.join_man(found, man, into)
        self._as_before_double_step(side, found)
        if "P" in movers:
            _join(found, self._en_passant(side, into))
        return found

    def join_man(self, found: Words, man: Man, into: Words) -> None:
        """Add to `found` the cells from which some move of this man leads into the set."""
        if man.is_pawn:
            _join(found, self._pawn(man, into))
            return
        for piece, room in zip(pieces(self.space.shape, man.axis), self._room[man.axis], strict=True):
            here = squares_first(into, piece)
            if here.any():
                is_slider = man.letter in SLIDES
                there = slide(here, room, SLIDES[man.letter]) if is_slider else jump(here, JUMPS) & room
                add_to(found, piece, there)

    def count(self, side: int, into: Words, promotions: Sequence[Words] = ()) -> Sequence[Words]:
        """How many moves of this side lead from each cell into the set.

        A promotion to any piece leads to the same cell of `into`; to count several of them give
        the cells of the others as sets of their own. Comes as binary digits, the ones first.
        """
        digits = [self.space.empty()]
        for place, single in self._unmoves(side, into):
            _add(digits, place, single)
        for pawn, promoted in product(self.space.men_of(side), promotions):
            if pawn.is_pawn:
                for place, single in self._pawn(pawn, promoted):
                    _add(digits, place, single)
        for digit in digits:
            self._as_before_double_step(side, digit)
        for place, single in self._en_passant(side, into):
            _add(digits, place, single)
        return digits

    def _unmoves(self, side: int, into: Words) -> Iterator[Single]:
        """The single moves of one side, en passant aside."""
        yield from self._white_king(into) if side == WHITE else _black_king(into)
        for man in self.space.men_of(side):
            yield from self._pawn(man, into) if man.is_pawn else self._piece(man, into)

    def _as_before_double_step(self, side: int, found: Words) -> None:
        """An enemy pawn that has just made its double step stands on its fourth rank like any other."""
        for pawn in self.space.men_of(1 - side):
            if pawn.is_pawn:
                at = self.space.at
                found[at({pawn.axis: pawn.just_pushed})] = found[at({pawn.axis: pawn.after_double_step})]

    def _en_passant(self, side: int, into: Words) -> Iterator[Single]:
        """Captures en passant: each leads to the cell of taking a pawn that had made a single step."""
        for pawn, taken in product(self.space.men_of(side), self.space.men_of(1 - side)):
            if pawn.is_pawn and taken.is_pawn:
                for file, beside in _NEIGHBOURING_FILES:
                    behind = (40 if side == WHITE else 16) + file
                    start = taken.after_double_step.start + beside
                    where = self.space.at({pawn.axis: start, taken.axis: taken.just_pushed.start + file})
                    single = into[self.space.at({pawn.axis: behind, taken.axis: behind})]
                    yield itemgetter(where), single

    def _piece(self, man: Man, into: Words) -> Iterator[Single]:
        """A set for each step: the squares from which it stays on the board are a part of the board."""
        board, alone = _on_board(into, man), _on_board(self.alone[man.axis], man)
        for file_step, rank_step in _STEPS[man.letter]:
            here = board
            for distance in range(1, 2 if man.letter == "N" else 8):
                start = (starts(rank_step * distance), starts(file_step * distance))
                here = here[:, ends(rank_step), ends(file_step)] & alone[:, *start]
                yield partial(_part_of_board, man, start), here

    def _join_king(self, found: Words, side: int, into: Words) -> None:
        if side != WHITE:
            join_black_king(found, into)
        elif self.space.file is None:
            _join(found, self._white_king(into))
        else:
            for piece in pieces(self.space.shape, 0):
                add_to(found, piece, jump(squares_first(into, piece), KING_STEPS))

    def _pawn(self, pawn: Man, into: Words) -> Iterator[Single]:
        """Ranks are counted from the pawn's own side: index 1 is its first square, 7 its last rank."""
        to, alone = pawn_view(into, pawn), pawn_view(self.alone[pawn.axis], pawn)
        yield lambda a: pawn_view(a, pawn)[:, 1:7], to[:, 2:8] & alone[:, 2:8]
        yield lambda a: pawn_view(a, pawn)[:, 1], to[:, 0] & alone[:, 2]
        if pawn.file is None:  # captures leave a slice
            taking = to[:, 2:8] & ~alone[:, 2:8]
            yield lambda a: pawn_view(a, pawn)[:, 1:7, :7], taking[:, :, 1:]
            yield lambda a: pawn_view(a, pawn)[:, 1:7, 1:], taking[:, :, :7]

    def _white_king(self, into: Words) -> Iterator[Single]:
        turned_rows: dict[tuple[int, int], Words] = {}
        for start, row, turn in self._king_steps:
            if (row, turn) not in turned_rows:
                turned_rows[row, turn] = turn_cells(into[row], turn)
            yield itemgetter(start), turned_rows[row, turn]


def _black_king(into: Words) -> Iterator[Single]:
    for shift, keep in ((8, ALL), (1, _NOT_A), (9, _NOT_A), (7, _NOT_H)):
        yield _whole, (into << np.uint64(shift)) & keep
    for shift, keep in ((8, ALL), (1, _NOT_H), (9, _NOT_H), (7, _NOT_A)):
        yield _whole, (into >> np.uint64(shift)) & keep


def _join(found: Words, singles: Iterator[Single]) -> None:
    for place, single in singles:
        view = place(found)
        view |= single


def _whole(cells: Words) -> Words:
    return cells


def _add(digits: list[Words], place: Callable[[Words], Words], single: Words) -> None:
    """Count one more in the cells of a single move: binary addition with carry."""
    carry = single
    for digit in digits:
        view = place(digit)
        carry, view[...] = view & carry, view ^ carry
    if carry.any():
        digits.append(np.zeros_like(digits[0]))
        place(digits[-1])[...] = carry


def pawn_view(cells: Words, pawn: Man) -> Words:
    """The array as (before, rank, file, after), ranks counted from the pawn's own side; in a slice there is
    one file."""
    view = _on_board(cells, pawn)
    return view if pawn.side == WHITE else view[:, ::-1]


def _on_board(cells: Words, man: Man) -> Words:
    """The array as (before, rank, file, after)."""
    return cells.reshape(prod(cells.shape[: man.axis]), 8, man.length // 8, -1)


def _part_of_board(man: Man, squares: tuple[slice, slice], cells: Words) -> Words:
    return _on_board(cells, man)[:, *squares]


def turn_cells(row: Words, turn: int) -> Words:
    """The cells of one row (fixed white king) as they lie before the turn that leads to them."""
    if turn == 0:
        return row
    for axis in range(row.ndim):
        row = row.take(np.array(turned(turn)), axis=axis)
    return turn_words(row, inverse(turn))


def _white_king_steps(has_pawns: bool) -> tuple[tuple[int, int, int], ...]:
    """All his steps: the row he starts from, and the row and turn of the square he steps to."""
    rows = king_rows(has_pawns)
    return tuple(
        (rows[square][0], *rows[target])
        for square in range(64)
        if rows[square][1] == 0
        for target in chess.SquareSet(chess.BB_KING_ATTACKS[square])
    )
