"""The verifier refuses whatever is wrong with an exercise, and says what."""

import pytest

from coachbook.errors import CoachbookError
from coachbook.exercises.verify import check_exercise
from coachbook.model.exercise import Exercise
from tests.exercises.mutations import moved, mutants
from tests.exercises.samples import USES, Use, sample
from tests.exercises.test_truth import ANSWERED

each_use = pytest.mark.parametrize("use", USES, ids=str)


def fault(exercise: Exercise) -> str:
    """What the verifier says, or "" when it is content."""
    try:
        check_exercise(exercise)
    except CoachbookError as error:
        return error.message
    return ""


@each_use
def test_whatever_is_made_wrong_is_refused_with_a_reason(use: Use) -> None:
    for exercise in sample(use, 3):
        faults = {what: fault(mutant) for what, mutant in mutants(exercise)}
        assert len(faults) > 50
        assert [what for what, found in faults.items() if not found] == []
        assert all(found.startswith(f"The exercise {exercise.kind} in '") for found in faults.values())
        assert len({found.partition(" is wrong: ")[2] for found in faults.values()} - {""}) >= 10


@each_use
def test_a_man_elsewhere_is_refused_unless_the_answer_is_true_there_too(use: Use) -> None:
    for exercise in sample(use, 2):
        accepted = [elsewhere for _, elsewhere in moved(exercise) if not fault(elsewhere)]
        for elsewhere in accepted:
            ANSWERED[elsewhere.answer.wrong](elsewhere)
