"""What the verdicts on rook and pawn against rook say, read square by square on a board.

Files and ranks are counted from 0 as the side with the pawn sees them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import chess

from coachbook.exercises.claims.claim_check import seen_by
from coachbook.model.because import Because

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class RookAndPawn:
    """King, rook and pawn against a king and a rook (`his_king`, `his_rook`), whose `turn` it may be.
    Nobody is in check, and no rook is attacked."""

    king: Place
    rook: Place
    pawn: Place
    his_king: Place
    his_rook: Place
    turn: bool

    @classmethod
    def seen(cls, board: chess.Board, strong: chess.Color) -> Self | None:
        """What is seen on the board; None for another ending, or where something is attacked."""
        men = [
            board.pieces(piece, side)
            for piece, side in (
                (chess.KING, strong),
                (chess.ROOK, strong),
                (chess.PAWN, strong),
                (chess.KING, not strong),
                (chess.ROOK, not strong),
            )
        ]
        if len(board.piece_map()) != len(men) or any(len(each) != 1 for each in men) or not _is_calm(board):
            return None
        king, rook, pawn, his_king, his_rook = (seen_by(each.pop(), strong) for each in men)
        return cls(king, rook, pawn, his_king, his_rook, board.turn != strong)

    @property
    def on_edge(self) -> bool:
        return self.pawn[0] in (0, 7)

    @property
    def touches(self) -> bool:
        """Its king is next to the pawn."""
        return self.king_steps == 1

    @property
    def king_steps(self) -> int:
        """From its king to the pawn."""
        return max(abs(self.king[0] - self.pawn[0]), abs(self.king[1] - self.pawn[1]))

    def apart(self, man: Place) -> int:
        """How many files a man is away from the pawn's."""
        return abs(man[0] - self.pawn[0])

    def is_left(self, man: Place) -> bool:
        return man[0] < self.pawn[0]

    def cuts_off(self, files: int) -> bool:
        """Its rook stands on a file between the pawn and his king, so many files from the pawn or more."""
        low, high = sorted((self.pawn[0], self.his_king[0]))
        return low < self.rook[0] < high and self.apart(self.rook) >= files

    def is_before(self, files: int) -> bool:
        """His king is on the last two ranks before the pawn, at most so many files beside its file."""
        ahead = self.his_king[1] >= 6 and self.his_king[1] > self.pawn[1]
        return ahead and self.apart(self.his_king) <= files

    @property
    def shut_in(self) -> bool:
        return self.on_edge and self.king == (self.pawn[0], self.pawn[1] + 1)


def _is_calm(board: chess.Board) -> bool:
    other = board.copy(stack=False)
    other.turn = not board.turn
    attacked = (
        board.is_attacked_by(not side, square)
        for side in chess.COLORS
        for square in board.pieces(chess.ROOK, side)
    )
    return not board.is_check() and not other.is_check() and not any(attacked)


def _cut_off_far(p: RookAndPawn) -> bool:
    ahead = p.touches and p.king[1] >= p.pawn[1]
    return p.cuts_off(2) and 3 <= p.pawn[1] <= 5 and ahead and not p.on_edge


def _front(p: RookAndPawn) -> bool:
    wall = p.cuts_off(1) and p.apart(p.rook) == 1 and p.apart(p.his_king) == 2
    stands = p.his_rook == (p.pawn[0], 7) and p.pawn[1] <= 3
    return wall and stands and p.his_king[1] in (4, 5) and p.touches and not p.on_edge


def _side(p: RookAndPawn) -> bool:
    other_side = p.apart(p.his_king) == 1 and p.is_left(p.his_king) != p.is_left(p.his_rook)
    not_there = p.king[0] == p.pawn[0] or p.is_left(p.king) == p.is_left(p.his_rook)
    helps = p.rook[0] == p.pawn[0] or p.rook[1] == 6
    far = p.apart(p.his_rook) >= 3 and p.his_king[1] >= p.pawn[1] and p.touches
    return p.pawn[1] in (5, 6) and far and other_side and not_there and not helps and not p.on_edge


def _passive_holds(p: RookAndPawn) -> bool:
    waits = p.his_king == (p.pawn[0], 7) and p.his_rook[1] == 7 and p.apart(p.his_rook) >= 3
    return waits and ((p.pawn[0] in (1, 6) and p.pawn[1] in (3, 4, 5)) or (p.on_edge and p.pawn[1] == 5))


def _passive_loses(p: RookAndPawn) -> bool:
    waits = p.his_king[1] == p.his_rook[1] == 7 and p.apart(p.his_king) <= 1
    beside = p.king[1] == p.pawn[1] == 5 and p.apart(p.king) == 1
    other_side = p.apart(p.his_rook) > 0 and p.is_left(p.his_rook) != p.is_left(p.king)
    return waits and beside and other_side and p.pawn[0] in (2, 3, 4, 5)


def _he_is_near(p: RookAndPawn) -> bool:
    near = p.apart(p.his_king) == 2 and p.his_king[1] >= 6 and p.apart(p.his_rook) == 1
    return p.shut_in and p.pawn[1] in (5, 6) and near


def _before_its_pawn(p: RookAndPawn) -> bool:
    his = p.his_rook[0] == p.pawn[0] and p.his_rook[1] < 6 and p.his_king[1] == 6 and p.apart(p.his_king) >= 6
    return p.on_edge and p.pawn[1] == 6 and p.rook == (p.pawn[0], 7) and p.king_steps >= 3 and his


OF_ROOK: dict[Because, tuple[bool, Callable[[RookAndPawn], bool]]] = {
    Because.CUT_OFF_FAR: (True, lambda p: not p.turn and _cut_off_far(p)),
    Because.CUT_OFF_HIS_MOVE: (
        True,
        lambda p: (
            p.turn and _cut_off_far(p) and p.pawn[1] >= 4 and p.king[1] not in (p.rook[1], p.his_king[1])
        ),
    ),
    Because.CHECKS_FROM_THE_FRONT: (False, lambda p: p.turn and _front(p)),
    Because.BRIDGE: (
        True,
        lambda p: (
            not p.turn and p.pawn[1] == 6 and p.king == (p.pawn[0], 7) and p.cuts_off(1) and not p.on_edge
        ),
    ),
    Because.THIRD_RANK: (
        False,
        lambda p: (
            p.his_rook[1] == 5
            and p.apart(p.his_rook) >= 2
            and max(p.pawn[1], p.king[1]) < 5
            and p.is_before(0)
        ),
    ),
    Because.PUSHED_EARLY: (
        False,
        lambda p: p.pawn[1] == 5 and p.king[1] < 5 and p.his_rook[1] <= 1 and p.is_before(0),
    ),
    Because.CHECKS_FROM_BEHIND: (
        False,
        lambda p: p.turn and p.pawn[1] == p.king[1] == 5 and p.his_rook[1] <= 2 and p.is_before(1),
    ),
    Because.CHECKS_FROM_THE_SIDE: (False, lambda p: p.turn and _side(p)),
    Because.PASSIVE_ROOK_HOLDS: (False, _passive_holds),
    Because.PASSIVE_ROOK_LOSES: (True, lambda p: not p.turn and _passive_loses(p)),
    Because.SHUT_IN_HE_IS_FAR: (
        True,
        lambda p: not p.turn and p.shut_in and p.pawn[1] == 6 and p.apart(p.his_king) >= 5,
    ),
    Because.SHUT_IN_HE_IS_NEAR: (False, lambda p: not p.turn and _he_is_near(p)),
    Because.ROOK_BEFORE_ITS_PAWN: (False, _before_its_pawn),
}
"""Whether the pawn wins by it, and where its sentence is true."""
