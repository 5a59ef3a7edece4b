"""What answers say of the scale of difficulty: figures of bands, and where they disagree with the scale."""

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer to an item of this kind and difficulty (1 to 100)."""

    kind: str
    difficulty: int
    right: bool


@dataclass(frozen=True, slots=True)
class Band:
    """The answers to items of a kind, or of all other kinds (""), from `easiest` to `hardest`.

    The share (0 to 1) that would be right of very many such answers is likely from `low` to `high`.
    """

    kind: str
    easiest: int
    hardest: int
    right: int
    answers: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """How many of the answers were right, from 0 to 1. There must be one."""
        return self.right / self.answers


class Against(StrEnum):
    """In what answers disagree with the scale."""

    HIGHER_IS_EASIER = "higher is easier"
    EASIER_THAN_OTHERS = "easier than others"
    HARDER_THAN_OTHERS = "harder than others"


@dataclass(frozen=True, slots=True)
class Disagreement:
    """`band` and the one that it was compared with: an easier `other` of the same kind, or all other kinds in
    the same band. `chance` is that of so great a difference if both were equally hard, from 0 to 1."""

    against: Against
    band: Band
    other: Band
    chance: float


@dataclass(frozen=True, slots=True)
class ScaleCheck:
    """All bands that were answered, by kind and difficulty, and what came of comparing them.

    Only bands of at least `fewest` answers were compared; of as many `comparisons` where there is no
    difference, a share of `by_chance` would come out as disagreements. Items `left_blank` are not counted.
    """

    bands: tuple[Band, ...]
    left_blank: int
    fewest: int
    comparisons: int
    by_chance: float
    disagreements: tuple[Disagreement, ...]
