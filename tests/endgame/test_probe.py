import chess
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.material import Material, UnknownEndingError, parse_material
from coachbook.endgame.probe import (
    Outcome,
    Result,
    best_moves,
    find_only_move,
    judge_moves,
    keeping_moves,
    probe,
    probe_many,
    probe_value,
    shortest_line,
)
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import Tables
from tests.endgame.positions import ENDINGS, arrangements, board_at, is_position, plies, positions

MATE_IN_ONE = "7k/8/6KQ/8/8/8/8/8 b - - 0 1"
STALEMATE = "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1"


@pytest.mark.parametrize(
    ("fen", "outcome", "words"),
    [
        ("k7/8/1K6/8/8/8/8/7R w - - 0 1", Outcome(Result.WIN, 1), "mates in 1"),
        ("k6R/8/1K6/8/8/8/8/8 b - - 0 1", Outcome(Result.LOSS, 0), "checkmate"),
        ("1k5R/8/1K6/8/8/8/8/8 b - - 0 1", Outcome(Result.LOSS, 0), "checkmate"),
        ("k7/8/1K6/8/8/8/7R/8 b - - 0 1", Outcome(Result.LOSS, 1), "is mated in 1"),
        (STALEMATE, Outcome(Result.DRAW, None), "draw"),
        ("8/8/8/4k3/8/8/8/K7 w - - 0 1", Outcome(Result.DRAW, None), "draw"),
        ("8/8/8/5k2/8/8/1Q6/K7 w - - 0 1", Outcome(Result.WIN, 10), "mates in 10"),
    ],
)
def test_an_outcome_is_for_the_side_to_move(fen: str, outcome: Outcome, words: str, tables: Tables) -> None:
    assert probe(chess.Board(fen), tables) == outcome
    assert outcome.in_words == words


@pytest.mark.parametrize(
    ("fen", "message"),
    [
        (chess.STARTING_FEN.replace("KQkq", "-"), "32 men; the tables go up to 5"),
        ("8/8/8/4k3/8/8/8/K1QRB3 w - - 0 1", "KQRBK is not solved yet"),
        ("4k3/8/8/8/8/8/8/4K2R w K - 0 1", "no castling"),
        ("8/8/8/4k3/8/8/8/8 w - - 0 1", "one white and one black king"),
        ("8/8/8/4k3/8/8/8/K6K w - - 0 1", "one white and one black king"),
        ("8/8/8/8/8/8/8/K6K w - - 0 1", "one white and one black king"),
        ("8/8/8/4k3/8/8/8/K6P w - - 0 1", "first or last rank"),
        ("7k/8/8/8/8/8/8/K6R w - - 0 1", "White's move, but Black is in check"),
        ("7k/8/8/8/8/8/8/K6r b - - 0 1", "Black's move, but White is in check"),
        ("8/8/8/8/8/8/kK6/7R w - - 0 1", "White's move, but Black is in check"),
        ("8/8/8/4k3/8/8/8/K3N3 b - e3 0 1", "Check the en passant square"),
        ("8/8/8/4k3/4P3/8/8/K7 b - d3 0 1", "Check the en passant square"),
        ("8/8/8/4k3/4P3/8/8/K7 w - e6 0 1", "Check the en passant square"),
        ("8/8/8/4k3/4N3/8/8/K7 b - e3 0 1", "Check the en passant square"),
        ("8/8/8/8/4P3/4k3/8/K7 b - e3 0 1", "Check the en passant square"),
        ("8/8/8/8/4P3/k7/4B3/K7 b - e3 0 1", "Check the en passant square"),
    ],
)
def test_what_the_tables_do_not_know_is_refused(fen: str, message: str, tables: Tables) -> None:
    with pytest.raises(UnknownEndingError, match=message):
        probe(chess.Board(fen), tables)


@given(st.sampled_from(ENDINGS), st.integers(0, 2**32), st.sampled_from((WHITE, BLACK)), st.booleans())
def test_many_positions_at_once_have_the_values_of_each(
    tables: Tables, ending: str, seed: int, side: int, exchanged: bool
) -> None:
    material = parse_material(ending).flipped if exchanged else parse_material(ending)
    squares = arrangements(material, 30, seed)
    for row, value in zip(squares, probe_many(material, side, squares, tables), strict=True):
        board = board_at(material, side, row)
        assert (value == IMPOSSIBLE) is not is_position(board)
        if value != IMPOSSIBLE:
            assert value == probe_value(board, tables)


def test_a_pawn_on_its_own_first_rank_has_just_made_its_double_step(tables: Tables) -> None:
    # a4 has just been played; Black takes on a3 and draws, though White would win otherwise
    material = Material("P", "P")
    squares = np.array([[chess.B3, chess.A1, chess.B4, chess.H8], [chess.B3, chess.A4, chess.B4, chess.H8]])
    assert chess.Board("7k/8/8/8/Pp6/1K6/8/8 b - a3 0 1") == board_at(material, BLACK, squares[0])
    en_passant, without = probe_many(material, BLACK, squares, tables)
    assert en_passant == probe_value(board_at(material, BLACK, squares[0]), tables)
    assert without == probe_value(board_at(material, BLACK, squares[1]), tables)
    assert without < en_passant


def test_no_position_has_two_pawns_that_have_just_made_their_double_step(tables: Tables) -> None:
    squares = np.array([[chess.H8, chess.A1, chess.C1, chess.E8], [chess.H8, chess.A1, chess.C4, chess.E8]])
    twice, once = probe_many(parse_material("KPPK"), BLACK, squares, tables)
    assert twice == IMPOSSIBLE != once


def test_moves_are_judged_for_the_side_that_makes_them_best_first(tables: Tables) -> None:
    judged = judge_moves(chess.Board("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1"), tables)
    outcomes = {each.san: each.outcome for each in judged}
    assert outcomes["Qg7#"] == Outcome(Result.WIN, 1)
    assert outcomes["Kf7"] == Outcome(Result.WIN, 2)
    assert outcomes["Qg6"] == outcomes["Qg8+"] == Outcome(Result.DRAW, None)
    assert len(judged) == chess.Board("7k/8/5K2/8/8/8/8/6Q1 w - - 0 1").legal_moves.count()
    ranks = [(-each.outcome.result, each.outcome.moves or 0, each.san) for each in judged]
    assert ranks == sorted(ranks)


def test_the_longest_defence_comes_first_for_the_side_that_loses(tables: Tables) -> None:
    judged = judge_moves(chess.Board("8/8/8/8/3k4/8/8/KQ6 b - - 0 1"), tables)
    moves = [each.outcome.moves or 0 for each in judged]
    assert {each.outcome.result for each in judged} == {Result.LOSS}
    assert moves == sorted(moves, reverse=True)


def test_best_moves_are_the_quickest_and_keeping_moves_keep_the_result(tables: Tables) -> None:
    # with the king on e6 in front of its pawn, every king move to the side of it wins, the pawn's does not
    board = chess.Board("4k3/8/4K3/4P3/8/8/8/8 w - - 0 1")
    keeping = {board.san(move) for move in keeping_moves(board, tables)}
    best = {board.san(move) for move in best_moves(board, tables)}
    assert keeping == {"Kd6", "Kf6"}
    assert best <= keeping


@given(st.sampled_from(ENDINGS), st.integers(0, 2**32))
def test_best_moves_keep_the_result_and_the_distance(tables: Tables, ending: str, seed: int) -> None:
    board = next(positions(parse_material(ending), 1, seed))
    outcome, judged = probe(board, tables), judge_moves(board, tables)
    best, keeping = best_moves(board, tables), keeping_moves(board, tables)
    assert set(best) <= set(keeping) <= {each.move for each in judged}
    assert bool(best) is any(board.legal_moves)
    for each in judged:
        assert (each.move in best) is (each.outcome == outcome)
        assert (each.move in keeping) is (each.outcome.result == outcome.result)


@given(st.sampled_from(ENDINGS), st.integers(0, 2**32))
def test_the_shortest_line_ends_in_mate_after_just_so_many_moves(
    tables: Tables, ending: str, seed: int
) -> None:
    board = next(positions(parse_material(ending), 1, seed))
    outcome, line = probe(board, tables), list(shortest_line(board, tables))
    assert len(line) == abs(plies(outcome))
    for move in line:
        assert board.is_legal(move)
        board.push(move)
    assert board.is_checkmate() is (outcome.moves is not None)


def test_where_the_game_is_over_there_is_no_move_and_no_line(tables: Tables) -> None:
    for fen in (STALEMATE, "k6R/8/1K6/8/8/8/8/8 b - - 0 1"):
        board = chess.Board(fen)
        assert judge_moves(board, tables) == ()
        assert best_moves(board, tables) == keeping_moves(board, tables) == ()
        assert list(shortest_line(board, tables)) == []


def test_without_tables_the_shared_ones_are_asked() -> None:
    board = chess.Board("k7/8/1K6/8/8/8/8/7R w - - 0 1")
    assert probe(board) == Outcome(Result.WIN, 1)
    assert [board.san(move) for move in shortest_line(board)] == ["Rh8#"]


@pytest.mark.parametrize("ending", ["KPK", "KRKP"])
def test_the_only_move_is_the_one_that_keeps_the_result(ending: str, tables: Tables) -> None:
    found = 0
    for board in positions(parse_material(ending), 200, seed=5):
        keeping = keeping_moves(board, tables)
        only = keeping[0] if len(keeping) == 1 else None
        assert find_only_move(board, tables) == only
        found += only is not None
    assert 0 < found < 200
