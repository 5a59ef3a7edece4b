"""King against king and pawn, for the lone king: holding the draw.

Proven from 97.41 % of the drawn positions in which he has a move, any tie allowed, against every try.
"""

import numpy as np

from coachbook.method.moves import Aim, Side, has_taken
from coachbook.method.pawn_sights import (
    drawn_starts,
    files_from_pawn,
    king_in_its_way,
    outside_if_pawn_moves,
    rook_pawn,
    square_ahead,
)
from coachbook.method.positions import FILE, RANK, Mask, Numbers, Positions, files_plus_ranks, king_steps
from coachbook.method.rules import Look, Method, Rule, least
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.exercises import say

_B8, _G8 = 57, 62


def lets_it_run(positions: Positions) -> Mask:
    """Pawn to move: he is outside its square and its own king is not in its way. Shape (n,)."""
    return outside_if_pawn_moves(positions) & ~king_in_its_way(positions)


def face_to_face(positions: Positions) -> Mask:
    """Both kings on one file, at most one from the pawn's, an odd number of squares between, he ahead."""
    ahead = RANK[positions.lone] - RANK[positions.king]
    facing: Mask = (FILE[positions.king] == FILE[positions.lone]) & (ahead > 0) & (ahead % 2 == 0)
    return facing & (files_from_pawn(positions) <= 1)


def _steps_to_front(positions: Positions) -> Numbers:
    return king_steps(positions.lone, square_ahead(positions, 1))


def _way_to_second_square(positions: Positions) -> Numbers:
    return files_plus_ranks(positions.lone, square_ahead(positions, 2))


def _goes_in_front(look: Look) -> Mask:
    there: Mask = look.moves.after.lone == square_ahead(look.moves.after, 1)
    return there


def _steps_from_pawn(positions: Positions) -> Numbers:
    return king_steps(positions.lone, positions.piece)


def _two_steps_nearer(positions: Positions) -> Mask:
    nearer: Mask = _steps_from_pawn(positions) <= king_steps(positions.king, positions.piece) - 2
    return nearer


def _goes_for_pawn(look: Look) -> Mask:
    comes: Mask = look.then(_two_steps_nearer) & (look.then(_steps_from_pawn) < look.now(_steps_from_pawn))
    return comes


def _steps_to_corner(positions: Positions) -> Numbers:
    """To the square beside the corner where a pawn on the edge queens, on the next file."""
    beside = np.where(FILE[positions.piece] == 0, _B8, _G8).astype(np.int8)
    return king_steps(positions.lone, beside)


def _three_ranks_apart(positions: Positions) -> Mask:
    """Three ranks between the kings, he ahead, and both on the pawn's file or the next. Shape (n,)."""
    apart = RANK[positions.lone] - RANK[positions.king] == 4
    found: Mask = apart & (_files_to_pawn(positions) <= 1) & (files_from_pawn(positions) <= 1)
    return found


def _keeps_its_king_off(look: Look) -> Mask:
    return look.then(face_to_face) | look.then(_three_ranks_apart)


def _files_to_pawn(positions: Positions) -> Numbers:
    beside: Numbers = np.abs(FILE[positions.lone] - FILE[positions.piece])
    return beside


def _any(look: Look) -> Mask:
    return np.ones(len(look), dtype=np.bool_)


def _tell(_before: Positions, after: Positions) -> Saying:
    facing: dict[str, Fact] = {"face_to_face": True} if face_to_face(after)[0] else {}
    return say("front", steps_to_front=int(_steps_to_front(after)[0]), **facing)


_NEAR_FRONT = (least(_way_to_second_square), least(_files_to_pawn))

HOLD_KING_AND_PAWN = Method(
    name="hold-king-and-pawn",
    endings=("P",),
    plays=Side.LONE_KING,
    aim=Aim.DRAW,
    goal=has_taken,
    starts=drawn_starts,
    never=Rule(
        "in_square",
        lambda look: look.then(lets_it_run),
    ),
    rules=(
        Rule("take", lambda look: look.then(has_taken)),
        Rule("right_in_front", _goes_in_front),
        Rule("face_to_face", _keeps_its_king_off, _NEAR_FRONT, _NEAR_FRONT),
        Rule("go_for_pawn", _goes_for_pawn, _NEAR_FRONT, _NEAR_FRONT),
        Rule(
            "beside_corner",
            lambda look: look.then(rook_pawn),
            (least(_steps_to_corner), *_NEAR_FRONT),
            (least(_steps_to_corner), *_NEAR_FRONT),
        ),
        Rule("in_front", _any, _NEAR_FRONT, _NEAR_FRONT),
    ),
    tell=_tell,
)
