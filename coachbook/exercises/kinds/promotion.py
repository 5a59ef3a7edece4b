"""Promotion: whether the pawn may become a queen, or that is stalemate and another piece wins.

In half of the positions a queen is stalemate. In the others it gives no check, and the lone king has one or
two squares left: so one has to look.

Difficulty: 12, 8 where another white man stands on the board, 6 where a rook is stalemate, too, 6 where
the lone king has just one square left.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.board_facts import thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import NewQueen
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("yes", "no")
_MOST = 4_000
_CROWDED_ONE_IN = 7
"""Of the positions in which a queen wins: where the lone king has few squares and no check (measured)."""
_FEW_SQUARES = 2
_KINGS_AND_PAWN = 3


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """About as many stalemates as others, as far as the scarcer go."""
    if survey.space.material.black or "P" not in survey.space.material.white:
        return survey.cells(survey.space.empty())
    fails = survey.with_promotion("Q", lambda values: values == 0)
    other_wins = [survey.with_promotion(letter, lambda values: values < 0) for letter in "RN"]
    traps = survey.cells(fails & (other_wins[0] | other_wins[1]), _MOST)
    safe = survey.cells(~fails & survey.with_promotion("Q", lambda values: values < 0))
    return np.concatenate([traps, thinned(safe, max(1, _CROWDED_ONE_IN * len(traps)))])


def _draft(board: chess.Board) -> Draft | None:
    promotions = [move for move in board.legal_moves if move.promotion]
    if len({move.to_square for move in promotions}) != 1:
        return None
    after = {move.promotion: after_move(board, move) for move in promotions}
    winning = [piece for piece, then in after.items() if piece and probe(then).result is Result.LOSS]
    queen = after[chess.QUEEN]
    squares = tuple(sorted(chess.square_name(move.to_square) for move in queen.legal_moves))
    stalemate = queen.is_stalemate()
    is_looked_at = stalemate or (chess.QUEEN in winning and 1 <= len(squares) <= _FEW_SQUARES)
    if not winning or not is_looked_at or queen.is_check():
        return None
    return Draft(
        task=say("task_promotion"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.CHOICE, (_OPTIONS[stalemate],), options=_OPTIONS, wrong=Slip.MISJUDGED),
        solution=Solution(
            marks=Marks(), text=_told(max(winning), squares), watch_for=(say("look_before_queen"),)
        ),
        claims=(NewQueen(not stalemate),),
        difficulty=clamp(
            12
            + 8 * (len(board.piece_map()) > _KINGS_AND_PAWN)
            + 6 * after[chess.ROOK].is_stalemate()
            + 6 * (len(squares) == 1)
        ),
    )


def _told(best: chess.PieceType, squares: tuple[str, ...]) -> Saying:
    if squares:
        return say("queen_leaves", queen_leaves=squares)
    return say("queen_stalemates", instead=chess.piece_name(best))


KIND = Kind("a queen, or stalemate", _candidates, _draft)
