"""Draw the square of the pawn: shade its four corners, on the side where the lone king stands.

Black is to move, as where it is asked whether he can step in. Asked where the square has room on that
side of the board, where White's king is not in it, and the lone king is neither far from its border nor
next to the pawn. A pawn on its first square is counted as on the next; the task says from where.

Difficulty: 10 and 3 for each step that the pawn has to go, 10 more for a pawn on its first square.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import answer_squares, positions_of
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.pawn_sights import pawn_steps, queening_square
from coachbook.method.positions import king_steps
from coachbook.model.claims import SquareCorners
from coachbook.model.position import Marks
from coachbook.model.worksheet import Solution
from coachbook.wording.exercises import say

_NEAR = 2
"""How many steps at most the lone king is inside the square or outside."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if survey.space.material.name != "KPK":
        return cells[:0]
    positions = positions_of(survey, cells)
    king, pawn, lone = positions.king, positions.piece, positions.lone
    file, left = pawn % 8, pawn_steps(positions)
    side = np.sign(lone % 8 - file)
    fits = (side != 0) & (file + side * left >= 0) & (file + side * left <= 7)
    away = (king % 8 - file) * side
    fits &= (away < 0) | (away > left) | (king // 8 < 7 - left)
    near = np.abs(king_steps(lone, queening_square(positions)) - left) <= _NEAR
    found: NDArray[np.intp] = cells[fits & near & (king_steps(lone, pawn) != 1)]
    return found


def _draft(board: chess.Board) -> Draft:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    file, rank = chess.square_file(pawn), max(chess.square_rank(pawn), 2)
    left = 7 - rank
    ends = (file, file + left if chess.square_file(board.king(chess.BLACK) or 0) > file else file - left)
    corners = tuple(chess.square(f, r) for r in (rank, 7) for f in sorted(ends))
    area = tuple(chess.square(f, r) for r in range(rank, 8) for f in range(min(ends), max(ends) + 1))
    start, at_home = chess.square_name(chess.square(file, rank)), chess.square_rank(pawn) == 1
    task = say("task_draw_square_from", counted_from=start) if at_home else say("task_draw_square")
    return Draft(
        task=task,
        task_marks=Marks(),
        answer=answer_squares(corners),
        solution=Solution(
            marks=Marks(shaded=corners, outlined=area),
            text=say("as_far_to_the_side", counted_from=start, steps_to_go=left),
            watch_for=(say("count_steps"), *([say("pawn_at_home")] if at_home else [])),
        ),
        claims=(SquareCorners(pawn, frozenset(corners), frozenset(area)),),
        difficulty=clamp(10 + 3 * left + 10 * at_home),
    )


KIND = Kind("draw the square of the pawn", _candidates, _draft, sides=(BLACK,))
