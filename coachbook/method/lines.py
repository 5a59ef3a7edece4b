"""Lines of moves through a graph: a hardest defence and a failure."""

from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.method.bitboards import Mask
from coachbook.method.border import move_of, to_board
from coachbook.method.graph import ENDLESS, Graph
from coachbook.method.moves import Moves, has_taken, lone_king_moves, rows_of
from coachbook.method.positions import Positions
from coachbook.method.rules import Method, choose_all
from coachbook.method.symmetry import canonical, code


@dataclass(frozen=True, slots=True)
class Line:
    """Moves in UCI from a position in FEN (the attacker is White), and in words how they end."""

    fen: str
    moves: tuple[str, ...]
    end: str


@dataclass(frozen=True, slots=True, eq=False)
class Turn:
    """One turn: the position before, the tied moves and their rule's number, and all replies.

    `reached` says for each move whether it reaches the goal; after those there are no replies.
    `lengths` says for each reply how many more moves the method needs: ENDLESS where it fails,
    and where he takes a piece. Shape (replies,).
    """

    before: Positions
    moves: Moves
    rule: int
    reached: Mask
    replies: Moves
    lengths: NDArray[np.int16]

    def move(self, row: int) -> chess.Move:
        return move_of(self.moves, self.before, row, chess.WHITE)

    def reply(self, row: int) -> chess.Move:
        return move_of(self.replies, self.moves.after, row, chess.WHITE)

    def both(self, row: int) -> tuple[str, str]:
        """A reply with the move it answers, in UCI."""
        return self.move(int(self.replies.of[row])).uci(), self.reply(row).uci()

    def after(self, row: int) -> Positions:
        """The one position after a reply."""
        return self.replies.after.take(np.array([row]))


def look_at(method: Method, graph: Graph, before: Positions) -> Turn:
    """What can happen from one position of the graph, in the look it is given in."""
    choice = choose_all(method, before)
    reached = choice.moves.after.see(method.goal)
    replies = lone_king_moves(choice.moves.after)
    replies = replies.take(~reached[replies.of])
    lengths = np.full(len(replies.of), ENDLESS, dtype=np.int16)
    going_on = ~has_taken(replies.after)
    lengths[going_on] = graph.length[graph.find(canonical(replies.after.take(going_on)))]
    return Turn(before, choice.moves, int(choice.rule[0]), reached, replies, lengths)


def longest_line(method: Method, graph: Graph) -> Line:
    """A line of the longest kind among all positions from which the method works."""
    start = graph.at(int(np.argmax(graph.length)))
    moves: list[str] = []
    turn = look_at(method, graph, start)
    while len(turn.lengths):
        row = int(np.argmax(turn.lengths))
        moves += turn.both(row)
        turn = look_at(method, graph, turn.after(row))
    moves.append(turn.move(0).uci())
    return Line(to_board(start, 0).fen(), tuple(moves), "mate")


def failing_line(method: Method, graph: Graph) -> Line:
    """A line in which the method fails. There must be a position from which it does."""
    start = before = graph.at(int(np.argmin(graph.length)))
    moves: list[str] = []
    seen: set[int] = set()
    end = ""
    while not end:
        seen.add(int(code(before)[0]))
        turn = look_at(method, graph, before)
        end, last = _failure(turn)
        moves += last
        if not end:
            row = int(np.argmin(turn.lengths))
            moves += turn.both(row)
            before = turn.after(row)
            end = "the same position comes back" if int(code(before)[0]) in seen else ""
    return Line(to_board(start, 0).fen(), tuple(moves), end)


def _failure(turn: Turn) -> tuple[str, tuple[str, ...]]:
    """How the method fails in this very turn, with its last moves; empty if it doesn't."""
    if turn.rule < 0:
        return "no rule has a move", ()
    stuck = (rows_of(turn.replies, len(turn.moves.of)) == 0) & ~turn.reached
    if stuck.any():
        return "stalemate", (turn.move(int(np.argmax(stuck))).uci(),)
    taken = has_taken(turn.replies.after)
    if taken.any():
        return "he takes a piece", turn.both(int(np.argmax(taken)))
    return "", ()
