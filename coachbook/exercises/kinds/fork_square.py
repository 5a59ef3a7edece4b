"""The double attack: from which squares the queen checks the king, attacks the rook and wins it next move.

Asked where there are one or two such squares, nothing hangs yet, and White neither is in check nor can
mate; and not where a reply saves the rook at the price of being mated, which could be called winning it.

Difficulty: 25, 2 more for each other check of the queen (up to 20), 15 more where another double attack
fails, 10 more where there are two squares to find.
"""

from collections.abc import Iterator

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import JudgedMove, Outcome, Result, after_move, judge_moves
from coachbook.exercises.board_facts import answer_squares, arrow
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.method.positions import BIT, KING, QUEEN, ROOK, not_empty, on, seen_past
from coachbook.model.claims import ForkSquares
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Plan, PlanStep, Solution
from coachbook.wording.exercises import say

_MOST = 2
_LOOKED_AT = 100_000
"""Won positions, spread evenly over all of them."""
_MATE = Outcome(Result.WIN, 1)


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.name != "KQKR":
        return survey.cells(survey.space.empty())
    cells = survey.cells(survey.where(lambda values: values > 0), _LOOKED_AT)
    men = (survey.space.kings[cells[:, 0]], *(cells[:, man.axis] for man in survey.space.men), cells[:, -1])
    king, queen, rook, lone = (column.astype(np.int8) for column in men)
    to_rook = seen_past(QUEEN, rook, king, lone)
    taken = (KING[lone] & ~KING[king]) | seen_past(ROOK, rook, king, lone)
    goals = seen_past(QUEEN, queen, king, lone, rook) & ~(BIT[king] | BIT[lone] | BIT[rook])
    forks = goals & seen_past(QUEEN, lone, king, rook) & to_rook & ~taken
    hangs = on(to_rook, queen) | on(KING[king], rook)
    in_check = on(seen_past(ROOK, rook, lone, queen), king)
    found: NDArray[np.intp] = cells[not_empty(forks) & ~hangs & ~in_check]
    return found


def _draft(board: chess.Board) -> Draft | None:
    (queen,), (rook,) = board.pieces(chess.QUEEN, chess.WHITE), board.pieces(chess.ROOK, chess.BLACK)
    judged = judge_moves(board)
    checks = [each for each in judged if each.move.from_square == queen and board.gives_check(each.move)]
    attacks = [each for each in checks if rook in after_move(board, each.move).attacks(each.move.to_square)]
    winning = [each for each in attacks if all(map(_takes_rook, _replied(board, each)))]
    doubtful = any(
        all(map(_takes_or_mates, _replied(board, each))) for each in attacks if each not in winning
    )
    if judged[0].outcome == _MATE or doubtful or not 1 <= len(winning) <= _MOST:
        return None
    squares = tuple(sorted(each.move.to_square for each in winning))
    step = PlanStep(winning[0].san, say("double_attack"), say("does", gives_check=True))
    return Draft(
        task=say("task_fork_square"),
        task_marks=Marks(),
        answer=answer_squares(squares),
        solution=Solution(
            marks=Marks(outlined=squares, arrows=(arrow(winning[0].move),)),
            text=say("rook_falls"),
            plan=Plan(Position(board.fen()), say("by_rules_of_chess"), (step,)),
            watch_for=(say("saves_rook"),),
        ),
        claims=(ForkSquares(queen, frozenset(squares)),),
        difficulty=clamp(
            25
            + min(20, 2 * (len(checks) - len(winning)))
            + 15 * (len(attacks) > len(winning))
            + 10 * (len(winning) - 1)
        ),
    )


def _replied(board: chess.Board, judged: JudgedMove) -> Iterator[chess.Board]:
    """What may be on the board after the move and a reply, White to move."""
    after = after_move(board, judged.move)
    return (after_move(after, reply) for reply in after.legal_moves)


def _takes_rook(board: chess.Board) -> bool:
    """Whether White can take the rook and still wins by the tables."""
    judged = judge_moves(board)
    return any(board.is_capture(each.move) and each.outcome.result is Result.WIN for each in judged)


def _takes_or_mates(board: chess.Board) -> bool:
    return _takes_rook(board) or any(each.outcome == _MATE for each in judge_moves(board))


KIND = Kind("the double attack", _candidates, _draft)
