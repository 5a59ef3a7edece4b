"""The walls of the box that a queen makes: her square, and her rank and file as far as they touch it.

Asked where she can't be taken, White's king stands neither in the box nor on a wall, and the walls are
few enough to be written down.

Difficulty: 4 and twice the number of squares, 8 more where White's king stands next to a wall, where
one likes to stop.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import answer_squares, positions_of
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.border import from_board
from coachbook.method.box import walls
from coachbook.method.positions import (
    BIT,
    ROOK,
    Bits,
    Positions,
    can_be_taken,
    count,
    not_empty,
    on,
    spread,
)
from coachbook.model.claims import BoxWalls
from coachbook.model.position import Marks
from coachbook.model.worksheet import Solution
from coachbook.wording.exercises import say

_MOST = 12
"""So many squares a child can write down."""


def _fence(positions: Positions) -> Bits:
    """The squares of the walls, the queen's own among them; none without a box. Shape (n,)."""
    box, queen = positions.see(walls), positions.piece
    return spread(box) & ~box & (ROOK[queen] | BIT[queen])


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if survey.space.material.name != "KQK":
        return cells[:0]
    positions = positions_of(survey, cells)
    box, fence = positions.see(walls), _fence(positions)
    fits = not_empty(box) & (count(fence) <= _MOST) & ~on(box | fence, positions.king)
    found: NDArray[np.intp] = cells[fits & ~can_be_taken(positions)]
    return found


def _draft(board: chess.Board) -> Draft:
    one = from_board(board)
    queen, king = int(one.piece[0]), int(one.king[0])
    box, fence = (tuple(chess.SquareSet(int(of(one)[0]))) for of in (walls, _fence))
    files = len({chess.square_file(square) for square in box})
    beside = any(chess.square_distance(king, square) == 1 for square in fence)
    return Draft(
        task=say("task_box_walls", man="queen"),
        task_marks=Marks(),
        answer=answer_squares(fence),
        solution=Solution(
            marks=Marks(shaded=fence, outlined=box),
            text=say("walls_hold", files=files, ranks=len(box) // files),
            watch_for=(say("walls_end", man="queen"),),
        ),
        claims=(BoxWalls(queen, frozenset(fence), frozenset(box)),),
        difficulty=clamp(4 + 2 * len(fence) + 8 * beside),
    )


KIND = Kind("the walls of the box", _candidates, _draft)
