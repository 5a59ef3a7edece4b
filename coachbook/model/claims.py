"""Statements about a position that make an answer key true.

A kind of exercise states them; the verifier, which knows no kind, checks them.
Moves are in UCI notation (d1d8), so that no claim depends on how SAN is written.
`claim` is the tag by which a stored claim is read back.
"""

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class AllMates:
    """These, and no others, are the moves that give mate at once."""

    moves: frozenset[str]
    claim: Literal["all_mates"] = "all_mates"


@dataclass(frozen=True, slots=True)
class AllStalemates:
    """These, and no others, are the moves that leave the other side stalemated."""

    moves: frozenset[str]
    claim: Literal["all_stalemates"] = "all_stalemates"


@dataclass(frozen=True, slots=True)
class WallsAre:
    """The lone king's box by walls (rank and file of the piece on `piece`) is `squares`."""

    piece: int
    squares: frozenset[int]
    claim: Literal["walls_are"] = "walls_are"


@dataclass(frozen=True, slots=True)
class RegionIs:
    """The squares that the lone king could reach if the other side stood still."""

    squares: frozenset[int]
    claim: Literal["region_is"] = "region_is"


@dataclass(frozen=True, slots=True)
class MateIn:
    """With best play the side to move mates in exactly `moves` moves."""

    moves: int
    claim: Literal["mate_in"] = "mate_in"


Claim = AllMates | AllStalemates | WallsAre | RegionIs | MateIn
