"""An exercise for a screen has what its key has on paper, with the club's letters."""

import pytest

from coachbook.errors import CoachbookError
from coachbook.exercises.generate import make_exercises
from coachbook.model.worksheet import AnswerForm
from coachbook.workflows.sheet_shown import exercise_shown, fresh_example
from tests.workflows.foxes import SYLLABUS

ENGLISH, SWEDISH = "KQRBN", "KDTLS"
UNIT = SYLLABUS.unit("queen-box")


def test_an_example_is_the_same_for_a_seed_and_another_for_the_next() -> None:
    one, again, other = (fresh_example(UNIT, "next_rule", seed, ENGLISH) for seed in (1, 1, 2))
    assert one == again
    assert one.position != other.position


def test_a_choice_has_its_options_and_one_of_them_is_right() -> None:
    shown = fresh_example(UNIT, "next_rule", 1, ENGLISH)
    assert any(option.endswith(shown.answer) for option in shown.options)


def test_what_the_words_of_a_task_mean_is_told() -> None:
    shown = fresh_example(SYLLABUS.unit("queen-walls"), "smallest_box", 1, ENGLISH)
    assert shown.means[0].startswith("The queen's box: all squares")


@pytest.mark.parametrize("use", UNIT.kinds, ids=lambda use: str(use.kind))
def test_an_exercise_is_shown_with_its_answer_and_reasons(use: object) -> None:
    kind = next(each for each in UNIT.kinds if each == use)
    (item,) = make_exercises(UNIT, kind, 1, 1, frozenset())
    shown = exercise_shown(item, ENGLISH)
    assert (shown.position, shown.task_marks, shown.marks) == (
        item.position,
        item.task_marks,
        item.solution.marks,
    )
    assert shown.task == item.task.words
    assert shown.answer
    assert item.solution.text.words in ("", *shown.reasons)
    assert bool(shown.options) is (item.answer.form is AnswerForm.CHOICE)
    assert [step.move for step in shown.plan] == [
        step.move for step in (item.solution.plan.steps if item.solution.plan else ())
    ]
    assert bool(shown.source) is bool(shown.plan)


def test_moves_have_the_clubs_letters() -> None:
    shown = fresh_example(UNIT, "mate_in_two", 1, SWEDISH)
    assert shown.answer[0] in "KD"
    assert all(step.move[0] in "KD" for step in shown.plan)


def test_a_kind_that_the_unit_does_not_have_is_refused() -> None:
    with pytest.raises(CoachbookError, match="has no such kind of exercise"):
        fresh_example(UNIT, "catch_pawn", 1, ENGLISH)
