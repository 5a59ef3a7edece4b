"""A defender who has a rook besides his king: what it attacks, and what comes of men that were taken.

`Positions` says how such an ending is written down. What these functions take is of such an ending.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from coachbook.method.positions import (
    BIT,
    KING,
    PAWN,
    ROOK,
    Bits,
    Mask,
    Positions,
    Squares,
    attacked_by_piece,
    is_taken,
    on,
    seen_past,
)

NO_SQUARES = np.uint64(0)
_HIS_ROOK = -1


def rook_is_gone(positions: Positions) -> Mask:
    """His rook was taken. Shape (n,)."""
    return is_taken(positions, _HIS_ROOK)


def rook_sees(positions: Positions) -> Bits:
    """The squares that his rook attacks; none if it was taken. Shape (n,)."""
    men = (positions.king, positions.lone, *positions.own)
    seen = seen_past(ROOK, positions.others[_HIS_ROOK], *men)
    return np.where(rook_is_gone(positions), NO_SQUARES, seen)


def rook_goals(positions: Positions) -> Bits:
    """Where his rook may go, captures included; a check that it leaves is not looked at. Shape (n,)."""
    return positions.see(rook_sees) & ~BIT[positions.lone] & ~BIT[positions.king]


def is_checked(positions: Positions) -> Mask:
    """His rook attacks the attacker's king. Shape (n,)."""
    return on(positions.see(rook_sees), positions.king)


def pawn_takes(positions: Positions, number: int) -> Bits:
    """The square of his rook, where the pawn that is piece `number` can take it. Shape (n,)."""
    return PAWN[positions.others[number]] & BIT[positions.others[_HIS_ROOK]]


def settled(before: Positions, of: NDArray[Any], men: Sequence[Squares], to: Squares) -> Positions:
    """The positions after moves to the squares `to`, from the squares of the men after them: what stood
    there is taken, and what was taken goes with the king. Shape (m,)."""
    king = men[0]
    columns = [king, men[1]]
    for place in range(2, len(men)):
        was = before.men[place][of]
        gone = (was == before.king[of]) | (was == to)
        columns.append(np.where(gone, king, men[place]))
    return Positions(before.pieces, columns)


def loses_a_man(positions: Positions) -> Mask:
    """Attacker to move: his rook or his pawn was taken, and he can't take the rook that did so. Where both
    rooks were taken, his pawn alone counts. Shape (n,)."""
    pawn, rook = (is_taken(positions, positions.pieces.index(letter)) for letter in "PR")
    gone = rook_is_gone(positions)
    return np.where(gone, pawn, (pawn | rook) & ~_takes_back(positions))


def _takes_back(positions: Positions) -> Mask:
    """A man of the attacker's attacks his rook; his king, only where the other king does not guard it. Shape
    (n,)."""
    found = on(KING[positions.king] & ~KING[positions.lone], positions.others[_HIS_ROOK])
    for number in range(len(positions.own)):
        found |= on(attacked_by_piece(positions, number), positions.others[_HIS_ROOK])
    return found
