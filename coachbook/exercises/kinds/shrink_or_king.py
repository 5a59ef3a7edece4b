"""Make the box as small as it can be made; if it can't be made smaller, step nearer with the king.

The words decide, not the method's finer points: of the piece's moves that leave two squares and lose
nothing, each that makes the smallest box is right; where none makes it smaller, each step of the king that is
nearer to the lone king. Asked where the method goes the same way, where every step that is nearer is a
good one, and where no fence is broken, of which the words say nothing; with a rook where the box that its
rank and file cut off and the squares that the lone king can really reach ask for the same moves.

Difficulty: 25; 15 more if the answer is a king's move; 5 more for each move that stalemates or
loses the piece (up to 30).
"""

from collections.abc import Iterable
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import arrow, names, positions_of, spoiling_moves
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import from_board, move_of
from coachbook.method.box import rectangle_size, region_size, walls_broken, walls_size
from coachbook.method.moves import Moves, attacker_moves, rows_of
from coachbook.method.positions import Feature, Mask, Numbers, Positions
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Look, Method, choose_all, kings_apart
from coachbook.model.claims import SmallestOrNearer
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_SHRINK, _KING = 1, 2
"""The numbers of the rules "make the box smaller" and "bring the king" in both methods."""
_MOST_MOVES = 3
"""More right moves than that, and nothing is asked."""


@dataclass(frozen=True, slots=True)
class _Box:
    """A piece's method, and how its box is measured."""

    method: Method
    measure: str
    size: Feature[Numbers]


_BOXES = {"Q": _Box(QUEEN_BOX, "walls", walls_size), "R": _Box(ROOK_BOX, "region", region_size)}


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """As many positions for the one rule as for the other."""
    cells = survey.cells(survey.legal)
    if survey.space.material.white not in _BOXES or survey.space.material.black:
        return cells[:0]
    box = _BOXES[survey.space.material.white]
    choice = choose_all(box.method, positions_of(survey, cells))
    cells = cells[np.isin(choice.rule, (_SHRINK, _KING))]
    asked = _asked(positions_of(survey, cells), box)
    shrink, king = cells[asked == _SHRINK], cells[asked == _KING]
    return np.concatenate([king, shrink[:: max(1, len(shrink) // max(1, len(king)))]])


def _asked(positions: Positions, box: _Box) -> NDArray[np.int8]:
    """The rule that decides, by the words and by the method; 0 where nothing can be asked. Shape (n,)."""
    n, choice = len(positions), choose_all(box.method, positions)
    smallest, nearer, is_good = _by_words(positions, box)
    asked = np.where(rows_of(smallest.moves, n) > 0, _SHRINK, _KING).astype(np.int8)
    right = np.where(asked == _SHRINK, rows_of(smallest.moves, n), rows_of(nearer.moves, n))
    agrees = (asked == choice.rule) & (
        _in_both(choice.moves, (smallest.moves, nearer.moves), n) == rows_of(choice.moves, n)
    )
    return np.where(agrees & is_good & (right > 0) & (right <= _MOST_MOVES), asked, 0).astype(np.int8)


def _by_words(positions: Positions, box: _Box) -> tuple[Look, Look, Mask]:
    """The moves that make the smallest box, the steps that are nearer, and where the words mislead nobody."""
    look = Look(positions, attacker_moves(positions))
    spoils = box.method.never.allows(look) | (look.then(region_size) < 2)
    piece_moves = look.only(look.piece_moves & ~spoils)
    smallest = _smallest(piece_moves, box.size)
    is_nearer = look.king_moves & (look.then(kings_apart) < look.now(kings_apart))
    opens = spoils | (look.then(box.size) > look.now(box.size))
    bad = is_nearer & opens
    if box.measure == "walls":
        bad = bad | (look.piece_moves & look.then(walls_broken)) | look.now(walls_broken)
    n, cut_off = len(positions), _smallest(piece_moves, rectangle_size)
    same = _in_both(smallest.moves, [cut_off.moves], n)
    is_good = (same == rows_of(smallest.moves, n)) & (same == rows_of(cut_off.moves, n))
    is_good &= np.bincount(look.moves.of[bad], minlength=n) == 0
    return smallest, look.only(is_nearer), is_good


def _smallest(look: Look, size: Feature[Numbers]) -> Look:
    """The moves that make the smallest box, where it is smaller than now."""
    best = look.best(look.then(size))
    return best.only(best.then(size) < best.now(size))


def _in_both(chosen: Moves, right: Iterable[Moves], positions: int) -> NDArray[np.intp]:
    """How many of the moves that are chosen are right. Shape (n,)."""
    rows = np.concatenate([_numbered(each) for each in right])
    both = np.isin(_numbered(chosen), rows)
    return np.bincount(chosen.of[both], minlength=positions)


def _numbered(moves: Moves) -> NDArray[np.int64]:
    """A number for each move: no two of them have the same."""
    return (moves.of * 2 + (moves.man > 0)) * 64 + moves.squares()


def _draft(board: chess.Board) -> Draft | None:
    letter, piece = next((m.symbol(), q) for q, m in board.piece_map().items() if m.symbol() in _BOXES)
    box, before = _BOXES[letter], from_board(board)
    asked = int(_asked(before, box)[0])
    if not asked:
        return None
    smallest, nearer, _ = _by_words(before, box)
    right = (smallest if asked == _SHRINK else nearer).moves
    moves = tuple(move_of(right, before, row, chess.WHITE) for row in range(len(right.of)))
    sans = tuple(sorted(board.san(move) for move in moves))
    king = asked == _KING
    return Draft(
        task=say("task_shrink_or_king", man=chess.piece_name(board.piece_type_at(piece) or chess.QUEEN)),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.MOVES, sans, all_needed=False, wrong=Slip.AGAINST_RULE, missed=Slip.AGAINST_RULE
        ),
        solution=Solution(
            marks=Marks(arrows=tuple(arrow(move) for move in moves)),
            text=say("shrinks", shrinks=not king, right_moves=len(sans)),
            plan=next_step(board, box.method),
            watch_for=(say("ask_first"),),
        ),
        claims=(SmallestOrNearer(piece, box.measure, not king, names(moves)),),
        difficulty=clamp(25 + 15 * king + min(30, 5 * len(spoiling_moves(board, piece)))),
    )


KIND = Kind("make the box smaller, or bring the king", _candidates, _draft)
