"""King and pawn against king: who wins, by verdicts that the tables bear out without exception.

Each says who is to move and where it does not hold; apart from that it holds in every position
(counted in tests/method/test_king_and_pawn_verdicts.py). Their sentences are in `wording.reasons`. The key
squares and the rule of the square are common practice, no source; their exact wording was found here.
"""

from dataclasses import dataclass

import chess
import numpy as np

from coachbook.method.border import attacker, find_ending, from_board
from coachbook.method.moves import Side
from coachbook.method.pawn_sights import (
    ahead_with_opposition,
    at_least_as_near,
    close,
    far_ahead,
    king_in_its_way,
    king_too_far,
    last_step,
    on_key_square,
    outside_if_he_moves,
    outside_if_pawn_moves,
    queening_square,
    ranks_ahead,
    rook_key,
    rook_pawn,
    shield,
    side_by_side,
    square_ahead,
)
from coachbook.method.positions import (
    FILE,
    RANK,
    Feature,
    Mask,
    Positions,
    can_be_taken,
    is_stalemate,
    king_steps,
)
from coachbook.model.because import Because


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """Whenever it `applies`, the pawn wins (`won`) or it is a draw; `because` stands for its sentence.

    `to_move` is whose move it may be. In a position where one of `unless` applies it says nothing.
    """

    because: Because
    to_move: tuple[Side, ...]
    won: bool
    applies: Feature[Mask]
    unless: tuple[Feature[Mask], ...] = ()

    def tells(self, positions: Positions) -> Mask:
        """Where it says who wins, the right side to move. Shape (n,)."""
        told = self.applies(positions)
        for exception in self.unless:
            told = told & ~exception(positions)
        return told


def is_king_and_pawn(board: chess.Board) -> bool:
    """Whether a board has a king and a pawn against a king."""
    return find_ending(board) == "P" and board.is_valid()


def find_verdicts(board: chess.Board) -> tuple[Verdict, ...]:
    """The verdicts that tell who wins on a board; none for another ending."""
    if not is_king_and_pawn(board):
        return ()
    to_move = Side.ATTACKER if board.turn == attacker(board) else Side.LONE_KING
    position = from_board(board)
    return tuple(each for each in VERDICTS if to_move in each.to_move and each.tells(position)[0])


def _middle_key(positions: Positions) -> Mask:
    return on_key_square(positions) & ~rook_pawn(positions)


def _corner(positions: Positions) -> Mask:
    near: Mask = king_steps(positions.lone, queening_square(positions)) <= 1
    return rook_pawn(positions) & near


def _before_rook_pawn(positions: Positions) -> Mask:
    same: Mask = FILE[positions.lone] == FILE[positions.piece]
    return rook_pawn(positions) & same & (RANK[positions.lone] > RANK[positions.piece])


def _shut_in(positions: Positions) -> Mask:
    apart = np.abs(FILE[positions.lone] - FILE[positions.king]) == 2
    level = RANK[positions.lone] == RANK[positions.king]
    shut: Mask = rook_pawn(positions) & king_in_its_way(positions) & apart & level
    return shut


def _right_before(positions: Positions) -> Mask:
    stands: Mask = positions.lone == square_ahead(positions, 1)
    return stands & (RANK[positions.piece] <= 5)


def _two_before(positions: Positions) -> Mask:
    stands: Mask = positions.lone == square_ahead(positions, 2)
    return stands & (RANK[positions.piece] <= 5)


def _two_before_near_pawn(positions: Positions) -> Mask:
    return _two_before(positions) & (RANK[positions.piece] <= 4)


def _face_to_face(positions: Positions) -> Mask:
    ahead = RANK[positions.lone] - RANK[positions.king]
    facing: Mask = (FILE[positions.king] == FILE[positions.lone]) & (ahead == 2)
    up: Mask = ranks_ahead(positions) == 1
    return close(positions) & up & facing


def _face_to_face_near_pawn(positions: Positions) -> Mask:
    return _face_to_face(positions) & (RANK[positions.piece] <= 3)


def _rook_pawn_key_square(positions: Positions) -> Mask:
    return rook_key(positions) & at_least_as_near(positions)


def _far_ahead(positions: Positions) -> Mask:
    return far_ahead(positions) & ~rook_pawn(positions)


def _in_its_square(positions: Positions) -> Mask:
    return king_too_far(positions) & ~outside_if_pawn_moves(positions)


def _steps_into_its_square(positions: Positions) -> Mask:
    return king_too_far(positions) & ~outside_if_he_moves(positions)


_YOU, _HE = (Side.ATTACKER,), (Side.LONE_KING,)
_EITHER = (Side.ATTACKER, Side.LONE_KING)

_KEY_SQUARES = (
    Verdict(Because.KEY_SQUARE_TO_MOVE, _YOU, True, _middle_key),
    Verdict(Because.KEY_SQUARE, _HE, True, _middle_key, (can_be_taken, is_stalemate)),
)
_SQUARE = (
    Verdict(Because.OUTSIDE_SQUARE_TO_MOVE, _YOU, True, outside_if_pawn_moves, (king_in_its_way,)),
    Verdict(Because.OUTSIDE_SQUARE, _HE, True, outside_if_he_moves, (king_in_its_way, can_be_taken)),
)
_FALLS = (Verdict(Because.PAWN_FALLS, _HE, False, can_be_taken),)
_CAUGHT = (
    Verdict(Because.INSIDE_SQUARE_TO_MOVE, _YOU, False, _in_its_square),
    Verdict(Because.INSIDE_SQUARE, _HE, False, _steps_into_its_square),
)
_ROOK_PAWN = (
    Verdict(Because.ROOK_PAWN_CORNER, _EITHER, False, _corner),
    Verdict(Because.BEFORE_ROOK_PAWN, _EITHER, False, _before_rook_pawn),
    Verdict(Because.SHUT_IN, _EITHER, False, _shut_in),
)
_BEFORE_THE_PAWN = (
    Verdict(Because.RIGHT_BEFORE, _EITHER, False, _right_before),
    Verdict(Because.TWO_BEFORE, _HE, False, _two_before),
    Verdict(Because.TWO_BEFORE_TO_MOVE, _YOU, False, _two_before_near_pawn),
)
_OPPOSITION = (
    Verdict(Because.OPPOSITION, _HE, True, _face_to_face),
    Verdict(Because.OPPOSITION_TO_MOVE, _YOU, False, _face_to_face_near_pawn),
)
_PICTURES = (
    Verdict(Because.ROOK_PAWN_KEY_SQUARE, _HE, True, _rook_pawn_key_square),
    Verdict(Because.FAR_AHEAD, _HE, True, _far_ahead, (is_stalemate,)),
    Verdict(Because.AHEAD_WITH_OPPOSITION, _HE, True, ahead_with_opposition, (is_stalemate,)),
    Verdict(Because.SHIELD, _HE, True, shield, (is_stalemate,)),
    Verdict(Because.SIDE_BY_SIDE, _HE, True, side_by_side),
    Verdict(Because.LAST_STEP, _HE, True, last_step, (is_stalemate,)),
)
VERDICTS = (
    *_KEY_SQUARES,
    *_SQUARE,
    *_FALLS,
    *_ROOK_PAWN,
    *_BEFORE_THE_PAWN,
    *_OPPOSITION,
    *_CAUGHT,
    *_PICTURES,
)
"""All of them; where several hold, the first is said."""
