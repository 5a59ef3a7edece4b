"""The slips that marking names, in English."""

from collections import Counter
from collections.abc import Iterable

from coachbook.model.slips import Slip, slip_family, slower_by
from coachbook.wording.counting import counted, times

HAPPENED: dict[Slip, str] = {
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


def slip_in_words(slip: str) -> str:
    """A single slip by its short name, such as "stalemate" or "slower by 3 moves".

    A code that is no Slip (from another edition of coachbook) is told as it is written.
    """
    by = slower_by(slip)
    return str(slip) if by is None else f"slower by {counted(by, 'move')}"


def slip_and_count(slip: str, count: int) -> str:
    """A slip that happened `count` times, such as "stalemated twice" or "left 3 blank"."""
    known = {str(each): words for each, words in HAPPENED.items()}
    words = known.get(slip_family(slip), f"{slip} {{times}}")
    return words.replace("{n}", str(count)).replace("{times}", times(count))


def slips_in_words(slips: Iterable[str]) -> str:
    """All slips, with repeats: the most frequent first, then in the order of first sight."""
    families = Counter(map(slip_family, slips))
    return ", ".join(slip_and_count(slip, count) for slip, count in families.most_common())
