"""Keys are true: every answer is found again by trying all moves and by walking over the board.

None of this uses the tables, the methods, the verifier or the claims.
"""

from collections.abc import Callable

import chess
import pytest

from coachbook.exercises.mark import RIGHT, mark_answer
from coachbook.model.exercise import Exercise
from coachbook.model.slips import Slip
from tests.exercises import naive
from tests.exercises.samples import USES, Use, sample


def _moves(exercise: Exercise) -> set[str]:
    board = chess.Board(exercise.position.fen)
    return {board.parse_san(san).uci() for san in exercise.answer.accepted}


def _all_mates(exercise: Exercise) -> None:
    assert _moves(exercise) == naive.mates(exercise.position.fen)


def _all_stalemates(exercise: Exercise) -> None:
    assert _moves(exercise) == naive.stalemates(exercise.position.fen)


def _the_box(exercise: Exercise) -> None:
    fen = exercise.position.fen
    box = naive.box(fen)
    assert exercise.answer.accepted == (str(len(box)),)
    assert {chess.square_name(square) for square in exercise.solution.marks.shaded} == box
    assert naive.walked(fen) <= box
    if "R" in fen:
        assert naive.walked(fen) == box


ANSWERED: dict[str, Callable[[Exercise], None]] = {
    Slip.NOT_MATE: _all_mates,
    Slip.NOT_STALEMATE: _all_stalemates,
    Slip.WRONG_COUNT: _the_box,
}
"""How to find the answer again, by the slip of a wrong one."""


def _hold(use: Use, count: int) -> None:
    for exercise in sample(use, count):
        assert exercise.answer.wrong in ANSWERED, f"write a naive check for {exercise.kind} here"
        ANSWERED[exercise.answer.wrong](exercise)
        assert mark_answer(exercise, ", ".join(exercise.answer.accepted)) == RIGHT


@pytest.mark.parametrize("use", USES, ids=str)
def test_answers_are_true(use: Use) -> None:
    _hold(use, 25)


@pytest.mark.full
@pytest.mark.parametrize("use", USES, ids=str)
def test_ten_thousand_answers_are_true(use: Use) -> None:
    _hold(use, 10_000 // len(USES) + 1)
