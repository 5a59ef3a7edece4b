"""Queen against a pawn one step from queening: who wins, in sentences that the tables bear out.

Every sentence here is about a black pawn on a2, b2, c2 or d2 with the queen's side (White, "you") to
move and not in check from the pawn; boards with other colours or on the other wing are turned so. The
words name squares as seen that way. `his_king` is the king on the pawn's side.

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
from coachbook.errors import CoachbookError
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
    """A sentence on who wins: whenever it `applies`, the queen wins (`won`) or it is a draw.

    `words` are what a coach reads. Its exceptions are found and counted by `queen_verdict_proof`.
    """

    name: str
    words: str
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

_EVERYWHERE = squares("a1-h8")
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
        "he is far",
        "His king is three or more steps from his pawn: the queen wins.",
        True,
        lambda p: _steps(p) >= 3,
    ),
    Verdict(
        "corner check",
        "A rook's or bishop's pawn, his king in the corner, and your queen can go to c1 at once: she wins.",
        True,
        lambda p: _pawn_on(p, 0, 2) & _in_the_corner(p) & _queen_goes_to_c1(p),
    ),
    Verdict(
        "middle pawn",
        "A knight's or centre pawn, and the kings don't share a rank, file or diagonal: the queen wins.",
        True,
        lambda p: _pawn_on(p, 1, 3) & ~_kings_on_a_line(p),
    ),
    Verdict(
        "middle pawn, kings in line",
        "A knight's or centre pawn, and the kings share a line: the queen wins, but look out: your king may"
        " stand in her way.",
        True,
        lambda p: _pawn_on(p, 1, 3) & _kings_on_a_line(p),
    ),
    Verdict(
        "rook's pawn, king in the zone",
        "A rook's pawn, and your king stands in the zone, files a to e and ranks 1 to 5 without e5: the"
        " queen wins.",
        True,
        _rook(lambda p: _king_in(p, ROOK_ZONE)),
    ),
    Verdict(
        "rook's pawn, king outside",
        "A rook's pawn, his king on b1 or b2, yours outside the zone and not between queen and king: a draw.",
        False,
        _rook(lambda p: _his_king_in(p, _ROOK_SIDE) & ~_king_in(p, ROOK_ZONE) & ~_king_between(p)),
    ),
    Verdict(
        "rook's pawn, he in the corner, king near",
        "A rook's pawn, his king in the corner, yours in the wide zone, files a to f and ranks 1 to 6"
        " without f6, and your queen not on the b-file: she wins.",
        True,
        _rook(lambda p: _in_the_corner(p) & _king_in(p, ROOK_CORNER_ZONE) & (FILE[p.queen] != 1)),
    ),
    Verdict(
        "rook's pawn, he in the corner, king far",
        "A rook's pawn, his king in the corner, yours outside the wide zone, and your queen not on the"
        " b-file, nor able to go to c1 at once: a draw.",
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
        "bishop's pawn, short side, king in the zone",
        "A bishop's pawn, his king on a1, a2, b1 or b2, yours in the zone (a3 to e3, a4 to c4, d2, e2, c1"
        " to e1): the queen wins.",
        True,
        _bishop(lambda p: _his_king_in(p, _BISHOP_CORNER) & _king_in(p, BISHOP_ZONE)),
    ),
    Verdict(
        "bishop's pawn, long side, king in the zone",
        "A bishop's pawn, his king on c1, d1, d2, e1 or e2, yours in the wide zone (files a to g and ranks"
        " 1 to 4, or a5 to c5): the queen wins.",
        True,
        _bishop(lambda p: _his_king_in(p, _BISHOP_LONG) & _king_in(p, BISHOP_LONG_ZONE)),
    ),
    Verdict(
        "bishop's pawn, short side, king far",
        "A bishop's pawn, his king on b1 or b2, yours on rank 6 or above, on the g- or h-file, on e5 or f5:"
        " a draw.",
        False,
        _bishop(lambda p: _his_king_in(p, _ROOK_SIDE) & _king_in(p, _BISHOP_FAR)),
    ),
    Verdict(
        "bishop's pawn, he in the corner, king far",
        "A bishop's pawn, his king in the corner, yours on rank 6 or above, on the g- or h-file, on e5 or"
        " f5, and your queen can't go to c1 at once: a draw.",
        False,
        _bishop(lambda p: _in_the_corner(p) & _king_in(p, _BISHOP_FAR) & ~_queen_goes_to_c1(p)),
    ),
    Verdict(
        "bishop's pawn, long side, king far",
        "A bishop's pawn, his king on c1, d1 or d2, yours on rank 7 or 8: a draw.",
        False,
        _bishop(lambda p: _his_king_in(p, _BISHOP_LONG_NEAR) & _king_in(p, _BISHOP_LONG_FAR)),
    ),
)


def zone(pawn: int, his_king: int) -> frozenset[int]:
    """The squares to shade: with your king on one of them, you to move, the queen wins.

    `pawn` is a square on rank 2 (a black pawn) or 7 (a white one). `his_king` chooses the zone: a
    rook's pawn's is wider while he sits in the corner, a bishop's pawn's on its file and its long side.
    For which squares of his this is proven, and with which exceptions, say VERDICTS. For a knight's or
    centre pawn it is the whole board. Raises CoachbookError for a pawn elsewhere.
    """
    if RANK[pawn] not in (1, 6):
        raise CoachbookError(
            f"A pawn on {chess.square_name(pawn)} is not one step from queening.",
            "Put a black pawn on rank 2, or a white one on rank 7.",
        )
    to = turned(_turn(pawn, white_pawn=bool(RANK[pawn] == 6)))
    file, king = FILE[to[pawn]], to[his_king]
    zones = {
        0: ROOK_CORNER_ZONE if king == _A1 else ROOK_ZONE,
        2: BISHOP_LONG_ZONE if _BISHOP_LONG >> king & 1 else BISHOP_ZONE,
    }
    shaded = zones.get(int(file), _EVERYWHERE)
    return frozenset(square for square in chess.SQUARES if shaded >> to[square] & 1)


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


def find_verdict(board: chess.Board) -> Verdict | None:
    """The first verdict whose words fit the board; None where none does, or the pawn gives check.

    The words alone are looked at: whether the board is one of the verdict's exceptions, the tables
    know (`queen_verdict_proof.is_exception`).
    """
    position = from_board(board)
    if position is None or in_check(position)[0]:
        return None
    return next((verdict for verdict in VERDICTS if verdict.applies(position)[0]), None)


def _turn(pawn: int, *, white_pawn: bool) -> int:
    """The turn that brings the pawn to a2, b2, c2 or d2."""
    return (MIRROR if FILE[pawn] > 3 else 0) + (FLIP if white_pawn else 0)
