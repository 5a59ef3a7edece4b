from collections.abc import Callable

import chess
import numpy as np
import pytest
from numpy.typing import NDArray

from coachbook.endgame.census import Condition, Survey
from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import Result, judge_moves, keeping_moves, probe
from coachbook.endgame.retrograde import spread
from coachbook.endgame.smaller import IMPOSSIBLE
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.symmetry import Words, symmetry_key
from coachbook.endgame.tables import Tables
from tests.endgame.positions import ALL_IN_FULL

SIDES = (WHITE, BLACK)
both_sides = pytest.mark.parametrize("side", SIDES, ids=["White", "Black"])


def move_counts(survey: Survey, into: Condition) -> NDArray[np.uint8]:
    """How many moves each position has that lead to values which meet a condition: shape (K, 64, ..., 64)."""
    cells, *promotions = survey._leading_into(into)
    total = np.zeros((*survey.space.shape, 8), dtype=np.uint64)
    for power, digit in enumerate(survey._rules.unmover.count(survey.side, cells, promotions)):
        total += spread(digit & survey.legal) << np.uint64(power)
    return total.view(np.uint8).reshape(*survey.space.shape, 64)


def keeping_counts(survey: Survey) -> NDArray[np.uint8]:
    """How many moves keep the result, whether quickly or not, as `move_counts` counts them."""
    values = survey.values[survey.side]
    wins = np.where(values > 0, move_counts(survey, lambda v: v < 0), np.uint8(0))
    draws = np.where(values == 0, move_counts(survey, lambda v: v <= 0), np.uint8(0))
    defences = np.where(values < 0, move_counts(survey, lambda v: v != IMPOSSIBLE), np.uint8(0))
    return wins + draws + defences


def some_cells(survey: Survey, positions: Words, count: int) -> NDArray[np.intp]:
    """By chance, one of each class of symmetric cells: only those taken are looked up, not all millions."""
    chance, words = np.random.default_rng(8), positions & survey._distinct
    filled = np.flatnonzero(words)
    taken = filled[chance.integers(0, len(filled), count if len(filled) else 0)]
    squares = [chance.choice(list(chess.SquareSet(int(word)))) for word in words.reshape(-1)[taken]]
    places = np.stack(np.unravel_index(taken, words.shape), axis=1)
    return np.column_stack([places, np.array(squares, dtype=np.intp)])


def holds_just_where_it_should(
    survey: Survey, found: Words, fact: Callable[[chess.Board], bool], count: int = 6
) -> bool:
    """Whether a set has the positions of which a fact is true, and no others; by samples of both."""
    inside = some_cells(survey, found, count)
    outside = some_cells(survey, survey.legal & ~found, count)
    return all(fact(survey.board(cell)) for cell in inside) and not any(
        fact(survey.board(cell)) for cell in outside
    )


@both_sides
def test_a_survey_of_a_set_has_that_of_each_answer_which_is_in_the_set(side: int, tables: Tables) -> None:
    survey = Survey(parse_material("KPK"), side, tables)
    some = survey.where(lambda values: values % 3 == 0)
    fewer = survey.only(some)
    for answer in (Survey.stalemates, Survey.stalemating, Survey.with_only_winning_move):
        assert np.array_equal(answer(fewer), answer(survey) & some)
    drawn = fewer.where(lambda values: values == 0)
    assert np.array_equal(drawn, survey.where(lambda values: values == 0) & some)


def test_of_many_cells_some_are_taken_evenly(tables: Tables) -> None:
    survey = Survey(parse_material("KRK"), WHITE, tables)
    every = survey.cells(survey.legal)
    assert survey.count(survey.legal) == len(every)
    assert np.array_equal(survey.cells(survey.legal, len(every)), every)
    half = survey.cells(survey.legal, len(every) // 2)
    assert np.array_equal(half, every[np.arange(len(half)) * len(every) // len(half)])


@both_sides
@pytest.mark.parametrize("ending", ALL_IN_FULL)
def test_the_sets_of_a_survey_are_as_found_one_by_one(ending: str, side: int, tables: Tables) -> None:
    survey = Survey(parse_material(ending), side, tables)

    def only(result: Result) -> Callable[[chess.Board], bool]:
        return lambda board: probe(board, tables).result is result and len(keeping_moves(board, tables)) == 1

    def quiet_moves(board: chess.Board) -> list[chess.Move]:
        return [move for move in board.legal_moves if not board.is_capture(move) and not move.promotion]

    def stalemating(board: chess.Board) -> bool:
        return any(leads_to(board, move, chess.Board.is_stalemate) for move in quiet_moves(board))

    def losing(board: chess.Board) -> bool:
        losses = {each.move for each in judge_moves(board, tables) if each.outcome.result is Result.LOSS}
        return any(move in losses for move in quiet_moves(board))

    assert holds_just_where_it_should(survey, survey.with_only_winning_move(), only(Result.WIN))
    assert holds_just_where_it_should(survey, survey.with_only_drawing_move(), only(Result.DRAW))
    assert holds_just_where_it_should(survey, survey.stalemates(), chess.Board.is_stalemate)
    assert holds_just_where_it_should(survey, survey.stalemating(), stalemating)
    few = survey.with_one_or_two_moves()
    assert holds_just_where_it_should(survey, few, lambda board: board.legal_moves.count() in (1, 2))
    lost = survey.with_some_quiet_move(lambda v: v > 0)
    assert holds_just_where_it_should(survey, lost, losing)
    counts = keeping_counts(survey)
    for cell in some_cells(survey, survey.legal, 25):
        board = survey.board(cell)
        assert counts[tuple(cell)] == len(keeping_moves(board, tables)), board.fen()


def test_en_passant_and_promotions_count_as_moves(tables: Tables) -> None:
    survey = Survey(parse_material("KPKP"), WHITE, tables)
    counts = keeping_counts(survey)
    pushed, seventh = np.zeros_like(survey.legal), np.zeros_like(survey.legal)
    for file in range(8):
        for beside in {max(file - 1, 0), min(file + 1, 7)} - {file}:
            pushed[:, 32 + beside, 56 + file] = survey.legal[:, 32 + beside, 56 + file]
    seventh[:, 48:56] = survey.legal[:, 48:56]
    for cells in (pushed, seventh):
        for cell in some_cells(survey, cells, 100):
            board = survey.board(cell)
            assert counts[tuple(cell)] == len(keeping_moves(board, tables)), board.fen()


@both_sides
@pytest.mark.parametrize("ending", ["KPK", "KPPK", "KQKP"])
def test_positions_with_some_move_and_with_one_move_that_draws(
    ending: str, side: int, tables: Tables
) -> None:
    survey = Survey(parse_material(ending), side, tables)

    def drawing(board: chess.Board) -> int:
        return sum(judged.outcome.result is Result.DRAW for judged in judge_moves(board, tables))

    some = survey.with_some_move(lambda v: v == 0)
    assert holds_just_where_it_should(survey, some, lambda board: drawing(board) > 0, count=60)
    one = survey.with_one_move(lambda v: v == 0)
    assert holds_just_where_it_should(survey, one, lambda board: drawing(board) == 1, count=60)
    counts = move_counts(survey, lambda v: v == 0)
    for cell in some_cells(survey, survey.legal, 60):
        assert counts[tuple(cell)] == drawing(survey.board(cell))


def leads_to(board: chess.Board, move: chess.Move, fact: Callable[[chess.Board], bool]) -> bool:
    after = board.copy(stack=False)
    after.push(move)
    return fact(after)


@pytest.mark.full
@both_sides
@pytest.mark.parametrize("ending", ["KRK", "KPK"])
def test_cells_are_one_of_each_class_of_looks(ending: str, side: int, tables: Tables) -> None:
    survey = Survey(parse_material(ending), side, tables)
    plain = survey.legal.copy()
    for man in survey.space.men:
        if man.is_pawn:
            plain[:, man.just_pushed] = 0
    keys = [symmetry_key(survey.board(cell)) for cell in survey.cells(plain)]
    assert len(set(keys)) == len(keys) == survey.census().positions


@pytest.mark.parametrize("ending", ["KRRK", "KNNK", "KRKR", "KBNK"])
def test_cells_of_four_men_are_one_of_each_class_too(ending: str, tables: Tables) -> None:
    # the rare ones, so that the check is quick: mates and stalemates
    survey = Survey(parse_material(ending), BLACK, tables)
    rare = survey.where(lambda v: v == -127) | survey.stalemates()
    keys = [symmetry_key(survey.board(cell)) for cell in survey.cells(rare)]
    assert len(set(keys)) == len(keys)
    everywhere = np.flatnonzero(np.unpackbits(rare.view(np.uint8), bitorder="little"))
    cells = np.stack(np.unravel_index(everywhere, (*survey.space.shape, 64)), axis=1)
    assert {symmetry_key(survey.board(cell)) for cell in cells} == set(keys)


@pytest.mark.parametrize("ending", ["KQK", "KPK", "KRKN", "KQKP"])
def test_a_census_adds_up_and_gives_a_true_example(ending: str, tables: Tables) -> None:
    for side in SIDES:
        census = Survey(parse_material(ending), side, tables).census()
        assert census.won + census.drawn + census.lost == census.positions
        if census.example is None:
            assert (census.longest, census.longest_count, census.won) == (None, 0, 0)
        else:
            outcome = probe(chess.Board(census.example), tables)
            assert (outcome.result, outcome.moves) == (Result.WIN, census.longest)


def test_a_board_of_a_cell_shows_the_en_passant_square(tables: Tables) -> None:
    survey = Survey(parse_material("KPKP"), BLACK, tables)
    cell = np.array([0, chess.E1, chess.D4, chess.H8])
    assert survey.board(cell).fen() == "7k/8/8/8/3pP3/8/8/K7 b - e3 0 1"
