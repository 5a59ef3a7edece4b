"""Many positions of one small ending at once, as columns of squares.

The side that teaches us something (the attacker) is always White here and its pawn goes up the
board; boards with colours the other way round are turned at the border (border.py).
"""

from collections.abc import Callable, Sequence
from typing import Any, Self, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from coachbook.method.bitboards import (
    BISHOP,
    BIT,
    KING,
    KNIGHT,
    PAWN,
    QUEEN,
    RANK,
    ROOK,
    SHADOW,
    Bits,
    Mask,
    Squares,
    not_empty,
    on,
)

Seen = TypeVar("Seen", bound=NDArray[Any])
Feature = Callable[["Positions"], Seen]
"""Something to see in each position: n positions in, an array of shape (n, ...) out."""

_LINES: dict[str, Bits] = {"Q": QUEEN, "R": ROOK, "B": BISHOP}
_LEAPS: dict[str, Bits] = {"N": KNIGHT}


class Positions:
    """n positions of one ending.

    `pieces` names the attacker's pieces besides his king, strongest first ("Q", "RR", "P").
    `men` are columns of squares, shape (n,), int8: the attacker's king, the lone king, then the
    pieces in the order of `pieces`. A pawn on its last rank is a queen: it has just promoted.
    """

    __slots__ = ("_seen", "men", "pieces")

    def __init__(self, pieces: str, men: Sequence[Squares]) -> None:
        self.pieces = pieces
        self.men = tuple(men)
        self._seen: dict[Callable[[Positions], NDArray[Any]], NDArray[Any]] = {}

    def __len__(self) -> int:
        return len(self.men[0])

    @property
    def king(self) -> Squares:
        return self.men[0]

    @property
    def lone(self) -> Squares:
        return self.men[1]

    @property
    def piece(self) -> Squares:
        """The one piece, or the first of two."""
        return self.men[2]

    @property
    def others(self) -> tuple[Squares, ...]:
        return self.men[2:]

    def see(self, feature: "Feature[Seen]") -> Seen:
        """`feature` of every position, worked out once. Shape (n, ...)."""
        if feature not in self._seen:
            self._seen[feature] = feature(self)
        return cast(Seen, self._seen[feature])

    def take(self, rows: NDArray[Any]) -> Self:
        """The positions of `rows` (indices or a mask), with what was seen of them."""
        taken = type(self)(self.pieces, [column[rows] for column in self.men])
        taken._seen = {feature: values[rows] for feature, values in self._seen.items()}
        return taken


def attacked(positions: Positions) -> Bits:
    """The squares that the attacker's men attack; lines go on through the lone king. Shape (n,)."""
    found = KING[positions.king]
    for number in range(len(positions.pieces)):
        found = found | attacked_by_piece(positions, number)
    return found


def attacked_by_piece(positions: Positions, number: int) -> Bits:
    """The squares that piece `number` (0 is the first) attacks. Shape (n,)."""
    square = positions.others[number]
    kind = positions.pieces[number]
    if kind in _LEAPS:
        return _LEAPS[kind][square]
    if kind == "P":
        promoted = RANK[square] == 7
        return np.where(promoted, _seen_past(positions, number, QUEEN), PAWN[square])
    return _seen_past(positions, number, _LINES[kind])


def _seen_past(positions: Positions, number: int, lines: Bits) -> Bits:
    square = positions.others[number]
    seen = lines[square] & ~SHADOW[square, positions.king]
    for other, man in enumerate(positions.others):
        if other != number:
            seen &= ~SHADOW[square, man]
    return seen


def piece_squares(positions: Positions) -> Bits:
    """The squares of the attacker's pieces, his king not counted. Shape (n,)."""
    squares = BIT[positions.piece]
    for man in positions.others[1:]:
        squares = squares | BIT[man]
    return squares


def free_steps(positions: Positions) -> Bits:
    """Where the lone king may go, captures included. Shape (n,)."""
    return KING[positions.lone] & ~positions.see(attacked)


def in_check(positions: Positions) -> Mask:
    """Whether the lone king is attacked. Shape (n,)."""
    return on(positions.see(attacked), positions.lone)


def is_mate(positions: Positions) -> Mask:
    """Lone king to move: he is checkmated. Shape (n,)."""
    return positions.see(in_check) & ~not_empty(positions.see(free_steps))


def is_stalemate(positions: Positions) -> Mask:
    """Lone king to move: he is stalemated. Shape (n,)."""
    return ~positions.see(in_check) & ~not_empty(positions.see(free_steps))


def can_be_taken(positions: Positions) -> Mask:
    """Lone king to move: he can take a piece. Shape (n,)."""
    return not_empty(positions.see(free_steps) & piece_squares(positions))
