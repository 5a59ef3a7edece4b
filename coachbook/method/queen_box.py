"""The queen's box: mate with king and queen.

The box is the one by *walls* (see box.py). Proven from every position, any tie allowed: longest
16 moves, mean 8.89 (optimum 10 and 5.62).
"""

import numpy as np

from coachbook.method.box import NO_BOX, has_two_squares, region_size, walls_size
from coachbook.method.moves import Aim, Side
from coachbook.method.positions import (
    FILE,
    RANK,
    Mask,
    Numbers,
    Positions,
    Squares,
    files_plus_ranks,
    is_mate,
    king_steps,
)
from coachbook.method.rules import MATE, Look, Method, Rule, least, never_spoil
from coachbook.method.starts import legal_codes
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.exercises import say


def meeting_square(positions: Positions) -> Squares:
    """Two diagonal steps in from the board's corner in the box: c3, c6, f3 or f6. Shape (n,)."""
    file = np.where(FILE[positions.lone] < FILE[positions.piece], 2, 5)
    rank = np.where(RANK[positions.lone] < RANK[positions.piece], 2, 5)
    meeting: Squares = (file + 8 * rank).astype(np.int8)
    return meeting


def steps_to_meeting(positions: Positions) -> Numbers:
    """King steps from her king to the meeting square. Shape (n,)."""
    return king_steps(positions.king, meeting_square(positions))


def _files_and_ranks_to_meeting(positions: Positions) -> Numbers:
    return files_plus_ranks(positions.king, meeting_square(positions))


def _two_squares_left(look: Look) -> Mask:
    return look.piece_moves & look.then(has_two_squares)


def _makes_box_smaller(look: Look) -> Mask:
    return _two_squares_left(look) & (look.then(walls_size) < look.now(walls_size))


def _keeps_box(look: Look) -> Mask:
    kept = (look.then(walls_size) <= look.now(walls_size)) & (look.then(walls_size) < NO_BOX)
    return look.king_moves & kept


def _tell(before: Positions, after: Positions) -> Saying:
    old, new = int(walls_size(before)[0]), int(walls_size(after)[0])
    if (before.king == after.king)[0]:
        was: dict[str, Fact] = {} if old == NO_BOX else {"walls_was": old}
        left: dict[str, Fact] = {"two_left": True} if int(region_size(after)[0]) == 2 else {}
        return say("box_by_walls", walls_now=new, **was, **left)
    return say("meeting_square", steps_to_meeting=int(steps_to_meeting(after)[0]))


QUEEN_BOX = Method(
    name="queen-box",
    endings=("Q",),
    plays=Side.ATTACKER,
    aim=Aim.MATE,
    goal=is_mate,
    starts=legal_codes,
    never=never_spoil("safe_queen"),
    rules=(
        MATE,
        Rule(
            "smaller_queen_box",
            _makes_box_smaller,
            (least(walls_size),),
        ),
        Rule(
            "king_to_meeting_square",
            _keeps_box,
            (least(steps_to_meeting), least(_files_and_ranks_to_meeting)),
            (least(steps_to_meeting),),
        ),
        Rule(
            "other_queen_box",
            _two_squares_left,
            (least(walls_size),),
        ),
    ),
    tell=_tell,
)
