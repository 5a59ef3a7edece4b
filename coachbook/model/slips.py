"""The slips that marking can name, and how each is told to a coach."""

from enum import StrEnum


class Slip(StrEnum):
    """A named mistake in an answer."""

    NOT_TRIED = "not tried"
    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"
    STALEMATE = "stalemate"
    PIECE_LOST = "piece lost"
    NOT_MATE = "not mate"
    MISSED_MATE = "missed mate"
    NOT_STALEMATE = "not stalemate"
    MISSED_STALEMATE = "missed stalemate"
    WRONG_COUNT = "wrong count"


TOLD: dict[Slip, str] = {
    Slip.NOT_TRIED: "left {n} blank",
    Slip.UNREADABLE: "could not be read {times}",
    Slip.ILLEGAL: "wrote an illegal move {times}",
    Slip.STALEMATE: "stalemated {times}",
    Slip.PIECE_LOST: "lost the piece {times}",
    Slip.NOT_MATE: "took a check for mate {times}",
    Slip.MISSED_MATE: "missed a mate {times}",
    Slip.NOT_STALEMATE: "named a move that is no stalemate {times}",
    Slip.MISSED_STALEMATE: "missed a stalemate {times}",
    Slip.WRONG_COUNT: "miscounted the box {times}",
}
