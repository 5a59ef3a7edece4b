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


def _tell(before: Positions, after: Positions) -> str:
    old, new = int(walls_size(before)[0]), int(walls_size(after)[0])
    if (before.king == after.king)[0]:
        box = f"box {new}" if old == NO_BOX else f"box {old} → {new}"
        left = int(region_size(after)[0])
        return f"{box}, two squares left" if left == 2 else box
    steps = int(steps_to_meeting(after)[0])
    return "king at the meeting square" if steps == 0 else f"king {steps} from the meeting square"


QUEEN_BOX = Method(
    name="queen-box",
    title="The queen's box",
    endings=("Q",),
    summary=(
        "The queen's rank and file are the walls of a box around the lone king. She makes the box smaller,"
        " move by move, but always leaves him at least two squares to walk on. When she can do no more,"
        " she stands still and her king walks to the meeting square, two diagonal steps in from the"
        " corner of the box (c3, c6, f3 or f6). Then the two mate together. There is no box while the lone"
        " king stands on her rank or file, nor while her own king stands in a wall with more than one"
        " wall square behind him: the fence is broken."
    ),
    plays=Side.ATTACKER,
    aim=Aim.MATE,
    goal=is_mate,
    starts=legal_codes,
    never=never_spoil("the queen"),
    rules=(
        MATE,
        Rule(
            "make the box smaller",
            "Make the box smaller with the queen: the smallest box that leaves him at least two squares.",
            _makes_box_smaller,
            (least(walls_size),),
        ),
        Rule(
            "bring the king",
            "Else walk your king towards the meeting square and keep the box: as few steps from it as you"
            " can; if that is equal, as few files and ranks from it as you can.",
            _keeps_box,
            (least(steps_to_meeting), least(_files_and_ranks_to_meeting)),
        ),
        Rule(
            "make another box",
            "Else move the queen to make the smallest box that leaves him at least two squares.",
            _two_squares_left,
            (least(walls_size),),
        ),
    ),
    tell=_tell,
)
