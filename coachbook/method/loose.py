"""A method followed loosely: by the words on its card alone, against the longest defence.

The follower knows only what the card says, and picks by chance among all moves that this allows. Of the
other side's replies it is always one of those that put the mate off longest, by chance too, and it takes a
piece wherever it can; against a king that holds a draw it is any that wins, else one that keeps the pawn. A
side that has a rook replies by chance, because the tables for it are seldom there. What goes wrong in such
games would go wrong for a child who keeps to the card.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.space import BLACK, WHITE
from coachbook.method.moves import Aim, Moves, attacker_moves, lone_king_moves
from coachbook.method.positions import RANK, Positions, can_be_taken, is_stalemate
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import decode, table_values

GAMES = 20_000
MOST_MOVES = 50
"""Laws of Chess 9.3: after 50 moves by each side a draw may be claimed."""

Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class LooseGames:
    """So many `games`, of which so many `reached` the aim within 50 moves, the last after `longest` moves (0
    where a draw is held)."""

    games: int
    reached: int
    longest: int

    def in_words(self, aim: Aim) -> str:
        """What it means to a coach; of a hundred games, rounded down."""
        of_hundred = self.reached * 100 // self.games
        told = "Followed loosely, by the words of the card alone and with chance for the rest, it"
        if aim is Aim.DRAW:
            held = f"{told} holds {of_hundred} of 100 games for {MOST_MOVES} moves"
            return f"{held}, though each slip is punished."
        does = _DOES[aim]
        defence = "replies by chance" if aim is Aim.QUEEN_OR_ROOK else "the longest defence"
        return f"{told} {does} in {of_hundred} of 100 games within {MOST_MOVES} moves, against {defence}."


_DOES = {
    Aim.MATE: "mates",
    Aim.QUEEN: "makes a safe queen",
    Aim.QUEEN_OR_ROOK: "makes a safe queen, or wins a rook,",
}


def by_its_card(method: Method) -> Method:
    """The method as its card tells it: the same rules, without the preferences that the card leaves out."""
    return replace(method, rules=tuple(replace(rule, prefers=rule.loosely) for rule in method.rules))


def follow_loosely(method: Method, ending: str, games: int = GAMES, seed: int = 1) -> LooseGames:
    """Play so many games of a method from starts that chance chooses."""
    chance = np.random.default_rng(seed)
    positions = decode(ending, chance.choice(method.starts(ending), games))
    if method.aim is Aim.DRAW:
        return _hold(by_its_card(method), positions, chance)
    return _reach(by_its_card(method), positions, chance)


def _reach(told: Method, positions: Positions, chance: np.random.Generator) -> LooseGames:
    games, reached, longest = len(positions), 0, 0
    for move in range(1, MOST_MOVES + 1):
        after = _one_each(choose_all(told, positions).moves, chance)
        there = after.see(told.goal)
        if there.any():
            reached, longest = reached + int(there.sum()), move
        positions = _defended(after.take(~there), told, chance)
        if not len(positions):
            break
    return LooseGames(games, reached, longest)


def _defended(positions: Positions, told: Method, chance: np.random.Generator) -> Positions:
    """After his replies; without the games that are a draw, or in which a piece is lost."""
    if not positions.has_his_rook:
        return _longest_defence(positions.take(~positions.see(is_stalemate)), told, chance)
    replied = _one_each(told.plays.other.moves(positions), chance)
    return replied.take(~told.plays.has_lost(replied))


def _hold(told: Method, positions: Positions, chance: np.random.Generator) -> LooseGames:
    """The draw is held where the pawn is taken, no move is left, or 50 moves were made without losing it."""
    games, lost = len(positions), 0
    for _ in range(MOST_MOVES):
        after = _one_each(choose_all(told, positions).moves, chance)
        positions, gone = _best_try(after.take(~after.see(told.goal)), told, chance)
        lost += gone
        if not len(positions):
            break
    return LooseGames(games, games - lost, 0)


def _best_try(positions: Positions, told: Method, chance: np.random.Generator) -> tuple[Positions, int]:
    """After a move that wins, or else one by chance that leaves the pawn on the board; without the games that
    are decided so, and how many of them are lost."""
    tries = attacker_moves(positions)
    promoted = RANK[tries.after.piece] == RANK.max()
    wins = told.plays.has_lost(tries.after)
    wins[~promoted] = table_values(tries.after.take(~promoted), BLACK) < 0
    bad = ~wins & (promoted | tries.after.see(can_be_taken))
    chosen = _first_of_each(tries.of, 1 - wins.astype(np.int8) + bad, chance)
    going_on = ~wins[chosen] & ~promoted[chosen]
    return tries.after.take(chosen[going_on]), int(wins[chosen].sum())


def _one_each(moves: Moves, chance: np.random.Generator) -> Positions:
    """After one of the moves of each position that has any, by chance."""
    return moves.after.take(_first_of_each(moves.of, np.zeros(len(moves.of)), chance))


def _first_of_each(of: NDArray[np.int64], key: NDArray[np.number], chance: np.random.Generator) -> Rows:
    """For each position a row with the smallest key, by chance among equals."""
    order = np.lexsort((chance.random(len(of)), key, of))
    is_first = np.r_[True, np.diff(of[order]) > 0] if len(of) else np.zeros(0, dtype=np.bool_)
    return order[is_first]


def _longest_defence(positions: Positions, method: Method, chance: np.random.Generator) -> Positions:
    """After a reply that puts the mate off longest; without the games in which a piece is lost."""
    replies = lone_king_moves(positions)
    lost = np.bincount(replies.of[method.plays.has_lost(replies.after)], minlength=len(positions)) > 0
    replies = replies.take(~lost[replies.of])
    return replies.after.take(_first_of_each(replies.of, table_values(replies.after, WHITE), chance))
