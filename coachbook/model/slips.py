"""The slips that marking can name, and how they are told to a coach."""

import re
from collections import Counter
from collections.abc import Iterable
from enum import StrEnum

_SLOWER = re.compile(r"slower by [0-9]+ moves?")


class Slip(StrEnum):
    """A named mistake in an answer.

    For NOT_QUICKEST marking writes by how much, where it is known (see `slower`).
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


TOLD: dict[Slip, str] = {
    Slip.NOT_TRIED: "left {n} blank",
    Slip.UNREADABLE: "wrote unreadably {times}",
    Slip.ILLEGAL: "wrote an illegal move {times}",
    Slip.MISREAD_SIDE: "misread the side to move {times}",
    Slip.STALEMATE: "stalemated {times}",
    Slip.PIECE_LOST: "lost a piece {times}",
    Slip.NOT_MATE: "took a wrong move for mate {times}",
    Slip.MISSED_MATE: "missed a mate {times}",
    Slip.NOT_STALEMATE: "took a wrong move for stalemate {times}",
    Slip.MISSED_STALEMATE: "missed a stalemate {times}",
    Slip.WRONG_COUNT: "miscounted the box {times}",
    Slip.NOT_QUICKEST: "was slower than need be {times}",
    Slip.WIN_THROWN_AWAY: "threw a win away {times}",
    Slip.DRAW_THROWN_AWAY: "threw a draw away {times}",
    Slip.WIN_NOT_SEEN: "did not see a win {times}",
    Slip.DRAW_NOT_SEEN: "did not see a draw {times}",
    Slip.MISJUDGED: "misjudged a position {times}",
    Slip.MISSED_DANGER: "missed a dangerous square {times}",
    Slip.BOX_GREW: "let the box grow {times}",
    Slip.MISSED_SMALLER_BOX: "missed a smaller box {times}",
    Slip.NOT_BEST_BOX: "missed the best box {times}",
    Slip.WRONG_SQUARE: "marked a wrong square {times}",
    Slip.MISSED_SQUARE: "missed a square {times}",
    Slip.NO_OPPOSITION: "missed the opposition {times}",
    Slip.WRONG_RULE: "chose the wrong rule {times}",
    Slip.AGAINST_RULE: "did not follow the rule {times}",
}


def slower(moves: int) -> str:
    """The code of a win that takes `moves` more than need be, such as "slower by 3 moves"."""
    return f"slower by {moves} move{'' if moves == 1 else 's'}"


def slip_family(slip: str) -> str:
    """The slip that a code is counted as: NOT_QUICKEST for a slower win, by however much; else itself."""
    return Slip.NOT_QUICKEST if _SLOWER.fullmatch(slip) else slip


def tell_slip(slip: str, count: int) -> str:
    """A slip that happened `count` times, such as "stalemated twice" or "left 3 blank".

    A code that is no Slip (from another edition of coachbook) is told as it is written.
    """
    told = {str(known): words for known, words in TOLD.items()}
    words = told.get(slip_family(slip), f"{slip} {{times}}")
    times = {1: "once", 2: "twice"}.get(count, f"{count} times")
    return words.replace("{n}", str(count)).replace("{times}", times)


def tell_slips(slips: Iterable[str]) -> str:
    """All slips, with repeats, in words: the most frequent first, then in the order of first sight."""
    families = Counter(map(slip_family, slips))
    return ", ".join(tell_slip(slip, count) for slip, count in families.most_common())
