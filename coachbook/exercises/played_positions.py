"""Positions of an ending that is too large for a survey, as they come up when a method is followed there."""

import random
from collections.abc import Iterator

import chess
import numpy as np

from coachbook.endgame.symmetry import turned_board, turns
from coachbook.method.border import fits, to_board
from coachbook.method.graph import explore, look_at
from coachbook.method.positions import Positions
from coachbook.method.rules import Method
from coachbook.method.starts import canonical, decode


def played(method: Method, pieces: str, chance: random.Random) -> Iterator[chess.Board]:
    """Positions with the method's side to move from games by chance, each rule in turn, as they come; without
    end. Not always of different classes.

    A game begins where the method is proven, and ends where the men are no longer those of the ending.
    `pieces` are all men but the kings, as a method calls its ending.
    """
    starts = method.starts(pieces)
    waiting: list[list[Positions]] = [[] for _ in method.rules]
    while True:
        start = chance.randrange(len(starts))
        for rule, position in _game(method, decode(pieces, starts[start : start + 1]), chance):
            waiting[rule].append(position)
        for positions in waiting:
            if positions:
                board = to_board(positions.pop(chance.randrange(len(positions))), 0)
                yield turned_board(board, chance.choice(turns(board)))


def _game(method: Method, now: Positions, chance: random.Random) -> Iterator[tuple[int, Positions]]:
    """The positions of one game, and the number of the rule that decides in each. One of its tied moves is
    made each time; the other side makes any move, or as often one of those that hold out longest."""
    graph = explore(method, now.pieces, canonical(now))
    while fits(to_board(now, 0), method):
        turn = look_at(method, graph, now)
        yield turn.rule, now
        own = chance.randrange(len(turn.moves.of))
        replies = np.flatnonzero(turn.replies.of == own)
        if not len(replies):
            return
        longest = replies[turn.lengths[replies] == turn.lengths[replies].max()]
        now = turn.after(int(chance.choice(longest if chance.random() < _STUBBORN else replies)))


_STUBBORN = 0.5
