"""Proofs: a method followed to the letter, against every defence, from every position.

Every move that the method leaves tied must work, against every reply. One escape, one stalemate,
one lost piece, one position without a rule or one endless loop is a failure, and is shown as a
line of moves.
"""

import hashlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachbook.errors import CoachbookError
from coachbook.method.graph import Graph, Line, Progress, explore, failing_line, held_line, longest_line
from coachbook.method.loose import LooseGames
from coachbook.method.moves import Aim, Rows
from coachbook.method.positions import RANK, Positions, ending_name
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import decode, looks_of

FORMAT = 2
"""Raised when what a proof means changes, so that an older one kept in a cache isn't trusted."""

_FINGERPRINT_POSITIONS = 1 << 15
_DRAWS_TRIED = 32


@dataclass(frozen=True, slots=True)
class Optimum:
    """The longest and the mean mate distance with best play, in moves, over the same positions."""

    longest: int
    mean: float


@dataclass(frozen=True, slots=True)
class RankShare:
    """The positions with the pawn on a rank (2 to 7, seen by its owner), and how many are proven."""

    rank: int
    positions: int
    proven: int


@dataclass(frozen=True, slots=True)
class Proof:
    """What the method does in one ending; `ending` is the attacker's pieces.

    `positions` counts those from which the `aim` can be hoped for: all legal ones for a mate, the won
    ones for a safe queen, the drawn ones for a draw, for a rook more those of a picture; `up_to_symmetry`
    those that stay different under turning and mirroring. From `proven` of them the aim is reached
    whatever tied move is chosen and whatever the other side replies; over these, `longest` and `mean`
    count moves to the goal (the longest way from each; 0 for a draw). `rule_counts` says how many
    positions each rule decides (the safety rule none). `hardest` is a line of the longest kind (for a
    draw: one that is held), `counter_line` a failure. `by_rank` splits the share of an ending with a pawn
    by the pawn's rank; `optimum` is there only where the aim is mate, and `loosely` where the rules have
    words for a card.
    """

    method: str
    ending: str
    aim: Aim
    positions: int
    up_to_symmetry: int
    proven: int
    longest: int
    mean: float
    rule_counts: tuple[tuple[str, int], ...]
    hardest: Line
    counter_line: Line | None
    fingerprint: str
    by_rank: tuple[RankShare, ...] = ()
    optimum: Optimum | None = None
    loosely: LooseGames | None = None

    @property
    def share(self) -> float:
        """Proven positions among all, 0 to 1."""
        return self.proven / self.positions

    @property
    def is_complete(self) -> bool:
        """Whether the aim is reached from every position that is counted."""
        return self.proven == self.positions

    @property
    def in_words(self) -> str:
        """What a plan may say about where it comes from."""
        such = {Aim.QUEEN: "won ", Aim.DRAW: "drawn "}.get(self.aim, "")
        share = f"{self.proven:,} of {self.positions:,}"
        source = f"every {such}position" if self.is_complete else f"{share} {such}positions"
        if self.aim is Aim.QUEEN_OR_ROOK and self.is_complete:
            source = f"every one of the {self.positions:,} positions of its picture"
        if self.aim is Aim.DRAW:
            return f"proven from {source} in which there is a move to make"
        return f"proven from {source}, {self.aim} in at most {self.longest} moves"


def prove(
    method: Method, ending: str, progress: Progress | None = None, optimum: Optimum | None = None
) -> Proof:
    """Follow `method` from all its starts in `ending`. Raises CoachbookError for another ending."""
    if ending not in method.endings:
        raise CoachbookError(f"'{method.title}' is not made for {ending_name(ending)}.")
    codes = method.starts(ending)
    graph = explore(method, ending, codes, progress)
    starts = graph.find(codes)
    positions = decode(ending, codes)
    looks = looks_of(positions)
    works = graph.length[starts] >= 0
    lengths, weights = graph.length[starts][works], looks[works]
    return Proof(
        method=method.name,
        ending=ending,
        aim=method.aim,
        positions=int(looks.sum()),
        up_to_symmetry=len(codes),
        proven=int(weights.sum()),
        longest=int(lengths.max(initial=0)),
        mean=float((lengths * weights).sum() / max(1, weights.sum())),
        rule_counts=_rule_counts(method, graph.rule[starts], looks),
        hardest=_hardest(method, graph, starts[works]),
        counter_line=None if works.all() else failing_line(method, graph, starts),
        fingerprint=fingerprint(method, ending),
        by_rank=_by_rank(positions, looks, works) if "P" in ending else (),
        optimum=optimum,
    )


def _by_rank(
    positions: Positions, looks: NDArray[np.int64], works: NDArray[np.bool_]
) -> tuple[RankShare, ...]:
    rank = RANK[positions.pawn]
    every, proven = np.bincount(rank, looks, 8), np.bincount(rank[works], looks[works], 8)
    return tuple(RankShare(int(r) + 1, int(every[r]), int(proven[r])) for r in np.flatnonzero(every))


def _hardest(method: Method, graph: Graph, starts: Rows) -> Line:
    """One of the longest lines; for a draw the longest held from a few starts, evenly spread."""
    if method.aim is not Aim.DRAW:
        return longest_line(method, graph, starts)
    some = starts[:: -(-len(starts) // _DRAWS_TRIED)]
    return max((held_line(method, graph, graph.at(int(start))) for start in some), key=_length)


def _length(line: Line) -> int:
    return len(line.moves)


def _rule_counts(
    method: Method, rule: NDArray[np.int8], looks: NDArray[np.int64]
) -> tuple[tuple[str, int], ...]:
    counts = np.bincount(rule[rule >= 0], looks[rule >= 0], len(method.rules))
    return tuple((rule.name, int(count)) for rule, count in zip(method.rules, counts, strict=True))


def fingerprint(method: Method, ending: str) -> str:
    """A digest of the method's words and of its moves in 32,768 evenly spread positions.

    They are taken from the method's starts. A kept proof belongs to the method as it is if their
    fingerprints agree. Queen or rook against king have fewer positions, so there every change of
    behaviour shows.
    """
    codes = method.starts(ending)
    spread = codes[:: -(-len(codes) // _FINGERPRINT_POSITIONS)]
    choice = choose_all(method, decode(ending, spread))
    digest = hashlib.sha256(f"{FORMAT} {method.name} {ending}".encode())
    for rule in method.told:
        digest.update(f"{rule.name}: {rule.words} {rule.card_words}\n".encode())
    columns = (choice.rule, choice.moves.of, *choice.moves.after.men)
    for column in columns:
        digest.update(np.ascontiguousarray(column).astype("<i8").tobytes())
    return digest.hexdigest()
