"""A chess position as text, and what a diagram shows besides it, for parts that know no rules."""

import re
from dataclasses import dataclass
from enum import StrEnum

from coachbook.errors import CoachbookError

_FEN = re.compile(r"(?P<board>[pnbrqkPNBRQK1-8/]+) (?P<side>[wb]) (-|K?Q?k?q?) (-|[a-h][36])( \d+ \d+)?")

_PIECES = re.compile("[pnbrqkPNBRQK1-8]+(/[pnbrqkPNBRQK1-8]+){7}")


def tells_side(fen: str) -> bool:
    """False of a FEN or EPD that has the pieces, but not which side is to move after them."""
    pieces, *others = fen.split() or [""]
    return not _PIECES.fullmatch(pieces) or others[:1] in (["w"], ["b"])


def check_side_told(fen: str) -> None:
    """Raises CoachbookError for a FEN that does not say who is to move: nobody should guess it."""
    if not tells_side(fen):
        raise CoachbookError(
            f"'{fen.strip()}' does not say who is to move.",
            "Add ' w' after the pieces for White, or ' b' for Black.",
        )


def square_name(square: int) -> str:
    """Name of a square index: 0 is a1, 7 is h1, 63 is h8."""
    return f"{'abcdefgh'[square % 8]}{square // 8 + 1}"


@dataclass(frozen=True, slots=True)
class Position:
    """One position in FEN: pieces, side to move, castling, en passant, clocks.

    Checked for shape only; whether it is legal is for the rules (`chess`) to say.
    """

    fen: str

    def __post_init__(self) -> None:
        match = _FEN.fullmatch(self.fen)
        if match is None or not _is_board(match["board"]):
            raise CoachbookError(
                f"'{self.fen}' is not a position in FEN.", "It needs eight ranks and a side to move."
            )

    @property
    def white_to_move(self) -> bool:
        return self.fen.split()[1] == "w"

    @property
    def pieces(self) -> dict[int, str]:
        """Square index -> piece letter, upper case for White, in board order from a1."""
        found: dict[int, str] = {}
        for row, text in enumerate(self.fen.split()[0].split("/")):
            file = 0
            for letter in text:
                if letter.isdigit():
                    file += int(letter)
                else:
                    found[(7 - row) * 8 + file] = letter
                    file += 1
        return dict(sorted(found.items()))


def _is_board(text: str) -> bool:
    rows = text.split("/")
    widths = [sum(int(c) if c.isdigit() else 1 for c in row) for row in rows]
    return len(rows) == 8 and set(widths) == {8} and text.count("K") == 1 and text.count("k") == 1


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
