"""What there is to see in king and pawn against king: squares, distances, opposition.

All features take positions of the ending "P". Where it matters whose move it is, they say so.
"""

import numpy as np

from coachbook.method.bitboards import FILE, RANK, Mask, Numbers, Squares, king_steps
from coachbook.method.positions import Positions, can_be_taken, is_stalemate

_LAST_RANK = 56


def rook_pawn(positions: Positions) -> Mask:
    """The pawn stands on the a- or h-file. Shape (n,)."""
    file = FILE[positions.piece]
    found: Mask = (file == 0) | (file == 7)
    return found


def queening_square(positions: Positions) -> Squares:
    """Where the pawn becomes a queen. Shape (n,)."""
    return (FILE[positions.piece] + _LAST_RANK).astype(np.int8)


def square_ahead(positions: Positions, ranks: int) -> Squares:
    """So many ranks straight ahead of the pawn, at most the last rank. Shape (n,)."""
    rank = np.minimum(RANK[positions.piece] + ranks, 7)
    ahead: Squares = (FILE[positions.piece] + 8 * rank).astype(np.int8)
    return ahead


def pawn_steps(positions: Positions) -> Numbers:
    """Moves the pawn needs to queen; from its first rank it steps twice. Shape (n,)."""
    steps: Numbers = 7 - np.maximum(RANK[positions.piece], 2)
    return steps


def king_in_its_way(positions: Positions) -> Mask:
    """The pawn's own king stands ahead of it on its file. Shape (n,)."""
    same = FILE[positions.king] == FILE[positions.piece]
    found: Mask = same & (RANK[positions.king] > RANK[positions.piece])
    return found


def outside_if_he_moves(positions: Positions) -> Mask:
    """Lone king to move: he can't step into the square of the pawn. Shape (n,)."""
    outside: Mask = king_steps(positions.lone, queening_square(positions)) > pawn_steps(positions) + 1
    return outside


def outside_if_pawn_moves(positions: Positions) -> Mask:
    """Pawn to move: the lone king is outside its square. Shape (n,)."""
    outside: Mask = king_steps(positions.lone, queening_square(positions)) > pawn_steps(positions)
    return outside


def runs(positions: Positions) -> Mask:
    """Lone king to move: he can't catch the pawn, and its own king is out of its way. Shape (n,)."""
    return outside_if_he_moves(positions) & ~king_in_its_way(positions)


def queened(positions: Positions) -> Mask:
    """The pawn has become a queen that can't be taken and doesn't stalemate. Shape (n,)."""
    there: Mask = RANK[positions.piece] == 7
    return there & ~positions.see(can_be_taken) & ~positions.see(is_stalemate)


def files_from_pawn(positions: Positions) -> Numbers:
    """Files between the attacker's king and his pawn. Shape (n,)."""
    apart: Numbers = np.abs(FILE[positions.king] - FILE[positions.piece])
    return apart


def ranks_ahead(positions: Positions) -> Numbers:
    """How many ranks the attacker's king stands ahead of his pawn; negative behind it. Shape (n,)."""
    ahead: Numbers = RANK[positions.king] - RANK[positions.piece]
    return ahead


def close(positions: Positions) -> Mask:
    """Not a rook's pawn, and its king on its file or next to that. Shape (n,)."""
    near: Mask = files_from_pawn(positions) <= 1
    return near & ~rook_pawn(positions)


def on_key_square(positions: Positions) -> Mask:
    """The king stands on a key square of the pawn.

    These are the three squares two ranks ahead, from the fifth rank on also those one rank ahead;
    for a rook's pawn the two squares on the next file that touch the queening corner. Shape (n,).
    """
    ahead = ranks_ahead(positions)
    middle: Mask = close(positions) & ((ahead == 2) | _one_ahead_of_a_far_pawn(positions))
    return middle | rook_key(positions)


def _one_ahead_of_a_far_pawn(positions: Positions) -> Mask:
    found: Mask = (ranks_ahead(positions) == 1) & (RANK[positions.piece] >= 4)
    return found


def rook_key(positions: Positions) -> Mask:
    """The king stands on a key square of a rook's pawn. Shape (n,)."""
    found: Mask = (files_from_pawn(positions) == 1) & (RANK[positions.king] >= 6)
    return found & rook_pawn(positions)


def steps_to_key_square(positions: Positions) -> Numbers:
    """King steps from the attacker's king to the nearest key square. Shape (n,)."""
    file, rank = FILE[positions.piece], RANK[positions.piece]
    nearest = np.full(len(positions), 8, dtype=np.int8)
    for side in (-1, 0, 1):
        for ahead in (1, 2):
            there = (file + side >= 0) & (file + side < 8) & (rank + ahead < 8) & ((ahead == 2) | (rank >= 4))
            square = np.where(there, file + side + 8 * (rank + ahead), 0).astype(np.int8)
            steps = np.where(there, king_steps(positions.king, square), np.int8(8))
            nearest = np.minimum(nearest, steps)
    beside = np.where(file == 0, 1, 6)
    corner = [(beside + 8 * high).astype(np.int8) for high in (6, 7)]
    to_corner = np.minimum(*(king_steps(positions.king, square) for square in corner))
    return np.where(rook_pawn(positions), to_corner, nearest)


def opposition(positions: Positions) -> Mask:
    """Kings an even number of files and of ranks apart: near, far or diagonal opposition. Shape (n,)."""
    files, ranks = FILE[positions.king] - FILE[positions.lone], RANK[positions.king] - RANK[positions.lone]
    even: Mask = (files % 2 == 0) & (ranks % 2 == 0)
    return even


def at_least_as_near(positions: Positions) -> Mask:
    """The attacker's king is at least as near to the pawn as the lone king. Shape (n,)."""
    pawn = positions.piece
    near: Mask = king_steps(positions.king, pawn) <= king_steps(positions.lone, pawn)
    return near
