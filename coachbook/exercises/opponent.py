"""The other side of a play-out, played by coachbook itself: exact, and as hard to beat as can be.

Where the student is to win it defends: among its moves with the best outcome (a win, a draw, else the mate
that comes last) it takes one after which the fewest of the student's moves keep the result. Where the
student is to hold a draw it presses: among its moves with the best outcome (a win, the quickest first; else
all that draw) one after which the most of the student's moves lose. A seed decides between equals, so that
two neighbours with the same card do not meet the same game.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import Result, after_move, best_moves, judge_moves
from coachbook.exercises.generate import derived_seed


@dataclass(frozen=True, slots=True)
class _Reply:
    """A move of coachbook's, and how many of the student's answers are right and wrong after it."""

    move: chess.Move
    right: int
    wrong: int

    @property
    def hardest_first(self) -> tuple[int, int]:
        return self.right, -self.wrong


def reply(board: chess.Board, seed: int) -> chess.Move:
    """Coachbook's move in a position that the tables know, where it is to move.

    Raises UnknownEndingError for another position, and ValueError if the game is over.
    """
    hardest = hardest_replies(board)
    if not hardest:
        raise ValueError(f"No move in {board.fen()}.")
    return hardest[derived_seed(seed, board.epd(), str(board.ply())) % len(hardest)]


def hardest_replies(board: chess.Board) -> Sequence[chess.Move]:
    """The moves that may be chosen, in the order of their names (UCI); none if the game is over."""
    replies = [_weighed(board, move) for move in best_moves(board)]
    hardest = min((each.hardest_first for each in replies), default=None)
    found = (each.move for each in replies if each.hardest_first == hardest)
    return sorted(found, key=chess.Move.uci)


def _weighed(board: chess.Board, move: chess.Move) -> _Reply:
    answers = judge_moves(after_move(board, move))
    best = max((each.outcome.result for each in answers), default=Result.DRAW)
    right = sum(each.outcome.result is best for each in answers)
    return _Reply(move, right, len(answers) - right)
