"""Enough to mate: whether White can still force mate with what is left, the lone king to move.

The lone king stands next to a man of White's, so that one has to look whether he can take it.

Difficulty: 20, 12 more where White has two men besides the king, 5 where the lone king can take one.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, probe
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.themes import narrowed
from coachbook.model.claims import EnoughToMate
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("yes", "no")
_MOST = 3_000
_BESIDE = (("lone_king_near_piece", 1),)


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """Two of three in which it can, where it can at all: of some endings it never can."""
    material = survey.space.material
    if material.black or "P" in material.white or material.name == "KNNK":
        return survey.cells(survey.space.empty())
    beside = narrowed(survey, _BESIDE)
    enough = beside.cells(beside.where(lambda values: values < 0), _MOST)
    drawn = beside.cells(beside.where(lambda values: values == 0))
    if not len(enough):
        return thinned(drawn, _MOST)
    share = max(1, min(len(enough) // 2, len(drawn)))
    return np.concatenate([thinned(enough, 2 * share), thinned(drawn, share)])


def _draft(board: chess.Board) -> Draft | None:
    if not any(board.legal_moves):
        return None
    enough = probe(board).result is Result.LOSS
    captures = [move for move in board.legal_moves if board.is_capture(move)]
    spoiled = [move for move in captures if _cannot_mate(after_move(board, move))]
    if not enough and not _cannot_mate(board) and not spoiled:
        return None
    taken = None if _cannot_mate(board) else next(iter(captures if enough else spoiled), None)
    return Draft(
        task=say("task_enough_to_mate"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE, (_OPTIONS[0 if enough else 1],), options=_OPTIONS, wrong=Slip.MISJUDGED
        ),
        solution=Solution(
            marks=Marks(), text=_told(board, taken, enough=enough), watch_for=(say("can_he_take"),)
        ),
        claims=(EnoughToMate(enough),),
        difficulty=clamp(20 + 12 * (len(_men(board)) > 1) + 5 * bool(captures)),
    )


def _cannot_mate(board: chess.Board) -> bool:
    """Whether no mate by White is possible with these men, however both sides play."""
    return board.has_insufficient_material(chess.WHITE)


def _told(board: chess.Board, taken: chess.Move | None, *, enough: bool) -> Saying:
    if taken is None:
        return say("men_are_enough" if enough else "men_never_mate", men=_men(board))
    name = chess.piece_name(board.piece_type_at(taken.to_square) or chess.KING)
    told = (name, *_men(after_move(board, taken)))
    return say("enough_if_taken" if enough else "never_if_taken", taken_and_left=told)


def _men(board: chess.Board) -> tuple[str, ...]:
    """White's men besides the king, by name, the strongest first."""
    kinds = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)
    return tuple(
        chess.piece_name(kind) for kind in kinds for _ in range(len(board.pieces(kind, chess.WHITE)))
    )


KIND = Kind("enough to mate", _candidates, _draft, sides=(BLACK,))
