"""What a diagram shows besides its pieces: one vocabulary for all sheets."""

from dataclasses import dataclass
from enum import StrEnum


class ArrowStyle(StrEnum):
    """A suggestion is drawn hollow, an answer solid, a move that was made instead of it dashed."""

    SUGGESTION = "suggestion"
    ANSWER = "answer"
    PLAYED = "played"


class Sign(StrEnum):
    """A small sign on a square; any other short text (a number) is drawn as text."""

    TICK = "tick"
    CROSS = "cross"
    DOT = "dot"


@dataclass(frozen=True, slots=True)
class Arrow:
    """From the middle of square `start` towards square `end` (indices, a1 = 0)."""

    start: int
    end: int
    style: ArrowStyle = ArrowStyle.ANSWER


@dataclass(frozen=True, slots=True)
class SquareSign:
    """A Sign's value, or a text of at most two characters, on a square."""

    square: int
    text: str


@dataclass(frozen=True, slots=True)
class Marks:
    """Shaded squares, squares whose common border is outlined, arrows and signs."""

    shaded: tuple[int, ...] = ()
    outlined: tuple[int, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    signs: tuple[SquareSign, ...] = ()
