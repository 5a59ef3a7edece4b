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


def _half_boards(line: Numbers) -> Bits:
    """For each square of a piece and of the lone king the half board on which he stands beside the piece's
    line; empty where he stands on it. `line` is FILE or RANK. Shape (64, 64)."""
    sides = np.sign(np.subtract.outer(line, line).astype(np.int8))
    half = np.zeros((64, 64), dtype=np.uint64)
    for side in (-1, 1):
        bits = np.where(sides == side, BIT[:, None], np.uint64(0)).sum(axis=0, dtype=np.uint64)
        half += np.where(side == sides.T, bits[:, None], np.uint64(0))
    return half


_ACROSS, _ALONG = _half_boards(FILE), _half_boards(RANK)


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
    return _ACROSS[positions.piece, positions.lone], _ALONG[positions.piece, positions.lone]
