"""King, rook and pawn against king and rook: what is to be seen on the board.

The pawn is White's here and goes up the board; boards with colours the other way round are turned so. `king`,
`rook` and `pawn` are of the side with the pawn, `his_king` and `his_rook` of the side that defends. Who
wins say the verdicts (`rook_verdicts`), which are made of what is seen here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import material_of
from coachbook.endgame.symmetry import FLIP, turned
from coachbook.method.positions import BIT, FILE, PAWN, RANK, ROOK, SHADOW, Mask, king_steps, not_empty

Squares = NDArray[np.integer[Any]]
ENDING = "KRPKR"
FOURTH, FIFTH, SIXTH, SEVENTH, LAST = 3, 4, 5, 6, 7
"""Ranks from the pawn's side, counted from 0."""


@dataclass(frozen=True, slots=True, eq=False)
class RookEnding:
    """Many positions: a square of each man in every place, of shapes that broadcast. Whose move it is, is not
    kept."""

    king: Squares
    rook: Squares
    pawn: Squares
    his_king: Squares
    his_rook: Squares

    @property
    def men(self) -> tuple[Squares, ...]:
        return self.king, self.rook, self.pawn, self.his_king, self.his_rook

    def take(self, rows: NDArray[Any]) -> "RookEnding":
        """The positions of these rows (indices or a mask) only."""
        return RookEnding(*(man[rows] for man in self.men))

    @property
    def queening(self) -> Squares:
        """The square on which the pawn queens."""
        return FILE[self.pawn] + np.int8(chess.A8)


Sight = Callable[[RookEnding], Mask]


def from_board(board: chess.Board) -> RookEnding | None:
    """The one position of a board, the pawn's side as White; None if it is another ending."""
    if chess.popcount(board.occupied) != len(ENDING) or material_of(board).canonical.name != ENDING:
        return None
    white = with_pawn(board)
    to = turned(0 if white else FLIP)
    own, his = board.occupied_co[white], board.occupied_co[not white]
    sets = (board.kings & own, board.rooks & own, board.pawns, board.kings & his, board.rooks & his)
    return RookEnding(*(np.array([to[chess.lsb(men)]], dtype=np.int8) for men in sets))


def with_pawn(board: chess.Board) -> chess.Color:
    """The side that has the only pawn."""
    return bool(board.occupied_co[chess.WHITE] & board.pawns)


def files_away(one: Squares, other: Squares) -> Squares:
    """How many files lie from one square to the other; negative to the left."""
    return FILE[other] - FILE[one]


def _sees(rook: Squares, square: Squares, *men: Squares) -> Mask:
    """Whether a rook attacks a square past these men."""
    lines = ROOK[rook]
    for man in men:
        lines = lines & ~SHADOW[rook, man]
    return not_empty(lines & BIT[square])


def is_calm(p: RookEnding) -> Mask:
    """Nobody is in check, and no rook is attacked."""
    by_rook = _sees(p.rook, p.his_king, p.king, p.pawn, p.his_rook) | _sees(
        p.rook, p.his_rook, p.king, p.pawn, p.his_king
    )
    by_his_rook = _sees(p.his_rook, p.king, p.rook, p.pawn, p.his_king)
    by_pawn = not_empty(PAWN[p.pawn] & (BIT[p.his_king] | BIT[p.his_rook]))
    by_king = (king_steps(p.king, p.his_rook) <= 1) | (king_steps(p.his_king, p.rook) <= 1)
    return ~(by_rook | by_his_rook | by_pawn | by_king)


def on_the_edge(p: RookEnding) -> Mask:
    """The pawn is a rook's pawn."""
    told: Mask = FILE[p.pawn] % 7 == 0
    return told


def is_on_rank(p: RookEnding, low: int, high: int) -> Mask:
    """The pawn stands on one of these ranks."""
    return (RANK[p.pawn] >= low) & (RANK[p.pawn] <= high)


def touches_the_pawn(p: RookEnding) -> Mask:
    """Its king is next to the pawn."""
    return king_steps(p.king, p.pawn) <= 1


def is_before_the_pawn(p: RookEnding, files: int = 1) -> Mask:
    """His king stands on the last two ranks, ahead of the pawn, at most so many files beside its file."""
    ahead = (RANK[p.his_king] >= SEVENTH) & (RANK[p.his_king] > RANK[p.pawn])
    return ahead & (abs(files_away(p.pawn, p.his_king)) <= files)


def cuts_off_by(p: RookEnding) -> Squares:
    """How many files the rook stands from the pawn's, on the side of his king and nearer than he; 0 where he
    is not cut off so."""
    to_rook, to_king = files_away(p.pawn, p.rook), files_away(p.pawn, p.his_king)
    is_between = (to_rook * to_king > 0) & (abs(to_rook) < abs(to_king))
    return np.where(is_between, abs(to_rook), np.int8(0))


def side_of(p: RookEnding, man: Squares, seen_from: Squares) -> Squares:
    """On which side of the pawn's file a man is, as seen from another's side: 1 on the same, -1 on the other,
    0 where one of them is on the file."""
    return np.sign(files_away(p.pawn, man)) * np.sign(files_away(p.pawn, seen_from))


def is_set_up(p: RookEnding) -> Mask:
    """The men stand on squares of their own, the kings apart."""
    apart = king_steps(p.king, p.his_king) > 1
    for one, other in combinations(p.men, 2):
        apart = apart & (one != other)
    return apart


def plane(king: int, pawn: int) -> RookEnding:
    """All places of the other men with king and pawn on these squares, by axis: rook, his rook, his king."""
    squares, one = np.arange(64, dtype=np.int8), np.ones((1, 1, 1), dtype=np.int8)
    return RookEnding(
        king * one, squares[:, None, None], pawn * one, squares[None, None, :], squares[None, :, None]
    )


def rows_of_plane(king: int, pawn: int, places: Mask) -> RookEnding:
    """Those of the places of a plane, one row each."""
    rook, his_rook, his_king = (each.astype(np.int8) for each in np.nonzero(places))
    return RookEnding(np.full_like(rook, king), rook, np.full_like(rook, pawn), his_king, his_rook)
