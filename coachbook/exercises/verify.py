"""The independent check of an exercise: its claims are true, and all that is printed follows from them.

Other than `verify` it asks for nothing that may be told in another way one day, such as words or what
a method says: a sheet of an earlier coachbook is marked as it was printed.

Knows no kind: what a kind claims is worked out again in another way (`truth`), and the answer is
compared with the claims here, the marks and the plan in `shown`, the words in `worded`.
"""

from collections.abc import Iterator

import chess

from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import CoachbookError
from coachbook.exercises.said import answer_claim, card_of, options_of, read_exactly, right_answer
from coachbook.exercises.shown import mark_faults, plan_faults
from coachbook.exercises.truth import holds
from coachbook.exercises.worded import word_faults
from coachbook.model.claims import AllMates, AllStalemates, ReasonIs
from coachbook.model.slips import Slip
from coachbook.model.worksheet import AnswerForm, Exercise


def find_damage(exercise: Exercise) -> str | None:
    """What does not fit together, such as "its answer is not what it claims"; None if all does."""
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError:
        return "its position cannot be read"
    if not board.is_valid():
        return "its position is not legal"
    if exercise.key != symmetry_key(board):
        return "its key belongs to another position"
    claim, accepted = answer_claim(exercise), list(exercise.answer.accepted)
    if exercise.answer.form is AnswerForm.MOVES:
        moves = [read_exactly(board, san) for san in accepted]
        if None in moves:
            return "its answer has a move that is not legal or badly written"
        accepted = [move.uci() for move in moves if move]
    if claim is None or frozenset(accepted) != right_answer(claim, exercise.answer.form):
        return "its answer is not what it claims"
    return None


def check_exercise(exercise: Exercise) -> None:
    """Raise CoachbookError with the first thing that is wrong with an exercise."""
    fault = next(_faults(exercise), None)
    if fault is not None:
        raise CoachbookError(f"The exercise {exercise.kind} in '{exercise.position.fen}' is wrong: {fault}.")


def _faults(exercise: Exercise) -> Iterator[str]:
    """What is wrong. Each check may rely on those before it: only the first fault counts."""
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError as error:
        yield f"its position cannot be read ({error})"
        return
    if not board.is_valid():
        yield "its position is not legal"
    if exercise.key != symmetry_key(board):
        yield "its key belongs to another position"
    if not 1 <= exercise.difficulty <= 100:
        yield "its difficulty is not within 1 and 100"
    if not exercise.claims:
        yield "it claims nothing"
    for claim in exercise.claims:
        if not holds(board, claim):
            yield f"the claim {claim} does not hold"
    yield from _answer_faults(board, exercise)
    yield from _reason_faults(exercise)
    yield from _marking_faults(exercise)
    yield from mark_faults(board, exercise)
    yield from plan_faults(board, exercise)
    yield from word_faults(board, exercise)


def _answer_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """The answer, and what there is to choose from, are what its claim says."""
    answer, claim = exercise.answer, answer_claim(exercise)
    accepted = list(answer.accepted)
    if answer.form is AnswerForm.MOVES:
        moves = [read_exactly(board, san) for san in accepted]
        if None in moves:
            yield "its answer has a move that is not legal or badly written"
        accepted = [move.uci() for move in moves if move]
    if claim is None or len(set(accepted)) != len(accepted):
        yield "its answer is not claimed, or there twice"
    elif frozenset(accepted) != right_answer(claim, answer.form):
        yield "its answer is not what it claims"
    if answer.form is AnswerForm.CHOICE and answer.options != options_of(claim):
        yield "its options are not those that there are"
    if not dict(zip(answer.numbers, answer.options, strict=False)).items() <= card_of(claim).items():
        yield "its options have other numbers than the card"


def _reason_faults(exercise: Exercise) -> Iterator[str]:
    """There is one reason at most, of the position itself or of the right move."""
    reasons = [claim for claim in exercise.claims if isinstance(claim, ReasonIs)]
    claim, form = answer_claim(exercise), exercise.answer.form
    right = right_answer(claim, form) if claim and form is AnswerForm.MOVES else None
    if len(reasons) > 1:
        yield "it gives more than one reason"
    if any({each.after} not in ({""}, right) for each in reasons):
        yield "its reason is one of another move"


def _marking_faults(exercise: Exercise) -> Iterator[str]:
    """Any one of several moves will do, unless all are claimed; and each way to be wrong has a name."""
    answer = exercise.answer
    claim, one = answer_claim(exercise), len(answer.accepted) == 1
    any_will_do = answer.form is AnswerForm.MOVES and not isinstance(claim, AllMates | AllStalemates)
    if answer.all_needed == any_will_do and not one:
        yield "it asks for more of the answer, or for less, than it claims"
    names = {answer.wrong}
    if answer.form in (AnswerForm.MOVES, AnswerForm.SQUARES):
        names.add(answer.missed)
    if not names <= set(Slip):
        yield "a wrong answer has no name"
