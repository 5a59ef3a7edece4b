"""An exercise for a screen: what it asks, and, to be opened, what is right and why; a fresh one of a unit."""

from dataclasses import dataclass

from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.generate import derived_seed, make_example
from coachbook.exercises.kinds import find_kind
from coachbook.model.position import Marks, Position
from coachbook.model.syllabus import Unit
from coachbook.model.worksheet import AnswerForm, Exercise, Plan
from coachbook.paper.text import notated
from coachbook.wording.counting import capitalised
from coachbook.wording.definitions import DEFINITIONS, definitions_for
from coachbook.wording.exercises import answer_in_short, printed_options, step_in_words
from coachbook.wording.reasons import reasons_of


@dataclass(frozen=True, slots=True)
class ShownPlanStep:
    """A move of a written plan and the reply to it ("" for none), and why it is made."""

    move: str
    reply: str
    why: str


@dataclass(frozen=True, slots=True)
class ShownExercise:
    """An exercise in words, its moves with letters of the club's.

    `options` are those to tick, `means` what the words of the task mean. Of the answer there are the words,
    the marked board, the reasons, what to watch for, and the plan with how it is known to be right.
    """

    kind: str
    position: Position
    task: str
    task_marks: Marks
    options: tuple[str, ...]
    means: tuple[str, ...]
    answer: str
    marks: Marks
    reasons: tuple[str, ...]
    watch_for: tuple[str, ...]
    plan: tuple[ShownPlanStep, ...]
    source: str


def fresh_example(unit: Unit, kind: str, seed: int, letters: str) -> ShownExercise:
    """An exercise of a unit, chosen by a seed; it is kept nowhere. Raises CoachbookError for a kind that the
    unit does not have, and if there is none."""
    use = next((use for use in unit.kinds if use.kind == kind), None)
    if use is None:
        raise CoachbookError(f"{unit.title} has no such kind of exercise.", Advice(Step.LIST_THE_KINDS))
    made = make_example(unit, use, derived_seed(seed, unit.code, kind), frozenset(), ())
    if made is None:
        raise CoachbookError("There is no such exercise.", Advice(Step.LIST_THE_KINDS))
    return exercise_shown(made, letters)


def exercise_shown(item: Exercise, letters: str) -> ShownExercise:
    """An exercise with these letters for the men (see `PaperOptions`)."""

    def told(words: str) -> str:
        return notated(words, letters)

    solution, is_choice = item.solution, item.answer.form is AnswerForm.CHOICE
    reasons = (solution.text.words, *reasons_of(item))
    means = definitions_for(item.task.code, dict(item.task.facts))
    return ShownExercise(
        kind=capitalised(find_kind(item.kind).title),
        position=item.position,
        task=told(item.task.words),
        task_marks=item.task_marks,
        options=tuple(map(told, printed_options(item.answer))) if is_choice else (),
        means=tuple(DEFINITIONS[code] for code in means),
        answer=told(answer_in_short(item.answer)),
        marks=solution.marks,
        reasons=tuple(told(words) for words in reasons if words),
        watch_for=tuple(told(each.words) for each in solution.watch_for),
        plan=_steps(solution.plan, letters),
        source=solution.plan.source.words if solution.plan else "",
    )


def _steps(plan: Plan | None, letters: str) -> tuple[ShownPlanStep, ...]:
    steps = plan.steps if plan else ()
    return tuple(
        ShownPlanStep(
            notated(step.move, letters), notated(step.reply, letters), notated(step_in_words(step), letters)
        )
        for step in steps
    )
