"""Marks agree with an independent judge, and every slip is called what it is."""

import random
from collections import Counter

import pytest

from coachbook.exercises.marking import mark_answer
from coachbook.model.slips import Slip, slip_family
from tests.exercises.answers import answer
from tests.exercises.judge import is_right, is_true
from tests.exercises.samples import FIRST_USES, USES, Use, sample
from tests.exercises.written import write
from tests.judges.published import Published


def judge(use: Use, count: int, published: Published, answers: int) -> Counter[str]:
    """The slips that were named, by families, "" for right answers."""
    chance = random.Random(str(use))  # noqa: S311 - a choice of answers, not a secret
    seen = Counter[str]()
    for exercise in sample(use, count):
        right = answer(exercise, published)
        for _ in range(answers):
            written = write(exercise, right, chance)
            mark = mark_answer(exercise, written.text, written.letters)
            told = (exercise.position.fen, exercise.task, written, mark, right)
            assert mark.right == is_right(exercise, right, written), told
            assert mark.right or is_true(mark.slip, exercise, right, written, published), told
            seen[slip_family(mark.slip)] += 1
    return seen


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_marks_are_what_a_judge_says(use: Use, published: Published) -> None:
    judge(use, 300 // len(FIRST_USES) + 1, published, answers=4)


@pytest.mark.long
def test_five_thousand_exercises_are_marked_as_a_judge_says(published: Published) -> None:
    seen = sum((judge(use, 5000 // len(USES) + 1, published, answers=4) for use in USES), Counter[str]())
    assert seen[""] > 5000 // 4
    assert set(seen) == {"", *Slip}
