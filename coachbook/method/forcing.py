"""What the attacker can force in a whole ending, with every position in sight at once.

A *set* here is an array of words, one cell for each position (see `endgame.space`), with the attacker
(White) to move. "Forced" means against every defence, without ever losing the win.
"""

import chess
import numpy as np

from coachbook.endgame.census import Survey
from coachbook.endgame.material import Material
from coachbook.endgame.retrograde import Rules
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.symmetry import Words, king_rows, turned
from coachbook.endgame.tables import Tables
from coachbook.method.bitboards import Mask
from coachbook.method.border import attacker
from coachbook.method.positions import Feature, Positions

NEVER = -1
"""In place of a number of moves: it can't be forced."""

_FLIP = 56
"""Exclusive or with it reverses the ranks of a square."""


class Forcing:
    """One ending of king and pieces against a lone king; `pieces` as in "BN"."""

    def __init__(self, pieces: str, tables: Tables) -> None:
        self._survey = Survey(Material(pieces, ""), WHITE, tables)
        self.space = self._survey.space
        self._values = self._survey.values
        self._rules = Rules(self.space)
        self.won: Words = self._survey.where(lambda v: v > 0)
        self._reach = _packed(self._values[WHITE] != IMPOSSIBLE)
        can_move, self._mated = self._rules.can_move_and_mated(BLACK, self._reach)
        self._can_move = can_move & self._rules.legal[BLACK]
        self._cells = np.flatnonzero(unpacked(self.won))
        self._positions = self._all_won(pieces)
        self._kinds = [chess.Piece.from_symbol(letter).piece_type for letter in dict.fromkeys(pieces)]

    def where(self, feature: Feature[Mask]) -> Words:
        """The won positions in which something is to be seen."""
        found = np.zeros((*self.space.shape, 64), dtype=np.bool_)
        found.reshape(-1)[self._cells] = self._positions.see(feature)
        return _packed(found)

    def moves_needed(self, goal: Words, within: Words) -> Values:
        """In how many moves the goal, or mate, can be forced: shape (K, 64, ..., 64), int8.

        The attacker is never to move outside `within` before the goal is reached. 0 in the goal,
        NEVER where it can't be forced. The count is of the attacker's moves.
        """
        reached, count = goal, 0
        moves = np.where(unpacked(goal), np.int8(0), np.int8(NEVER))
        while True:
            more = self._one_move_before(reached) & within & ~reached
            if not more.any():
                return moves.reshape(*self.space.shape, 64)
            count += 1
            moves[unpacked(more)] = count
            reached = reached | more

    def for_good(self, kept: Words) -> Words:
        """The positions from which mate can be forced without being to move outside `kept` before."""
        return _packed(self.moves_needed(self.space.empty(), kept) != NEVER)

    def up_to_symmetry(self, positions: Words) -> Mask:
        """One cell for each class of symmetric positions of a set, in one row."""
        cells = self._survey.cells(positions)
        found = np.zeros((*self.space.shape, 64), dtype=np.bool_)
        found[tuple(cells.T)] = True
        return found.reshape(-1)

    def mate_distances(self, cells: Mask) -> Values:
        """The mate distances in moves of won positions (a row of cells as from `up_to_symmetry`)."""
        distances: Values = 127 - self._values[WHITE].reshape(-1)[cells]
        return distances

    def cell(self, board: chess.Board) -> tuple[int, ...]:
        """Where a board lies in arrays of shape (K, 64, ..., 64); whose move it is, is not looked at."""
        white = attacker(board)
        flip = 0 if white else _FLIP
        king, lone = (chess.lsb(board.kings & board.occupied_co[side]) for side in (white, not white))
        row, turn = king_rows(False)[king ^ flip]
        men = [square for kind in self._kinds for square in board.pieces(kind, white)]
        return (row, *(turned(turn)[square ^ flip] for square in (*men, lone)))

    def _one_move_before(self, reached: Words) -> Words:
        """Where some move mates, or leads to positions in which every reply leads into the set."""
        escapes = self._rules.unmover.some(BLACK, self._reach & ~reached)
        forced = (self._mated | (self._can_move & ~escapes)) & self._rules.legal[BLACK]
        return self._rules.unmover.some(WHITE, forced) & self.won

    def _all_won(self, pieces: str) -> Positions:
        row, *others, lone = np.unravel_index(self._cells, (*self.space.shape, 64))
        men = (self.space.kings[row], lone, *others)
        return Positions(pieces, [column.astype(np.int8) for column in men])


def _packed(cells: Mask) -> Words:
    return np.packbits(cells, axis=-1, bitorder="little").view(np.uint64)[..., 0]


def unpacked(positions: Words) -> Mask:
    """All cells of a set in one row: shape (cells,)."""
    return np.unpackbits(positions.view(np.uint8), bitorder="little").view(np.bool_)
