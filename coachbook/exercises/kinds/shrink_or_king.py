"""Make the box as small as it can be made; if it can't be made smaller, bring the king.

The rule of the queen's and of the rook's box that decides is "make the box smaller" or "bring the
king"; every move that it leaves is right.

Difficulty: 25; 15 more if the answer is a king's move; 5 more for each move that stalemates or
loses the piece (up to 30).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, positions_of, spoiling_moves
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import choose
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import choose_all
from coachbook.model.claims import MethodRule
from coachbook.model.position import Marks
from coachbook.model.slips import Slip
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_METHODS = {"Q": QUEEN_BOX, "R": ROOK_BOX}
_SHRINK, _KING = 1, 2
"""The numbers of the rules "make the box smaller" and "bring the king" in both methods."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many positions for the one rule as for the other."""
    cells = survey.cells(survey.legal)
    if survey.space.material.white not in _METHODS or survey.space.material.black:
        return cells[:0]
    rule = choose_all(_METHODS[survey.space.material.white], positions_of(survey, cells)).rule
    shrink, king = cells[rule == _SHRINK], cells[rule == _KING]
    return np.concatenate([king, shrink[:: max(1, len(shrink) // max(1, len(king)))]])


def _draft(board: chess.Board) -> Draft | None:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in _METHODS)
    method = _METHODS[letter]
    chosen = choose(board, method)
    if chosen.rule is None or len(chosen.moves) > 2:
        return None
    king = chosen.rule is method.rules[_KING]
    sans = tuple(board.san(move) for move in chosen.moves)
    name = chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    return Draft(
        task=say("task_shrink_or_king", man=name),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES, sans, all_needed=False, wrong=Slip.AGAINST_RULE, missed=Slip.AGAINST_RULE
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(arrow(move) for move in chosen.moves)),
            text=say("shrinks", shrinks=not king, rule_moves=len(sans)),
            plan=next_step(board, method),
            watch_for=(say("ask_first"),),
        ),
        claims=(MethodRule(method.name, chosen.rule.code, names(chosen.moves)),),
        difficulty=clamp(25 + 15 * king + min(30, 5 * len(spoiling_moves(board, piece)))),
    )


KIND = Kind("make the box smaller, or bring the king", _candidates, _draft)
