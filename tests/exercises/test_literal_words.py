"""What the printed words call right is right in marking, and nothing else: for every kind, in every unit."""

import re
from dataclasses import replace

import chess
import pytest

from coachbook.exercises.marking import mark_answer
from coachbook.model.facts import Slip
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import option_words, printed_options
from tests.exercises.literal_tries import Printed
from tests.exercises.literal_words import judged, sentences
from tests.exercises.samples import FIRST_USES, USES, Use, sample
from tests.judges import double_attack
from tests.judges.published import Published

EVERY_DAY, MANY = 3, 500

each_use = pytest.mark.parametrize("use", USES, ids=str)


def printed(exercise: Exercise) -> Printed:
    """What stands on paper of an exercise."""
    answer = exercise.answer
    options = tuple(map(option_words, answer.options))
    return Printed(exercise.position.fen, exercise.task.words, options, answer.numbers, answer.replies)


def check_words(exercise: Exercise, published: Published) -> None:
    """Of all that one might write, marking accepts what is right by the words."""
    shown = printed(exercise)
    tries = judged(shown, published)
    by_words = {text for text, is_right in tries.items() if is_right}
    by_marking = {text for text in tries if mark_answer(exercise, text).right}
    said = f"{shown}\nright by the words only: {sorted(by_words - by_marking)}\n"
    assert by_words == by_marking, f"{said}right in marking only: {sorted(by_marking - by_words)}"
    assert by_words, f"{said}nothing is right by the words"


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_what_the_words_call_right_is_what_marking_calls_right(use: Use, published: Published) -> None:
    for exercise in sample(use, EVERY_DAY):
        check_words(exercise, published)


@pytest.mark.long
@each_use
def test_what_the_words_call_right_is_what_marking_calls_right_on_many_items(
    use: Use, published: Published
) -> None:
    for exercise in sample(use, MANY, seed=7):
        check_words(exercise, published)


def test_each_task_is_read_by_one_sentence_only() -> None:
    for use in FIRST_USES:
        for exercise in sample(use, EVERY_DAY):
            words = exercise.task.words
            assert sum(re.fullmatch(sentence, words) is not None for sentence in sentences()) == 1, words


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_a_stored_answer_that_is_not_what_the_words_ask_for_is_noticed(
    use: Use, published: Published
) -> None:
    for exercise in sample(use, EVERY_DAY):
        spoiled = replace(exercise.answer, accepted=_spoiled(exercise))
        with pytest.raises(AssertionError, match="in marking only"):
            check_words(replace(exercise, answer=spoiled), published)


def _spoiled(exercise: Exercise) -> tuple[str, ...]:
    """Another answer of the same form: what is right and more, or something else where only one can be."""
    answer, board = exercise.answer, chess.Board(exercise.position.fen)
    *before, last = answer.accepted
    match answer.form:
        case AnswerForm.CHOICE:
            return (next(option for option in answer.options if option != last),)
        case AnswerForm.NUMBER:
            return (f"{int(last) - 1}",)
        case AnswerForm.RACE:
            first = "white" if "black" in last else "black"
            return (" ".join([*last.split(" ")[:2], first]),)
        case AnswerForm.SQUARES:
            return (*before, last, next(name for name in chess.SQUARE_NAMES if name not in answer.accepted))
        case AnswerForm.MOVES:
            others = (board.san(move) for move in board.legal_moves)
            return (*before, last, next(san for san in others if san not in answer.accepted))
        case AnswerForm.LINE:
            for move, reply in zip(before, answer.replies, strict=True):
                board.push_san(move)
                board.push_san(reply)
            sans = [board.san(move) for move in board.legal_moves]
            return (*before, next(san for san in sans if san != last))


@pytest.mark.parametrize(
    ("fen", "squares", "traded"),
    [("5k2/2K5/4Q3/8/3r4/8/8/8 w - - 0 1", {"f6"}, "d6"), ("1k2r3/8/8/Q7/5K2/8/8/8 w - - 0 1", {"b5"}, "e5")],
)
def test_a_check_after_which_the_rook_takes_the_queen_wins_no_rook(
    fen: str, squares: set[str], traded: str
) -> None:
    checks = {chess.square_name(then.peek().to_square) for then in double_attack.checks_on_rook(fen)}
    assert traded in checks
    assert double_attack.forks(fen) == squares


def test_an_option_may_be_copied_with_the_number_beside_it() -> None:
    numbered = [use for use in USES if sample(use, 1)[0].answer.numbers]
    assert numbered
    for exercise in (sample(use, 1)[0] for use in numbered):
        answer = exercise.answer
        for option, shown in zip(answer.options, printed_options(answer), strict=True):
            assert mark_answer(exercise, shown).right == (option in answer.accepted), shown


def test_a_number_beside_the_words_of_another_option_leaves_it_open() -> None:
    use = next(use for use in USES if sample(use, 1)[0].answer.numbers)
    exercise = sample(use, 1)[0]
    number, words = exercise.answer.numbers[0], option_words(exercise.answer.options[1])
    assert mark_answer(exercise, f"{number}. {words}").slip == Slip.UNREADABLE
