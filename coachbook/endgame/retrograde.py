"""Solving an ending backwards: the exact mate distance of every position.

The idea. Write down every position in which the loser, to move, is checkmated: he is mated
in 0. Every position from which the winner can move into one of them is a mate in 1. Every
position from which *all* of the loser's moves lead into mates in 1 is "mated in 1". And so
on, until nothing new is found; what is left is a draw. In one picture, time running upwards
and each arrow a step backwards through one move:

    mated in 0  <--some move--  mate in 1  <--every move--  mated in 1  <--some move-- ...
    (checkmate)                 (winner to move)            (loser to move)

A set of positions is an array of words (see `space`); "some move of this side leads into the
set" is one function (`unmoving.Unmover.some`), and "every move leads into S" is "there is a move,
and none leads outside S". Captures and promotions need no code of their own here: the cells
that they lead to are positions of smaller endings, whose values are filled in beforehand
(`smaller`) and join the loop as seeds when their distance comes up. Only where a space is a slice (see
`space`) there are moves that lead out of it, a pawn's captures: how good they are is known beforehand, too,
and the cells that have one join the loop (a winner's) or leave it (a loser's) at that distance.

Values are signed bytes for the side to move, ordered so that the greater is the better:
127 - m: mates in m moves; 0: a draw; -(127 - m): is mated in m (0: checkmated); 127: the cell
is no position. The longest mate that fits is 126 moves.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations

import chess
import numpy as np

from coachbook.endgame.smaller import IMPOSSIBLE, LookUp, Values, fill_leaving, fill_smaller
from coachbook.endgame.space import ALL, BLACK, ONE, WHITE, Man, Space
from coachbook.endgame.symmetry import Words, packed
from coachbook.endgame.unmoving import Unmover

Told = Callable[[int, int], None]
"""Hears the winner (0: White) whose mates are looked for, and in how many moves."""

LONGEST = 126
_AT_ONCE = 32_768
"""Words that are spread into bytes at once."""
_SPREAD = np.unpackbits(np.arange(256, dtype=np.uint8)[:, None], axis=1, bitorder="little").view(np.uint64)[
    :, 0
]


class Rules:
    """The rules of chess for one space: which cells are positions, checks, mates."""

    def __init__(self, space: Space) -> None:
        self.space = space
        self.unmover = Unmover(space)
        self.attacked = (self._attacked_by(WHITE), self._attacked_by(BLACK))
        self.legal = (self._legal(WHITE), self._legal(BLACK))

    def can_move_and_mated(self, side: int, reach: Words) -> tuple[Words, Words]:
        """Where this side, to move, has a move into `reach`; and where it is checkmated."""
        can_move = self.unmover.some(side, reach)
        return can_move, self.mated(side, can_move)

    def mated(self, side: int, can_move: Words) -> Words:
        """Where this side, to move, is checkmated, if these are the cells in which it has a move."""
        return self.legal[side] & ~can_move & self.attacked[1 - side]

    def _attacked_by(self, side: int) -> Words:
        """The cells in which a man of this side attacks the other king: he could move onto him."""
        found = self.space.empty()
        for man in self.space.men_of(side):
            if man.is_pawn:
                found |= self._attacked_by_pawn(man)
            else:
                self.unmover.join_man(found, man, self._on_enemy_king(man))
        return found

    def _attacked_by_pawn(self, pawn: Man) -> Words:
        space, colour = self.space, pawn.side == WHITE
        attacks = np.array(
            [chess.BB_PAWN_ATTACKS[colour][square] for square in pawn.squares], dtype=np.uint64
        )
        attacked = space.along(pawn.axis, attacks)
        return attacked if colour else (attacked >> space.along(0, space.kings.astype(np.uint64)) & ONE) * ALL

    def _on_enemy_king(self, man: Man) -> Words:
        space, squares = self.space, man.squares
        if man.side == WHITE:
            on_king = space.along(man.axis, ONE << squares.astype(np.uint64))
        else:
            on_king = (space.along(man.axis, squares) == space.along(0, space.kings)) * ALL
        return np.broadcast_to(on_king, space.shape)

    def _legal(self, side: int) -> Words:
        """The cells that are positions with this side to move."""
        space, alone = self.space, self.unmover.alone
        legal = np.broadcast_to(space.kings_apart, space.shape) & ~self.attacked[side]
        for man in space.men:
            legal &= alone[man.axis]
        pawns = [man for man in space.men if man.is_pawn]
        for pawn in pawns:
            pushed, second, third, last = (space.at({pawn.axis: pawn.rank(n)}) for n in (1, 2, 3, 8))
            legal[last] = 0
            if pawn.side == side:
                legal[pushed] = 0
            else:
                legal[pushed] &= alone[pawn.axis][second] & alone[pawn.axis][third]
        for pawn, other in combinations(pawns, 2):  # at most one of them made the last move
            legal[space.at({pawn.axis: pawn.just_pushed, other.axis: other.just_pushed})] = 0
        return legal


def solve(space: Space, look_up: LookUp, tell: Told = lambda _winner, _moves: None) -> Values:
    """The values of a space: its shape with the side to move before it, and the black king (64) last.

    `look_up` gives values of smaller endings; `tell` hears, before each step, whose mates are looked for,
    and in how many moves. Raises OverflowError for a mate that does not fit into a byte.
    """
    rules = Rules(space)
    seeds, leaving = (
        (_Seeds(space, fill(space, WHITE, look_up)), _Seeds(space, fill(space, BLACK, look_up)))
        for fill in (fill_smaller, fill_leaving)
    )
    reach = (rules.legal[WHITE] | seeds[WHITE].cells, rules.legal[BLACK] | seeds[BLACK].cells)
    values = np.zeros((2, *space.shape, 64), dtype=np.int8)
    for side in (WHITE, BLACK):
        _put(values[side], IMPOSSIBLE, ~reach[side])
    for winner in (WHITE, BLACK):
        if space.men_of(winner):
            race = _Race(rules, winner, reach, seeds, leaving)
            for moves, won, lost in race.steps():
                tell(winner, moves)
                put_mates(values[winner], moves, won, wins=True)
                put_mates(values[1 - winner], moves, lost, wins=False)
    return values


@dataclass(frozen=True)
class _Race:
    """All mates that one side, the winner, can give.

    For each side to move: the cells that can be reached, those of smaller endings by their value, and those
    with a move that leaves the slice, by the best value that the other side has then.
    """

    rules: Rules
    winner: int
    reach: tuple[Words, Words]
    seeds: tuple["_Seeds", "_Seeds"]
    leaving: tuple["_Seeds", "_Seeds"]

    def steps(self) -> Iterator[tuple[int, Words, Words]]:
        """For each number of moves: where the winner, to move, mates in so many, and where the loser, to
        move, is mated in so many."""
        winner, loser, some = self.winner, 1 - self.winner, self.rules.unmover.some
        won_seeds, lost_seeds = self.seeds[winner], self.seeds[loser]
        winner_leaves, loser_leaves = self.leaving[winner], self.leaving[loser]
        last = max(won_seeds.longest, lost_seeds.longest, winner_leaves.longest + 1, loser_leaves.longest)

        can_move = some(loser, self.reach[winner]) | loser_leaves.cells
        new_lost = self.rules.mated(loser, can_move)
        lost_seeds.add(-127, new_lost)
        not_won, saved = self.reach[winner].copy(), loser_leaves.cells.copy()
        waiting = self.rules.legal[loser] & can_move
        new_won, moves = self.rules.space.empty(), 0
        yield moves, new_won, new_lost
        while moves < last or new_lost.any():
            moves += 1
            new_won = some(winner, new_lost)
            winner_leaves.add(moves - 128, new_won)
            new_won &= not_won
            new_won &= self.rules.legal[winner]
            won_seeds.add(127 - moves, new_won)
            not_won ^= new_won
            loser_leaves.take(127 - moves, saved)
            still_waiting = some(loser, not_won)
            still_waiting |= saved
            still_waiting &= waiting
            new_lost = waiting ^ still_waiting
            waiting = still_waiting
            lost_seeds.add(moves - 127, new_lost)
            yield moves, new_won, new_lost


class _Seeds:
    """Cells whose values are known beforehand, by value."""

    def __init__(self, space: Space, known: Values | None) -> None:
        self.cells, cells, values = space.empty(), np.empty(0, np.intp), np.empty(0, np.int8)
        if known is not None:
            is_known = known != IMPOSSIBLE
            self.cells, cells = packed(is_known), np.flatnonzero(is_known)
            values = known.reshape(-1)[cells]
        order = np.argsort(values, kind="stable")
        cells, values = cells[order], values[order]
        self._words, self._bits = (cells >> 6).astype(np.uint32), (cells & 63).astype(np.uint8)
        self._starts = np.searchsorted(values, np.arange(-127, 128, dtype=np.int8))
        decided = values[values != 0]
        self.longest = 127 - int(np.abs(decided).min()) if decided.size else 0

    def add(self, value: int, to: Words) -> None:
        """Add the cells with this value (see the head of this file) to a set."""
        self._at(self._with(value), np.bitwise_or, to)

    def take(self, value: int, from_: Words) -> None:
        """Take the cells with this value from a set that has them."""
        self._at(self._with(value), np.bitwise_xor, from_)

    def _with(self, value: int) -> slice:
        return slice(self._starts[value + 127], self._starts[value + 128])

    def _at(self, some: slice, how: np.ufunc, cells: Words) -> None:
        how.at(cells.reshape(-1), self._words[some], ONE << self._bits[some].astype(np.uint64))


def put_mates(values: Values, moves: int, cells: Words, *, wins: bool) -> None:
    """Put a mate distance into the values of these cells, which have none so far.

    Raises OverflowError if it does not fit into a byte.
    """
    if cells.any():
        if moves > LONGEST:
            raise OverflowError(f"a mate in {moves} does not fit into a byte")
        _put(values, 127 - moves if wins else moves - 127, cells)


def _put(values: Values, value: int, cells: Words) -> None:
    """The same with any value, where the values are 0."""
    words, eights = cells.reshape(-1), values.reshape(-1).view(np.uint64).reshape(-1, 8)
    for start in range(0, len(words), _AT_ONCE):
        here = words[start : start + _AT_ONCE]
        some = np.flatnonzero(here != 0)
        if some.size:
            eights[start + some] |= spread(here[some]) * np.uint64(value & 0xFF)


def spread(words: Words) -> Words:
    """Each bit of a word as a byte of 0 or 1: shape (..., 8) words of eight bytes."""
    return _SPREAD[words.view(np.uint8)].reshape(*words.shape, 8)
