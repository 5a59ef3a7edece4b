"""The slips that marking can name, as codes."""

from enum import StrEnum

_SLOWER = "slower:"


class Slip(StrEnum):
    """A named mistake in an answer.

    For NOT_QUICKEST marking says by how much, where it is known (see `slower`).
    """

    NOT_TRIED = "not tried"
    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"
    MISREAD_SIDE = "misread the side to move"
    STALEMATE = "stalemate"
    PIECE_LOST = "piece lost"
    NOT_MATE = "not mate"
    MISSED_MATE = "missed mate"
    NOT_STALEMATE = "not stalemate"
    MISSED_STALEMATE = "missed stalemate"
    WRONG_COUNT = "wrong count"
    NOT_QUICKEST = "not quickest"
    WIN_THROWN_AWAY = "win thrown away"
    DRAW_THROWN_AWAY = "draw thrown away"
    WIN_NOT_SEEN = "win not seen"
    DRAW_NOT_SEEN = "draw not seen"
    MISJUDGED = "misjudged"
    MISSED_DANGER = "missed danger"
    BOX_GREW = "box grew"
    MISSED_SMALLER_BOX = "missed a smaller box"
    NOT_BEST_BOX = "not best box"
    WRONG_SQUARE = "wrong square"
    MISSED_SQUARE = "missed square"
    NO_OPPOSITION = "no opposition"
    WRONG_RULE = "wrong rule"
    AGAINST_RULE = "against rule"


def slower(moves: int) -> str:
    """The code of a win that takes `moves` more than need be: what is counted as NOT_QUICKEST."""
    return f"{_SLOWER}{moves}"


def slower_by(slip: str) -> int | None:
    """The number in a code that `slower` made; None for any other."""
    moves = slip.removeprefix(_SLOWER)
    return int(moves) if slip.startswith(_SLOWER) and moves.isdecimal() else None


def slip_family(slip: str) -> str:
    """The slip that a code is counted as: NOT_QUICKEST for a slower win, by however much; else itself."""
    return slip if slower_by(slip) is None else Slip.NOT_QUICKEST
