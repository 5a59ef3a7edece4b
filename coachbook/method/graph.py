"""Everything that can come up when a method is followed to the letter, and lines through it."""

from collections.abc import Callable
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.method.border import move_of, to_board
from coachbook.method.moves import Aim, Moves, Rows, Side, rows_of
from coachbook.method.positions import RANK, Mask, Positions, can_be_taken, is_stalemate
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import Codes, canonical, code, decode

Progress = Callable[[int, int], None]
"""Told how many positions are done, of how many known so far."""

ENDLESS = -1
_CHUNK = 1 << 14


@dataclass(frozen=True, slots=True, eq=False)
class Graph:
    """The positions (the method's side to move, up to symmetry) that come up from some starts.

    `codes` names them, sorted, shape (n,). `rule` is the number of the rule that decides, -1 for
    none. `length` is the most moves it takes to reach the goal, whichever tied moves are chosen and
    whatever the other side replies; negative where that fails. For a method that aims at a draw it
    is 0 where the draw is sure, else minus the number of moves in which it can be lost. Both of
    shape (n,).
    """

    pieces: str
    codes: Codes
    rule: NDArray[np.int8]
    length: NDArray[np.int16]

    def find(self, codes: Codes) -> Rows:
        """The places of `codes`, all of which must be there. Same shape."""
        return np.searchsorted(self.codes, codes)

    def at(self, place: int) -> Positions:
        """The one position at a place."""
        return decode(self.pieces, self.codes[place : place + 1])


@dataclass(frozen=True, slots=True, eq=False)
class _Followed:
    """One stretch of positions: their rules, their steps to further positions, and the failures."""

    codes: Codes
    rule: NDArray[np.int8]
    step_from: Codes
    step_to: Codes
    failed: Mask


class TooManyPositionsError(Exception):
    """A method leads to more positions than were to be looked at."""


def explore(
    method: Method, pieces: str, starts: Codes, progress: Progress | None = None, most: int | None = None
) -> Graph:
    """The graph of all positions that `method` can reach from `starts`, worked out to the end.

    `starts` are canonical codes of legal positions, the method's side to move. Raises TooManyPositionsError
    as soon as there are more than `most`.
    """
    known = fresh = np.unique(starts)
    parts: list[_Followed] = []
    done = 0
    while len(fresh):
        reached = []
        for start in range(0, len(fresh), _CHUNK):
            stretch = fresh[start : start + _CHUNK]
            parts.append(_follow(method, pieces, stretch))
            reached.append(_not_in(known, parts[-1].step_to))
            done += len(stretch)
            if progress:
                progress(done, len(known))
        fresh = np.unique(np.concatenate(reached))
        known = np.sort(np.concatenate((known, fresh)))
        if most is not None and len(known) > most:
            raise TooManyPositionsError(method.name)
    return _solved(method, pieces, parts)


def _not_in(known: Codes, codes: Codes) -> Codes:
    places = np.minimum(np.searchsorted(known, codes), len(known) - 1)
    new: Codes = codes[known[places] != codes]
    return new


def _follow(method: Method, pieces: str, codes: Codes) -> _Followed:
    positions = decode(pieces, codes)
    choice = choose_all(method, positions)
    moves = choice.moves.take(~choice.moves.after.see(method.goal))
    replies = method.plays.other.moves(moves.after)
    lost = method.plays.has_lost(replies.after)
    failed = choice.rule < 0
    if method.aim is Aim.DRAW:
        failed &= ~positions.see(is_stalemate)
    else:
        failed[moves.of[rows_of(replies, len(moves.of)) == 0]] = True
    failed[moves.of[replies.of[lost]]] = True
    going_on = replies.take(~lost)
    step_from = codes[moves.of[going_on.of]]
    return _Followed(codes, choice.rule, step_from, canonical(going_on.after), failed)


def _solved(method: Method, pieces: str, parts: list[_Followed]) -> Graph:
    codes = np.concatenate([part.codes for part in parts])
    order = np.argsort(codes)
    codes = codes[order]
    step_from = np.searchsorted(codes, np.concatenate([part.step_from for part in parts]))
    step_to = np.searchsorted(codes, np.concatenate([part.step_to for part in parts]))
    failed = np.concatenate([part.failed for part in parts])[order]
    rule = np.concatenate([part.rule for part in parts])[order]
    solve = _moves_to_loss if method.aim is Aim.DRAW else _lengths
    return Graph(pieces, codes, rule, solve(step_from, step_to, failed))


def _lengths(step_from: Rows, step_to: Rows, failed: Mask) -> NDArray[np.int16]:
    """Move by move: a position is won in n once every step from it leads to one won in less.

    What is never reached this way can run on for ever (or fails at once): a least fixpoint.
    """
    length = np.full(len(failed), ENDLESS, dtype=np.int16)
    moves = 0
    while True:
        moves += 1
        open_steps = length[step_to] == ENDLESS
        step_from, step_to = step_from[open_steps], step_to[open_steps]
        waiting = failed.copy()
        waiting[step_from] = True
        won = ~waiting & (length == ENDLESS)
        if not won.any():
            return length
        length[won] = moves


def _moves_to_loss(step_from: Rows, step_to: Rows, failed: Mask) -> NDArray[np.int16]:
    """Move by move backwards from the failures; what they never reach is a sure draw."""
    length = np.where(failed, -1, 0).astype(np.int16)
    moves = 1
    while True:
        moves += 1
        lost = np.zeros(len(failed), dtype=np.bool_)
        lost[step_from[length[step_to] < 0]] = True
        lost &= length == 0
        if not lost.any():
            return length
        length[lost] = -moves


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
