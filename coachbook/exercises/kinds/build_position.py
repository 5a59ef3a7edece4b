"""Build a mate or a stalemate: all men but one are on the board, and the student places the last one.

The positions are mates and stalemates of which White's queen or rook is taken away, so that it can be put
back on one square or on a few. Before that he is not in check and has a move: it all comes from the new man.

Difficulty: 15 where four squares are right, 6 more for each that is fewer; 10 more for a stalemate, 8 where
another man stands on the board, 8 where some square would end the game in the other way.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import BLACK
from coachbook.exercises.board_facts import thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.model.claims import PlacingSquares
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Sign, SquareSign
from coachbook.model.worksheet import Answer, AnswerForm, Saying, Solution
from coachbook.wording.exercises import say

_KINGS = 2
_MEN = frozenset("QR")
_CHECKMATED = -127
_MOST_SQUARES = 4
"""Where more will do, there is nothing to find."""
_MATES_A_STALEMATE = 3
"""In two of three mates with two pieces the other one gives check already: they are no exercises."""
_FEW, _MOST = 100, 5_000
"""Where one end is scarce, up to `_FEW` of the other are used all the same, and never more than `_MOST`."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """About as many mates as stalemates, as far as the scarcer goes."""
    if survey.space.material.black or not _MEN.issuperset(survey.space.material.white):
        return survey.cells(survey.space.empty())
    mates = survey.cells(survey.where(lambda values: values == _CHECKMATED))
    mates, stalemates = (
        _with_few_places(survey, cells) for cells in (mates, survey.cells(survey.stalemates()))
    )
    most = min(_MOST, max(_FEW, min(len(mates) // _MATES_A_STALEMATE, len(stalemates))))
    return np.concatenate([thinned(mates, _MATES_A_STALEMATE * most), thinned(stalemates, most)])


def _with_few_places(survey: Survey, cells: NDArray[np.intp]) -> NDArray[np.intp]:
    """One of the cells for each position that a few of them share but for one man."""
    kept = np.zeros(len(cells), dtype=bool)
    for man in survey.space.men:
        _, first, places = np.unique(
            np.delete(cells, man.axis, axis=1), axis=0, return_index=True, return_counts=True
        )
        kept[first[places <= _MOST_SQUARES]] = True
    found: NDArray[np.intp] = cells[kept]
    return found


@dataclass(frozen=True, slots=True)
class _Placing:
    """A position without one of its men, whose name is `man`, and how the game ends with it on each square
    on which it does."""

    shown: chess.Board
    man: str
    ends: Mapping[chess.Square, str]

    def squares(self, end: str) -> tuple[chess.Square, ...]:
        """Those on which the game ends so, from a1 on."""
        return tuple(square for square, how in self.ends.items() if how == end)


def _draft(board: chess.Board) -> Draft | None:
    goal = _end(board)
    other = "stalemate" if goal == "mate" else "mate"
    without = [_without(board, square) for square in chess.SquareSet(board.occupied & ~board.kings)]
    fitting = [each for each in without if each and 1 <= len(each.squares(goal)) <= _MOST_SQUARES]
    if not goal or not fitting:
        return None
    placing = min(fitting, key=lambda each: len(each.squares(goal)))
    squares, others = placing.squares(goal), placing.squares(other)
    return Draft(
        task=say(f"task_place_for_{goal}", man=placing.man),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.SQUARES,
            tuple(map(chess.square_name, squares)),
            all_needed=False,
            wrong=Slip.WRONG_SQUARE,
            missed=Slip.MISSED_SQUARE,
        ),
        solution=Solution(
            marks=Marks(signs=tuple(SquareSign(square, Sign.TICK) for square in squares)),
            text=say(f"placed_{goal}s", man=placing.man),
            watch_for=(*_warned(other, others), say("placed_guarded", man=placing.man)),
        ),
        claims=(PlacingSquares(placing.man, goal, frozenset(squares)),),
        difficulty=clamp(
            15
            + 6 * (_MOST_SQUARES - len(squares))
            + 10 * (goal == "stalemate")
            + 8 * (len(placing.shown.piece_map()) > _KINGS)
            + 8 * bool(others)
        ),
        shown=placing.shown,
    )


def _without(board: chess.Board, square: chess.Square) -> _Placing | None:
    """The position without the man on a square; None if the lone king is in check there or has no move."""
    shown = board.copy(stack=False)
    man = shown.remove_piece_at(square)
    lone = shown.king(chess.BLACK)
    if man is None or lone is None or _end(shown) or shown.is_attacked_by(chess.WHITE, lone):
        return None
    ends = {}
    for place in chess.SquareSet(~shown.occupied):
        placed = shown.copy(stack=False)
        placed.set_piece_at(place, man)
        ends[place] = _end(placed)
    return _Placing(shown, chess.piece_name(man.piece_type), ends)


def _end(board: chess.Board) -> str:
    """How the game ends for the lone king, to move: "mate", "stalemate", or "" where it can step somewhere.

    The squares are looked at as if it were not there, for it gives no cover to what is behind it.
    """
    lone = board.king(chess.BLACK)
    if lone is None:
        return ""
    alone = board.copy(stack=False)
    alone.remove_piece_at(lone)
    around = chess.SquareSet(chess.BB_KING_ATTACKS[lone])
    if not all(alone.is_attacked_by(chess.WHITE, square) for square in around):
        return ""
    return "mate" if alone.is_attacked_by(chess.WHITE, lone) else "stalemate"


def _warned(end: str, squares: tuple[chess.Square, ...]) -> tuple[Saying, ...]:
    """The warning of squares that end the game in the other way, where they are few enough to be read."""
    if not 1 <= len(squares) <= _MOST_SQUARES:
        return ()
    return (say("placed_otherwise", other_end=end, ends_otherwise_on=tuple(map(chess.square_name, squares))),)


KIND = Kind("place the last man", _candidates, _draft, sides=(BLACK,))
