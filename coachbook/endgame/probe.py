"""Asking the tables: who wins, in how many moves, and what each move is worth."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum
from functools import cache

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import Material, UnknownEndingError
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.symmetry import king_rows, turned
from coachbook.endgame.table import BLACK_CODE, FROM_DISK, KEY_BASE, NOT_KEPT
from coachbook.endgame.tables import Tables, shared_tables

_BACK_RANKS = chess.BB_BACKRANKS
_FLIP = 56
"""Exclusive or with it reverses the ranks of a square."""


class Result(IntEnum):
    """For the side to move."""

    LOSS = -1
    DRAW = 0
    WIN = 1


@dataclass(frozen=True, slots=True)
class Outcome:
    """The result with best play, for the side to move, and in how many moves the mate comes.

    `moves` is the distance to mate in full moves: 1 for "mates at once", 0 for "is
    checkmated", None for a draw.
    """

    result: Result
    moves: int | None

    @property
    def in_words(self) -> str:
        if self.result is Result.DRAW:
            return "draw"
        if self.moves == 0:
            return "checkmate"
        return f"mates in {self.moves}" if self.result is Result.WIN else f"is mated in {self.moves}"


@dataclass(frozen=True, slots=True)
class JudgedMove:
    """A legal move, with the outcome for the side that makes it (a mating move: WIN in 1)."""

    move: chess.Move
    san: str
    outcome: Outcome


def probe(board: chess.Board, tables: Tables | None = None) -> Outcome:
    """The exact outcome for the side to move. A stalemate is a draw.

    The move clocks are not looked at. Raises UnknownEndingError for an ending that is not
    solved (of five men only those that were built), castling rights or a position that can't arise.
    """
    return _outcome(probe_value(board, tables or shared_tables()))


def probe_value(board: chess.Board, tables: Tables) -> int:
    """The same as a signed byte: see the head of `retrograde`. Written for speed, see `table`."""
    kings, pawns, white = board.kings, board.pawns, board.occupied_co[True]
    own = kings & white
    other = kings ^ own
    if kings.bit_count() != 2 or not own or not other or board.castling_rights or pawns & _BACK_RANKS:
        raise _refusal(board)
    key, squares = 0, []
    men = board.occupied ^ kings
    while men:
        square = men.bit_length() - 1
        bit = 1 << square
        men ^= bit
        if board.queens & bit:
            code = 1
        elif board.rooks & bit:
            code = 2
        elif pawns & bit:
            code = 5
        else:
            code = 3 if board.bishops & bit else 4
        key = key * KEY_BASE + (code if white & bit else code + BLACK_CODE)
        squares.append(square)
    if board.ep_square is not None:
        _mark_double_step(board, board.ep_square, squares)
    values, places, steps, starts, exchanged = tables.readers[key]
    if exchanged:
        own, other = other, own
    index, where = places[own.bit_length() - 1]
    index += starts[board.turn] + where[other.bit_length() - 1]
    for square, step in zip(squares, steps):  # noqa: B905 - to say `strict` costs a tenth of the time
        index += where[square] * step
    value = values[index]
    return value if value < IMPOSSIBLE else _value_on_disk(board, value, tables)


def _value_on_disk(board: chess.Board, value: int, tables: Tables) -> int:
    """The value of a position for which a table gives no plain one, see `table.ByIndex`."""
    is_no_double_step = board.ep_square is not None and board.status() & chess.STATUS_INVALID_EP_SQUARE
    if value == IMPOSSIBLE or is_no_double_step or board.was_into_check():
        raise _cannot_arise(board)
    if value != NOT_KEPT:
        return value - FROM_DISK
    if not any(board.legal_moves):
        return -IMPOSSIBLE if board.is_check() else 0
    return -min(minus for minus, _ in _weighed_moves(board, tables))


def probe_many(material: Material, side: int, squares: NDArray[np.integer], tables: Tables) -> Values:
    """Values of many positions of one ending with one side (0: White) to move.

    `squares` has shape (n, men): white king, men in the order of the material's name, black
    king, all on different squares; a pawn that has just made its double step is given on its
    own first rank. Returns shape (n,), int8; IMPOSSIBLE (127) where there is no such position.
    """
    table, flipped = tables.oriented(material)
    if flipped:
        ours, theirs = len(material.white), len(material.black)
        order = [ours + theirs + 1, *range(ours + 1, ours + theirs + 1), *range(1, ours + 1), 0]
        squares, side = squares[:, order] ^ _FLIP, 1 - side
    rows, turns = _king_arrays(table.material.has_pawns)
    kings = squares[:, 0]
    turned_squares = _turned_array()[turns[kings][:, None], squares[:, 1:]]
    index = rows[kings]
    for column in turned_squares.T:
        index = index * 64 + column
    found: Values = table.values[side].reshape(-1)[index]
    return found


def after_move(board: chess.Board, move: chess.Move) -> chess.Board:
    """The position after a legal move, without the moves before it."""
    after = board.copy(stack=False)
    after.push(move)
    return after


def judge_moves(board: chess.Board, tables: Tables | None = None) -> tuple[JudgedMove, ...]:
    """All legal moves with their outcomes, the best first (then by name)."""
    judged = [(minus, board.san(move), move) for minus, move in _weighed_moves(board, tables)]
    return tuple(
        JudgedMove(move, san, _outcome(-minus)) for minus, san, move in sorted(judged, key=lambda j: j[:2])
    )


def best_moves(board: chess.Board, tables: Tables | None = None) -> tuple[chess.Move, ...]:
    """The moves with the best outcome: fastest mate, longest defence, or all that draw (then by name)."""
    weighed = _weighed_moves(board, tables)
    best = min((minus for minus, _ in weighed), default=0)
    return tuple(sorted((move for minus, move in weighed if minus == best), key=board.san))


def keeping_moves(board: chess.Board, tables: Tables | None = None) -> tuple[chess.Move, ...]:
    """The moves that keep the result, the best first (then by name). One of them: "the only move"."""
    weighed = _weighed_moves(board, tables)
    best = _outcome(-min((minus for minus, _ in weighed), default=0)).result
    keeping = ((minus, board.san(move), move) for minus, move in weighed if _outcome(-minus).result is best)
    return tuple(move for *_, move in sorted(keeping, key=lambda each: each[:2]))


def find_only_move(board: chess.Board, tables: Tables | None = None) -> chess.Move | None:
    """The one move that keeps the result; None where there are several, or no move at all. Stops asking at
    the second."""
    known, keeping = tables or shared_tables(), None
    best = _outcome(probe_value(board, known)).result
    for move in board.legal_moves:
        board.push(move)
        value = probe_value(board, known)
        board.pop()
        if _outcome(value).result + best == 0:
            if keeping is not None:
                return None
            keeping = move
    return keeping


def _weighed_moves(board: chess.Board, tables: Tables | None) -> list[tuple[int, chess.Move]]:
    """All legal moves with the value that each has for its side, sign turned: the best is the least."""
    known, weighed = tables or shared_tables(), []
    for move in board.legal_moves:
        board.push(move)
        value = probe_value(board, known)
        board.pop()
        weighed.append((-(-value - (value < 0)), move))
    return weighed


def shortest_line(board: chess.Board, tables: Tables | None = None) -> Iterator[chess.Move]:
    """Best play of both sides to mate (for equals: the first by name); empty for a draw."""
    board = board.copy(stack=False)
    while (best := best_moves(board, tables)) and probe(board, tables).result is not Result.DRAW:
        yield best[0]
        board.push(best[0])


def _refusal(board: chess.Board) -> UnknownEndingError:
    """Why the tables can't be asked about a board."""
    if board.castling_rights:
        return UnknownEndingError(
            "The tables know no castling.", "Write - for the castling rights in the FEN."
        )
    if board.pawns & chess.BB_BACKRANKS:
        return UnknownEndingError("A pawn stands on the first or last rank.", "Move or promote it.")
    return UnknownEndingError(
        "A position has one white and one black king.", "Put both kings on the board, and no others."
    )


def _mark_double_step(board: chess.Board, behind: int, squares: list[int]) -> None:
    """Give the pawn that has just made its double step the index that says so (see `space`)."""
    rank, step = (5, -8) if board.turn else (2, 8)
    pawns = board.pawns & board.occupied_co[not board.turn]
    if behind // 8 != rank or not pawns & chess.BB_SQUARES[behind + step]:
        raise _cannot_arise(board)
    squares[squares.index(behind + step)] = behind - 2 * step


def _cannot_arise(board: chess.Board) -> UnknownEndingError:
    to_move, other = ("White", "Black") if board.turn else ("Black", "White")
    if board.was_into_check():
        hint = f"It is {to_move}'s move, but {other} is in check."
    else:
        hint = "Check the en passant square."
    return UnknownEndingError(f"'{board.fen(en_passant='fen')}' is not a position that can arise.", hint)


@cache
def _outcome(value: int) -> Outcome:
    if value == 0:
        return Outcome(Result.DRAW, None)
    return Outcome(Result.WIN if value > 0 else Result.LOSS, 127 - abs(value))


@cache
def _king_arrays(has_pawns: bool) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    rows, turns = np.array(king_rows(has_pawns)).T
    return rows, turns


@cache
def _turned_array() -> NDArray[np.intp]:
    return np.array([turned(turn) for turn in range(8)])
