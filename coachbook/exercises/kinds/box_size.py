"""How big is the box: shade the squares in which the lone king is shut, and count them.

The queen's box is the one by walls: its rank and file fence off a rectangle, and they don't belong to it.
The rook's box is the region, every square that the lone king could walk to; the rook's rank and file fence
it off, and White's king may guard squares in it.

Difficulty: 5 and twice the number of squares, 10 more where White's king stands next to the
box, where he is easily counted or guards a square of it.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.material import Material
from coachbook.exercises.board_facts import positions_of
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.border import from_board
from coachbook.method.box import region, walls, walls_broken
from coachbook.method.positions import BIT, Mask, Positions, can_be_taken
from coachbook.model.claims import RegionIs, WallsAre
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_QUEEN, _ROOK = Material("Q", ""), Material("R", "")
_FEWEST, _LARGEST = 2, 36
"""Six by six at most; counting more teaches nothing new."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    material, cells = survey.space.material, survey.cells(survey.legal)
    if material not in (_QUEEN, _ROOK):
        return cells[:0]
    positions = positions_of(survey, cells)
    fits = _queen_fences(positions) if material == _QUEEN else _rook_fences(positions)
    found: NDArray[np.intp] = cells[fits & ~can_be_taken(positions)]
    return found


def _queen_fences(positions: Positions) -> Mask:
    """There is a box that can be counted, and White's king does not stand in it, nor open it. Shape (n,)."""
    box = positions.see(walls)
    size = np.bitwise_count(box)
    fits: Mask = (size > 0) & (size <= _LARGEST) & (box & BIT[positions.king] == 0) & ~walls_broken(positions)
    return fits


def _rook_fences(positions: Positions) -> Mask:
    """He can't walk out of what rank and file fence off, and his squares can be counted. Shape (n,)."""
    box = positions.see(region)
    size = np.bitwise_count(box)
    fits: Mask = (size >= _FEWEST) & (size <= _LARGEST) & (box & ~positions.see(walls) == 0)
    return fits


def _draft(board: chess.Board) -> Draft:
    positions, (piece,) = from_board(board), chess.SquareSet((board.queens | board.rooks) & ~board.kings)
    fenced = frozenset(chess.SquareSet(int(walls(positions)[0])))
    is_queen = board.piece_type_at(piece) == chess.QUEEN
    box = fenced if is_queen else frozenset(chess.SquareSet(int(region(positions)[0])))
    beside = not fenced.isdisjoint(board.attacks(board.king(chess.WHITE) or 0))
    return Draft(
        task=say("task_box_size", man="queen") if is_queen else say("task_rooks_box"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.NUMBER, (str(len(box)),), wrong=Slip.WRONG_COUNT),
        solution=Solution(
            marks=Marks(shaded=tuple(sorted(box)), outlined=tuple(sorted(box))),
            text=_told(box) if is_queen else say("rooks_box", squares=len(box)),
            watch_for=(say("walls", man="queen") if is_queen else say("guarded_squares"),),
        ),
        claims=(WallsAre(piece, box) if is_queen else RegionIs(box),),
        difficulty=clamp(5 + 2 * len(box) + 10 * beside),
    )


def _told(box: frozenset[int]) -> Saying:
    files = len({chess.square_file(square) for square in box})
    return say("box", files=files, ranks=len(box) // files, squares=len(box))


KIND = Kind("how big is the box", _candidates, _draft)
