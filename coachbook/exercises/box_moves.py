"""The moves that are right by what a sheet says of boxes (`wording.definitions`), of many positions at once.

*Safe* is a move after which the lone king can't take the piece and keeps two squares or more. The queen's box
is what its file and rank shut off, wherever White's king stands; the rook's is the region (see `method.box`).
So a child that reads the definitions needs to know nothing else.
"""

from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.method.border import from_board, move_of
from coachbook.method.box import has_two_squares, rectangle_size, region_size
from coachbook.method.moves import Moves, attacker_moves, joined, rows_of
from coachbook.method.positions import Mask, Numbers, Positions, can_be_taken
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Choice, Look, kings_apart

BOX_METHODS = {"Q": QUEEN_BOX, "R": ROOK_BOX}
"""By White's piece: the method of which the box is."""
SHRINK = 1
"""The number of the rule "make the box smaller" in both methods."""
_BY_KING = ("king_to_meeting_square", "king_to_rook", "king_to_lone_king")
KINGS = {
    method.name: [number for number, rule in enumerate(method.rules) if rule.code in _BY_KING]
    for method in (QUEEN_BOX, ROOK_BOX)
}
"""By the names of the methods: the numbers of the rules by which the king comes."""


@dataclass(frozen=True, slots=True, eq=False)
class BoxMoves:
    """The right moves in n positions, sorted by position; whether they make the box smaller. Shape (n,)."""

    moves: Moves
    shrinks: Mask


def box_size(positions: Positions) -> Numbers:
    """How many squares the box holds that a sheet defines; NO_BOX without one. Shape (n,)."""
    return positions.see(region_size if positions.pieces == "R" else rectangle_size)


def shrink_or_step(positions: Positions) -> BoxMoves:
    """The safe moves of the piece that make the smallest box, where that is smaller than it is; elsewhere the
    safe king's moves after which fewer king steps lie between the kings."""
    smallest = smallest_boxes(positions)
    smaller = smallest.only(smallest.then(box_size) < smallest.now(box_size)).moves
    shrinks = rows_of(smaller, len(positions)) > 0
    steps = _safe_moves(positions)
    nearer = steps.king_moves & (steps.then(kings_apart) < steps.now(kings_apart))
    king = steps.only(nearer & ~shrinks[steps.moves.of]).moves
    return BoxMoves(joined((smaller, king)), shrinks)


def smallest_boxes(positions: Positions) -> Look:
    """The safe moves of the piece that make the smallest box, smaller than it is or not."""
    safe = _safe_moves(positions)
    piece = safe.only(safe.piece_moves)
    return piece.best(piece.then(box_size))


def are_all_among(choice: Choice, right: Moves, positions: int) -> Mask:
    """Whether a method's moves in n positions are all among the right ones. Shape (n,)."""
    among: Mask = np.ones(positions, dtype=np.bool_)
    among[choice.moves.of[~np.isin(_numbered(choice.moves), _numbered(right))]] = False
    return among


def moves_on(board: chess.Board, moves: Moves) -> tuple[chess.Move, ...]:
    """The moves of the one position on the board, in the order of their names (UCI); White has the piece."""
    before = from_board(board)
    found = (move_of(moves, before, row, chess.WHITE) for row in range(len(moves.of)))
    return tuple(sorted(found, key=chess.Move.uci))


def _numbered(moves: Moves) -> NDArray[np.int64]:
    """A number for each move, the same for the same move of the same position. Shape (m,)."""
    return (moves.of * 2 + (moves.man > 0)) * 64 + moves.squares()


def _safe_moves(positions: Positions) -> Look:
    look = Look(positions, attacker_moves(positions))
    return look.only(look.then(has_two_squares) & ~look.then(can_be_taken))
