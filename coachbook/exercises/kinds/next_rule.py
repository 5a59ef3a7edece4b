"""Which rule of the method comes next: the first in the list that has a move.

Asked of the queen's box, the rook's box and the two major pieces; not where it is mate in one.

Difficulty: 15 for the second rule of the list, 10 more for each rule further down, up to 20 more
for moves that spoil the win (5 each).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.columns import positions_of, thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.moves import arrow, names, spoiling_moves
from coachbook.exercises.next_step import next_step
from coachbook.method.border import choose
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import choose_all
from coachbook.model.claims import MethodRule
from coachbook.model.exercise import Answer, AnswerForm, Solution
from coachbook.model.marks import Marks
from coachbook.model.slips import Slip

_METHODS = {"Q": QUEEN_BOX, "R": ROOK_BOX}


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """The rules in equal shares, as far as the positions of the rarer ones go."""
    cells = survey.cells(survey.legal)
    if survey.space.material.white not in _METHODS or survey.space.material.black:
        return cells[:0]
    method = _METHODS[survey.space.material.white]
    rule = choose_all(method, positions_of(survey, cells)).rule
    parts = [cells[rule == number] for number in range(1, len(method.rules))]
    share = max(100, min(len(part) for part in parts if len(part)))
    return np.concatenate([thinned(part, 2 * share) for part in parts if len(part)])


def _draft(board: chess.Board) -> Draft | None:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in _METHODS)
    method = _METHODS[letter]
    chosen = choose(board, method)
    if chosen.rule is None:
        return None
    number = method.rules.index(chosen.rule)
    options = tuple(rule.name for rule in method.rules)
    plan = next_step(board, method)
    step = board.parse_san(plan.steps[0].move)
    return Draft(
        task="Which rule comes next? Tick it.",
        task_marks=Marks(),
        answer=Answer(AnswerForm.CHOICE, (chosen.rule.name,), options=options, wrong=Slip.WRONG_RULE),
        solution=Solution(
            marks=Marks(arrows=(arrow(step),)),
            text="It is the first rule of the list that has a move.",
            plan=plan,
            watch_for=("Go through the rules from the top.",),
        ),
        claims=(MethodRule(method.name, chosen.rule.name, names(chosen.moves)),),
        difficulty=clamp(5 + 10 * number + min(20, 5 * len(spoiling_moves(board, piece)))),
    )


KIND = Kind("which rule comes next", _candidates, _draft)
