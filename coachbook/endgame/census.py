"""Counting and mining a whole table: which positions have a property, up to symmetry.

A property is a set of positions (an array of words, see `space`); the sets here are computed
for all positions at once. This is where worksheets find positions with provably unique answers.
"""

from collections.abc import Callable, Iterator, Sequence
from copy import copy
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise, permutations, product
from typing import Self

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material, material_of
from coachbook.endgame.retrograde import Rules
from coachbook.endgame.smaller import IMPOSSIBLE, PROMOTIONS, Values, promoted
from coachbook.endgame.space import ALL, WHITE, Man, Space
from coachbook.endgame.symmetry import SWAP, Words, packed, symmetric_copies, turned, unpacked
from coachbook.endgame.tables import Tables
from coachbook.endgame.unmoving import ALL_MEN

Condition = Callable[[Values], NDArray[np.bool_]]
"""Whether each value (see `retrograde`) is of the sort that is looked for."""


@dataclass(frozen=True, slots=True)
class Census:
    """Figures of an ending with one side to move, positions counted up to symmetry.

    `longest` is the longest mate in moves that the side to move can give (None: it never
    can), `example` a position (FEN) in which it takes so long.
    """

    positions: int
    won: int
    drawn: int
    lost: int
    longest: int | None
    longest_count: int
    example: str | None


class Survey:
    """The sets of positions of one ending (a canonical material) with one side to move."""

    def __init__(self, material: Material, side: int, tables: Tables) -> None:
        self.side = side
        self.space = Space(material)
        self.values = tables.table(material).values
        self._tables = tables
        self._rules = Rules(self.space)
        self.legal = self._rules.legal[side]

    def of_one(self, board: chess.Board) -> Self:
        """The same survey with this position alone, turned and mirrored; none if it belongs elsewhere.

        The colours must be as in the material's name, and the side to move the survey's.
        """
        alone = copy(self)
        alone.legal = self.space.empty()
        if material_of(board) == self.space.material and board.turn == (self.side == WHITE):
            for copied in symmetric_copies(board):
                for cell in self._cells_of(copied):
                    alone.legal[cell[:-1]] |= np.uint64(1) << np.uint64(cell[-1])
        alone.legal &= self.legal
        return alone

    def only(self, positions: Words) -> Self:
        """The same survey with those of its positions alone that belong to a set, of any shape that
        broadcasts over the space."""
        fewer = copy(self)
        fewer.legal = self.legal & positions
        return fewer

    def where(self, condition: Condition) -> Words:
        """The positions whose value meets a condition."""
        return packed(condition(self.values[self.side])) & self.legal

    def with_some_move(self, into: Condition, movers: str = ALL_MEN) -> Words:
        """The positions with a move, by one of these men, after which the other side's value meets a
        condition."""
        cells, *promotions = self._leading_into(into)
        for others in promotions:
            cells |= others
        return self._rules.unmover.some(self.side, cells, movers) & self.legal

    def with_some_quiet_move(self, into: Condition) -> Words:
        """The positions with such a move that takes nothing and does not promote."""
        quiet = packed(into(self.values[1 - self.side])) & self._rules.legal[1 - self.side]
        return self._rules.unmover.some(self.side, quiet) & self.legal

    def with_promotion(self, letter: str, into: Condition) -> Words:
        """The positions with such a move that makes a pawn this piece."""
        cells = self.space.empty()
        self._put_promotions(cells, letter, into)
        return self._rules.unmover.some(self.side, cells, "P") & self.legal

    def with_one_move(self, into: Condition) -> Words:
        """The positions with exactly one such move."""
        cells, *promotions = self._leading_into(into)
        one, *more = self._rules.unmover.count(self.side, cells, promotions)
        for digit in more:
            one &= ~digit
        return one & self.legal

    def with_one_or_two_moves(self) -> Words:
        """The positions in which this side has one legal move or two."""
        cells, *promotions = self._leading_into(lambda values: values != IMPOSSIBLE)
        one, *more = self._rules.unmover.count(self.side, cells, promotions)
        two = more[0] if more else self.space.empty()
        few = one ^ two
        for digit in more[1:]:
            few &= ~digit
        return few & self.legal

    def with_only_winning_move(self) -> Words:
        """The won positions in which exactly one move keeps the win."""
        return self.where(lambda v: v > 0) & self.with_one_move(lambda v: v < 0)

    def with_only_drawing_move(self) -> Words:
        """The drawn positions in which exactly one move does not lose."""
        return self.where(lambda v: v == 0) & self.with_one_move(lambda v: v <= 0)

    def kept_by(self, movers: str) -> Words:
        """The positions, won or drawn for this side, in which only moves by these men keep that."""
        others = "".join(man for man in ALL_MEN if man not in movers)
        won = self.where(lambda v: v > 0) & ~self.with_some_move(lambda v: v < 0, others)
        drawn = self.where(lambda v: v == 0) & ~self.with_some_move(lambda v: v <= 0, others)
        return won | (drawn & self.with_some_move(lambda v: v <= 0, movers))

    def stalemates(self) -> Words:
        """The positions in which this side is stalemated."""
        return self._stalemates(self.side) & self.legal

    def stalemating(self) -> Words:
        """The positions with a move, no capture or promotion, that stalemates the other side."""
        return self._rules.unmover.some(self.side, self._stalemates(1 - self.side)) & self.legal

    def cells(self, positions: Words, most: int | None = None) -> NDArray[np.intp]:
        """One cell for each class of symmetric positions: shape (n, axes + 1), black king last.

        Identical men are taken in one order only, and of two mirrored cells with the kings on
        the long diagonal only one. Of more than `most` so many are taken, evenly spread.
        """
        found = np.flatnonzero(unpacked(positions & self._distinct))
        if most is not None and len(found) > most:
            found = found[np.arange(most) * len(found) // most]
        return _unravelled(self.space, found)

    def count(self, positions: Words) -> int:
        """How many cells `cells` would give."""
        return int(np.bitwise_count(positions & self._distinct).sum())

    def board(self, cell: NDArray[np.intp]) -> chess.Board:
        """The position of a cell."""
        return _board_of(self.space, self.side, cell)

    def _cells_of(self, board: chess.Board) -> Iterator[tuple[int, ...]]:
        """The cells that stand for a board as it lies: identical men in every order."""
        rows = np.flatnonzero(self.space.kings == board.king(chess.WHITE))
        groups = [
            permutations(board.pieces(_piece(man).piece_type, _piece(man).color))
            for man in {(man.letter, man.side): man for man in self.space.men}.values()
        ]
        for row, squares in product(rows, product(*groups)):
            yield (int(row), *(square for group in squares for square in group), board.king(chess.BLACK) or 0)

    def census(self) -> Census:
        """The figures of this side to move; positions with a pawn to be taken en passant apart."""
        return census_of(self.space, self.side, self.values[self.side], self.legal, self._distinct)

    def _stalemates(self, side: int) -> Words:
        reach = packed(self.values[1 - side] != IMPOSSIBLE)
        can_move, mated = self._rules.can_move_and_mated(side, reach)
        return self._rules.legal[side] & ~can_move & ~mated

    def _leading_into(self, into: Condition) -> list[Words]:
        """The other side's cells that meet a condition, promotions to one piece in each set.

        Besides promotions to the first piece, the first set has all other cells.
        """
        sets = [packed(into(self.values[1 - self.side]))]
        if any(man.is_pawn for man in self.space.men_of(self.side)):
            sets += [self.space.empty() for _ in PROMOTIONS[1:]]
        for cells, letter in zip(sets, PROMOTIONS, strict=False):
            self._put_promotions(cells, letter, into)
        return sets

    def _put_promotions(self, cells: Words, letter: str, into: Condition) -> None:
        """Put those of the other side's cells that meet a condition, a pawn just promoted to this piece, in
        the place of what a set has where a pawn stands on its last rank."""
        for pawn in self.space.men_of(self.side):
            if pawn.is_pawn:
                values = promoted(self.space, pawn, letter, self._tables.look_up)
                cells[self.space.at({pawn.axis: pawn.last_rank})] = packed(into(values))

    @cached_property
    def _distinct(self) -> Words:
        return distinct_cells(self.space)


def census_of(space: Space, side: int, values: Values, legal: Words, distinct: Words) -> Census:
    """The figures of one side to move, from its values and its positions; those with a pawn to be taken en
    passant apart. `distinct`: see `distinct_cells`."""
    plain = legal & distinct
    for man in space.men:
        if man.is_pawn:
            plain[space.at({man.axis: man.just_pushed})] = 0
    chosen, flat = unpacked(plain), values.reshape(-1)
    found = flat[chosen]
    won = found > 0
    slowest = int(found[won].min()) if won.any() else None
    longest = np.flatnonzero(chosen & (flat == slowest)) if slowest is not None else np.empty(0, np.intp)
    example = _board_of(space, side, _unravelled(space, longest[:1])[0]).fen() if len(longest) else None
    return Census(
        positions=len(found),
        won=int(won.sum()),
        drawn=int((found == 0).sum()),
        lost=int((found < 0).sum()),
        longest=None if slowest is None else 127 - slowest,
        longest_count=len(longest),
        example=example,
    )


def joined(figures: Sequence[Census]) -> Census:
    """The figures of all slices of an ending, from those of each."""
    longest = max((each.longest or 0 for each in figures), default=0) or None
    with_longest = [each for each in figures if each.longest == longest] if longest is not None else []
    return Census(
        positions=sum(each.positions for each in figures),
        won=sum(each.won for each in figures),
        drawn=sum(each.drawn for each in figures),
        lost=sum(each.lost for each in figures),
        longest=longest,
        longest_count=sum(each.longest_count for each in with_longest),
        example=with_longest[0].example if with_longest else None,
    )


def distinct_cells(space: Space) -> Words:
    """One cell of each class of symmetric cells, see `Survey.cells`."""
    order = np.arange(64)
    distinct = np.full(space.shape, ALL)
    for first, second in pairwise(space.men):
        if _alike(first, second):
            distinct *= space.along(first.axis, order) < space.along(second.axis, order)
    if not space.material.has_pawns:
        on_diagonal = space.kings % 9 == 0
        distinct[on_diagonal] &= _not_after_its_reflection(space)
    return distinct


def _unravelled(space: Space, cells: NDArray[np.intp]) -> NDArray[np.intp]:
    """Cells by their axes, black king last: shape (n, axes + 1)."""
    return np.stack(np.unravel_index(cells, (*space.shape, 64)), axis=1)


def _board_of(space: Space, side: int, cell: NDArray[np.intp]) -> chess.Board:
    """The position of a cell with this side to move."""
    board = chess.Board(None)
    board.turn = side == WHITE
    board.set_piece_at(int(space.kings[cell[0]]), chess.Piece(chess.KING, chess.WHITE))
    board.set_piece_at(int(cell[-1]), chess.Piece(chess.KING, chess.BLACK))
    for man in space.men:
        index = int(cell[man.axis])
        board.set_piece_at(int(man.squares[index]), _piece(man))
        if man.is_pawn and man.just_pushed.start <= index < man.just_pushed.stop:
            board.ep_square = index + (16 if man.side == WHITE else -16)
    return board


def _not_after_its_reflection(space: Space) -> Words:
    """The cells, in a row with the king on the diagonal, that come before their reflection in it."""
    number = np.arange(64 ** len(space.shape)).reshape([64] * len(space.shape))
    reflected = number[np.ix_(*[turned(SWAP)] * number.ndim)]
    first = reflected
    for order in permutations(range(len(space.men))):
        if all(_alike(space.men[new], space.men[old]) for new, old in enumerate(order)):
            first = np.minimum(first, reflected.transpose(*order, len(order)))
    return packed(number <= first)


def _alike(first: Man, second: Man) -> bool:
    return (first.letter, first.side) == (second.letter, second.side)


def _piece(man: Man) -> chess.Piece:
    return chess.Piece.from_symbol(man.letter if man.side == WHITE else man.letter.lower())
