"""The verdicts on king and pawn against king, held against the tables in every position there is."""

from dataclasses import dataclass

import numpy as np

from coachbook.method.border import to_board
from coachbook.method.king_and_pawn_verdicts import VERDICTS, Verdict
from coachbook.method.moves import Side
from coachbook.method.pawn_sights import every_position


@dataclass(frozen=True, slots=True)
class VerdictProof:
    """What the tables say of a verdict; all counts are of legal positions, mirror images too.

    It tells who wins in `told` positions and is `wrong` in these of them (FEN). `excepted` counts,
    for each of its exceptions, the positions in which that one applies to it, and how many of these
    it would be wrong in.
    """

    told: int
    wrong: tuple[str, ...]
    excepted: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Cover:
    """All legal positions with one side to move, and in how many of them a verdict tells who wins."""

    to_move: Side
    positions: int
    told: int


def prove_verdict(verdict: Verdict) -> VerdictProof:
    """Hold one verdict against every position with the right side to move."""
    told, wrong = 0, list[str]()
    excepted = [(0, 0)] * len(verdict.unless)
    for to_move in verdict.to_move:
        positions, won = every_position(to_move)
        applies, tells, not_so = verdict.applies(positions), verdict.tells(positions), won != verdict.won
        told += int(tells.sum())
        for row in np.flatnonzero(tells & not_so):
            wrong.append(to_board(positions, int(row), attacker_moves=to_move is Side.ATTACKER).fen())
        for number, exception in enumerate(verdict.unless):
            there = applies & exception(positions)
            found, needed = excepted[number]
            excepted[number] = (found + int(there.sum()), needed + int((there & not_so).sum()))
    return VerdictProof(told, tuple(wrong), tuple(excepted))


def cover(to_move: Side) -> Cover:
    """How much of the ending the verdicts tell."""
    positions, _ = every_position(to_move)
    told = np.zeros(len(positions), dtype=np.bool_)
    for verdict in VERDICTS:
        if to_move in verdict.to_move:
            told |= verdict.tells(positions)
    return Cover(to_move, len(positions), int(told.sum()))
