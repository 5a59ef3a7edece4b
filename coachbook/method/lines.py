"""Lines of moves through a graph: a hardest defence, a draw held, a failure."""

from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.method.bitboards import Mask
from coachbook.method.border import move_of, to_board
from coachbook.method.graph import Graph
from coachbook.method.moves import Moves, Rows, rows_of
from coachbook.method.positions import Positions
from coachbook.method.rules import Method, choose_all
from coachbook.method.sides import Side
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
    `lengths` says for each reply what Graph.length says of the position after it; -1 where it
    wins the other side's game at once (`lost`). Shape (replies,).
    """

    before: Positions
    moves: Moves
    rule: int
    reached: Mask
    replies: Moves
    lost: Mask
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
    replies = method.plays.other.moves(choice.moves.after)
    replies = replies.take(~reached[replies.of])
    lost = method.plays.has_lost(replies.after)
    lengths = np.full(len(replies.of), -1, dtype=np.int16)
    lengths[~lost] = graph.length[graph.find(canonical(replies.after.take(~lost)))]
    return Turn(before, choice.moves, int(choice.rule[0]), reached, replies, lost, lengths)


def first_move(turn: Turn) -> int:
    """Of the tied moves, the row of the first in UCI order."""
    return min(range(len(turn.moves.of)), key=lambda row: turn.move(row).uci())


def longest_line(method: Method, graph: Graph, starts: Rows) -> Line:
    """A line of the longest kind from one of the places `starts`, to the goal."""
    start = graph.at(int(starts[np.argmax(graph.length[starts])]))
    moves: list[str] = []
    turn = look_at(method, graph, start)
    while len(turn.lengths):
        row = int(np.argmax(turn.lengths))
        moves += turn.both(row)
        turn = look_at(method, graph, turn.after(row))
    moves.append(turn.move(0).uci())
    return Line(to_board(start, 0).fen(), tuple(moves), method.aim.value)


def failing_line(method: Method, graph: Graph, starts: Rows) -> Line:
    """A line in which the method fails from one of the places `starts`. There must be such a place."""
    start = before = graph.at(int(starts[np.argmin(graph.length[starts])]))
    moves: list[str] = []
    seen: set[int] = set()
    end = ""
    while not end:
        seen.add(int(code(before)[0]))
        turn = look_at(method, graph, before)
        end, last = _failure(method, turn)
        moves += last
        if not end:
            row = _worst_reply(turn)
            moves += turn.both(row)
            before = turn.after(row)
            end = "the same position comes back" if int(code(before)[0]) in seen else ""
    board = to_board(start, 0, attacker_moves=method.plays is Side.ATTACKER)
    return Line(board.fen(), tuple(moves), end)


def _worst_reply(turn: Turn) -> int:
    """A reply after which the method fails, the soonest if that is known."""
    return int(np.argmax(np.where(turn.lengths < 0, turn.lengths, np.iinfo(np.int16).min)))


def _failure(method: Method, turn: Turn) -> tuple[str, tuple[str, ...]]:
    """How the method fails in this very turn, with its last moves; empty if it doesn't."""
    if turn.rule < 0:
        return "no rule has a move", ()
    stuck = (rows_of(turn.replies, len(turn.moves.of)) == 0) & ~turn.reached
    if method.plays is Side.ATTACKER and stuck.any():
        return "stalemate", (turn.move(int(np.argmax(stuck))).uci(),)
    if turn.lost.any():
        told = "he takes a piece" if method.plays is Side.ATTACKER else "the pawn queens"
        return told, turn.both(int(np.argmax(turn.lost)))
    return "", ()
