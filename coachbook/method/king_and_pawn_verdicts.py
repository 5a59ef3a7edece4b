"""King and pawn against king: who wins, in sentences that the tables bear out without exception.

"You" have the pawn, "he" is the lone king; the words are about a pawn that goes up the board. Each sentence
says who is to move and where it does not hold; apart from that it holds in every position
(pawn_verdict_proof.py; counted in tests/method/test_king_and_pawn_verdicts.py). The key squares
and the rule of the square are common practice, no source; their exact wording was found here.
"""

from dataclasses import dataclass

import chess
import numpy as np

from coachbook.method.border import attacker, find_ending, from_board
from coachbook.method.moves import Side
from coachbook.method.pawn_sights import (
    ahead_of_a_far_pawn,
    ahead_with_opposition,
    close,
    far_ahead,
    king_in_its_way,
    last_step,
    on_key_square,
    outside_if_he_moves,
    outside_if_pawn_moves,
    queening_square,
    ranks_ahead,
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


@dataclass(frozen=True, slots=True, eq=False)
class Unless:
    """A named exception: where it applies the verdict says nothing."""

    words: str
    applies: Feature[Mask]


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """A sentence on who wins: whenever it `applies`, the pawn wins (`won`) or it is a draw.

    `to_move` is whose move it may be. `words` are what a coach reads. In a position where one of
    `unless` applies it says nothing.
    """

    name: str
    words: str
    to_move: tuple[Side, ...]
    won: bool
    applies: Feature[Mask]
    unless: tuple[Unless, ...] = ()

    def excepted(self, positions: Positions) -> Mask:
        """Where one of its exceptions applies. Shape (n,)."""
        found = np.zeros(len(positions), dtype=np.bool_)
        for exception in self.unless:
            found |= exception.applies(positions)
        return found

    def tells(self, positions: Positions) -> Mask:
        """Where it says who wins, the right side to move. Shape (n,)."""
        return self.applies(positions) & ~self.excepted(positions)


def find_verdicts(board: chess.Board) -> tuple[Verdict, ...]:
    """The verdicts that tell who wins on a board; none for another ending."""
    if find_ending(board) != "P" or not board.is_valid():
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


_TAKES = Unless("he can take the pawn at once", can_be_taken)
_STALEMATE = Unless("it is stalemate", is_stalemate)
_IN_THE_WAY = Unless("your own king stands in the pawn's way", king_in_its_way)
_YOU, _HE = (Side.ATTACKER,), (Side.LONE_KING,)
_EITHER = (Side.ATTACKER, Side.LONE_KING)

_KEY_SQUARES = (
    Verdict(
        "key square, you to move",
        "Not a pawn on the edge, your king on a key square, you to move: you win.",
        _YOU,
        True,
        _middle_key,
    ),
    Verdict(
        "key square, he to move",
        "Not a pawn on the edge, your king on a key square, he to move: you win.",
        _HE,
        True,
        _middle_key,
        (_TAKES, _STALEMATE),
    ),
)
_SQUARE = (
    Verdict(
        "outside the square, you to move",
        "He is outside the pawn's square and you are to move: you win.",
        _YOU,
        True,
        outside_if_pawn_moves,
        (_IN_THE_WAY,),
    ),
    Verdict(
        "outside the square, he to move",
        "He is to move and cannot step into the pawn's square: you win.",
        _HE,
        True,
        outside_if_he_moves,
        (_IN_THE_WAY, _TAKES),
    ),
)
_EDGE_PAWN = (
    Verdict(
        "edge pawn, corner",
        "A pawn on the edge, he stands on its queening square or next to it: a draw, whoever is to move.",
        _EITHER,
        False,
        _corner,
    ),
    Verdict(
        "before an edge pawn",
        "A pawn on the edge, he stands anywhere in front of it on its file: a draw, whoever is to move.",
        _EITHER,
        False,
        _before_rook_pawn,
    ),
    Verdict(
        "shut in",
        "Your king in front of his own pawn on the edge, he two files beside your king on the same rank:"
        " a draw, whoever is to move.",
        _EITHER,
        False,
        _shut_in,
    ),
)
_BEFORE_THE_PAWN = (
    Verdict(
        "right before the pawn",
        "The pawn on rank 2 to 6, he stands right in front of it: a draw, whoever is to move.",
        _EITHER,
        False,
        _right_before,
    ),
    Verdict(
        "two before the pawn, he to move",
        "The pawn on rank 2 to 6, he stands two squares in front of it and is to move: a draw.",
        _HE,
        False,
        _two_before,
    ),
    Verdict(
        "two before the pawn, you to move",
        "The pawn on rank 2 to 5, he stands two squares in front of it, you to move: a draw.",
        _YOU,
        False,
        _two_before_near_pawn,
    ),
)
_OPPOSITION = (
    Verdict(
        "opposition, he to move",
        "Not a pawn on the edge, your king one rank ahead of it, on its file or the next, the kings face to"
        " face with one square between, he to move: you win.",
        _HE,
        True,
        _face_to_face,
    ),
    Verdict(
        "opposition, you to move",
        "The same with the pawn on rank 2 to 4 and you to move: a draw.",
        _YOU,
        False,
        _face_to_face_near_pawn,
    ),
)
_PICTURES = (
    Verdict(
        "far ahead",
        "Your king two or more ranks ahead of the pawn, on its file or the next, and no further from it than"
        " he is, he to move: you win. With a pawn on the edge your king must be on a key square.",
        _HE,
        True,
        far_ahead,
        (_STALEMATE,),
    ),
    Verdict(
        "ahead of a far pawn",
        "The pawn on rank 5 or more, not on the edge, your king one rank ahead of it, on its file or the"
        " next, he to move: you win.",
        _HE,
        True,
        ahead_of_a_far_pawn,
        (_STALEMATE,),
    ),
    Verdict(
        "ahead with the opposition",
        "Not a pawn on the edge, your king ahead of it on its file or the next, he not behind your king, an"
        " even number of files and of ranks from king to king, he to move: you win.",
        _HE,
        True,
        ahead_with_opposition,
        (_STALEMATE,),
    ),
    Verdict(
        "shield",
        "Not a pawn on the edge, your king one rank ahead of it, on its file or the next, he at most two"
        " ranks past the pawn, he to move: you win.",
        _HE,
        True,
        shield,
        (_STALEMATE,),
    ),
    Verdict(
        "side by side",
        "Not a pawn on the edge, king and pawn side by side on rank 6, an even number of files and of ranks"
        " from king to king, he to move: you win.",
        _HE,
        True,
        side_by_side,
    ),
    Verdict(
        "last step",
        "The pawn on rank 7, not on the edge and guarded, he to move and not able to step on its queening"
        " square: you win.",
        _HE,
        True,
        last_step,
        (_STALEMATE,),
    ),
)
VERDICTS = (*_KEY_SQUARES, *_SQUARE, *_EDGE_PAWN, *_BEFORE_THE_PAWN, *_OPPOSITION, *_PICTURES)
"""All of them; those of one subject stand together."""
