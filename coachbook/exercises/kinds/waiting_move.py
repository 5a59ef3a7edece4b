"""The waiting move: the rook moves, the lone king can't take it, and his box stays as it is.

Asked where the rule of the rook's box that decides is to wait. Every move that does what the task says is
right; so it is asked only where each of them keeps the win, and the method's own move is among them.

Difficulty: 25, for one question is asked of the rook's moves; 5 more for each right move that there is
fewer than six; 3 more for each move after which the rook can be taken, or it is stalemate (up to 15).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import after_move, keeping_moves
from coachbook.exercises.board_facts import arrow, names, spoiling_moves
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import choose, from_board
from coachbook.method.box import region
from coachbook.method.rook_box import ROOK_BOX
from coachbook.model.claims import MethodRule, WaitingMoves
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_WAIT = [rule.code for rule in ROOK_BOX.rules].index("rook_keeps_box")
"""The number of the rule "wait with the rook" in the rook's box."""
_MOST = 6
"""More right moves than that leave nothing to look for."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if survey.space.material.white not in ROOK_BOX.endings or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at = rule_choices(survey, ROOK_BOX)
    found: NDArray[np.intp] = looked_at.cells[looked_at.choice.rule == _WAIT]
    return found


def _box(board: chess.Board) -> int:
    """The squares of the lone king's box, as bits."""
    return int(region(from_board(board))[0])


def _waiting(board: chess.Board) -> list[chess.Move]:
    """The rook's moves after which the box is the same and nothing can be taken, by name."""
    box, found = _box(board), []
    for move in board.legal_moves:
        if board.piece_type_at(move.from_square) == chess.ROOK:
            after = after_move(board, move)
            if _box(after) == box and not any(after.generate_legal_captures()):
                found.append(move)
    return sorted(found, key=board.san)


def _draft(board: chess.Board) -> Draft | None:
    right = _waiting(board)
    if not 0 < len(right) <= _MOST or not {*right} <= {*keeping_moves(board)}:
        return None
    chosen = choose(board, ROOK_BOX)
    if chosen.rule is None or not {*right} >= {*chosen.moves}:
        return None
    (rook,) = board.pieces(chess.ROOK, chess.WHITE)
    spoiling = len(spoiling_moves(board, rook))
    return Draft(
        task=say("task_waiting_move"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            tuple(map(board.san, right)),
            all_needed=False,
            wrong=Slip.AGAINST_RULE,
            missed=Slip.AGAINST_RULE,
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(map(arrow, right))),
            text=say("waits", waiting=len(right), room_was=_box(board).bit_count()),
            plan=next_step(board, ROOK_BOX),
            watch_for=(say("count_the_box"),),
        ),
        claims=(
            WaitingMoves(names(tuple(right))),
            MethodRule(ROOK_BOX.name, chosen.rule.code, names(chosen.moves)),
        ),
        difficulty=clamp(25 + 5 * (_MOST - len(right)) + min(15, 3 * spoiling)),
    )


KIND = Kind("the waiting move", _candidates, _draft)
