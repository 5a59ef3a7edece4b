"""Everything that can come up when a method is followed to the letter, against every reply."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from coachbook.method.bitboards import Mask
from coachbook.method.moves import Rows, rows_of
from coachbook.method.positions import Positions, is_stalemate
from coachbook.method.rules import Method, choose_all
from coachbook.method.sides import Aim
from coachbook.method.symmetry import Codes, canonical, decode

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


def explore(method: Method, pieces: str, starts: Codes, progress: Progress | None = None) -> Graph:
    """The graph of all positions that `method` can reach from `starts`, worked out to the end.

    `starts` are canonical codes of legal positions, the method's side to move.
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
