"""The scale of difficulty: every kind has its line, and its exercises keep to it."""

from itertools import pairwise

import chess
import pytest

from coachbook.exercises.difficulty import ANCHORS, REACHES
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.model.worksheet import Exercise
from tests.exercises.samples import FIRST_USES, USES, Use, first_use, sample

each_use = pytest.mark.parametrize("use", FIRST_USES, ids=str)


def made_of(kind: str) -> tuple[Exercise, ...]:
    return sample(first_use(kind), 24)


def difficulty(kind: str, fen: str) -> int:
    made = find_kind(kind).draft(chess.Board(fen))
    assert made is not None
    return made.difficulty


def test_every_kind_has_a_line_in_their_order() -> None:
    assert tuple(REACHES) == kind_names()


def test_every_kind_can_be_harder_and_the_line_says_by_what() -> None:
    for reach in REACHES.values():
        assert 1 <= reach.easiest < reach.hardest <= 100
        assert reach.harder


def test_the_anchors_are_spread_evenly_over_the_scale() -> None:
    assert {after - before for before, after in pairwise(ANCHORS)} == {20}
    assert min(ANCHORS) - 1 < 20 > 100 - max(ANCHORS)


@each_use
def test_exercises_lie_within_the_line_of_their_kind(use: Use) -> None:
    reach = REACHES[use.use.kind]
    made = [exercise.difficulty for exercise in sample(use, 24)]
    assert reach.easiest <= min(made)
    assert max(made) <= reach.hardest


@pytest.mark.full
@pytest.mark.parametrize("kind", kind_names())
def test_no_line_is_wider_than_the_exercises_need(kind: str) -> None:
    reach, uses = REACHES[kind], [use for use in USES if use.use.kind == kind]
    easiest, *_, hardest = sorted(
        exercise.difficulty for use in uses for exercise in sample(use, max(4, 24 // len(uses)))
    )
    assert 3 * (hardest - easiest) >= reach.hardest - reach.easiest


def test_a_mate_in_the_corner_is_seen_at_a_glance() -> None:
    assert difficulty("final_position", "7k/6Q1/6K1/8/8/8/8/8 b - - 0 1") == 10


def test_the_more_squares_there_are_around_a_king_the_harder_is_its_end_to_see() -> None:
    edge = difficulty("final_position", "4k3/4Q3/4K3/8/8/8/8/8 b - - 0 1")
    assert edge == 10 + 2 * (5 - 3)


def test_a_stalemate_is_harder_to_tell_than_a_mate_and_a_move_that_is_left_harder_still() -> None:
    stalemate = difficulty("final_position", "7k/5Q2/8/8/8/8/8/K7 b - - 0 1")
    a_move_left = difficulty("final_position", "7k/4Q3/8/8/8/8/8/K7 b - - 0 1")
    only_takes = difficulty("final_position", "7k/6Q1/8/8/8/8/8/K7 b - - 0 1")
    assert 10 < stalemate < a_move_left < only_takes


def test_the_only_check_that_is_mate_is_easier_than_one_among_other_checks() -> None:
    alone = difficulty("every_mate", "8/8/8/8/8/2K2R2/8/2k5 w - - 0 1")
    among = difficulty("every_mate", "k7/8/1K6/8/8/8/8/7Q w - - 0 1")
    assert alone == 20 < among


@pytest.mark.parametrize(("kind", "of_one"), [("every_mate", 20), ("stalemate_moves", 30)])
def test_each_further_move_to_be_found_makes_an_item_harder(kind: str, of_one: int) -> None:
    made = made_of(kind)
    assert {len(exercise.answer.accepted) for exercise in made} > {1}
    for exercise in made:
        assert exercise.difficulty >= of_one + 6 * (len(exercise.answer.accepted) - 1)


def test_moves_that_leave_one_square_and_a_mate_lure_from_a_stalemate() -> None:
    without = difficulty("stalemate_moves", "8/8/8/8/8/8/3KR3/k7 w - - 0 1")
    with_more = difficulty("stalemate_moves", "8/8/8/8/8/1R6/8/k1K5 w - - 0 1")
    assert 30 < without < with_more


def test_a_quiet_move_of_the_king_is_the_hardest_first_move_of_a_mate_in_two() -> None:
    rook = difficulty("mate_in_two", "8/8/8/8/8/8/k1KR4/8 w - - 0 1")
    king = difficulty("mate_in_two", "8/8/8/8/8/2K5/3R4/k7 w - - 0 1")
    assert 60 + 6 < rook < king


def test_a_mate_in_two_is_two_moves_looked_ahead_and_a_mate_in_one_never() -> None:
    assert REACHES["every_mate"].hardest < 70
    found = sorted(exercise.difficulty for exercise in made_of("mate_in_two"))
    assert ANCHORS[70] == "two moves looked ahead"
    assert abs(found[len(found) // 2] - 70) <= 5
