"""The two sides of an ending, and what a method may aim at."""

from enum import Enum, StrEnum

from coachbook.method.bitboards import RANK, Mask
from coachbook.method.moves import Moves, attacker_moves, has_taken, lone_king_moves
from coachbook.method.positions import Positions, can_be_taken


class Side(Enum):
    """Who follows a method: the side with the pieces, or the lone king."""

    ATTACKER = "attacker"
    LONE_KING = "lone king"

    @property
    def other(self) -> "Side":
        return Side.LONE_KING if self is Side.ATTACKER else Side.ATTACKER

    def moves(self, positions: Positions) -> Moves:
        """All moves of this side, which is to move."""
        return attacker_moves(positions) if self is Side.ATTACKER else lone_king_moves(positions)

    def has_lost(self, positions: Positions) -> Mask:
        """After the other side's reply: all is lost. Shape (n,).

        For the attacker a piece is taken. For the lone king the pawn has been promoted out of his
        reach; that counts as lost even where the new queen stalemates, for a rook might not.
        """
        if self is Side.ATTACKER:
            return has_taken(positions)
        there: Mask = RANK[positions.piece] == 7
        return there & ~positions.see(can_be_taken)


class Aim(StrEnum):
    """What a method promises."""

    MATE = "mate"
    QUEEN = "a safe queen"
    DRAW = "a draw"
