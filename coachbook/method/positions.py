"""Many positions of one small ending at once, as columns of squares, and small tables over the squares.

A square is its index (a1 is 0, h8 is 63); a set of squares is a uint64 with bit `square` set.
All tables are arrays indexed by squares, so that thousands of positions are looked at in one step.
Lines of queen and rook are those of an empty board; a man in the way casts a shadow:
`lines[piece] & ~SHADOW[piece, man]` is what the piece attacks past him.

The side that teaches us something (the attacker) is always White here and its pawn goes up the
board; boards with colours the other way round are turned at the border (border.py).
"""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, Self, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

Bits = NDArray[np.uint64]
Squares = NDArray[np.int8]
Numbers = NDArray[np.int8]
Mask = NDArray[np.bool_]

_STRAIGHT = ((0, 1), (1, 0), (0, -1), (-1, 0))
_DIAGONAL = ((1, 1), (1, -1), (-1, -1), (-1, 1))
_JUMPS = ((1, 2), (2, 1), (2, -1), (1, -2), (-1, -2), (-2, -1), (-2, 1), (-1, 2))


def _bits(squares: Iterable[int]) -> int:
    return sum({1 << square for square in squares})


def _walk(square: int, step: tuple[int, int], reach: int) -> list[int]:
    """The squares met when going from `square` by `step`, at most `reach` times."""
    met: list[int] = []
    file, rank = square % 8 + step[0], square // 8 + step[1]
    while 0 <= file < 8 and 0 <= rank < 8 and len(met) < reach:
        met.append(file + 8 * rank)
        file, rank = file + step[0], rank + step[1]
    return met


def _steps(steps: Iterable[tuple[int, int]], reach: int) -> Bits:
    every = tuple(steps)
    return np.array(
        [_bits(met for step in every for met in _walk(square, step, reach)) for square in range(64)],
        dtype=np.uint64,
    )


def _shadows() -> Bits:
    shadows = np.zeros((64, 64), dtype=np.uint64)
    for square in range(64):
        for step in _STRAIGHT + _DIAGONAL:
            met = _walk(square, step, 7)
            for place, man in enumerate(met):
                shadows[square, man] = _bits(met[place + 1 :])
    return shadows


_INDEX = np.arange(64, dtype=np.int8)
FILE: Squares = _INDEX % 8
RANK: Squares = _INDEX // 8

BIT: Bits = np.uint64(1) << np.arange(64, dtype=np.uint64)
"""The set that holds just this square. Shape (64,)."""

KING: Bits = _steps(_STRAIGHT + _DIAGONAL, 1)
KNIGHT: Bits = _steps(_JUMPS, 1)
ROOK: Bits = _steps(_STRAIGHT, 7)
BISHOP: Bits = _steps(_DIAGONAL, 7)
QUEEN: Bits = ROOK | BISHOP
PAWN: Bits = _steps(((-1, 1), (1, 1)), 1)
"""What a white pawn attacks."""

SHADOW: Bits = _shadows()
"""SHADOW[piece, man]: the squares behind `man`, seen from `piece`; none if they share no line."""

_FILES_APART: Squares = np.abs(FILE[:, None] - FILE[None, :])
_RANKS_APART: Squares = np.abs(RANK[:, None] - RANK[None, :])
_KING_STEPS: Squares = np.maximum(_FILES_APART, _RANKS_APART)
_FILES_PLUS_RANKS: Squares = _FILES_APART + _RANKS_APART


def king_steps(here: NDArray[np.integer[Any]], there: NDArray[np.integer[Any]]) -> Numbers:
    """How many steps a king needs from here to there on an empty board. Shape (n,)."""
    steps: Numbers = _KING_STEPS[here, there]
    return steps


def files_plus_ranks(here: Squares, there: Squares) -> Numbers:
    """How many files plus how many ranks lie between here and there. Shape (n,)."""
    apart: Numbers = _FILES_PLUS_RANKS[here, there]
    return apart


def on(sets: Bits, squares: Squares) -> Mask:
    """Whether each square belongs to its set. Shape (n,)."""
    return not_empty(sets & BIT[squares])


def not_empty(sets: Bits) -> Mask:
    """Whether each set holds any square. Same shape."""
    return sets.astype(np.bool_)


def count(sets: Bits) -> Numbers:
    """How many squares each set holds. Same shape."""
    return np.bitwise_count(sets).astype(np.int8)


def spread(sets: Bits) -> Bits:
    """Each set and all squares a king's step away from it. Same shape."""
    # np.uint64 scalars keep the shifts unsigned; the masks stop a step over the board's edge.
    one, eight = np.uint64(1), np.uint64(8)
    wide = sets | ((sets & _NOT_H) << one) | ((sets & _NOT_A) >> one)
    grown: Bits = wide | (wide << eight) | (wide >> eight)
    return grown


_NOT_A = np.uint64(_bits(square for square in range(64) if square % 8 != 0))
_NOT_H = np.uint64(_bits(square for square in range(64) if square % 8 != 7))


HIS_ROOK = "r"
"""The defender's rook in the name of an ending."""


def ending_name(pieces: str) -> str:
    """What an ending with these `Positions.pieces` is called, such as KRPKR."""
    own = pieces.rstrip(HIS_ROOK)
    return f"K{own}K{pieces[len(own) :].upper()}"


Seen = TypeVar("Seen", bound=NDArray[Any])
Feature = Callable[["Positions"], Seen]
"""Something to see in each position: n positions in, an array of shape (n, ...) out."""

_LINES: dict[str, Bits] = {"Q": QUEEN, "R": ROOK, "B": BISHOP}
_LEAPS: dict[str, Bits] = {"N": KNIGHT}


class Positions:
    """n positions of one ending.

    `pieces` names the attacker's pieces besides his king, strongest first ("Q", "RR", "P"), then in a
    small letter the rook of a defender who has one ("RPr"); his king is called the lone king all the same.
    `men` are columns of squares, shape (n,), int8: the attacker's king, the lone king, then the
    pieces in the order of `pieces`. A pawn on its last rank is a queen: it has just promoted. Where the
    defender has a rook, a man that was taken stands on the square of the attacker's king, and goes with it.
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

    @property
    def own(self) -> tuple[Squares, ...]:
        """The attacker's pieces."""
        return self.men[2 : len(self.men) - self.has_his_rook]

    @property
    def has_his_rook(self) -> bool:
        """Whether the defender has, or had, a rook. It is the last of the men."""
        return self.pieces.endswith(HIS_ROOK)

    @property
    def pawn(self) -> Squares:
        """The attacker's pawn, which must be there."""
        return self.others[self.pieces.index("P")]

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
    for number in range(len(positions.own)):
        found = found | attacked_by_piece(positions, number)
    return found


def attacked_by_piece(positions: Positions, number: int) -> Bits:
    """The squares that piece `number` (0 is the first) attacks; none if it was taken. Shape (n,)."""
    seen = _attacked_from(positions, number)
    return np.where(is_taken(positions, number), np.uint64(0), seen) if positions.has_his_rook else seen


def is_taken(positions: Positions, number: int) -> Mask:
    """Where the defender has a rook: man `number` (0 is the first) was taken. Shape (n,)."""
    taken: Mask = positions.others[number] == positions.king
    return taken


def _attacked_from(positions: Positions, number: int) -> Bits:
    square = positions.others[number]
    kind = positions.pieces[number]
    if kind in _LEAPS:
        return _LEAPS[kind][square]
    if kind == "P":
        promoted = RANK[square] == 7
        return np.where(promoted, _seen_past(positions, number, QUEEN), PAWN[square])
    return _seen_past(positions, number, _LINES[kind])


def _seen_past(positions: Positions, number: int, lines: Bits) -> Bits:
    others = (man for other, man in enumerate(positions.others) if other != number)
    return seen_past(lines, positions.others[number], positions.king, *others)


def seen_past(lines: Bits, square: Squares, *men: Squares) -> Bits:
    """What a piece with these lines, such as QUEEN, sees from a square, past other men. Shape (n,)."""
    seen = lines[square]
    for man in men:
        seen &= ~SHADOW[square, man]
    return seen


def piece_squares(positions: Positions) -> Bits:
    """The squares of the attacker's pieces, his king not counted. Shape (n,)."""
    squares = BIT[positions.piece]
    for man in positions.own[1:]:
        squares = squares | BIT[man]
    return squares


def free_steps(positions: Positions) -> Bits:
    """Where the lone king may go, captures included. Shape (n,)."""
    steps = KING[positions.lone] & ~positions.see(attacked)
    return steps & ~BIT[positions.others[-1]] if positions.has_his_rook else steps


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
