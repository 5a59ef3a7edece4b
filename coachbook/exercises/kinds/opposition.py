"""The opposition: which move of the king takes it.

Asked where exactly one move faces the lone king on a rank or file with one square between, and
that move is also the only one that keeps the win (White) or the draw (Black).

Difficulty: 30, 10 more if White's king must go sideways or back to do so, 5 more for each pawn move
that throws the win away.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, judge_moves
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, side_name
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.lures import lures
from coachbook.exercises.solution_lines import faces
from coachbook.model.claims import KeepingMoves, TakesOpposition
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.wording.exercises import say

_FEWEST_MOVES = 3


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.name != "KPK":
        return survey.cells(survey.space.empty())
    only = survey.with_only_winning_move() if survey.side == WHITE else survey.with_only_drawing_move()
    return survey.cells(only)


def _draft(board: chess.Board) -> Draft | None:
    facing = [move for move in board.legal_moves if _takes_opposition(board, move)]
    judged = judge_moves(board)
    if len(facing) != 1 or len(judged) < _FEWEST_MOVES or judged[0].move != facing[0]:
        return None
    move, san = judged[0].move, judged[0].san
    wins = judged[0].outcome.result is Result.WIN
    result, other = "win" if wins else "draw", side_name(not board.turn)
    step = PlanStep(san, say("opposition"), say("must_give_way" if wins else "stays_a_draw"))
    pawn_moves = sum(board.piece_type_at(j.move.from_square) == chess.PAWN for j in judged)
    ahead = chess.square_rank(move.to_square) > chess.square_rank(move.from_square)
    return Draft(
        task=say("task_opposition", side=side_name(board.turn)),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            (san,),
            all_needed=False,
            wrong=Slip.NO_OPPOSITION,
            missed=Slip.NO_OPPOSITION,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(move),)),
            text=say("kings_face", other_side=other, result=result),
            plan=Plan(Position(board.fen()), say("computed"), (step,)),
            watch_for=(say("one_between"), *lures(board, judged)),
        ),
        claims=(TakesOpposition(frozenset({move.uci()})), KeepingMoves(frozenset({move.uci()}))),
        difficulty=clamp(30 + 10 * (not ahead and board.turn) + 5 * pawn_moves),
    )


def _takes_opposition(board: chess.Board, move: chess.Move) -> bool:
    """Without taking a pawn or ending the game: then nobody thinks of the opposition."""
    if board.piece_type_at(move.from_square) != chess.KING or board.is_capture(move):
        return False
    after = after_move(board, move)
    return faces(move.to_square, board.king(not board.turn)) and any(after.legal_moves)


KIND = Kind("take the opposition", _candidates, _draft, sides=(WHITE, BLACK))
