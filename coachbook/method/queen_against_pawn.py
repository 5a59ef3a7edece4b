"""Queen against a pawn one step from queening: who wins, by verdicts that the tables bear out.

Every verdict here is about a black pawn on a2, b2, c2 or d2 with the queen's side (White, "you") to
move and not in check from the pawn; boards with other colours or on the other wing are turned so. The
squares here are seen that way. `his_king` is the king on the pawn's side.

Counted over all 1,117,792 positions (tests/method/test_queen_against_pawn.py): 1,002,092 are told rightly,
116 are exceptions, in 32,092 the pawn gives check, the rest have no verdict. How to win is not told in
rules: four short lists (take; bring the king; drive him before his pawn; pin; check closer) won from at
most 18 % of the won positions with his king beside a knight's or centre pawn. Show computed lines.
"""

from collections.abc import Callable
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.symmetry import FLIP, MIRROR, turned
from coachbook.method.positions import (
    BIT,
    FILE,
    QUEEN,
    RANK,
    SHADOW,
    Bits,
    Mask,
    Squares,
    king_steps,
    not_empty,
    on,
)
from coachbook.model.because import Because


@dataclass(frozen=True, slots=True, eq=False)
class QueenAndPawn:
    """n positions, one square each in every column; shape (n,), int8. The pawn stands on a2 to d2."""

    king: Squares
    queen: Squares
    pawn: Squares
    his_king: Squares

    def __len__(self) -> int:
        return len(self.king)

    def take(self, rows: NDArray[np.bool_]) -> "QueenAndPawn":
        """The positions of these rows only."""
        return QueenAndPawn(self.king[rows], self.queen[rows], self.pawn[rows], self.his_king[rows])


Applies = Callable[[QueenAndPawn], Mask]


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """Where it `applies`, the queen wins (`won`) or it is a draw, but for a few exceptions that only the
    tables know (see `reasons`); `because` stands for its sentence."""

    because: Because
    won: bool
    applies: Applies


def squares(*blocks: str) -> int:
    """The set of squares in blocks: "a1-d5" is the rectangle with these corners."""
    found = 0
    for block in blocks:
        low, high = (chess.parse_square(name) for name in block.split("-"))
        for file in range(chess.square_file(low), chess.square_file(high) + 1):
            for rank in range(chess.square_rank(low), chess.square_rank(high) + 1):
                found |= 1 << chess.square(file, rank)
    return found


ROOK_ZONE = squares("a1-d5", "e1-e4")
"""Your king here: a rook's pawn loses."""
ROOK_CORNER_ZONE = squares("a1-e6", "f1-f5")
"""The same while his king sits in the corner before his own pawn, and so has to come out."""
BISHOP_ZONE = squares("a3-c4", "d3-e3", "d2-e2", "c1-e1")
"""Your king here: a bishop's pawn loses, whether his king stands on the short or on the long side."""
BISHOP_LONG_ZONE = squares("a1-g4", "a5-c5")
"""The same while his king stands on c1 or on the long side (d1, d2, e1, e2)."""
_BISHOP_FAR = squares("a6-h8", "g1-h5", "e5-f5")
_BISHOP_LONG_FAR = squares("a7-h8")

_A1, _C1 = chess.A1, chess.C1
_ROOK_SIDE = squares("b1-b2")
_BISHOP_CORNER = squares("a1-b2")
_BISHOP_LONG = squares("c1-c1", "d1-e2")
_BISHOP_LONG_NEAR = squares("c1-c1", "d1-d2")


def in_check(positions: QueenAndPawn) -> Mask:
    """The pawn gives check to the king on the queen's side. Shape (n,)."""
    apart = np.abs(FILE[positions.king] - FILE[positions.pawn])
    check: Mask = (RANK[positions.king] == 0) & (apart == 1)
    return check


def _pawn_on(positions: QueenAndPawn, *files: int) -> Mask:
    return np.isin(FILE[positions.pawn], files)


def _king_in(positions: QueenAndPawn, zone: int) -> Mask:
    return not_empty(BIT[positions.king] & np.uint64(zone))


def _his_king_in(positions: QueenAndPawn, zone: int) -> Mask:
    return not_empty(BIT[positions.his_king] & np.uint64(zone))


def _in_the_corner(positions: QueenAndPawn) -> Mask:
    corner: Mask = positions.his_king == _A1
    return corner


def _kings_on_a_line(positions: QueenAndPawn) -> Mask:
    return on(QUEEN[positions.king], positions.his_king)


def _king_between(positions: QueenAndPawn) -> Mask:
    """Your own king stands between your queen and his king."""
    behind = QUEEN[positions.queen] & SHADOW[positions.queen, positions.king]
    return on(behind, positions.his_king)


def _queen_goes_to_c1(positions: QueenAndPawn) -> Mask:
    open_lines: Bits = QUEEN[positions.queen]
    for man in (positions.king, positions.pawn, positions.his_king):
        open_lines = open_lines & ~(SHADOW[positions.queen, man] | BIT[man])
    return on(open_lines, np.full_like(positions.queen, _C1))


def _rook(applies: Applies) -> Applies:
    return lambda p: _pawn_on(p, 0) & applies(p)


def _bishop(applies: Applies) -> Applies:
    return lambda p: _pawn_on(p, 2) & applies(p)


def _steps(positions: QueenAndPawn) -> NDArray[np.int8]:
    return king_steps(positions.his_king, positions.pawn)


VERDICTS: tuple[Verdict, ...] = (
    Verdict(
        Because.FAR_FROM_PAWN,
        True,
        lambda p: _steps(p) >= 3,
    ),
    Verdict(
        Because.CORNER_CHECK,
        True,
        lambda p: _pawn_on(p, 0, 2) & _in_the_corner(p) & _queen_goes_to_c1(p),
    ),
    Verdict(
        Because.MIDDLE_PAWN,
        True,
        lambda p: _pawn_on(p, 1, 3) & ~_kings_on_a_line(p),
    ),
    Verdict(
        Because.MIDDLE_PAWN_IN_LINE,
        True,
        lambda p: _pawn_on(p, 1, 3) & _kings_on_a_line(p),
    ),
    Verdict(
        Because.ROOK_PAWN_NEAR,
        True,
        _rook(lambda p: _king_in(p, ROOK_ZONE)),
    ),
    Verdict(
        Because.ROOK_PAWN_FAR,
        False,
        _rook(lambda p: _his_king_in(p, _ROOK_SIDE) & ~_king_in(p, ROOK_ZONE) & ~_king_between(p)),
    ),
    Verdict(
        Because.ROOK_PAWN_CORNER_NEAR,
        True,
        _rook(lambda p: _in_the_corner(p) & _king_in(p, ROOK_CORNER_ZONE) & (FILE[p.queen] != 1)),
    ),
    Verdict(
        Because.ROOK_PAWN_CORNER_FAR,
        False,
        _rook(
            lambda p: (
                _in_the_corner(p)
                & ~_king_in(p, ROOK_CORNER_ZONE)
                & (FILE[p.queen] != 1)
                & ~_queen_goes_to_c1(p)
            )
        ),
    ),
    Verdict(
        Because.BISHOP_PAWN_SHORT_NEAR,
        True,
        _bishop(lambda p: _his_king_in(p, _BISHOP_CORNER) & _king_in(p, BISHOP_ZONE)),
    ),
    Verdict(
        Because.BISHOP_PAWN_LONG_NEAR,
        True,
        _bishop(lambda p: _his_king_in(p, _BISHOP_LONG) & _king_in(p, BISHOP_LONG_ZONE)),
    ),
    Verdict(
        Because.BISHOP_PAWN_SHORT_FAR,
        False,
        _bishop(lambda p: _his_king_in(p, _ROOK_SIDE) & _king_in(p, _BISHOP_FAR)),
    ),
    Verdict(
        Because.BISHOP_PAWN_CORNER_FAR,
        False,
        _bishop(lambda p: _in_the_corner(p) & _king_in(p, _BISHOP_FAR) & ~_queen_goes_to_c1(p)),
    ),
    Verdict(
        Because.BISHOP_PAWN_LONG_FAR,
        False,
        _bishop(lambda p: _his_king_in(p, _BISHOP_LONG_NEAR) & _king_in(p, _BISHOP_LONG_FAR)),
    ),
)


def from_board(board: chess.Board) -> QueenAndPawn | None:
    """The one position of a board, turned; None if it is not this ending, side to move and square."""
    if not board.is_valid() or not board.queens or not board.pawns or chess.popcount(board.occupied) != 4:
        return None
    queen, pawn = board.queens.bit_length() - 1, board.pawns.bit_length() - 1
    black_has_queen = board.color_at(queen) == chess.BLACK
    if board.color_at(queen) != board.turn or board.color_at(pawn) == board.turn:
        return None
    if RANK[pawn] != (6 if black_has_queen else 1):
        return None
    to = turned(_turn(pawn, white_pawn=black_has_queen))
    men = (board.king(board.turn), queen, pawn, board.king(not board.turn))
    return QueenAndPawn(*(np.array([to[man]], dtype=np.int8) for man in men if man is not None))


def find_verdicts(board: chess.Board) -> tuple[Verdict, ...]:
    """The verdicts that apply to a board, exceptions not looked for; none while the pawn gives check."""
    position = from_board(board)
    if position is None or in_check(position)[0]:
        return ()
    return tuple(verdict for verdict in VERDICTS if verdict.applies(position)[0])


def is_mirrored(board: chess.Board) -> bool:
    """Whether the board's pawn stands on files e to h, and so the squares of a verdict are mirrored."""
    return bool(FILE[board.pawns.bit_length() - 1] > 3)


def _turn(pawn: int, *, white_pawn: bool) -> int:
    """The turn that brings the pawn to a2, b2, c2 or d2."""
    return (MIRROR if FILE[pawn] > 3 else 0) + (FLIP if white_pawn else 0)
