"""What every kind of exercise keeps to. A new kind is tested by being used in the curriculum."""

import re

import chess
import pytest

from coachbook.endgame.probe import probe
from coachbook.endgame.space import WHITE
from coachbook.errors import CoachbookError
from coachbook.exercises.generate import SupplyExhaustedError, make_exercises, supplies
from coachbook.exercises.kind import clamp
from coachbook.exercises.kinds import find_kind, kind_names
from coachbook.exercises.verify import check_exercise
from coachbook.model.claims import PawnRace, PlacingSquares, ReasonIs
from coachbook.model.facts import Slip
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.reasons import why
from tests.exercises.answers import question
from tests.exercises.samples import FIRST_USES, USES, Use, marked_uses, sample, unit_with
from tests.shipped import SHIPPED

JARGON = re.compile(
    r"attacker|candidate|defender|dtm|fen|optimal|pgn|plies|ply|probe|region|san|tempo|zugzwang"
)
OTHER_ENDINGS = ("KQK", "KRK", "KPK", "KBK", "KRRK")

each_use = pytest.mark.parametrize("use", marked_uses(FIRST_USES))
every_use = pytest.mark.parametrize(
    "use", [use if use in FIRST_USES else pytest.param(use, marks=pytest.mark.long) for use in USES], ids=str
)
SPREAD = 10
"""How far a kind's exercises of a dozen are apart in difficulty, at least."""


def words(exercise: Exercise) -> str:
    """Everything that is printed of an exercise."""
    solution = exercise.solution
    steps = solution.plan.steps if solution.plan else ()
    told = [saying for step in steps for saying in (step.rule, step.achieved)]
    said = (exercise.task, solution.text, *solution.watch_for, *told)
    reasons = [why(claim.reason) for claim in exercise.claims if isinstance(claim, ReasonIs)]
    return " ".join([*(saying.words for saying in said), *reasons])


def _promoted(exercise: Exercise) -> set[str]:
    """What a pawn becomes in the answer, or with the first move of the plan."""
    board, plan = chess.Board(exercise.position.fen), exercise.solution.plan
    sans = exercise.answer.accepted if exercise.answer.form is AnswerForm.MOVES else ()
    moves = [board.parse_san(san) for san in (*sans, *([plan.steps[0].move] if plan else []))]
    return {chess.piece_name(move.promotion) for move in moves if move.promotion}


def _to_place(exercise: Exercise) -> set[str]:
    """What the student is to put on the board, and the queens of pawns that run."""
    men = {claim.man for claim in exercise.claims if isinstance(claim, PlacingSquares)}
    return men | {"queen" for claim in exercise.claims if isinstance(claim, PawnRace)}


def test_every_kind_is_used_in_the_curriculum() -> None:
    assert {use.kind for unit in SHIPPED.units for use in unit.kinds} == set(kind_names())


def test_every_kind_has_a_title() -> None:
    assert all(find_kind(kind).title for kind in kind_names())


def test_a_kind_that_is_not_there_is_told_with_those_that_are() -> None:
    with pytest.raises(CoachbookError, match=f"no kind of exercise 'chess960'.*{kind_names()[0]}"):
        find_kind("chess960")


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_every_ending_of_a_unit_has_positions(use: Use) -> None:
    """For one of its kinds at least; and no kind is there that has none at all."""
    kinds = [each.kind for each in use.unit.kinds]
    for ending in use.unit.endings:
        assert any(len(each.cells) for kind in kinds for each in supplies(kind, (ending,)))
    assert any(len(each.cells) for each in supplies(use.use.kind, use.unit.endings))


@pytest.mark.long
@pytest.mark.parametrize("use", USES, ids=str)
def test_every_kind_of_a_unit_fills_a_sheet(use: Use) -> None:
    assert len(make_exercises(use.unit, use.use, 24, seed=1, used=frozenset())) == 24


@each_use
def test_every_exercise_stands_up_to_the_verifier(use: Use) -> None:
    for exercise in sample(use, 12):
        check_exercise(exercise)


@each_use
def test_an_exercise_says_where_it_belongs(use: Use) -> None:
    for exercise in sample(use, 12):
        assert (exercise.kind, exercise.unit) == (use.use.kind, use.unit.code)
        assert exercise.claims
        assert 1 <= exercise.difficulty <= 100


@each_use
def test_positions_are_legal_and_need_no_history(use: Use) -> None:
    for exercise in sample(use, 12):
        board = chess.Board(exercise.position.fen)
        assert board.is_valid()
        assert board.ep_square is None
        assert not board.castling_rights
        assert (board.halfmove_clock, board.fullmove_number) == (0, 1)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_sides_to_move_are_those_that_the_kind_names(use: Use) -> None:
    sides = {chess.Board(exercise.position.fen).turn for exercise in sample(use, 12)}
    asked = {"white": {True}, "black": {False}}.get(str(dict(use.use.themes).get("to_move")), {True, False})
    assert sides == asked & {side == WHITE for side in find_kind(use.use.kind).sides}


@every_use
def test_a_task_is_one_short_sentence_or_two_without_jargon(use: Use) -> None:
    for task in {exercise.task.words for exercise in sample(use, 6)}:
        assert len(task) <= 80
        assert len(task.split()) <= 15
        assert 1 <= len(re.findall(r"[.?!]", task)) <= 2
        assert task[-1] in ".?!"
        assert not JARGON.search(task.lower())


@every_use
def test_the_words_name_only_pieces_that_stand_on_the_board(use: Use) -> None:
    for exercise in sample(use, 6):
        board = chess.Board(exercise.position.fen)
        there = {chess.piece_name(man.piece_type) for man in board.piece_map().values()}
        named = set(re.findall(r"\b(queen|rook|bishop|knight|pawn)\b(?!'s pawn)", words(exercise)))
        new = {"queen"} if board.pawns else set()
        new |= {"rook", "bishop", "knight"} if question(exercise) == "promotion" else set()
        assert named <= there | new | _promoted(exercise) | _to_place(exercise)


@every_use
def test_the_words_tell_the_mate_that_there_is(use: Use) -> None:
    for exercise in sample(use, 6):
        told = {int(number) for number in re.findall(r"mates in (\d+)", words(exercise))}
        assert told <= {probe(chess.Board(exercise.position.fen)).moves}
        for step in exercise.solution.plan.steps if exercise.solution.plan else ():
            assert ("It is mate" not in step.achieved.words) or step.move.endswith("#")


@each_use
def test_slips_have_names_that_a_coach_is_told(use: Use) -> None:
    for exercise in sample(use, 12):
        assert {exercise.answer.wrong, exercise.answer.missed} - {""} <= set(Slip)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_difficulties_differ_so_that_a_sheet_can_rise(use: Use) -> None:
    easiest, *_, hardest = sorted(exercise.difficulty for exercise in sample(use, 24))
    assert hardest - easiest >= SPREAD


@pytest.mark.parametrize("kind", kind_names())
@pytest.mark.parametrize("ending", OTHER_ENDINGS)
def test_a_kind_makes_true_exercises_of_any_ending_or_none(kind: str, ending: str) -> None:
    unit = unit_with(kind, ending)
    try:
        made = make_exercises(unit, unit.kinds[0], 3, seed=2, used=frozenset())
    except SupplyExhaustedError:
        return
    for exercise in made:
        check_exercise(exercise)


def test_a_difficulty_is_kept_within_1_and_100() -> None:
    assert [clamp(-3), clamp(1), clamp(55), clamp(140)] == [1, 1, 55, 100]
