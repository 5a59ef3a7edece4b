"""Holding a draw move by move: the attacker tries, until nothing new can happen."""

import numpy as np

from coachbook.method.bitboards import RANK
from coachbook.method.border import to_board
from coachbook.method.graph import Graph
from coachbook.method.lines import Line, Turn, first_move, look_at
from coachbook.method.positions import Positions, can_be_taken, is_stalemate
from coachbook.method.rules import Method
from coachbook.method.symmetry import code

TAKEN = "the pawn is taken"
STALEMATE = "stalemate"
REPEATED = "the same position comes back"


def best_try(turn: Turn, own: int, seen: frozenset[int]) -> int | None:
    """The attacker's most troublesome reply (its row) to move `own`; None if he has none.

    He keeps the pawn, makes new positions, pushes if he can, else comes forward; last in UCI order.
    """

    def trouble(row: int) -> tuple[bool, bool, int, int, str]:
        after = turn.after(row)
        keeps, new = not after.see(can_be_taken)[0], name_of(after) not in seen
        pushed, forward = int(RANK[after.piece][0]), int(RANK[after.king][0])
        return keeps, new, pushed, forward, turn.reply(row).uci()

    rows = [int(row) for row in np.flatnonzero(turn.replies.of == own)]
    return max(rows, key=trouble, default=None)


def held_end(after: Positions, seen: frozenset[int]) -> str:
    """How a line that holds the draw ends in the position after a reply; "" if it goes on."""
    if after.see(is_stalemate)[0]:
        return STALEMATE
    return REPEATED if name_of(after) in seen else ""


def held_line(method: Method, graph: Graph, start: Positions) -> Line:
    """The line in which the first tied move (in UCI order) is made and the best try replied."""
    moves: list[str] = []
    before, seen, end = start, frozenset[int](), ""
    while not end:
        seen |= {name_of(before)}
        turn = look_at(method, graph, before)
        own = first_move(turn)
        moves.append(turn.move(own).uci())
        reply = best_try(turn, own, seen)
        if reply is None:
            end = TAKEN if turn.reached[own] else STALEMATE
        else:
            moves.append(turn.reply(reply).uci())
            before = turn.after(reply)
            end = held_end(before, seen)
    return Line(to_board(start, 0, attacker_moves=False).fen(), tuple(moves), end)


def name_of(position: Positions) -> int:
    """A number that names one position in the look it has."""
    return int(code(position)[0])
