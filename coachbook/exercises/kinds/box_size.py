"""How big is the box: shade the squares in which the lone king is shut, and count them.

The box is the one by walls: the rank and the file of the queen or rook fence off a rectangle,
and they don't belong to it. With a rook only positions are asked in which he can really reach
all of it and no more (there the two notions of a box agree; behind a queen they never do).

Difficulty: 5 and twice the number of squares, 10 more where White's king stands next to the
box, where he is easily counted.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.material import Material
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.box import region, walls, walls_broken
from coachbook.method.positions import BIT, Positions, can_be_taken
from coachbook.model.claims import Claim, RegionIs, WallsAre
from coachbook.model.position import Marks
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_QUEEN, _ROOK = Material("Q", ""), Material("R", "")
_LARGEST = 36
"""Six by six; counting more teaches nothing new."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    material, cells = survey.space.material, survey.cells(survey.legal)
    if material not in (_QUEEN, _ROOK):
        return cells[:0]
    columns = (survey.space.kings[cells[:, 0]], cells[:, -1], cells[:, 1])
    positions = Positions(material.white, [column.astype(np.int8) for column in columns])
    box = walls(positions)
    size = np.bitwise_count(box)
    fits = (size > 0) & (size <= _LARGEST) & (box & BIT[positions.king] == 0)
    fits &= ~walls_broken(positions) & ~can_be_taken(positions)
    if material == _ROOK:
        fits &= region(positions) == box
    found: NDArray[np.intp] = cells[fits]
    return found


def _draft(board: chess.Board) -> Draft:
    men = {piece.symbol(): square for square, piece in board.piece_map().items()}
    king, lone = men.pop("K"), men.pop("k")
    letter, square = men.popitem()
    one = Positions(letter, [np.array([man], dtype=np.int8) for man in (king, lone, square)])
    box = frozenset(chess.SquareSet(int(walls(one)[0])))
    files = len({chess.square_file(inside) for inside in box})
    beside = not box.isdisjoint(chess.SquareSet(chess.BB_KING_ATTACKS[king]))
    name = "queen" if letter == "Q" else "rook"
    claims: tuple[Claim, ...] = (WallsAre(square, box),)
    return Draft(
        task=say("task_box_size", man=name),
        task_marks=Marks(),
        answer=Answer(AnswerForm.NUMBER, (str(len(box)),), wrong=Slip.WRONG_COUNT),
        solution=Solution(
            marks=Marks(shaded=tuple(sorted(box)), outlined=tuple(sorted(box))),
            text=say("box", files=files, ranks=len(box) // files, squares=len(box)),
            watch_for=(say("walls", man=name),),
        ),
        claims=claims if letter == "Q" else (*claims, RegionIs(box)),
        difficulty=clamp(5 + 2 * len(box) + 10 * beside),
    )


KIND = Kind("how big is the box", _candidates, _draft)
