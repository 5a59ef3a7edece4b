"""Whether what an exercise says is true: each fact that its sentences state is checked by itself."""

from collections.abc import Iterator

import chess

from coachbook.exercises.claims.claim_check import Scene
from coachbook.exercises.claims.known_claims import FACTS, answer_claim
from coachbook.model.sayings import NOTHING, Saying
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import TASKS, said_again, says_what_it_states


def saying_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """What is wrong with what is said; the claims, the answer and the plan's moves must be right.

    Sentences without a code state nothing.
    """
    solution, task = exercise.solution, exercise.task
    if task.code and task.code not in TASKS:
        yield "its task asks for nothing"
    if exercise.answer.form is AnswerForm.NUMBER and solution.text.code and not solution.text.fact("squares"):
        yield "its words leave out the number"
    for scene, saying in _said(board, exercise):
        yield from _faults(scene, saying)


def is_newly_worded(board: chess.Board, exercise: Exercise) -> bool:
    """Whether all that is said has a code, and the words that wording has for it."""
    said = [saying for _, saying in _said(board, exercise) if saying != NOTHING]
    return all(saying.code and saying == said_again(saying) for saying in (exercise.task, *said))


def _said(board: chess.Board, exercise: Exercise) -> Iterator[tuple[Scene, Saying]]:
    """All that is said, each with what it is said of."""
    solution, claim = exercise.solution, answer_claim(exercise)
    asked = Scene(exercise, claim, board)
    for saying in (exercise.task, solution.text, *solution.watch_for):
        yield asked, saying
    if solution.plan is None:
        return
    yield asked, solution.plan.source
    now = board.copy(stack=False)
    for step in solution.plan.steps:
        scene = Scene(exercise, claim, now.copy(stack=False), step)
        yield scene, step.rule
        yield scene, step.achieved
        for san in filter(None, (step.move, step.reply)):
            now.push_san(san)


def _faults(scene: Scene, saying: Saying) -> Iterator[str]:
    if not saying.code:
        return
    if not says_what_it_states(saying):
        yield f"its sentence '{saying.code}' does not state what such a sentence states"
    for name, fact in saying.facts:
        if name not in FACTS or not FACTS[name](scene, fact):
            yield f"its sentence '{saying.code}' is not true ({name})"
