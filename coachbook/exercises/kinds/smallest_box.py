"""The smallest box: which move of the queen or rook makes it.

Asked where the method's rule "make the box smaller" leaves one move, and where that move is also
the best by the plain rule: of the moves of the piece that lose nothing and leave two squares or
more, the one with the smallest box. The queen's box is the one by walls, the rook's is what the
lone king can really reach.

Difficulty: 20; 8 more for each of her moves that stalemates or can be taken (up to 40); up to 20
more the less the box shrinks.
"""

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.columns import positions_of
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.moves import arrow, spoiling_moves
from coachbook.exercises.next_step import next_step
from coachbook.method.border import from_board
from coachbook.method.box import region_size, walls_size
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import choose_all
from coachbook.model.claims import SmallestBox
from coachbook.model.exercise import Answer, AnswerForm, Solution
from coachbook.model.marks import Marks
from coachbook.model.slips import Slip

_BY_PIECE = {"Q": (QUEEN_BOX, "walls", walls_size), "R": (ROOK_BOX, "region", region_size)}
_SHRINK = 1
"""The number of the rule "make the box smaller" in both methods."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    cells = survey.cells(survey.legal)
    if survey.space.material.white not in _BY_PIECE or survey.space.material.black:
        return cells[:0]
    method, _, _ = _BY_PIECE[survey.space.material.white]
    choice = choose_all(method, positions_of(survey, cells))
    one = np.bincount(choice.moves.of, minlength=len(cells)) == 1
    found: NDArray[np.intp] = cells[one & (choice.rule == _SHRINK)]
    return found


def _draft(board: chess.Board) -> Draft | None:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in _BY_PIECE)
    method, measure, size = _BY_PIECE[letter]
    before = from_board(board)
    choice = choose_all(method, before)
    move = chess.Move(piece, int(choice.moves.after.piece[0]))
    old, new = int(size(before)[0]), int(size(choice.moves.after)[0])
    if _best_by_plain_rule(board, piece, measure) != {move}:
        return None
    san, name = board.san(move), chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)
    traps = len(spoiling_moves(board, piece))
    return Draft(
        task=f"Which {name} move makes the smallest box?",
        task_marks=Marks(),
        answer=Answer(AnswerForm.MOVES, (san,), wrong=Slip.SMALLER_BOX),
        solution=Solution(
            marks=Marks(arrows=(arrow(move),)),
            text=f"The box that it leaves has {new} squares.",
            plan=next_step(board, method),
            watch_for=("Leave him two squares or more, and don't let him take.",),
        ),
        claims=(SmallestBox(piece, measure, new, frozenset({move.uci()})),),
        difficulty=clamp(20 + min(40, 8 * traps) + max(0, 20 - 2 * (min(old, 20) - new))),
    )


def _best_by_plain_rule(board: chess.Board, piece: chess.Square, measure: str) -> set[chess.Move]:
    size = walls_size if measure == "walls" else region_size
    spoiling = spoiling_moves(board, piece)
    sizes: dict[chess.Move, int] = {}
    for move in board.legal_moves:
        if move.from_square == piece and move not in spoiling:
            after = board.copy(stack=False)
            after.push(move)
            there = from_board(after)
            if int(region_size(there)[0]) > 1:
                sizes[move] = int(size(there)[0])
    smallest = min(sizes.values(), default=0)
    return {move for move, found in sizes.items() if found == smallest}


KIND = Kind("the smallest box", _candidates, _draft)
