"""Mate in two: the one first move after which White mates on the next move, whatever he replies.

Not asked where it makes a rook, bishop or knight, which no unit teaches.

Difficulty: 60, where a check leaves him one reply; 4 more for each reply more (up to 8), as each needs its
mate; 6 if the right move gives no check (a quiet move is harder to see), 4 if it is a move of the king; 1
for each check that does not lead to a mate in two (up to 6), 2 for each move that stalemates (up to 6).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import after_move, best_moves, shortest_line
from coachbook.exercises.board_facts import arrow, is_odd_promotion, outcomes
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import FastestMates
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Saying, Solution
from coachbook.wording.exercises import say

_MATE_IN_2 = 125
_MATED_IN_1 = -126
_MOST_REPLIES = 4


def _candidates(survey: Survey) -> NDArray[np.intp]:
    one = survey.with_one_move(lambda values: values == _MATED_IN_1)
    return survey.cells(survey.where(lambda values: values == _MATE_IN_2) & one)


def _draft(board: chess.Board) -> Draft | None:
    (move,) = best_moves(board)
    if is_odd_promotion(move):
        return None
    return Draft(
        task=say("task_mate_in_two"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            (board.san(move),),
            all_needed=False,
            wrong=Slip.NOT_QUICKEST,
            missed=Slip.MISSED_MATE,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(move),)),
            text=_told(board, move),
            plan=_plan(board),
            watch_for=(say("find_replies"),),
        ),
        claims=(FastestMates(2, frozenset({move.uci()})),),
        difficulty=clamp(_difficulty(board, move)),
    )


def _told(board: chess.Board, move: chess.Move) -> Saying:
    """Each reply with a move that mates then, by name; without them where they are too many for a key."""
    after = after_move(board, move)
    replies = sorted(after.legal_moves, key=after.san)
    if len(replies) > _MOST_REPLIES:
        return say("mate_follows")
    return say(
        "mate_after_each", mates_after=tuple(f"{after.san(each)} {_mate(after, each)}" for each in replies)
    )


def _mate(board: chess.Board, reply: chess.Move) -> str:
    then = after_move(board, reply)
    return min(map(then.san, best_moves(then)))


def _difficulty(board: chess.Board, move: chess.Move) -> int:
    found = outcomes(board)
    quiet = not board.gives_check(move)
    king = board.piece_type_at(move.from_square) == chess.KING
    lures = found.other_checks - (not quiet)
    after = after_move(board, move)
    more_replies = after.legal_moves.count() - 1
    lured = min(6, lures) + min(6, 2 * len(found.stalemates))
    return 60 + min(8, 4 * more_replies) + 6 * quiet + 4 * king + lured


def _plan(board: chess.Board) -> Plan:
    line = list(shortest_line(board))
    now = board.copy(stack=False)
    first = now.san(line[0])
    now.push(line[0])
    replies = now.legal_moves.count()
    reply = now.san(line[1])
    now.push(line[1])
    steps = (
        PlanStep(first, say("bad_moves_only"), say("a_reply", reply=reply, replies=replies), reply),
        PlanStep(now.san(line[2]), say("mate_if_you_can"), say("it_is_mate")),
    )
    return Plan(Position(board.fen()), say("computed"), steps)


KIND = Kind("mate in two", _candidates, _draft)
