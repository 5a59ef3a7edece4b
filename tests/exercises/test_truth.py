"""Keys are true: every answer is found again by trying all moves, by walking over the board, or in the
published tables, and so is what the key shows and says. None of this uses coachbook's tables, its
methods, its verifier or what an exercise says is right.
"""

from dataclasses import fields
from typing import get_args

import chess
import pytest

from coachbook.exercises.generate import exercise_stream, make_exercises
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.exercises.marking import RIGHT, mark_answer
from coachbook.model.claims import Claim
from coachbook.wording.exercises import accepted_words
from tests.exercises.answers import ANSWERS, PRINTED, QUESTIONS, TOLD, question
from tests.exercises.naive_methods import decide
from tests.exercises.samples import USES, Use, sample, unit_with
from tests.exercises.truth import check
from tests.judges import pawn
from tests.judges.published import Published

RULES = {"KQK": 4, "KRK": 6, "KRRK": 2, "KQRK": 2}
"""How many rules a sheet asks for. The third of the two pieces decides in about one position of 10,000."""


def test_every_claim_on_which_an_answer_may_rest_is_answered_anew() -> None:
    tags = {field.default for claim in get_args(Claim) for field in fields(claim) if field.name == "claim"}
    assert tags - {tag for tag, _ in QUESTIONS} == {"mate_in", "reason_is"}
    assert set(QUESTIONS.values()) == {*ANSWERS, *TOLD, *PRINTED} <= set(kind_names())


@pytest.mark.parametrize("kind", [*ANSWERS, *TOLD, *PRINTED])
def test_a_kind_asks_its_own_question(kind: str) -> None:
    use = next(use for use in USES if use.use.kind == kind)
    assert {question(exercise) for exercise in sample(use, 4)} == {kind}


@pytest.mark.parametrize("use", USES, ids=str)
def test_exercises_are_true(use: Use, published: Published) -> None:
    for exercise in sample(use, 4):
        check(exercise, published)
        assert mark_answer(exercise, ", ".join(accepted_words(exercise.answer))) == RIGHT


@pytest.mark.long
@pytest.mark.parametrize("use", USES, ids=str)
def test_ten_thousand_exercises_are_true(use: Use, published: Published) -> None:
    for exercise in sample(use, 10_000 // len(USES) + 1):
        check(exercise, published)
        assert mark_answer(exercise, ", ".join(accepted_words(exercise.answer))) == RIGHT


@pytest.mark.full
@pytest.mark.parametrize("ending", RULES)
def test_every_rule_that_decides_somewhere_is_asked_for(ending: str) -> None:
    unit = unit_with("next_rule", ending)
    made = make_exercises(unit, unit.kinds[0], 60, 4, frozenset())
    decided = [decide(exercise.position.fen)[0] for exercise in made]
    assert len(set(decided)) >= RULES[ending]
    assert max(map(decided.count, decided)) <= 0.7 * len(decided)


@pytest.mark.parametrize("ending", ["KPK", "KPPK", "KQKP", "KRKP"])
def test_the_only_move_never_takes_or_promotes(ending: str) -> None:
    unit = unit_with("only_move", ending)
    for exercise in make_exercises(unit, unit.kinds[0], 20, 5, frozenset()):
        board = chess.Board(exercise.position.fen)
        move = board.parse_san(exercise.answer.accepted[0])
        assert not board.is_capture(move)
        assert not move.promotion


def test_no_only_move_is_asked_where_it_always_takes() -> None:
    """King and rook against rook and pawn's king: the defender can only be saved by taking."""
    unit = unit_with("only_move", "KRPK")
    black = [e for e in exercise_stream(unit, unit.kinds[0], 1, frozenset()) if " b " in e.position.fen]
    assert black == []


@pytest.mark.parametrize("fen", ["8/3k4/8/3K2P1/8/8/8/8 b - - 0 1", "6k1/8/8/8/8/8/P7/3K4 b - - 0 1"])
def test_a_draw_by_opposition_is_not_called_a_catch(fen: str) -> None:
    assert find_kind("catch_pawn").draft(chess.Board(fen)) is None


def test_a_pawn_that_is_said_to_be_caught_is_taken_by_force() -> None:
    use = next(use for use in USES if use.use.kind == "catch_pawn")
    for exercise in sample(use, 12):
        board = chess.Board(exercise.position.fen)
        if exercise.answer.accepted == ("yes",):
            assert pawn.is_taken_by_force(board)
