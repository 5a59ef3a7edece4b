"""Can the king catch the pawn? The rule of the square, where nothing else decides.

Positions with a lone runner: the pawn's own king is at least three files away, the table's verdict is
the rule's, and where the pawn is caught its king is so far that it can't come to guard anything: a draw by
opposition is none by catching.

Difficulty: 15, and up to 20 more when the king stands just inside or just outside the square,
10 more for a pawn on its first square (it may go two steps).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, judge_moves
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import arrow, positions_of, square_of_pawn
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import one_move
from coachbook.method.border import from_board
from coachbook.method.pawn_sights import steps_to_its_way
from coachbook.method.positions import RANK, Mask, Positions, king_steps
from coachbook.model.claims import SquareOfPawn
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("yes", "no")
_FAR = 3


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if (survey.space.material.white, survey.space.material.black) != ("P", ""):
        return cells[:0]
    king, pawn, lone = survey.space.kings[cells[:, 0]], cells[:, 1], cells[:, -1]
    file, rank = pawn % 8, np.maximum(pawn // 8, 2)
    far = np.abs(king % 8 - file) >= _FAR
    steps_left = 7 - rank
    steps = np.maximum(np.abs(lone % 8 - file), 7 - lone // 8)
    near = np.abs(steps - 1 - steps_left) <= 1
    caught = survey.values[BLACK][tuple(cells.T)] == 0
    agrees = caught == (steps - 1 <= steps_left)
    true = ~caught | _comes_too_late(positions_of(survey, cells))
    found: NDArray[np.intp] = cells[far & near & agrees & true & (lone // 8 >= pawn // 8)]
    return found


def _comes_too_late(positions: Positions) -> Mask:
    """Whether White's king is further from the pawn's way than the lone king needs to catch it, by two."""
    moves = np.minimum(7 - RANK[positions.piece], king_steps(positions.lone, positions.piece))
    late: Mask = steps_to_its_way(positions) > moves + 2
    return late


def _draft(board: chess.Board) -> Draft | None:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    square = square_of_pawn(pawn)
    judged = judge_moves(board)
    caught = judged[0].outcome.result is Result.DRAW
    catching = [each for each in judged if each.move.to_square in square]
    if caught != bool(catching) or (caught and catching[0].outcome.result is not Result.DRAW):
        return None
    if caught and not _comes_too_late(from_board(board))[0]:
        return None
    best = catching[0] if caught else judged[0]
    inside = board.king(chess.BLACK) in square
    first = chess.square_rank(pawn) == 1
    return Draft(
        task=say("task_catch_pawn"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE, (_OPTIONS[0 if caught else 1],), options=_OPTIONS, wrong=Slip.MISJUDGED
        ),
        solution=Solution(
            marks=Marks(outlined=tuple(sorted(square)), arrows=(arrow(best.move),)),
            text=say("catches", inside=inside) if caught else say("too_late"),
            plan=one_move(board, best, say("good_move" if caught else "longest_defence")),
            watch_for=(say("pawn_at_home"),) if first else (),
        ),
        claims=(SquareOfPawn(pawn, frozenset(square), caught),),
        difficulty=clamp(15 + 10 * first + 20 * (not inside) * caught + 10 * (not caught)),
    )


KIND = Kind("can he catch the pawn", _candidates, _draft, sides=(BLACK,))
