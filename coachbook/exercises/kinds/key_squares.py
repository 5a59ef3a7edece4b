"""Key squares: shade those of the pawn. White's king on one of them, White to move, wins.

Common practice, no source: for a pawn on ranks 2 to 4 the three squares two ranks ahead; from
rank 5 on also the three one rank ahead; for a rook's pawn the two squares of the next file that
touch the queening square. The verifier checks each of them by the tables.

Only the pawn matters for the answer: the kings stand where they are not on a key square.

Difficulty: 15, 10 more from rank 5 on, 20 more for a rook's pawn.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import answer_squares, key_squares
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import KeySquares
from coachbook.model.position import Marks
from coachbook.model.worksheet import Solution
from coachbook.wording.exercises import say

_SEVENTH_RANK = 48
_FIFTH = 4


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if survey.space.material.name != "KPK":
        return cells[:0]
    found: NDArray[np.intp] = cells[cells[:, 1] < _SEVENTH_RANK]
    return found


def _draft(board: chess.Board) -> Draft | None:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    squares = tuple(sorted(key_squares(pawn)))
    kings = {board.king(chess.WHITE), board.king(chess.BLACK)}
    if kings & set(squares):
        return None
    rook_pawn = chess.square_file(pawn) in (0, 7)
    return Draft(
        task=say("task_key_squares_on_edge" if rook_pawn else "task_key_squares"),
        task_marks=Marks(),
        answer=answer_squares(squares),
        solution=Solution(
            marks=Marks(shaded=squares, outlined=squares),
            text=say(_rule(pawn)),
        ),
        claims=(KeySquares(pawn, frozenset(squares)),),
        difficulty=clamp(15 + 10 * (chess.square_rank(pawn) >= _FIFTH) + 20 * rook_pawn),
    )


def _rule(pawn: chess.Square) -> str:
    """The code of the sentence that tells all of the rule for such a pawn."""
    if chess.square_file(pawn) in (0, 7):
        return "key_squares_of_edge_pawn"
    return "key_squares_from_fifth" if chess.square_rank(pawn) >= _FIFTH else "key_squares_two_ahead"


KIND = Kind("shade the key squares", _candidates, _draft)
