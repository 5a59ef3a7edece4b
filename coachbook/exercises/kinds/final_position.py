"""Mate, stalemate or neither: look at a finished-looking position with the lone king to move.

As far as the scarcest goes, a third of the positions are mates, a third stalemates, and a third
neither: he is crowded, with one or two moves left.

Difficulty: 10 for a mate in the corner, where three squares are looked at; 2 more for each square more
around him; 6 more for a stalemate, 10 for neither, where it must be found that he has a move, and 6 more
if he can only take.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import FinalStatus
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Sign, SquareSign
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_OPTIONS = ("mate", "stalemate", "neither")
_MORE = {"mate": 0, "stalemate": 6, "neither": 10}
"""How much harder it is to see."""
_IN_CORNER = 3
"""Squares around a king there."""
_CHECKMATED = -127
_MOST_MOVES = 2
_FEW = 50
"""Where one sort is scarcer than this (rooks hardly stalemate), up to so many of the others are used."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.black:
        return survey.cells(survey.space.empty())
    mates = survey.cells(survey.where(lambda values: values == _CHECKMATED))
    stalemates = survey.cells(survey.stalemates())
    most = max(_FEW, min(len(mates), len(stalemates)))
    ended = [thinned(mates, most), thinned(stalemates, most)]
    # One crowded position at least: a coach's own.
    crowded = survey.cells(survey.with_one_or_two_moves(), max(1, *map(len, ended)))
    return np.concatenate([*ended, crowded])


def _draft(board: chess.Board) -> Draft | None:
    lone = board.king(board.turn)
    moves = list(board.legal_moves)
    if lone is None or len(moves) > _MOST_MOVES:
        return None
    check = board.is_check()
    status = "neither" if moves else "mate" if check else "stalemate"
    return Draft(
        task=say("task_final_position"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.CHOICE, (status,), options=_OPTIONS, wrong=_slip(status)),
        solution=Solution(
            marks=Marks(signs=_signs(board, lone)),
            text=_told(status, check),
            watch_for=(say("look_at_king"),),
        ),
        claims=(FinalStatus(status),),
        difficulty=clamp(
            10 + _MORE[status] + 2 * (_around(lone) - _IN_CORNER) + 6 * _only_takes(board, moves)
        ),
    )


def _around(lone: chess.Square) -> int:
    return len(chess.SquareSet(chess.BB_KING_ATTACKS[lone]))


def _only_takes(board: chess.Board, moves: list[chess.Move]) -> bool:
    return bool(moves) and all(map(board.is_capture, moves))


def _signs(board: chess.Board, lone: chess.Square) -> tuple[SquareSign, ...]:
    free = {move.to_square for move in board.legal_moves}
    around = chess.SquareSet(chess.BB_KING_ATTACKS[lone])
    return tuple(SquareSign(square, Sign.TICK if square in free else Sign.CROSS) for square in around)


def _told(status: str, check: bool) -> Saying:
    if status == "neither":
        return say("has_a_move", in_check=check)
    return say("mated" if status == "mate" else "stalemated")


def _slip(status: str) -> str:
    return {"mate": Slip.MISSED_MATE, "stalemate": Slip.MISSED_STALEMATE, "neither": Slip.MISJUDGED}[status]


KIND = Kind("mate, stalemate or neither", _candidates, _draft, sides=(BLACK,))
