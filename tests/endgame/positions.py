"""Positions for the endgame tests: by chance, and all there are."""

from collections.abc import Iterator
from itertools import islice, product

import chess
import numpy as np
import pytest
from numpy.typing import NDArray

from coachbook.endgame.material import Material, parse_material
from coachbook.endgame.probe import Outcome, Result
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import all_materials

Squares = NDArray[np.intp]
"""Shape (n, men): white king, men in the order of the material's name, black king."""

ENDINGS = [material.name for material in all_materials()]
OF_THREE_MEN = [name for name in ENDINGS if parse_material(name).men == 3]
SAMPLE_OF_ENDINGS = ["KQK", "KPK", "KRRK", "KNPK", "KRKN", "KPPK", "KQKP", "KPKP"]
OF_FOUR_MEN = [name for name in ENDINGS if parse_material(name).men == 4]
ALL_IN_FULL = [
    name if name in SAMPLE_OF_ENDINGS else pytest.param(name, marks=pytest.mark.full) for name in ENDINGS
]
"""All endings as parameters; the everyday run takes the sample."""
_NOT_BY_PIECES = ~(chess.STATUS_TOO_MANY_CHECKERS | chess.STATUS_IMPOSSIBLE_CHECK)


def letters_of(material: Material) -> str:
    """The men as letters of a FEN, in the order of the columns of `Squares`."""
    return f"K{material.white}{material.black.lower()}k"


def board_at(material: Material, side: int, squares: Squares) -> chess.Board:
    """One row of `Squares` as a board; a pawn on its own first rank has just made its double step."""
    board = chess.Board(None)
    board.turn = side == WHITE
    for letter, square in zip(letters_of(material), map(int, squares), strict=True):
        if letter == "P" and square < 8:
            board.ep_square, square = square + 16, square + 24
        elif letter == "p" and square >= 56:
            board.ep_square, square = square - 16, square - 24
        board.set_piece_at(square, chess.Piece.from_symbol(letter))
    return board


def is_position(board: chess.Board) -> bool:
    """Valid, as the `chess` package says; but checks that no last move explains are let pass."""
    return not board.status() & _NOT_BY_PIECES


def arrangements(material: Material, count: int, seed: int) -> Squares:
    """Men on different squares, pawns not on the first and last ranks, by chance."""
    letters = np.array(list(letters_of(material)))
    chance = np.random.default_rng(seed)
    columns = [
        chance.integers(8, 56, 4 * count) if p in "Pp" else chance.integers(0, 64, 4 * count) for p in letters
    ]
    return all_different(np.stack(columns, axis=1))[:count]


def all_arrangements(material: Material) -> Squares:
    """Men on different squares, pawns not on the first and last ranks: all there are."""
    ranges = [np.arange(8, 56) if p in "Pp" else np.arange(64) for p in letters_of(material)]
    return all_different(np.stack([axis.ravel() for axis in np.meshgrid(*ranges, indexing="ij")], axis=1))


def all_different(squares: Squares) -> Squares:
    in_order = np.sort(squares, axis=1)
    different: Squares = squares[(in_order[:, 1:] != in_order[:, :-1]).all(axis=1)]
    return different


def positions(material: Material, count: int, seed: int) -> Iterator[chess.Board]:
    """This many positions by chance; every other one with the colours exchanged."""
    left, chance = count, seed
    while left:
        chance += 1
        for number, squares in enumerate(arrangements(material, count, chance)):
            board = board_at(material, (number // 2) % 2, squares)
            if left and is_position(board):
                left -= 1
                yield board.mirror() if number % 2 else board


def en_passant_positions(every: int = 1) -> Iterator[chess.Board]:
    """All positions of king and pawn against king and pawn with a capture en passant, safe or not;
    or those in every so many arrangements."""
    material = parse_material("KPKP")
    beside = [(file, other) for file in range(8) for other in (file - 1, file + 1) if 0 <= other < 8]
    for white_king, black_king, (file, other) in islice(
        product(range(64), range(64), beside), 0, None, every
    ):
        for side, pawns in ((WHITE, (32 + other, 56 + file)), (BLACK, (file, 24 + other))):
            board = board_at(material, side, np.array([white_king, *pawns, black_king]))
            if chess.popcount(board.occupied) == 4 and is_position(board):
                yield board


def plies(outcome: Outcome) -> int:
    """Half-moves to mate, negative when the side to move is mated; 0 for a draw or a mate."""
    if outcome.moves is None:
        return 0
    return 2 * outcome.moves - 1 if outcome.result is Result.WIN else -2 * outcome.moves
