"""Rules that a child can follow, the methods made of them, and the rules that several methods share.

A rule is one named object: which moves it allows, how it prefers among them, and its words.
From it come the written plan, the proof and the words on paper; there is no second copy.
A rule sees the board as it is and as it would be after each move, never a mate distance.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Self, cast

import numpy as np
from numpy.typing import NDArray

from coachbook.method.moves import Aim, Moves, Side, joined
from coachbook.method.positions import (
    KING,
    Feature,
    Mask,
    Numbers,
    Positions,
    Seen,
    can_be_taken,
    files_plus_ranks,
    in_check,
    is_mate,
    is_stalemate,
    king_steps,
    on,
)
from coachbook.method.starts import Codes
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.method_words import card_words, rule_name, rule_words, summary_of, title_of


class Look:
    """What the mover sees: n positions and all moves still in question, one row each.

    Rows are sorted by position. `now` is what stands on the board, `then` what would stand there
    after the move.
    """

    __slots__ = ("before", "moves")

    def __init__(self, before: Positions, moves: Moves) -> None:
        self.before = before
        self.moves = moves

    def __len__(self) -> int:
        return len(self.moves.of)

    def now(self, feature: Feature[Seen]) -> Seen:
        """`feature` before the move, for each row. Shape (m, ...)."""
        return cast(Seen, self.before.see(feature)[self.moves.of])

    def then(self, feature: Feature[Seen]) -> Seen:
        """`feature` after the move, for each row. Shape (m, ...)."""
        return self.moves.after.see(feature)

    @property
    def king_moves(self) -> Mask:
        return ~self.piece_moves

    @property
    def piece_moves(self) -> Mask:
        return self.moves.man.astype(np.bool_)

    def only(self, rows: NDArray[Any]) -> Self:
        """The same look with these rows (indices or a mask) only."""
        return type(self)(self.before, self.moves.take(rows))

    def best(self, key: NDArray[Any]) -> Self:
        """Only the rows with their position's smallest `key`, ties included. `key` has shape (m,)."""
        if not len(self):
            return self
        first = np.flatnonzero(np.r_[True, self.moves.of[1:] != self.moves.of[:-1]])
        least = np.minimum.reduceat(key, first)
        return self.only(key == np.repeat(least, np.diff(np.r_[first, len(self)])))


Allows = Callable[[Look], Mask]
Key = Callable[[Look], NDArray[Any]]


def least(feature: Feature[NDArray[Any]]) -> Key:
    """A preference: `feature` after the move as small as possible; a yes/no feature: rather no."""
    return lambda look: look.then(feature)


def most(feature: Feature[NDArray[Any]]) -> Key:
    """A preference: `feature` after the move as large as possible; a yes/no feature: rather yes."""
    return lambda look: -look.then(feature).astype(np.int16)


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """One rule: `allows` says for each row whether the move is one of its moves.

    Among the moves allowed each key of `prefers` in turn keeps the smallest; moves that are
    still tied are all right. `code` is the rule's own in all methods: by it `wording` knows the
    rule's `name`, which is short, its exact `words`, and its `card_words`, which a child is told:
    they allow the same moves, and prefer among them by the keys in `loosely` alone (see `loose`).
    """

    code: str
    allows: Allows
    prefers: tuple[Key, ...] = ()
    loosely: tuple[Key, ...] = ()

    @property
    def name(self) -> str:
        return rule_name(self.code)

    @property
    def words(self) -> str:
        return rule_words(self.code)

    @property
    def card_words(self) -> str:
        return card_words(self.code)

    def pick(self, look: Look) -> Look:
        """The moves that this rule leaves, for the positions in which it has any."""
        picked = look.only(self.allows(look))
        for key in self.prefers:
            picked = picked.best(key(picked))
        return picked


@dataclass(frozen=True, slots=True, eq=False)
class Method:
    """An ordered list of rules: the first of `rules` that has a move decides.

    It is for the side that `plays` it. `aim` is what it promises, `goal` the same in the position after the
    move that reaches it; `rules[0]` allows just these moves. `starts` gives the canonical codes of the
    positions of an ending from which that can be hoped for. `never` names moves that no other rule may
    choose. `endings` are the attacker's pieces ("Q"; "RR", "QR"). `name` is how a syllabus calls the
    method; by it `wording` knows the `title`, by which a coach calls it, and the `summary`, one paragraph
    for a lesson plan. `tell` says what a move achieved, given one position before and one after it.
    `within` says of which positions of its endings the rules may be asked at all; of others the method says
    nothing (None: of all). From one position from which it works it leads to `most` others or fewer, so
    that where there are more nobody has to look at all of them; None: it may lead to any.
    """

    name: str
    endings: tuple[str, ...]
    plays: Side
    aim: Aim
    goal: Feature[Mask]
    starts: Callable[[str], Codes]
    never: Rule
    rules: tuple[Rule, ...]
    tell: Callable[[Positions, Positions], Saying]
    within: Feature[Mask] | None = None
    most: int | None = None

    @property
    def title(self) -> str:
        return title_of(self.name)

    @property
    def summary(self) -> str:
        return summary_of(self.name)

    @property
    def told(self) -> tuple[Rule, ...]:
        """All rules in the order in which they are told."""
        return (self.rules[0], self.never, *self.rules[1:])

    def number_of(self, rule: Rule) -> int:
        """The number of a rule, from 1, wherever one is printed or typed."""
        return self.told.index(rule) + 1


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """What a method leaves in n positions: m moves in all, sorted by position.

    `rule` is the number in `method.rules` that decided, -1 where none has a move. Shape (n,).
    """

    moves: Moves
    rule: NDArray[np.int8]


def choose_all(method: Method, positions: Positions) -> Choice:
    """The moves that `method` leaves tied in each position, its own side to move."""
    look = Look(positions, method.plays.moves(positions))
    rule = np.full(len(positions), -1, dtype=np.int8)
    picks: list[Moves] = []
    for number, each in enumerate(method.rules):
        picked = each.pick(look)
        picks.append(picked.moves)
        rule[picked.moves.of] = number
        look = look.only(rule[look.moves.of] < 0)
        if number == 0:
            look = look.only(~method.never.allows(look))
    return Choice(joined(picks), rule)


def kings_apart(positions: Positions) -> Numbers:
    """King steps between the kings. Shape (n,)."""
    return king_steps(positions.king, positions.lone)


def kings_files_and_ranks_apart(positions: Positions) -> Numbers:
    """Files plus ranks between the kings. Shape (n,)."""
    return files_plus_ranks(positions.king, positions.lone)


def guarded(positions: Positions) -> Mask:
    """The king stands next to his piece. Shape (n,)."""
    return on(KING[positions.king], positions.piece)


def gives_check(after: Positions) -> dict[str, Fact]:
    """What is stated of a move that gives check; nothing of another."""
    return {"gives_check": True} if in_check(after)[0] else {}


def _spoils_it(look: Look) -> Mask:
    return look.then(is_stalemate) | look.then(can_be_taken)


MATE = Rule("mate", lambda look: look.then(is_mate))


def never_spoil(code: str) -> Rule:
    """The safety rule of a method that mates, or queens, with what the code names."""
    return Rule(code, _spoils_it)
