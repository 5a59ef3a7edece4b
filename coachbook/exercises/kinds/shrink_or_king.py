"""Make the box as small as it can be made; if it can't be made smaller, step nearer with the king.

Right is every move that is right by the words on the sheet (`box_moves`). Asked where the method agrees: the
same rule decides, "make the box smaller" or one by which the king comes, and leaves only moves that are
right; and where no right step puts the king on a wall of the queen.

Difficulty: 25; 15 more if the answer is a king's move; 5 more for each move that stalemates or
loses the piece (up to 30).
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, spoiling_moves
from coachbook.exercises.box_moves import (
    BOX_METHODS,
    KINGS,
    SHRINK,
    BoxMoves,
    are_all_among,
    moves_on,
    shrink_or_step,
)
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import right_by_words, rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import from_board
from coachbook.method.positions import FILE, RANK, Mask, Positions
from coachbook.model.claims import ShrinkOrKing
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many positions for the one rule as for the other."""
    method = BOX_METHODS.get(survey.space.material.white)
    if method is None or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at, right = rule_choices(survey, method), right_by_words(survey, method)
    cells, choice = looked_at.cells, looked_at.choice
    agreed = are_all_among(choice, right.moves, len(cells)) & ~_on_wall(looked_at.positions, right)
    shrink = cells[agreed & right.shrinks & (choice.rule == SHRINK)]
    king = cells[agreed & ~right.shrinks & np.isin(choice.rule, KINGS[method.name])]
    return np.concatenate([king, shrink[:: max(1, len(shrink) // max(1, len(king)))]])


def _on_wall(positions: Positions, right: BoxMoves) -> Mask:
    """Whether a right step of the king puts him on the queen's file or rank. Shape (n,)."""
    found: Mask = np.zeros(len(positions), dtype=np.bool_)
    if positions.pieces == "Q":
        after, of = right.moves.after, right.moves.of
        on_line = (FILE[after.king] == FILE[after.piece]) | (RANK[after.king] == RANK[after.piece])
        found[of[on_line & ~right.shrinks[of]]] = True
    return found


def _draft(board: chess.Board) -> Draft:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in BOX_METHODS)
    right = shrink_or_step(from_board(board))
    moves, shrinks = moves_on(board, right.moves), bool(right.shrinks[0])
    name = chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    return Draft(
        task=say("task_shrink_or_step", man=name),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            tuple(map(board.san, moves)),
            all_needed=False,
            wrong=Slip.AGAINST_RULE,
            missed=Slip.AGAINST_RULE,
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(map(arrow, moves))),
            text=say("shrink_or_step", shrinks=shrinks, right_moves=len(moves)),
            plan=next_step(board, BOX_METHODS[letter]),
            watch_for=(say("ask_box_first"),),
        ),
        claims=(ShrinkOrKing(piece, shrinks, names(moves)),),
        difficulty=clamp(25 + 15 * (not shrinks) + min(30, 5 * len(spoiling_moves(board, piece)))),
    )


KIND = Kind("make the box smaller, or step nearer", _candidates, _draft)
