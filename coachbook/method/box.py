"""The lone king's box, in two exact senses.

*Walls*: the rectangle that the piece's rank and file cut off around the lone king; what a coach
draws on the board. It looks at the first piece only. The rank and file themselves don't belong
to it. There is no box while the lone king stands on them, and the fence is *broken* while the
attacker's own king stands on a wall with more than one wall square behind him.

*Region*: every square that the lone king could reach if the other side stood still and its men
could not be taken. His own square counts unless he is in check on it; lines are seen through him.

The queen's method uses the walls (and asks the region for two squares), the rook's the region.
"""

import numpy as np

from coachbook.method.positions import (
    BIT,
    FILE,
    RANK,
    SHADOW,
    Bits,
    Mask,
    Numbers,
    Positions,
    attacked,
    count,
    on,
    spread,
)

NO_BOX = np.int8(64)
"""The size of a box that is not there: as large as the board."""


def _sides() -> Bits:
    """SIDES[0..3]: for each square the files left, files right, ranks below, ranks above."""
    sides = np.zeros((4, 64), dtype=np.uint64)
    for square in range(64):
        beyond = (FILE[square] > FILE, FILE[square] < FILE, RANK[square] > RANK, RANK[square] < RANK)
        for side, squares in enumerate(beyond):
            sides[side, square] = np.bitwise_or.reduce(BIT[squares], initial=np.uint64(0))
    return sides


_LEFT, _RIGHT, _BELOW, _ABOVE = _sides()


def walls(positions: Positions) -> Bits:
    """The squares of the box by walls, the fence broken or not; empty without a box. Shape (n,)."""
    across, along = _halves(positions)
    return across & along


def walls_broken(positions: Positions) -> Mask:
    """Her own king stands on a wall with more than one wall square behind him. Shape (n,)."""
    piece, king = positions.piece, positions.king
    across, along = _halves(positions)
    on_rank = (RANK[king] == RANK[piece]) & on(across, king)
    on_file = (FILE[king] == FILE[piece]) & on(along, king)
    broken: Mask = (on_rank | on_file) & (count(SHADOW[piece, king]) > 1)
    return broken


def rectangle_size(positions: Positions) -> Numbers:
    """How many squares the box by walls holds, the fence broken or not; NO_BOX without a box. Shape (n,)."""
    size = count(positions.see(walls))
    return np.where(size == 0, NO_BOX, size).astype(np.int8)


def walls_size(positions: Positions) -> Numbers:
    """How many squares the box by walls holds; NO_BOX without a box or with a broken fence. Shape (n,)."""
    return np.where(walls_broken(positions), NO_BOX, rectangle_size(positions)).astype(np.int8)


def region(positions: Positions) -> Bits:
    """The squares of the region. Shape (n,)."""
    closed = _closed(positions)
    reached = BIT[positions.lone]
    while True:
        further = (spread(reached) & ~closed) | reached
        if np.array_equal(further, reached):
            return reached & ~positions.see(attacked)
        reached = further


def has_two_squares(positions: Positions) -> Mask:
    """The region holds at least two squares; two steps are enough to find them. Shape (n,)."""
    closed = _closed(positions)
    near = BIT[positions.lone] | (spread(BIT[positions.lone]) & ~closed)
    near = near | (spread(near) & ~closed)
    found: Mask = count(near & ~positions.see(attacked)) >= 2
    return found


def region_size(positions: Positions) -> Numbers:
    """How many squares the region holds, 0 to 64. Shape (n,)."""
    return count(positions.see(region))


def _closed(positions: Positions) -> Bits:
    """Squares that the lone king can't walk to: attacked, or with a man on them. Shape (n,)."""
    closed = positions.see(attacked)
    for man in (positions.king, *positions.others):
        closed = closed | BIT[man]
    return closed


def _halves(positions: Positions) -> tuple[Bits, Bits]:
    """The half boards beside the piece's file and rank on which the lone king stands."""
    piece, lone = positions.piece, BIT[positions.lone]
    left, right, below, above = _LEFT[piece], _RIGHT[piece], _BELOW[piece], _ABOVE[piece]
    across = np.where(left & lone, left, np.where(right & lone, right, np.uint64(0)))
    along = np.where(below & lone, below, np.where(above & lone, above, np.uint64(0)))
    return across, along
