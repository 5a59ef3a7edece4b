"""Counting and mining a whole table: which positions have a property, up to symmetry.

A property is a set of positions (an array of words, see `space`); the sets here are computed
for all positions at once. This is where worksheets find positions with provably unique answers.
"""

from collections.abc import Callable
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material
from coachbook.endgame.retrograde import Rules
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.space import WHITE, Man, Space
from coachbook.endgame.symmetry import SWAP, Words, king_squares, turned
from coachbook.endgame.tables import Tables


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
        self._rules = Rules(self.space)
        self.legal = self._rules.legal[side]

    def where(self, condition: Callable[[Values], NDArray[np.bool_]]) -> Words:
        """The positions whose value (see `retrograde`) meets a condition."""
        return self._packed(condition(self.values[self.side])) & self.legal

    def with_some_move(self, into: Callable[[Values], NDArray[np.bool_]]) -> Words:
        """The positions with a move after which the other side's value meets a condition."""
        return (
            self._rules.unmover.some(self.side, self._packed(into(self.values[1 - self.side]))) & self.legal
        )

    def with_one_move(self, into: Callable[[Values], NDArray[np.bool_]]) -> Words:
        """The positions with exactly one such move."""
        one, more = self._rules.unmover.one_and_more(
            self.side, self._packed(into(self.values[1 - self.side]))
        )
        return one & ~more & self.legal

    def with_only_winning_move(self) -> Words:
        """The won positions in which exactly one move keeps the win."""
        return self.where(lambda v: v > 0) & self.with_one_move(lambda v: v < 0)

    def with_only_drawing_move(self) -> Words:
        """The drawn positions in which exactly one move does not lose."""
        return self.where(lambda v: v == 0) & self.with_one_move(lambda v: v <= 0)

    def stalemates(self) -> Words:
        """The positions in which this side is stalemated."""
        return self._stalemated(self.side)

    def stalemating(self) -> Words:
        """The positions with a move that stalemates the other side."""
        return self._rules.unmover.some(self.side, self._stalemated(1 - self.side)) & self.legal

    def cells(self, positions: Words) -> NDArray[np.intp]:
        """One cell for each class of symmetric positions: shape (n, axes + 1), black king last.

        Identical men are taken in one order only, and of two mirrored cells with the kings on
        the long diagonal only one.
        """
        bits = np.unpackbits(positions.view(np.uint8), bitorder="little")
        cells = np.stack(np.unravel_index(np.flatnonzero(bits), (*self.space.shape, 64)), axis=1)
        for first, second in zip(self.space.men, self.space.men[1:], strict=False):
            if (first.letter, first.side) == (second.letter, second.side):
                cells = cells[cells[:, first.axis] < cells[:, second.axis]]
        return cells if self.space.material.has_pawns else self._without_mirrored(cells)

    def board(self, cell: NDArray[np.intp]) -> chess.Board:
        """The position of a cell."""
        board = chess.Board(None)
        board.turn = self.side == WHITE
        board.set_piece_at(int(self.space.kings[cell[0]]), chess.Piece(chess.KING, chess.WHITE))
        board.set_piece_at(int(cell[-1]), chess.Piece(chess.KING, chess.BLACK))
        for man in self.space.men:
            index = int(cell[man.axis])
            board.set_piece_at(int(man.squares[index]), _piece(man))
            if man.is_pawn and man.just_pushed.start <= index < man.just_pushed.stop:
                board.ep_square = index + (16 if man.side == WHITE else -16)
        return board

    def census(self) -> Census:
        """The figures of this side to move; positions with a pawn to be taken en passant apart."""
        cells = self._plain(self.cells(self.legal))
        values = self.values[self.side][tuple(cells.T)]
        won = values > 0
        slowest = int(values[won].min()) if won.any() else None
        longest = np.flatnonzero(values == slowest) if slowest is not None else np.array([], dtype=np.intp)
        return Census(
            positions=len(values),
            won=int(won.sum()),
            drawn=int((values == 0).sum()),
            lost=int((values < 0).sum()),
            longest=None if slowest is None else 127 - slowest,
            longest_count=len(longest),
            example=self.board(cells[longest[0]]).fen() if len(longest) else None,
        )

    def _stalemated(self, side: int) -> Words:
        reach = self._packed(self.values[1 - side] != IMPOSSIBLE)
        can_move, mated = self._rules.can_move_and_mated(side, reach)
        return self._rules.legal[side] & ~can_move & ~mated

    def _plain(self, cells: NDArray[np.intp]) -> NDArray[np.intp]:
        for man in self.space.men:
            if man.is_pawn:
                rows = man.just_pushed
                cells = cells[(cells[:, man.axis] < rows.start) | (cells[:, man.axis] >= rows.stop)]
        return cells

    def _without_mirrored(self, cells: NDArray[np.intp]) -> NDArray[np.intp]:
        """Keep the smaller of two cells that are each other's reflection in the a1-h8 diagonal."""
        on_diagonal = np.array([square % 9 == 0 for square in king_squares(False)])[cells[:, 0]]
        mirrored = np.array(turned(SWAP))[cells[:, 1:]]
        mirrored = self._in_order(mirrored)
        own, other = self._number(cells[:, 1:]), self._number(mirrored)
        return cells[~on_diagonal | (own <= other)]

    def _in_order(self, squares: NDArray[np.intp]) -> NDArray[np.intp]:
        squares = squares.copy()
        for first, second in zip(self.space.men, self.space.men[1:], strict=False):
            if (first.letter, first.side) == (second.letter, second.side):
                pair = squares[:, [first.axis - 1, second.axis - 1]]
                squares[:, [first.axis - 1, second.axis - 1]] = np.sort(pair, axis=1)
        return squares

    def _number(self, squares: NDArray[np.intp]) -> NDArray[np.intp]:
        number = np.zeros(len(squares), dtype=np.intp)
        for column in squares.T:
            number = number * 64 + column
        return number

    def _packed(self, cells: NDArray[np.bool_]) -> Words:
        return np.packbits(cells, axis=-1, bitorder="little").view(np.uint64)[..., 0]


def _piece(man: Man) -> chess.Piece:
    return chess.Piece.from_symbol(man.letter if man.side == WHITE else man.letter.lower())
