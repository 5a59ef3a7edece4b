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
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.bitboards import BIT
from coachbook.method.box import region, walls, walls_broken
from coachbook.method.positions import Positions, can_be_taken
from coachbook.model.claims import Claim, RegionIs, WallsAre
from coachbook.model.exercise import Answer, AnswerForm, Solution
from coachbook.model.marks import Marks
from coachbook.model.slips import Slip

_LARGEST = 36


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    columns = (survey.space.kings[cells[:, 0]], cells[:, -1], cells[:, 1])
    positions = Positions(survey.space.material.white, [column.astype(np.int8) for column in columns])
    box = walls(positions)
    size = np.bitwise_count(box)
    fits = (size > 0) & (size <= _LARGEST) & (box & BIT[positions.king] == 0)
    fits &= ~walls_broken(positions) & ~can_be_taken(positions)
    if survey.space.material.white == "R":
        fits &= region(positions) == box
    found: NDArray[np.intp] = cells[fits]
    return found


def _draft(board: chess.Board) -> Draft | None:
    piece = next(square for square, man in board.piece_map().items() if man.piece_type != chess.KING)
    king, lone = board.king(chess.WHITE), board.king(chess.BLACK)
    letter = board.piece_at(piece)
    if king is None or lone is None or letter is None:
        return None
    one = Positions(letter.symbol(), [np.array([square], dtype=np.int8) for square in (king, lone, piece)])
    squares = frozenset(chess.SquareSet(int(walls(one)[0])))
    name = chess.piece_name(letter.piece_type)
    files = len({chess.square_file(square) for square in squares})
    ranks = len(squares) // files
    near = bool(chess.SquareSet(chess.BB_KING_ATTACKS[king]) & chess.SquareSet(squares))
    claims: tuple[Claim, ...] = (WallsAre(piece, squares),)
    if letter.piece_type == chess.ROOK:
        claims += (RegionIs(squares),)
    return Draft(
        task=f"The {name} shuts him in a box. Shade it. How many squares?",
        task_marks=Marks(),
        answer=Answer(AnswerForm.NUMBER, (str(len(squares)),), wrong=Slip.WRONG_COUNT),
        solution=Solution(
            marks=Marks(shaded=tuple(sorted(squares)), outlined=tuple(sorted(squares))),
            text=f"{files} by {ranks}: {len(squares)} squares.",
            watch_for=(f"The {name}'s own row and column are the walls. They don't count.",),
        ),
        claims=claims,
        difficulty=clamp(5 + 2 * len(squares) + 10 * near),
    )


KIND = Kind("how big is the box", _candidates, _draft)
