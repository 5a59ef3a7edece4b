"""Positions are fresh as long as there are any, the same from the same seed, and counted."""

from dataclasses import replace
from functools import cache
from itertools import permutations

import chess
import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from coachbook.exercises.generate import (
    SupplyExhaustedError,
    derived_seed,
    make_exercises,
    make_items,
    supply,
)
from coachbook.model.syllabus import KindUse
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import FIRST_USES, Use, unit_with
from tests.judges import moves
from tests.judges.turns import CORNER, Men, position_class
from tests.shipped import UNITS

# Counted for this project by two separate programs (no outside authority), White to move, positions
# that differ only by turning or mirroring counted once. The last test here counts them again.
SUPPLIES = {
    ("every_mate", "KQK"): 248,  # 124 with several mates, and as many of the 182 with one
    ("every_mate", "KRK"): 189,
    ("stalemate_moves", "KQK"): 1393,
    ("stalemate_moves", "KRK"): 88,
}
ROOK_STALEMATES = unit_with("stalemate_moves", "KRK")

seeds = st.integers(0, 2**40)
each_use = pytest.mark.parametrize("use", FIRST_USES, ids=str)


@cache
def fit_for_a_sheet() -> int:
    """How many positions with a stalemate by the rook have no more of them than an answer line holds."""
    found = supply("stalemate_moves", "KRK")
    boards = [found.survey.board(cell) for cell in found.cells]
    return sum(len(moves.stalemates(board.fen())) <= 4 for board in boards)


def fens(exercises: tuple[Exercise, ...]) -> set[str]:
    return {exercise.position.fen for exercise in exercises}


@pytest.mark.parametrize(("kind", "ending"), SUPPLIES)
def test_the_supply_is_as_counted(kind: str, ending: str) -> None:
    assert len(supply(kind, ending).cells) == SUPPLIES[kind, ending]


@pytest.mark.parametrize(("kind", "ending"), [pair for pair in SUPPLIES if SUPPLIES[pair] < 400])
def test_no_two_positions_of_a_supply_are_the_same_turned_or_mirrored(kind: str, ending: str) -> None:
    found = supply(kind, ending)
    boards = [found.survey.board(cell) for cell in found.cells]
    assert len({position_class(board.fen()) for board in boards}) == len(boards)


@each_use
@settings(max_examples=2)
@given(seeds, seeds)
def test_the_same_seed_makes_the_same_exercises_another_makes_others(use: Use, seed: int, other: int) -> None:
    made, again, others = (
        make_exercises(use.unit, use.use, 4, each, frozenset()) for each in (seed, seed, other)
    )
    assert made == again
    assert all(exercise.seed == seed for exercise in made)
    assert seed == other or fens(made) != fens(others)


@each_use
@given(st.integers(1, 24), seeds)
@settings(max_examples=2)
def test_a_sheet_rises_and_repeats_nothing(use: Use, count: int, seed: int) -> None:
    made = make_exercises(use.unit, use.use, count, seed, frozenset())
    assert [exercise.difficulty for exercise in made] == sorted(exercise.difficulty for exercise in made)
    assert len({exercise.key for exercise in made}) == len(made) == count


@given(st.integers(1, 24), seeds)
@settings(max_examples=8)
def test_the_items_of_a_unit_are_shared_among_its_kinds(count: int, seed: int) -> None:
    kinds = ("every_mate", "stalemate_moves", "box_size")
    unit = replace(UNITS[0], endings=("KQK", "KRK"), kinds=tuple(KindUse(kind, 1, 100) for kind in kinds))
    items = make_items(unit, count, seed, frozenset())
    assert len(items) == len({position_class(item.position.fen) for item in items}) == count
    shares = [sum(item.kind == kind for item in items) for kind in kinds]
    assert max(shares) - min(shares) <= 1
    fresh = make_items(unit, count, seed, frozenset(item.key for item in items))
    assert {item.key for item in fresh}.isdisjoint(item.key for item in items)


def test_a_student_never_sees_a_position_twice_until_the_supply_ends() -> None:
    use, used, rounds = ROOK_STALEMATES.kinds[0], frozenset[str](), 0
    seen: set[tuple[bool, Men]] = set()
    with pytest.raises(SupplyExhaustedError) as ended:
        while True:
            rounds += 1
            sheet = make_exercises(ROOK_STALEMATES, use, 6, seed=rounds, used=used)
            classes = {position_class(exercise.position.fen) for exercise in sheet}
            assert len(classes) == 6
            assert not classes & seen
            seen |= classes
            used |= {exercise.key for exercise in sheet}
    left = fit_for_a_sheet() % 6
    assert len(seen) == fit_for_a_sheet() - left
    assert f"Only {left} fresh positions are left for stalemate_moves" in ended.value.message
    assert "6 are needed" in ended.value.message
    assert ended.value.hint
    assert len(make_exercises(ROOK_STALEMATES, use, left, seed=0, used=used)) == left


@given(st.lists(st.tuples(st.integers(1, 24), seeds), min_size=6, max_size=10))
@settings(max_examples=5, phases=[Phase.generate])  # each takes a while: not worth shrinking
def test_whatever_sheets_a_student_gets_no_position_comes_twice(sheets: list[tuple[int, int]]) -> None:
    used, seen = frozenset[str](), list[tuple[bool, Men]]()
    for count, seed in sheets:
        try:
            made = make_exercises(ROOK_STALEMATES, ROOK_STALEMATES.kinds[0], count, seed, used)
        except SupplyExhaustedError:
            assert len(seen) + count > fit_for_a_sheet()
            continue
        used |= {exercise.key for exercise in made}
        seen += [position_class(exercise.position.fen) for exercise in made]
    assert len(set(seen)) == len(seen) == len(used)


@each_use
def test_positions_come_in_all_their_looks(use: Use) -> None:
    made = make_exercises(use.unit, use.use, 20, 3, frozenset())
    boards = [chess.Board(exercise.position.fen) for exercise in made]
    kings = [board.king(chess.BLACK) or 0 for board in boards]
    assert {square % 8 < 4 for square in kings} == {True, False}
    assert any(board.pawns for board in boards) or {square < 32 for square in kings} == {True, False}


def test_difficulties_stay_within_what_the_unit_asks_for() -> None:
    unit = unit_with("every_mate", "KQK", easiest=40, hardest=60)
    made = make_exercises(unit, unit.kinds[0], 15, 1, frozenset())
    assert all(40 <= exercise.difficulty <= 60 for exercise in made)


def test_a_range_that_nothing_meets_is_told() -> None:
    unit = unit_with("every_mate", "KRK", easiest=99)
    with pytest.raises(SupplyExhaustedError, match=r"Only 0 fresh positions.*widen the range of difficulty"):
        make_exercises(unit, unit.kinds[0], 1, 1, frozenset())


def test_an_ending_named_twice_repeats_nothing() -> None:
    unit = replace(unit_with("every_mate", "KRK"), endings=("KRK", "krk"))
    made = make_exercises(unit, unit.kinds[0], 150, 1, frozenset())
    assert len({position_class(exercise.position.fen) for exercise in made}) == 150


def test_a_derived_seed_is_the_same_on_every_machine() -> None:
    assert derived_seed(7, "every_mate") == 280678634694953  # as first computed
    assert derived_seed(7, "ab", "c") != derived_seed(7, "a", "bc")


@pytest.mark.long
@pytest.mark.parametrize("piece", ["Q", "R"])
def test_the_supply_is_found_again_by_trying_all_positions(piece: str) -> None:
    found: dict[str, set[tuple[bool, Men]]] = {"one": set(), "several": set(), "stalemate_moves": set()}
    for king, lone, square in permutations(chess.SQUARES, 3):
        if king in CORNER:
            board = chess.Board(None)
            for man, place in (("K", king), ("k", lone), (piece, square)):
                board.set_piece_at(place, chess.Piece.from_symbol(man))
            if board.is_valid():
                fen = board.fen()
                if mates := moves.mates(fen):
                    found["several" if len(mates) > 1 else "one"].add(position_class(fen))
                if moves.stalemates(fen):
                    found["stalemate_moves"].add(position_class(fen))
    one, several, stalemates = map(len, found.values())
    assert SUPPLIES["stalemate_moves", f"K{piece}K"] == stalemates
    assert SUPPLIES["every_mate", f"K{piece}K"] == several + (min(one, several) if several else one)
