"""Every legal move of every position at once, and the two sides of an ending.

The rows of `Moves` are sorted by position; `of` says which position a row belongs to.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum, StrEnum
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from coachbook.method.his_rook import (
    NO_SQUARES,
    is_checked,
    loses_a_man,
    pawn_takes,
    rook_goals,
    settled,
)
from coachbook.method.positions import (
    BIT,
    KING,
    RANK,
    Bits,
    Mask,
    Positions,
    Squares,
    attacked_by_piece,
    can_be_taken,
    free_steps,
    in_check,
    is_taken,
)

Rows = NDArray[np.int64]

_HOME_RANK = np.uint64(0xFF00)


@dataclass(frozen=True, slots=True, eq=False)
class Moves:
    """m moves: the position each is `of`, which `man` moves, and the positions `after`.

    `man` is 0 for the attacker's king, 1 for the first of `pieces`, 2 for the second, -1 for the lone
    king. All have shape (m,).
    """

    of: Rows
    man: Squares
    after: Positions

    def take(self, rows: NDArray[Any]) -> Self:
        """These rows (indices or a mask) only."""
        return type(self)(self.of[rows], self.man[rows], self.after.take(rows))

    def squares(self) -> Squares:
        """The square each move goes to. Shape (m,)."""
        after = self.after
        columns = np.stack((after.king, *after.others, after.lone))
        return columns[self.man, np.arange(len(self.of))]


def attacker_moves(positions: Positions) -> Moves:
    """The attacker's legal moves. No position may have the lone king in check."""
    goals = [KING[positions.king] & ~KING[positions.lone]]
    goals += [_piece_goals(positions, number) for number in range(len(positions.own))]
    taken = BIT[positions.lone]
    for man in (positions.king, *positions.own):
        taken = taken | BIT[man]
    of, man, to = _unpacked([squares & ~taken for squares in goals])
    men = [column[of] for column in positions.men]
    for number, place in enumerate((0, *range(2, 2 + len(positions.own)))):
        men[place] = np.where(man == number, to, men[place])
    if not positions.has_his_rook:
        return Moves(of, man, Positions(positions.pieces, men))
    after = settled(positions, of, men, to)
    return Moves(of, man, after).take(~after.see(is_checked))


def lone_king_moves(positions: Positions) -> Moves:
    """The lone king's legal moves; when he takes a piece he stands on its square (`has_taken`)."""
    of, _, to = _unpacked([positions.see(free_steps)])
    men = [column[of] for column in positions.men]
    men[1] = to
    return Moves(of, np.full(len(of), -1, dtype=np.int8), Positions(positions.pieces, men))


def moves_with_rook(positions: Positions) -> Moves:
    """The legal moves of a defender who has, or had, a rook besides his king."""
    of, place, to = _unpacked([positions.see(free_steps), rook_goals(positions)])
    men = [column[of] for column in positions.men]
    men[1] = np.where(place == 0, to, men[1])
    men[-1] = np.where(place == 1, to, men[-1])
    after = settled(positions, of, men, to)
    man = np.where(place == 0, -1, len(positions.pieces)).astype(np.int8)
    return Moves(of, man, after).take(~after.see(in_check))


def has_taken(positions: Positions) -> Mask:
    """After a lone king's move: he stands on the square of a piece. Shape (n,)."""
    taken: Mask = positions.lone == positions.piece
    for man in positions.others[1:]:
        taken = taken | (positions.lone == man)
    return taken


def rows_of(moves: Moves, positions: int) -> Rows:
    """How many moves each of n positions has. Shape (n,)."""
    return np.bincount(moves.of, minlength=positions)


def joined(parts: Sequence[Moves]) -> Moves:
    """All moves of the parts (of the same positions), sorted by position again."""
    of: Rows = np.concatenate([part.of for part in parts])
    order = np.argsort(of, kind="stable")
    columns = zip(*(part.after.men for part in parts), strict=True)
    men = [np.concatenate(column)[order] for column in columns]
    man = np.concatenate([part.man for part in parts])[order]
    return Moves(of[order], man, Positions(parts[0].after.pieces, men))


def _piece_goals(positions: Positions, number: int) -> Bits:
    if positions.pieces[number] != "P":
        return attacked_by_piece(positions, number)
    goals = _pushes(positions, number)
    if positions.has_his_rook:
        goals = np.where(is_taken(positions, number), NO_SQUARES, goals | pawn_takes(positions, number))
    return goals


def _pushes(positions: Positions, number: int) -> Bits:
    square = positions.others[number]
    blocked = BIT[positions.king]
    for man in positions.men[1:]:
        blocked = blocked | BIT[man]
    one = (BIT[square] << np.uint64(8)) & ~blocked
    from_home = BIT[square] & _HOME_RANK
    two: Bits = (from_home << np.uint64(16)) & (one << np.uint64(8)) & ~blocked
    return one | two


def _unpacked(goals: Sequence[Bits]) -> tuple[Rows, Squares, Squares]:
    """Sets of squares, one per man, as rows: position, man, square; sorted in that order."""
    planes = np.stack(goals, axis=1).astype("<u8").view(np.uint8)
    of, place = np.nonzero(np.unpackbits(planes, axis=1, bitorder="little"))
    return of, (place // 64).astype(np.int8), (place % 64).astype(np.int8)


class Side(Enum):
    """Who follows a method: the side with the pieces, or the lone king."""

    ATTACKER = "attacker"
    LONE_KING = "lone king"

    @property
    def other(self) -> "Side":
        return Side.LONE_KING if self is Side.ATTACKER else Side.ATTACKER

    def moves(self, positions: Positions) -> Moves:
        """All moves of this side, which is to move."""
        if self is Side.ATTACKER:
            return attacker_moves(positions)
        return moves_with_rook(positions) if positions.has_his_rook else lone_king_moves(positions)

    def has_lost(self, positions: Positions) -> Mask:
        """After the other side's reply: all is lost. Shape (n,).

        For the attacker a piece is taken; by a side with a rook, so that he can't take the rook back. For the
        lone king the pawn has been promoted out of his reach; that counts as lost even where the new queen
        stalemates, for a rook might not.
        """
        if self is Side.ATTACKER:
            return loses_a_man(positions) if positions.has_his_rook else has_taken(positions)
        there: Mask = RANK[positions.piece] == 7
        return there & ~positions.see(can_be_taken)


class Aim(StrEnum):
    """What a method promises. A rook more: your rook against his king alone."""

    MATE = "mate"
    QUEEN = "a safe queen"
    QUEEN_OR_ROOK = "a safe queen or a rook more"
    DRAW = "a draw"
