"""Checked against a second solver, as naive as can be: legal moves by the `chess` package, positions
in a dictionary, and passes through all of them until nothing new is found."""

from itertools import product

import chess
import pytest

from coachbook.endgame.probe import probe
from coachbook.endgame.tables import Tables
from tests.endgame.positions import plies
from tests.judges.turns import CORNER, TURNS

Key = tuple[int, ...]
"""Whether White is to move, then the squares of white king, piece, black king; of the eight
looks of a position, the least. Empty: the piece is lost, a draw."""


def least(turn: bool, men: list[int]) -> Key:
    return min((turn, *(look[square] for square in men)) for look in TURNS)


def following(board: chess.Board, men: list[int]) -> list[Key]:
    keys: list[Key] = []
    for move in board.legal_moves:
        if move.to_square == men[1]:
            keys.append(())
        else:
            after = [move.to_square if square == move.from_square else square for square in men]
            keys.append(least(not board.turn, after))
    return keys


def all_positions(piece: chess.Piece) -> dict[Key, tuple[chess.Board, list[Key]]]:
    found = {}
    for king, square, lone_king, turn in product(CORNER, range(64), range(64), chess.COLORS):
        men = [king, square, lone_king]
        if len(set(men)) == 3 and (key := least(turn, men)) not in found:
            board = chess.Board(None)
            board.turn = turn
            board.set_piece_at(king, chess.Piece(chess.KING, chess.WHITE))
            board.set_piece_at(square, piece)
            board.set_piece_at(lone_king, chess.Piece(chess.KING, chess.BLACK))
            if board.is_valid():
                found[key] = board, following(board, men)
    return found


def solve(found: dict[Key, tuple[chess.Board, list[Key]]]) -> dict[Key, int]:
    """Plies to mate; odd with White to move, even with Black. Not there: a draw."""
    plies = 0
    distance = {key: 0 for key, (board, _) in found.items() if board.is_checkmate()}
    while plies in distance.values():
        plies += 1
        for key, (_, after) in found.items():
            if key not in distance and key[0] == plies % 2:
                decided = [distance[next_key] for next_key in after if next_key in distance]
                if decided if plies % 2 else after and len(decided) == len(after):
                    distance[key] = plies
    return distance


@pytest.mark.full
@pytest.mark.parametrize("letter", ["Q", "R"])
def test_a_naive_solver_finds_the_same(letter: str, tables: Tables) -> None:
    found = all_positions(chess.Piece.from_symbol(letter))
    distance = solve(found)
    for key, (board, _) in found.items():
        outcome = probe(board, tables)
        if key in distance:
            assert plies(outcome) == (distance[key] if board.turn else -distance[key]), board.fen()
            assert outcome.moves == (distance[key] + 1) // 2, board.fen()
        else:
            assert outcome.moves is None, board.fen()
    assert len(found) > 40_000
