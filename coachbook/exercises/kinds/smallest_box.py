"""The smallest box: which move of the queen or rook makes it.

Asked where the method's rule "make the box smaller" leaves one move, and where that move is also
the best by the plain rule: of the moves of the piece that lose nothing and leave two squares or
more, the one with the smallest box. The box is what the piece's rank and file cut off; behind a rook
also what the lone king can really reach, and nothing is asked where the two are not the same.

Difficulty: 20; 8 more for each of her moves that stalemates or can be taken (up to 40); up to 20
more the less the box shrinks.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, positions_of, spoiling_moves
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import from_board
from coachbook.method.box import rectangle_size, region_size, walls_size
from coachbook.method.moves import Moves, attacker_moves
from coachbook.method.positions import Feature, Numbers, Positions
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Look, Method, choose_all
from coachbook.model.claims import SmallestBox
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_BY_PIECE = {"Q": (QUEEN_BOX, "walls", walls_size), "R": (ROOK_BOX, "region", region_size)}
_AS_COUNTED = {"Q": (rectangle_size,), "R": (rectangle_size, region_size)}
"""How a child may count the box that is left: all of them must come to the same."""
_SHRINK = 1
"""The number of the rule "make the box smaller" in both methods."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if survey.space.material.white not in _BY_PIECE or survey.space.material.black:
        return cells[:0]
    method, _, size = _BY_PIECE[letter := survey.space.material.white]
    positions = positions_of(survey, cells)
    choice = choose_all(method, positions)
    by_method = _only_goal(choice.moves, len(cells))
    agree = (by_method >= 0) & (choice.rule == _SHRINK)
    for counted in _AS_COUNTED[letter]:
        best = _plainly_best(positions, method, counted)
        agree &= by_method == _only_goal(best, len(cells))
        same = best.after.see(counted) == best.after.see(size)
        agree &= np.bincount(best.of[~same], minlength=len(cells)) == 0
    found: NDArray[np.intp] = cells[agree]
    return found


def _plainly_best(positions: Positions, method: Method, size: Feature[Numbers]) -> Moves:
    look = Look(positions, attacker_moves(positions))
    look = look.only(look.piece_moves & ~method.never.allows(look))
    look = look.only(look.then(region_size) > 1)
    return look.best(look.then(size)).moves


def _only_goal(moves: Moves, positions: int) -> NDArray[np.int8]:
    """Where the piece goes if one move is left, else -1. Shape (positions,)."""
    goal = np.full(positions, -1, dtype=np.int8)
    goal[moves.of] = moves.after.piece
    goal[np.bincount(moves.of, minlength=positions) != 1] = -1
    return goal


def _draft(board: chess.Board) -> Draft | None:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in _BY_PIECE)
    method, measure, size = _BY_PIECE[letter]
    before = from_board(board)
    after = choose_all(method, before).moves.after
    move = chess.Move(piece, int(after.piece[0]))
    old, new = int(size(before)[0]), int(size(after)[0])
    name = chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    traps = len(spoiling_moves(board, piece))
    return Draft(
        task=say("task_smallest_box", man=name),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES,
            (board.san(move),),
            all_needed=False,
            wrong=Slip.NOT_BEST_BOX,
            missed=Slip.NOT_BEST_BOX,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(move),)),
            text=say("box_left", squares=new),
            plan=next_step(board, method),
            watch_for=(say("two_squares"),),
        ),
        claims=(SmallestBox(piece, measure, new, frozenset({move.uci()})),),
        difficulty=clamp(20 + min(40, 8 * traps) + max(0, 20 - 2 * (min(old, 20) - new))),
    )


KIND = Kind("the smallest box", _candidates, _draft)
