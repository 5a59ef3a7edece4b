"""Checked against the rules alone, as the `chess` package knows them."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.endgame.symmetry import looks
from coachbook.endgame.tables import Tables
from tests.endgame.positions import ENDINGS, en_passant_positions, positions
from tests.judges.moves import after_each

boards = st.builds(
    lambda ending, seed: next(positions(parse_material(ending), 1, seed)),
    st.sampled_from(ENDINGS),
    st.integers(0, 2**32),
)


def from_successors(board: chess.Board, tables: Tables) -> Outcome:
    """The outcome that follows from those after each move: the quickest win, else a draw, else the
    longest defence."""
    answers = [probe(after, tables) for after in after_each(board)]
    if not answers:
        return Outcome(Result.LOSS, 0) if board.is_check() else Outcome(Result.DRAW, None)
    losses = [answer.moves for answer in answers if answer.result is Result.LOSS and answer.moves is not None]
    if losses:
        return Outcome(Result.WIN, 1 + min(losses))
    if any(answer.result is Result.DRAW for answer in answers):
        return Outcome(Result.DRAW, None)
    return Outcome(Result.LOSS, max(answer.moves or 0 for answer in answers))


@given(boards)
def test_a_position_is_worth_its_best_successor(tables: Tables, board: chess.Board) -> None:
    assert probe(board, tables) == from_successors(board, tables)


@pytest.mark.parametrize("ending", ENDINGS)
def test_positions_of_every_ending_are_worth_their_best_successor(ending: str, tables: Tables) -> None:
    for board in positions(parse_material(ending), 40, seed=4):
        assert probe(board, tables) == from_successors(board, tables), board.fen()


@pytest.mark.full
@pytest.mark.parametrize("ending", ENDINGS)
def test_many_positions_of_every_ending_are_worth_their_best_successor(ending: str, tables: Tables) -> None:
    for board in positions(parse_material(ending), 1000, seed=5):
        assert probe(board, tables) == from_successors(board, tables), board.fen()


def test_positions_with_en_passant_are_worth_their_best_successor(tables: Tables) -> None:
    for board in en_passant_positions(every=251):
        assert probe(board, tables) == from_successors(board, tables), board.fen()


@given(boards)
def test_a_turned_board_and_exchanged_colours_change_nothing(tables: Tables, board: chess.Board) -> None:
    for look in (*looks(board), *looks(board.mirror())):
        assert probe(look, tables) == probe(board, tables)


def can_mate(board: chess.Board, moves: int) -> bool:
    """Whether the side to move can force mate in so many moves: every line is tried."""
    return moves > 0 and any(is_mated(after, moves - 1) for after in after_each(board))


def is_mated(board: chess.Board, moves: int) -> bool:
    following = after_each(board)
    if not following:
        return board.is_checkmate()
    return moves > 0 and all(can_mate(after, moves) for after in following)


@pytest.mark.parametrize("ending", ["KQK", "KRK", "KQQK", "KQRK", "KRRK", "KQKR", "KQPK", "KQKP"])
def test_mates_in_one_and_two_are_those_that_a_search_finds(ending: str, tables: Tables) -> None:
    for board in positions(parse_material(ending), 12, seed=6):
        outcome = probe(board, tables)
        for moves in (1, 2):
            expected = outcome.result is Result.WIN and outcome.moves is not None and outcome.moves <= moves
            assert can_mate(board, moves) is expected, board.fen()
