"""Keys are true: every answer is found again by trying all moves, by walking over the board, or in the
published tables. None of this uses coachbook's tables, its methods or its verifier.
"""

from typing import get_args

import chess.syzygy
import pytest

from coachbook.exercises.mark import RIGHT, mark_answer
from coachbook.model.claims import Claim
from tests.exercises.samples import FIRST_USES, USES, Use, sample
from tests.exercises.truth import ELSEWHERE, PLAIN, check, check_by_tables


def test_every_claim_is_looked_at() -> None:
    assert set(get_args(Claim)) == {*PLAIN, *ELSEWHERE}


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_answers_are_found_again(use: Use) -> None:
    for exercise in sample(use, 12):
        check(exercise)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_results_agree_with_published_tables(use: Use, tablebase: chess.syzygy.Tablebase) -> None:
    """Source: Syzygy tables in the source distribution of the package `chess`."""
    for exercise in sample(use, 12):
        check_by_tables(exercise, tablebase)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_the_answer_on_the_key_is_marked_right(use: Use) -> None:
    for exercise in sample(use, 12):
        assert mark_answer(exercise, ", ".join(exercise.answer.accepted)) == RIGHT


@pytest.mark.full
@pytest.mark.parametrize("use", USES, ids=str)
def test_ten_thousand_answers_are_true(use: Use, tablebase: chess.syzygy.Tablebase) -> None:
    for exercise in sample(use, 10_000 // len(USES) + 1):
        check(exercise)
        check_by_tables(exercise, tablebase)
        assert mark_answer(exercise, ", ".join(exercise.answer.accepted)) == RIGHT
