"""Exercises for a screen: one with what it asks and, to be opened, what is right and why; and a stored
sheet item by item, to be read, or checked by a coach's own scripts."""

from dataclasses import dataclass

from coachbook.club.book import Book
from coachbook.club.sheets import latest_sheets, saved_sheet, sheets_of
from coachbook.club.students import student_numbered
from coachbook.errors import Advice, CoachbookError, Step
from coachbook.exercises.generate import derived_seed, make_example
from coachbook.exercises.kinds import find_kind
from coachbook.model.facts import SavedSheet
from coachbook.model.position import Marks, Position
from coachbook.model.syllabus import Unit
from coachbook.model.worksheet import AnswerForm, Exercise, Plan
from coachbook.paper.text import notated
from coachbook.wording.counting import capitalised
from coachbook.wording.definitions import DEFINITIONS, definitions_for
from coachbook.wording.exercises import accepted_words, answer_in_short, printed_options, step_in_words
from coachbook.wording.reasons import said_in_key
from coachbook.workflows.printed_sheets import sound_sheet


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
        reasons=tuple(map(told, said_in_key(item))),
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


@dataclass(frozen=True, slots=True)
class ShownItem:
    """An item as it is stored: what is asked of which position, what is right, and why.

    `number` counts from 1 as printed, `unit` is the code of the unit that it is from. Of `answer` any one
    is right, or, with `all_needed`, all together; it is empty where nothing is to be written.
    """

    number: int
    unit: str
    kind: str
    fen: str
    task: str
    answer: tuple[str, ...]
    all_needed: bool
    difficulty: int
    reason: str


def shown_items(book: Book, code: str, letters: str) -> tuple[ShownItem, ...]:
    """The items of a saved sheet in printed order, their moves with these letters for the men (see
    `PaperOptions`). Raises CoachbookError for an unknown or a damaged sheet."""
    with book.reading() as tx:
        sheet = sound_sheet(tx, code)
    return tuple(_shown(number, item, letters) for number, item in enumerate(sheet.items, start=1))


def _shown(number: int, item: Exercise, letters: str) -> ShownItem:
    return ShownItem(
        number=number,
        unit=item.unit,
        kind=item.kind,
        fen=item.position.fen,
        task=notated(item.task.words, letters),
        answer=tuple(notated(right, letters) for right in accepted_words(item.answer)),
        all_needed=item.answer.all_needed,
        difficulty=item.difficulty,
        reason=notated(" ".join(said_in_key(item)), letters),
    )


@dataclass(frozen=True, slots=True)
class SheetView:
    """A saved sheet for a screen: its list entry and title; each item with the title of its unit, "" where
    that is the sheet's own; and the example on it, None where it has none."""

    saved: SavedSheet
    title: str
    items: tuple[tuple[str, ShownExercise], ...]
    example: ShownExercise | None


def sheet_view(book: Book, code: str, letters: str) -> SheetView:
    """A saved sheet with all its items, their moves with these letters for the men. Raises CoachbookError for
    an unknown or a damaged sheet."""
    with book.reading() as tx:
        sheet, saved = sound_sheet(tx, code), saved_sheet(tx, code)
    return SheetView(
        saved=saved,
        title=sheet.unit_title,
        items=tuple(
            ("" if item.unit == sheet.unit else sheet.title_of(item.unit), exercise_shown(item, letters))
            for item in sheet.items
        ),
        example=exercise_shown(sheet.example, letters) if sheet.example else None,
    )


def sheets_listed(book: Book, student: int | None, most: int) -> tuple[SavedSheet, ...]:
    """So many of the sheets that were made last, or of those of a student (by id): the newest first. Raises
    CoachbookError for an unknown student."""
    with book.reading() as tx:
        if student is None:
            return tuple(latest_sheets(tx, most))
        return tuple(sheets_of(tx, student_numbered(tx, student).name)[::-1][:most])
