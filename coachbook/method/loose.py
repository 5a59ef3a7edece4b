"""A method followed loosely: by the words on its card alone, against the longest defence.

The follower knows only what the card says, and picks by chance among all moves that this allows. Of the other
side's replies it is always one of those that put the mate off longest, by chance too, and it takes a piece
wherever it can. What goes wrong in such games would go wrong for a child who keeps to the card.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe_many
from coachbook.endgame.space import WHITE
from coachbook.endgame.tables import shared_tables
from coachbook.method.moves import Moves, lone_king_moves
from coachbook.method.positions import Positions, is_stalemate
from coachbook.method.rules import Method, choose_all
from coachbook.method.starts import decode

GAMES = 20_000
MOST_MOVES = 50
"""Laws of Chess 9.3: after 50 moves by each side a draw may be claimed."""

Rows = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class LooseGames:
    """So many `games`, of which so many `reached` the aim within 50 moves, the last after `longest` moves."""

    games: int
    reached: int
    longest: int

    @property
    def in_words(self) -> str:
        """What it means to a coach; of a hundred games, rounded down."""
        of_hundred = self.reached * 100 // self.games
        return (
            f"Followed loosely, by the words of the card alone and with chance for the rest, it mates in"
            f" {of_hundred} of 100 games within {MOST_MOVES} moves, against the longest defence."
        )


def by_its_card(method: Method) -> Method:
    """The method as its card tells it: the same rules, without the preferences that the card leaves out."""
    return replace(method, rules=tuple(replace(rule, prefers=rule.loosely) for rule in method.rules))


def follow_loosely(method: Method, ending: str, games: int = GAMES, seed: int = 1) -> LooseGames:
    """Play so many games of a method that mates, from starts that chance chooses."""
    chance = np.random.default_rng(seed)
    told, reached, longest = by_its_card(method), 0, 0
    positions = decode(ending, chance.choice(method.starts(ending), games))
    for move in range(1, MOST_MOVES + 1):
        after = _one_each(choose_all(told, positions).moves, chance)
        mates = after.see(method.goal)
        if mates.any():
            reached, longest = reached + int(mates.sum()), move
        positions = _longest_defence(after.take(~mates & ~after.see(is_stalemate)), method, chance)
        if not len(positions):
            break
    return LooseGames(games, reached, longest)


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
    return replies.after.take(_first_of_each(replies.of, -_mate_distance(replies.after), chance))


def _mate_distance(positions: Positions) -> NDArray[np.int64]:
    """In how many moves White, to move, mates. Shape (n,)."""
    squares = np.stack((positions.king, *positions.others, positions.lone), axis=1).astype(np.intp)
    values = probe_many(parse_material(f"K{positions.pieces}K"), WHITE, squares, shared_tables())
    return 127 - values.astype(np.int64)
