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
from coachbook.method.graph import ENDLESS, Graph, Progress, explore
from coachbook.method.lines import Line, failing_line, longest_line
from coachbook.method.rules import Method, choose_all
from coachbook.method.symmetry import decode, legal_codes, looks_of

FORMAT = 1
"""Raised when what a proof means changes, so that an older one kept in a cache isn't trusted."""

_FINGERPRINT_POSITIONS = 1 << 15


@dataclass(frozen=True, slots=True)
class Optimum:
    """The longest and the mean mate distance with best play, in moves, over the same positions."""

    longest: int
    mean: float


@dataclass(frozen=True, slots=True)
class Proof:
    """What the method does in one ending; `ending` is the attacker's pieces.

    `positions` counts all legal ones with the attacker to move, `up_to_symmetry` those that stay
    different under turning and mirroring. `proven` of `positions` are won whatever tied move is
    chosen and whatever the lone king replies; over these, `longest` and `mean` count moves to
    mate (the longest way from each). `rule_counts` says how many positions each rule decides
    (the safety rule none). `hardest` is a line of the longest kind, `counter_line` a failure.
    """

    method: str
    ending: str
    positions: int
    up_to_symmetry: int
    proven: int
    longest: int
    mean: float
    rule_counts: tuple[tuple[str, int], ...]
    hardest: Line
    counter_line: Line | None
    fingerprint: str
    optimum: Optimum | None = None

    @property
    def share(self) -> float:
        """Proven positions among all, 0 to 1."""
        return self.proven / self.positions

    @property
    def in_words(self) -> str:
        """What a plan may say about where it comes from."""
        if self.proven == self.positions:
            return f"proven from every position, at most {self.longest} moves"
        return f"proven from {self.proven:,} of {self.positions:,} positions, at most {self.longest} moves"


def prove(
    method: Method, ending: str, progress: Progress | None = None, optimum: Optimum | None = None
) -> Proof:
    """Follow `method` from every legal position of `ending`. Raises CoachbookError for another ending."""
    if ending not in method.endings:
        raise CoachbookError(f"'{method.title}' is not made for K{ending}K.")
    codes = legal_codes(ending)
    graph = explore(method, ending, codes, progress)
    looks = looks_of(decode(ending, codes))
    won = graph.length != ENDLESS
    lengths, weights = graph.length[won], looks[won]
    return Proof(
        method=method.name,
        ending=ending,
        positions=int(looks.sum()),
        up_to_symmetry=len(codes),
        proven=int(weights.sum()),
        longest=int(lengths.max(initial=0)),
        mean=float((lengths * weights).sum() / max(1, weights.sum())),
        rule_counts=_rule_counts(method, graph, looks),
        hardest=longest_line(method, graph),
        counter_line=None if won.all() else failing_line(method, graph),
        fingerprint=fingerprint(method, ending),
        optimum=optimum,
    )


def _rule_counts(method: Method, graph: Graph, looks: NDArray[np.int64]) -> tuple[tuple[str, int], ...]:
    counts = np.bincount(graph.rule[graph.rule >= 0], looks[graph.rule >= 0], len(method.rules))
    return tuple((rule.name, int(count)) for rule, count in zip(method.rules, counts, strict=True))


def fingerprint(method: Method, ending: str) -> str:
    """A digest of the method's words and of its moves in 32,768 evenly spread positions.

    A kept proof belongs to the method as it is if their fingerprints agree. Three-man endings
    have fewer positions, so there every change of behaviour shows.
    """
    codes = legal_codes(ending)
    spread = codes[:: -(-len(codes) // _FINGERPRINT_POSITIONS)]
    choice = choose_all(method, decode(ending, spread))
    digest = hashlib.sha256(f"{FORMAT} {method.name} {ending}".encode())
    for rule in method.told:
        digest.update(f"{rule.name}: {rule.words}\n".encode())
    columns = (choice.rule, choice.moves.of, *choice.moves.after.men)
    for column in columns:
        digest.update(np.ascontiguousarray(column).astype("<i8").tobytes())
    return digest.hexdigest()
