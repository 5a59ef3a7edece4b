"""The no-go squares: all moves of the queen or rook after which it can be taken, or it is stalemate.

They throw the win away; in a lone king ending every other move of the piece still wins.

Difficulty: 10 and 5 for each square to be found, 8 more if one of them is a stalemate.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, judge_moves
from coachbook.exercises.board_facts import answer_squares
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import ThrowingSquares
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Sign, SquareSign
from coachbook.model.worksheet import Saying, Solution
from coachbook.wording.exercises import say

_FEWEST, _MOST = 2, 8


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.white not in ("Q", "R") or survey.space.material.black:
        return survey.cells(survey.space.empty())
    won = survey.where(lambda values: values > 0)
    return survey.cells(won & survey.with_some_move(lambda values: values == 0))


def _draft(board: chess.Board) -> Draft | None:
    piece = next(square for square, man in board.piece_map().items() if man.piece_type != chess.KING)
    name = chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    drawing = [judged.move for judged in judge_moves(board) if judged.outcome.result is Result.DRAW]
    thrown = [move for move in drawing if move.from_square == piece]
    squares = tuple(sorted(move.to_square for move in thrown))
    if not _FEWEST <= len(squares) <= _MOST:
        return None
    stalemates = tuple(chess.square_name(move.to_square) for move in thrown if _stalemates(board, move))
    return Draft(
        task=say("task_no_go_squares", man=name),
        task_marks=Marks(),
        answer=answer_squares(squares, Slip.MISSED_DANGER),
        solution=Solution(
            marks=Marks(signs=tuple(SquareSign(square, Sign.CROSS) for square in squares)),
            text=_told(stalemates, len(squares)),
            watch_for=(say("guarded"),),
        ),
        claims=(ThrowingSquares(piece, frozenset(squares)),),
        difficulty=clamp(10 + 5 * len(squares) + 8 * bool(stalemates)),
    )


def _told(stalemates: tuple[str, ...], squares: int) -> Saying:
    if not stalemates:
        return say("all_taken")
    return say("stalemate_on", stalemate_on=stalemates, taken_on=squares - len(stalemates))


def _stalemates(board: chess.Board, move: chess.Move) -> bool:
    after = after_move(board, move)
    return after.is_stalemate()


KIND = Kind("where it must not go", _candidates, _draft)
