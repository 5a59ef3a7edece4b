"""Can the king catch the pawn? The rule of the square, where nothing else decides.

Positions with a lone runner: the pawn's own king is at least three files from it. Yes means that he can force
the capture of the pawn, or of the new queen at once, whatever White does with pawn and king; no, that White
can always make a queen that is not taken. Where neither is so, as where White's king comes in time and it is
a draw by the opposition, nothing is asked; nor where the rule of the square says otherwise.

Difficulty: 15 where his king stands in the square already, 25 where it can't get there, 35 where it must step
in; 10 more for a pawn on its first square (it may go two steps).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import judge_moves
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import arrow, positions_of, square_of_pawn, thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import one_move
from coachbook.method.pawn_chase import catching_moves, chase
from coachbook.method.pawn_sights import pawn_steps, queening_square
from coachbook.method.positions import king_steps
from coachbook.model.claims import SquareOfPawn
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("yes", "no")
_FAR = 3


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many that are caught as not, so that guessing does not pay (but one at least: a coach's own)."""
    cells = survey.cells(survey.legal)
    if survey.space.material.name != "KPK":
        return cells[:0]
    positions = positions_of(survey, cells)
    king, pawn, lone = positions.king, positions.piece, positions.lone
    steps_left, steps = pawn_steps(positions), king_steps(lone, queening_square(positions))
    near = np.abs(steps - 1 - steps_left) <= 1
    suits = (np.abs(king % 8 - pawn % 8) >= _FAR) & near & (lone // 8 >= pawn // 8)
    won = survey.values[BLACK][tuple(cells.T)] != 0
    caught = suits & (steps - 1 <= steps_left) & chase().caught[pawn, king, lone]
    through = suits & (steps - 1 > steps_left) & chase().through[pawn, king, lone] & won
    share = max(1, min(caught.sum(), through.sum()))
    return np.concatenate([thinned(cells[found], share) for found in (caught, through)])


def _draft(board: chess.Board) -> Draft | None:
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    square = square_of_pawn(pawn)
    judged = {each.move: each for each in judge_moves(board)}
    catching = [judged[move] for move in catching_moves(board) if move.to_square in square]
    caught = bool(catching)
    if caught != any(move.to_square in square for move in judged):
        return None
    best = catching[0] if caught else next(iter(judged.values()))
    inside = board.king(chess.BLACK) in square
    rule = say("into_square", inside=inside) if caught else say("longest_defence")
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
            plan=one_move(board, best, rule),
            watch_for=(say("pawn_at_home"),) if first else (),
        ),
        claims=(SquareOfPawn(pawn, frozenset(square), caught),),
        difficulty=clamp(15 + 10 * first + 20 * (not inside) * caught + 10 * (not caught)),
    )


KIND = Kind("can he catch the pawn", _candidates, _draft, sides=(BLACK,))
