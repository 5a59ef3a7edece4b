"""Solving an ending backwards: the exact mate distance of every position.

The idea. Write down every position in which the loser, to move, is checkmated: he is mated
in 0. Every position from which the winner can move into one of them is a mate in 1. Every
position from which *all* of the loser's moves lead into mates in 1 is "mated in 1". And so
on, until nothing new is found; what is left is a draw. In one picture, time running upwards
and each arrow a step backwards through one move:

    mated in 0  <--some move--  mate in 1  <--every move--  mated in 1  <--some move-- ...
    (checkmate)                 (winner to move)            (loser to move)

A set of positions is an array of words (see `space`); "some move of this side leads into the
set" is one function (`moves.Unmover.some`), and "every move leads into S" is "there is a move,
and none leads outside S". Captures and promotions need no code of their own here: the cells
that they lead to are positions of smaller endings, whose values are filled in beforehand
(`smaller`) and join the loop as seeds when their distance comes up.

Values are signed bytes for the side to move, ordered so that the greater is the better:
127 - m: mates in m moves; 0: a draw; -(127 - m): is mated in m (0: checkmated); 127: the cell
is no position. The longest mate that fits is 126 moves.
"""

from itertools import combinations, product

import numpy as np

from coachbook.endgame.smaller import IMPOSSIBLE, LookUp, Values, fill_smaller
from coachbook.endgame.space import ALL, BLACK, WHITE, Man, Space
from coachbook.endgame.symmetry import Words
from coachbook.endgame.unmoving import Unmover

LONGEST = 126
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
        return can_move, self.legal[side] & ~can_move & self.attacked[1 - side]

    def _attacked_by(self, side: int) -> Words:
        """The cells in which a man of this side attacks the other king: he could move onto him."""
        found = self.space.empty()
        for man in self.space.men_of(side):
            for place, single in self.unmover.unmoves_of(man, self._on_enemy_king(man)):
                view = place(found)
                view |= single
            if man.is_pawn:
                at = self.space.at
                found[at({man.axis: man.just_pushed})] = found[at({man.axis: man.after_double_step})]
        return found

    def _on_enemy_king(self, man: Man) -> Words:
        space, squares = self.space, np.arange(64)
        if man.side == WHITE:
            on_king = space.along(man.axis, np.uint64(1) << squares.astype(np.uint64))
        else:
            on_king = (space.along(man.axis, squares) == space.along(0, space.kings)) * ALL
        cells = np.broadcast_to(on_king, space.shape).copy()
        if man.is_pawn:
            cells[space.at({man.axis: man.just_pushed})] = 0
        return cells

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


def solve(space: Space, look_up: LookUp) -> Values:
    """The values of a whole space: shape (2, K, 64, ..., 64), side to move first, black king last.

    `look_up` gives values of smaller endings.
    """
    rules = Rules(space)
    seeds = (
        _Seeds(space, fill_smaller(space, WHITE, look_up)),
        _Seeds(space, fill_smaller(space, BLACK, look_up)),
    )
    reach = (rules.legal[WHITE] | seeds[WHITE].cells, rules.legal[BLACK] | seeds[BLACK].cells)
    values = np.zeros((2, *space.shape, 64), dtype=np.int8)
    rows = [slice(row, row + 1) for row in range(len(space.kings))]  # one stays in the processor's cache
    for side, row in product((WHITE, BLACK), rows):
        values[side, row] = _bytes_of(spread(~reach[side][row]) * np.uint64(IMPOSSIBLE))
    for winner in (WHITE, BLACK):
        if space.men_of(winner):
            won, lost = _race(rules, winner, reach, seeds)
            for row in rows:
                values[winner, row] += won.values_of(row)
                values[1 - winner, row] -= lost.values_of(row)
    return values


def _race(
    rules: Rules, winner: int, reach: tuple[Words, Words], seeds: tuple["_Seeds", "_Seeds"]
) -> tuple["Distances", "Distances"]:
    """All mates that one side can give: with the winner, and with the loser to move."""
    loser, some = 1 - winner, rules.unmover.some
    won, lost = Distances(rules.space), Distances(rules.space)
    can_move, mated = rules.can_move_and_mated(loser, reach[winner])
    new_lost = mated
    seeds[loser].add(-127, new_lost)
    lost.record(0, new_lost)
    not_won = reach[winner].copy()
    waiting = rules.legal[loser] & can_move
    moves = 0
    while new_lost.any() or moves < max(seeds[loser].longest, seeds[winner].longest):
        moves += 1
        new_won = some(winner, new_lost) if new_lost.any() else rules.space.empty()
        new_won &= not_won
        new_won &= rules.legal[winner]
        seeds[winner].add(127 - moves, new_won)
        new_lost = rules.space.empty()
        if new_won.any():
            won.record(moves, new_won)
            not_won ^= new_won
            still_waiting = some(loser, not_won)
            still_waiting &= waiting
            new_lost = waiting ^ still_waiting
            waiting = still_waiting
        seeds[loser].add(moves - 127, new_lost)
        lost.record(moves, new_lost)
    return won, lost


class Distances:
    """Cells with their mate distance in moves, kept as bit planes until all are known."""

    def __init__(self, space: Space) -> None:
        self.cells = space.empty()
        self._planes = [space.empty() for _ in range(7)]

    def record(self, moves: int, cells: Words) -> None:
        if moves > LONGEST:
            raise OverflowError(f"a mate in {moves} does not fit into a byte")
        self.cells |= cells
        for bit, plane in enumerate(self._planes):
            if moves >> bit & 1:
                plane |= cells

    def values_of(self, row: slice) -> Values:
        """127 - distance for the recorded cells of some rows (squares of the white king), else 0."""
        total = spread(self.cells[row]) * np.uint64(127)
        for bit, plane in enumerate(self._planes):
            if plane[row].any():
                total -= spread(plane[row]) << np.uint64(bit)
        return _bytes_of(total)


class _Seeds:
    """The cells that are positions of smaller endings, by value."""

    def __init__(self, space: Space, filled: Values) -> None:
        flat = filled.reshape(-1)
        cells = np.flatnonzero(flat != IMPOSSIBLE)
        values = flat[cells]
        order = np.argsort(values, kind="stable")
        cells, values = cells[order], values[order]
        self._words, self._bits = cells >> 6, np.uint64(1) << (cells & 63).astype(np.uint64)
        self._starts = np.searchsorted(values, np.arange(-127, 128, dtype=np.int8))
        decided = values[values != 0]
        self.longest = 127 - int(np.abs(decided).min()) if decided.size else 0
        self.cells = space.empty()
        np.bitwise_or.at(self.cells.reshape(-1), self._words, self._bits)

    def add(self, value: int, to: Words) -> None:
        """Add the cells with this value (see the head of this file) to a set."""
        some = slice(self._starts[value + 127], self._starts[value + 128])
        np.bitwise_or.at(to.reshape(-1), self._words[some], self._bits[some])


def spread(words: Words) -> Words:
    """Each bit of a word as a byte of 0 or 1: shape (..., 8) words of eight bytes."""
    return _SPREAD[words.view(np.uint8)].reshape(*words.shape, 8)


def _bytes_of(spread_words: Words) -> Values:
    """Words of eight bytes each as signed bytes: shape (..., 64) from (..., 8)."""
    return spread_words.view(np.int8)
