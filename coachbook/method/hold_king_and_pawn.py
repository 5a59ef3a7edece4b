"""King against king and pawn, for the lone king: holding the draw.

Proven from 97.33 % of the drawn positions in which he has a move, any tie allowed, against every try.
"""

import numpy as np

from coachbook.method.moves import Aim, Side, has_taken
from coachbook.method.pawn_sights import (
    drawn_starts,
    files_from_pawn,
    king_in_its_way,
    outside_if_pawn_moves,
    square_ahead,
)
from coachbook.method.positions import FILE, RANK, Mask, Numbers, Positions, files_plus_ranks, king_steps
from coachbook.method.rules import Look, Method, Rule, least
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.exercises import say


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


def _ranks_from_last(positions: Positions) -> Numbers:
    left: Numbers = 7 - RANK[positions.lone]
    return left


def _goes_in_front(look: Look) -> Mask:
    there: Mask = look.moves.after.lone == square_ahead(look.moves.after, 1)
    return there


def _goes_to_second_square(look: Look) -> Mask:
    there: Mask = look.moves.after.lone == square_ahead(look.moves.after, 2)
    return there


def _any(look: Look) -> Mask:
    return np.ones(len(look), dtype=np.bool_)


def _tell(_before: Positions, after: Positions) -> Saying:
    facing: dict[str, Fact] = {"face_to_face": True} if face_to_face(after)[0] else {}
    return say("front", steps_to_front=int(_steps_to_front(after)[0]), **facing)


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
        Rule("second_square", _goes_to_second_square),
        Rule(
            "face_to_face",
            lambda look: look.then(face_to_face),
            (least(_steps_to_front),),
        ),
        Rule(
            "in_front",
            _any,
            (least(_way_to_second_square), least(_steps_to_front), least(_ranks_from_last)),
            (least(_way_to_second_square),),
        ),
    ),
    tell=_tell,
)
