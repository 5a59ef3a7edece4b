"""Unmoving: the sets of positions from which one move of a man leads into a given set.

Every chess rule is a shift of an array along an axis (see `space`). A slider's move is a
repeated one-square shift over cells in which it stands alone. The packed black king's move
is a shift of bits. The white king, who is kept on few squares by symmetry, may step off
them: then the whole board is turned with him.

Each single move (a direction and a distance) comes as a set of its own, so that they can be
joined ("some move leads there") or counted ("exactly one move does").
"""

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from operator import itemgetter

import chess
import numpy as np

from coachbook.endgame.space import ALL, WHITE, Man, Space
from coachbook.endgame.symmetry import Words, inverse, king_rows, turn_words, turned

Single = tuple[Callable[[Words], Words], Words]
"""A single move's cells, and where they lie: a function from an array of the space to the view of
it that has their shape. The arrays may be reused for the next move: use them at once."""

ALL_MEN = "KQRBNP"

_STRAIGHT = ((0, 1), (0, -1), (1, 0), (-1, 0))
_DIAGONAL = ((1, 1), (1, -1), (-1, 1), (-1, -1))
_JUMPS = ((1, 2), (2, 1), (-1, 2), (-2, 1), (1, -2), (2, -1), (-1, -2), (-2, -1))
_STEPS = {"Q": _STRAIGHT + _DIAGONAL, "R": _STRAIGHT, "B": _DIAGONAL, "N": _JUMPS}
_NEIGHBOURING_FILES = tuple((f, b) for f in range(8) for b in (f - 1, f + 1) if 0 <= b < 8)
_NOT_A, _NOT_H = np.uint64(~chess.BB_FILE_A & chess.BB_ALL), np.uint64(~chess.BB_FILE_H & chess.BB_ALL)


class Unmover:
    """Unmoves the men of one space; keeps the masks that its moves need."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.alone = {man.axis: space.stands_alone(man.axis) for man in space.men}
        self._masks = {man.axis: self._step_masks(man) for man in space.men if not man.is_pawn}
        self._king_steps = _white_king_steps(space.material.has_pawns)

    def some(self, side: int, into: Words, movers: str = ALL_MEN) -> Words:
        """The cells from which some move of this side, by one of these men, leads into the set.

        Cells that are no positions may be among them; the caller masks them.
        """
        found = self.space.empty()
        if "K" in movers:
            self._join_king(found, side, into)
        for man in (each for each in self.space.men_of(side) if each.letter in movers):
            if man.letter in "QRB":
                self._join_slider(found, man, into)
            else:
                _join(found, self.unmoves_of(man, into))
        self._as_before_double_step(side, found)
        if "P" in movers:
            _join(found, self._en_passant(side, into))
        return found

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

    def unmoves_of(self, man: Man, into: Words) -> Iterator[Single]:
        """The single moves of one man."""
        return self._pawn(man, into) if man.is_pawn else self._piece(man, into)

    def _unmoves(self, side: int, into: Words) -> Iterator[Single]:
        """The single moves of one side, en passant aside."""
        yield from self._white_king(into) if side == WHITE else _black_king(into)
        for man in self.space.men_of(side):
            yield from self.unmoves_of(man, into)

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

    def _step_masks(self, man: Man) -> tuple[tuple[int, tuple[Words, ...]], ...]:
        """For each direction: its offset in the flattened space, and the cells with room for one step
        that way (for a slider also: for two, for four)."""
        masks = []
        files, ranks = man.squares % 8, man.squares // 8
        for file_step, rank_step in _STEPS[man.letter]:
            file, rank = files + file_step, ranks + rank_step
            on_board = (file >= 0) & (file < 8) & (rank >= 0) & (rank < 8)
            offset = (file_step + 8 * rank_step) * int(np.prod(self.space.shape[man.axis + 1 :]))
            room = [(self.alone[man.axis] * self.space.along(man.axis, on_board)).reshape(-1)]
            for distance in (1, 2) if man.letter != "N" else ():
                room.append(np.zeros_like(room[-1]))
                _shift_and(room[-2], offset * distance, room[-2], room[-1])
            masks.append((offset, tuple(room)))
        return tuple(masks)

    def _piece(self, man: Man, into: Words) -> Iterator[Single]:
        reach = 1 if man.letter == "N" else 7
        buffers = (self.space.empty().reshape(-1), self.space.empty().reshape(-1))
        for offset, (room, *_) in self._masks[man.axis]:
            here = into.reshape(-1)
            for step in range(reach):
                there = buffers[step % 2]
                _shift_and(here, offset, room, there)
                yield _flat, there
                here = there

    def _join_king(self, found: Words, side: int, into: Words) -> None:
        if side == WHITE:
            _join(found, self._white_king(into))
        else:
            _join_black_king(found, into)

    def _join_slider(self, found: Words, man: Man, into: Words) -> None:
        """All moves of a slider at once: what is reached in a direction doubles with each shift."""
        flat = found.reshape(-1)
        reached, further = np.empty_like(flat), np.empty_like(flat)
        for offset, rooms in self._masks[man.axis]:
            _shift_and(into.reshape(-1), offset, rooms[0], reached)
            for steps, room in zip((1, 2, 4), rooms, strict=True):
                _shift_and(reached, offset * steps, room, further)
                reached |= further
            flat |= reached

    def _pawn(self, pawn: Man, into: Words) -> Iterator[Single]:
        """Ranks are counted from the pawn's own side: index 1 is its first square, 7 its last rank."""
        to, alone = pawn_view(into, pawn), pawn_view(self.alone[pawn.axis], pawn)
        yield lambda a: pawn_view(a, pawn)[:, 1:7], to[:, 2:8] & alone[:, 2:8]
        yield lambda a: pawn_view(a, pawn)[:, 1], to[:, 0] & alone[:, 2]
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


def _join_black_king(found: Words, into: Words) -> None:
    """All his steps at once: sideways first, then up and down from those and from his own square."""
    sideways = (into & _NOT_H) << np.uint64(1)
    sideways |= (into & _NOT_A) >> np.uint64(1)
    found |= sideways
    sideways |= into
    found |= sideways << np.uint64(8)
    found |= sideways >> np.uint64(8)


def _whole(cells: Words) -> Words:
    return cells


def _flat(cells: Words) -> Words:
    return cells.reshape(-1)


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
    """The array as (before, rank, file, after), ranks counted from the pawn's own side."""
    before = int(np.prod(cells.shape[: pawn.axis]))
    view = cells.reshape(before, 8, 8, -1)
    return view if pawn.side == WHITE else view[:, ::-1]


def turn_cells(row: Words, turn: int) -> Words:
    """The cells of one row (fixed white king) as they lie before the turn that leads to them."""
    if turn == 0:
        return row
    for axis in range(row.ndim):
        row = row.take(np.array(turned(turn)), axis=axis)
    return turn_words(row, inverse(turn))


def _shift_and(here: Words, offset: int, mask: Words, there: Words) -> None:
    """there[i] = here[i + offset] & mask[i], zero beyond the ends; all flat."""
    if offset > 0:
        np.bitwise_and(here[offset:], mask[:-offset], out=there[:-offset])
        there[-offset:] = 0
    else:
        np.bitwise_and(here[:offset], mask[-offset:], out=there[-offset:])
        there[:-offset] = 0


def _white_king_steps(has_pawns: bool) -> tuple[tuple[int, int, int], ...]:
    """All his steps: the row he starts from, and the row and turn of the square he steps to."""
    rows = king_rows(has_pawns)
    return tuple(
        (rows[square][0], *rows[target])
        for square in range(64)
        if rows[square][1] == 0
        for target in chess.SquareSet(chess.BB_KING_ATTACKS[square])
    )
