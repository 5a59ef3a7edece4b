"""What there is to see in king and pawn against king, and what the tables say of it.

All features take positions of the ending "P". Where it matters whose move it is, they say so. *Pictures*
are aims that a child can see after a move: in each the lone king is to move, and the pawn queens by force
unless he is stalemated. That is held against every position, picture by picture, in
tests/method/test_king_and_pawn_verdicts.py.
"""

from functools import cache

import numpy as np

from coachbook.endgame.space import BLACK, WHITE
from coachbook.method.moves import Side
from coachbook.method.positions import (
    FILE,
    KING,
    RANK,
    Feature,
    Mask,
    Numbers,
    Positions,
    Squares,
    can_be_taken,
    free_steps,
    is_stalemate,
    king_steps,
    on,
)
from coachbook.method.starts import Codes, canonical, decode, is_legal, is_set_up, table_values

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


def steps_to_its_way(positions: Positions) -> Numbers:
    """Steps of the pawn's king to the pawn, or the nearest of the squares ahead of it. Shape (n,)."""
    below = np.maximum(RANK[positions.piece] - RANK[positions.king], 0)
    steps: Numbers = np.maximum(files_from_pawn(positions), below)
    return steps


def king_too_far(positions: Positions) -> Mask:
    """The pawn's king is too far away to help it: at least two steps farther from the pawn and the squares
    ahead of it than the lone king is from the pawn. Shape (n,)."""
    far: Mask = steps_to_its_way(positions) > king_steps(positions.lone, positions.piece) + 1
    return far


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


def far_ahead(positions: Positions) -> Mask:
    """King two or more ranks ahead (a rook's pawn: on a key square), and as near to the pawn as he is."""
    ahead: Mask = ranks_ahead(positions) >= 2
    return ((close(positions) & ahead) | rook_key(positions)) & at_least_as_near(positions)


def ahead_of_a_far_pawn(positions: Positions) -> Mask:
    """Pawn on its fifth rank or further, king close and one rank ahead. Shape (n,)."""
    ahead: Mask = (ranks_ahead(positions) == 1) & (RANK[positions.piece] >= 4)
    return close(positions) & ahead


def ahead_with_opposition(positions: Positions) -> Mask:
    """King close and ahead of the pawn, in opposition, and he not behind that king. Shape (n,)."""
    ahead: Mask = (ranks_ahead(positions) >= 1) & (RANK[positions.lone] >= RANK[positions.king])
    return close(positions) & ahead & opposition(positions)


def shield(positions: Positions) -> Mask:
    """King close and one rank ahead; the lone king at most two ranks ahead of the pawn. Shape (n,)."""
    shut: Mask = (ranks_ahead(positions) == 1) & (RANK[positions.lone] <= RANK[positions.piece] + 2)
    return close(positions) & shut


def side_by_side(positions: Positions) -> Mask:
    """King and pawn next to each other on the sixth rank, in opposition. Shape (n,)."""
    level: Mask = (ranks_ahead(positions) == 0) & (RANK[positions.piece] == 5)
    return close(positions) & level & opposition(positions)


def last_step(positions: Positions) -> Mask:
    """Pawn on the seventh rank, guarded, and he can't step on its queening square. Shape (n,)."""
    seventh: Mask = RANK[positions.piece] == 6
    stopped = on(positions.see(free_steps), queening_square(positions))
    return seventh & ~rook_pawn(positions) & on(KING[positions.king], positions.piece) & ~stopped


PICTURES: tuple[tuple[str, Feature[Mask]], ...] = (
    ("last_step", last_step),
    ("side_by_side", side_by_side),
    ("far_ahead", far_ahead),
    ("ahead_of_a_far_pawn", ahead_of_a_far_pawn),
    ("ahead_with_opposition", ahead_with_opposition),
    ("shield", shield),
)
"""Each with the code by which `wording` knows what it shows."""


def pictured(positions: Positions) -> Mask:
    """One of the pictures. Shape (n,)."""
    found = np.zeros(len(positions), dtype=np.bool_)
    for _, picture in PICTURES:
        found |= picture(positions)
    return found


def picture_name(position: Positions) -> str:
    """The first picture that one position shows; "" for none."""
    return next((name for name, picture in PICTURES if picture(position)[0]), "")


_EVERY = 64**3


@cache
def every_position(to_move: Side) -> tuple[Positions, Mask]:
    """All legal positions, mirror images too, with this side to move; and which of them are won."""
    positions = decode("P", np.arange(_EVERY))
    legal = is_legal(positions) if to_move is Side.ATTACKER else is_set_up(positions)
    positions = positions.take(legal)
    side = WHITE if to_move is Side.ATTACKER else BLACK
    return positions, table_values(positions, side) != 0


def won_starts(_ending: str) -> Codes:
    """Canonical codes of the won positions, attacker to move."""
    positions, won = every_position(Side.ATTACKER)
    return np.unique(canonical(positions.take(won)))


def drawn_starts(_ending: str) -> Codes:
    """Canonical codes of the drawn positions in which the lone king has a move."""
    positions, won = every_position(Side.LONE_KING)
    return np.unique(canonical(positions.take(~won & ~positions.see(is_stalemate))))
