"""The smallest box: which safe move of the queen or rook makes it; every one that does is right.

Asked where the method's rule "make the box smaller" decides and leaves only moves that are right by the words
on the sheet, too (`box_moves`).

Difficulty: 20; 8 more for each of its moves that stalemates or can be taken (up to 40); up to 20
more the less the box shrinks.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, spoiling_moves
from coachbook.exercises.box_moves import (
    BOX_METHODS,
    SHRINK,
    are_all_among,
    box_size,
    moves_on,
    shrink_or_step,
)
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import right_by_words, rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import from_board
from coachbook.model.claims import SmallestBox
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_MEASURES = {"Q": "rectangle", "R": "region"}


def _candidates(survey: Survey) -> NDArray[np.intp]:
    method = BOX_METHODS.get(survey.space.material.white)
    if method is None or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at, right = rule_choices(survey, method), right_by_words(survey, method)
    cells, choice = looked_at.cells, looked_at.choice
    suits = (choice.rule == SHRINK) & right.shrinks & are_all_among(choice, right.moves, len(cells))
    found: NDArray[np.intp] = cells[suits]
    return found


def _draft(board: chess.Board) -> Draft:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in BOX_METHODS)
    before = from_board(board)
    right = shrink_or_step(before).moves
    moves = moves_on(board, right)
    old, new = int(box_size(before)[0]), int(box_size(right.after)[0])
    name = chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    traps = len(spoiling_moves(board, piece))
    return Draft(
        task=say("task_smallest_box", man=name),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            tuple(map(board.san, moves)),
            all_needed=False,
            wrong=Slip.NOT_BEST_BOX,
            missed=Slip.NOT_BEST_BOX,
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(map(arrow, moves))),
            text=say("box_left", squares=new, **({"right_moves": len(moves)} if len(moves) > 1 else {})),
            plan=next_step(board, BOX_METHODS[letter]),
            watch_for=(say("two_squares"),),
        ),
        claims=(SmallestBox(piece, _MEASURES[letter], new, names(moves)),),
        difficulty=clamp(20 + min(40, 8 * traps) + max(0, 20 - 2 * (min(old, 20) - new))),
    )


KIND = Kind("the smallest box", _candidates, _draft)
