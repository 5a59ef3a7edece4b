"""The only move: the one move that keeps the win, or for the defender the draw.

Not asked where that move takes something, promotes or mates: nobody needs to think to do that, and mates have
kinds of their own; nor where neither a verdict nor something that can be forced within a few moves says why.

Difficulty: 15, 2 more for each other legal move (up to 20), 10 more for a move of the king, 10
more if it leads away from what one would go for: the pawn or the lone king; 10 less for a check.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, find_only_move, judge_moves, probe
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, reasons, side_name
from coachbook.exercises.forced import Found, find_forced
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.lures import lures
from coachbook.exercises.solution_lines import one_move
from coachbook.model.claims import KeepingMoves
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_MOST = 20_000
_HOLD = ("B", "N")
"""White's men that can't win alone: with them White, too, is asked for the draw."""
_FEWEST_MOVES = 3
_FEW_MEN = 4
"""With more, the verdict of the position itself tells why, too: it speaks of where the rooks stand."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.side == WHITE and survey.space.material.white not in _HOLD:
        found = survey.with_only_winning_move() & survey.with_some_quiet_move(lambda values: values < 0)
    else:
        found = survey.with_only_drawing_move() & survey.with_some_quiet_move(lambda values: values <= 0)
    return survey.cells(found, _MOST)


def _draft(board: chess.Board) -> Draft | None:
    only = find_only_move(board)
    if only is None or board.legal_moves.count() < _FEWEST_MOVES:
        return None
    outcome = probe(board)
    wins = outcome.result is Result.WIN
    if wins and outcome.moves == 1:
        return None
    told = reasons(board, only) or (reasons(board) if len(board.piece_map()) > _FEW_MEN else ())
    found = None if told else find_forced(board)
    if not told and found is None:
        return None
    judged = judge_moves(board)
    best = judged[0]
    result = "win" if wins else "draw"
    king = board.piece_type_at(best.move.from_square) == chess.KING
    others = len(judged) - 1
    return Draft(
        task=say("task_only_move", side=side_name(board.turn), result=result),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            (best.san,),
            all_needed=False,
            wrong=Slip.WIN_THROWN_AWAY if wins else Slip.DRAW_THROWN_AWAY,
            missed=Slip.WIN_NOT_SEEN if wins else Slip.DRAW_NOT_SEEN,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(best.move),)),
            text=_told(others, result, found),
            plan=one_move(board, best, say("only_move")),
            watch_for=lures(board, judged),
        ),
        claims=(KeepingMoves(frozenset({best.move.uci()})), *told),
        difficulty=clamp(
            15
            + min(20, 2 * others)
            + 10 * king
            + 10 * _retreats(board, best.move)
            - 10 * board.gives_check(best.move)
        ),
    )


def _told(others: int, result: str, found: Found | None) -> Saying:
    if found is None:
        return say("others_fail", others=others, result=result)
    return say("others_fail_by_force", others=others, result=result, forced=found.forced)


def _retreats(board: chess.Board, move: chess.Move) -> bool:
    """Whether the king steps away from the pawn, or where there is none from the other king."""
    target = next(iter(board.pieces(chess.PAWN, chess.WHITE) | board.pieces(chess.PAWN, chess.BLACK)), None)
    goal = target if target is not None else board.king(not board.turn)
    if goal is None or board.piece_type_at(move.from_square) != chess.KING:
        return False
    return chess.square_distance(move.to_square, goal) > chess.square_distance(move.from_square, goal)


_CASES = ((WHITE, True), (BLACK, False))

KIND = Kind("the only move", _candidates, _draft, sides=(WHITE, BLACK), large=_CASES, leads_to=True)
