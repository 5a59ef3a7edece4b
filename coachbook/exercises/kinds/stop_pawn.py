"""Stop the pawn: the one move of a bishop or knight that holds, for it guards the pawn's way or stands in it.

Asked where the piece can't be taken then, and where no other move guards or blocks the way so.

Difficulty: 14, 2 more for each other move of the piece (up to 20), 8 more for a knight, 6 for a square of the
way that is not the next one.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, judge_moves, keeping_moves, probe
from coachbook.exercises.board_facts import arrow
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.lures import lures
from coachbook.exercises.solution_lines import one_move
from coachbook.model.claims import KeepingMoves
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_MOST = 20_000
_ENDINGS = ("KBKP", "KNKP")


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.name not in _ENDINGS:
        return survey.cells(survey.space.empty())
    quiet = survey.with_some_quiet_move(lambda values: values == 0)
    return survey.cells(survey.with_only_drawing_move() & quiet & survey.kept_by("BN"), _MOST)


def _draft(board: chess.Board) -> Draft | None:
    keeping = keeping_moves(board)
    if len(keeping) != 1 or probe(board).result is not Result.DRAW:
        return None
    (move,) = keeping
    held = {each: _way_held(after_move(board, each)) for each in board.legal_moves}
    if board.is_capture(move) or not held[move] or any(held[each] for each in held if each != move):
        return None
    judged = judge_moves(board)
    knight = bool(board.knights)
    nearest = chess.square_name(_way(board)[0])
    return Draft(
        task=say("task_only_move", side="white", result="draw"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            (board.san(move),),
            all_needed=False,
            wrong=Slip.DRAW_THROWN_AWAY,
            missed=Slip.DRAW_NOT_SEEN,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(move),)),
            text=_told(board, move, held[move]),
            plan=one_move(board, judged[0], say("only_move")),
            watch_for=lures(board, judged),
        ),
        claims=(KeepingMoves(frozenset({move.uci()})),),
        difficulty=clamp(
            14
            + min(20, 2 * (sum(each.from_square == move.from_square for each in board.legal_moves) - 1))
            + 8 * knight
            + 6 * (nearest not in held[move])
        ),
    )


def _told(board: chess.Board, move: chess.Move, held: tuple[str, ...]) -> Saying:
    man = chess.piece_name(board.piece_type_at(move.from_square) or chess.KING)
    others = board.legal_moves.count() - 1
    if chess.square_name(move.to_square) in held:
        return say("blocks_way", man=man, others=others)
    return say("guards_way", man=man, way_guarded=held, others=others)


def _way(board: chess.Board) -> tuple[chess.Square, ...]:
    """The squares in front of Black's pawn, the next one first."""
    (pawn,) = board.pieces(chess.PAWN, chess.BLACK) or (0,)
    return tuple(range(pawn - 8, -1, -8))


def _way_held(after: chess.Board) -> tuple[str, ...]:
    """The squares of the pawn's way that White's piece guards, or the one on which it stands; none where it
    can be taken, or there is no pawn."""
    pieces = after.bishops | after.knights
    if not after.pawns or any(pieces & chess.BB_SQUARES[move.to_square] for move in after.legal_moves):
        return ()
    square = pieces.bit_length() - 1
    way = _way(after)
    if square in way:
        return (chess.square_name(square),)
    return tuple(chess.square_name(each) for each in way if each in after.attacks(square))


KIND = Kind("stop the pawn", _candidates, _draft)
