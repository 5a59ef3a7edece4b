"""The winning pictures of king and pawn against king: aims that a child can see after a move.

In each the lone king is to move, and the pawn queens by force unless he can take it at once or is
stalemated. That is proven, picture by picture, in pawn_verdict_proof.py.
"""

from coachbook.method.bitboards import KING, RANK, Mask, on
from coachbook.method.pawn_sights import (
    at_least_as_near,
    close,
    opposition,
    queening_square,
    ranks_ahead,
    rook_key,
    rook_pawn,
)
from coachbook.method.positions import Feature, Positions, free_steps


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
    ("the last step is safe", last_step),
    ("side by side with the opposition", side_by_side),
    ("the king is far ahead", far_ahead),
    ("the king is ahead of a far pawn", ahead_of_a_far_pawn),
    ("the king is ahead with the opposition", ahead_with_opposition),
    ("the king shields the pawn", shield),
)
"""Each with a name that says what it shows."""


def home_stretch(positions: Positions) -> Mask:
    """One of the two pictures of the last ranks. Shape (n,)."""
    return last_step(positions) | side_by_side(positions)


def king_leads(positions: Positions) -> Mask:
    """One of the four pictures with the king ahead of the pawn. Shape (n,)."""
    led = far_ahead(positions) | ahead_of_a_far_pawn(positions)
    return led | ahead_with_opposition(positions) | shield(positions)


def picture_name(position: Positions) -> str:
    """The first picture that one position shows; "" for none."""
    return next((name for name, picture in PICTURES if picture(position)[0]), "")
