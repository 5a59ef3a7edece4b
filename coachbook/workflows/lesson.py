"""The lesson plan of a unit: its demonstration as a written plan, its rules and their proof, on paper."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import chess

from coachbook.club.book import Book
from coachbook.method.courses import course_for
from coachbook.method.registry import find_method
from coachbook.method.rules import Method
from coachbook.method.stages import staged
from coachbook.model.exercise import Plan
from coachbook.model.lesson import LessonSheet, RuleInWords
from coachbook.model.marks import Arrow, Marks
from coachbook.model.position import Position
from coachbook.model.syllabus import Syllabus, Unit
from coachbook.model.term import Slot
from coachbook.paper.lesson import write_lesson
from coachbook.paper.options import PaperOptions
from coachbook.workflows.groups import named_group, planned_session, term_at
from coachbook.workflows.papers import make_folder
from coachbook.workflows.plans import method_or_computed
from coachbook.workflows.proving import proof_line

_MOST_BOARDS = 5


def print_lesson(
    book: Book, syllabus: Syllabus, unit: Unit, group: str, on: date, path: Path, options: PaperOptions
) -> None:
    """Write the lesson plan of a unit as PDF. Raises CoachbookError."""
    with book.reading() as page:
        session = planned_session(page, group, on)
        plan = term_at(page, group, on).plan if session else None
    slots = session.slots if session and any(slot.unit == unit.code for slot in session.slots) else ()
    make_folder(path.parent)
    write_lesson(
        lesson_sheet(syllabus, unit, book.club_name, group, on, slots, plan.at if plan else ""), path, options
    )


def make_lesson(
    book: Book,
    syllabus: Syllabus,
    unit: Unit,
    group: str | None,
    on: date,
    folder: Path,
    options: PaperOptions,
) -> Path:
    """Write the lesson plan of a unit into a folder and return its path. Raises CoachbookError."""
    with book.reading() as page:
        name = named_group(page, group).name if group is not None else ""
    path = folder / f"lesson-{unit.code}-{on}.pdf"
    print_lesson(book, syllabus, unit, name, on, path, options)
    return path


def lesson_sheet(
    syllabus: Syllabus,
    unit: Unit,
    club: str,
    group: str,
    on: date,
    slots: tuple[Slot, ...],
    at: str = "",
) -> LessonSheet:
    """Everything that the lesson plan of a unit shows. Raises CoachbookError."""
    titles = syllabus.titles
    method = find_method(unit.method)
    plan = method_or_computed(chess.Board(unit.demonstration), method)
    return LessonSheet(
        unit=unit,
        level_title=syllabus.level_of(unit).title,
        club=club,
        group=group,
        on=on,
        slots=tuple(replace(slot, unit=titles.get(slot.unit, slot.unit)) for slot in slots),
        demonstration=plan,
        demonstration_boards=turning_points(plan),
        rules=rules_in_words(method) if method else stages_in_words(unit),
        proof_line=proof_line(unit.method) or stages_line(unit),
        at=at,
    )


def rules_in_words(method: Method) -> tuple[RuleInWords, ...]:
    """A method's rules in the order in which they are told, with the words to tick on a worksheet."""
    return tuple(RuleInWords(method.number_of(rule), rule.words, rule.name) for rule in method.told)


def stages_in_words(unit: Unit) -> tuple[RuleInWords, ...]:
    """The goals of an ending that is taught in stages; none for another."""
    course = course_for(chess.Board(unit.demonstration))
    stages = course.stages if course else ()
    return tuple(RuleInWords(number, stage.goal) for number, stage in enumerate(stages, start=1))


def stages_line(unit: Unit) -> str:
    """How long each stage of such an ending takes at most; "" for another."""
    course = course_for(chess.Board(unit.demonstration))
    if course is None:
        return ""
    figures = staged(course).figures
    longest = ", ".join(str(stage.longest) for stage in figures.stages)
    return (
        f"From every won position each stage can be forced: in at most {longest} moves (best play needs"
        f" at most {figures.optimum} in all). The lines are computed, not found by rules."
    )


def turning_points(plan: Plan) -> tuple[tuple[Position, Marks, str], ...]:
    """The first position, those in which another rule takes over, and the last: with the move to come."""
    board = chess.Board(plan.start.fen)
    boards: list[tuple[int, tuple[Position, Marks, str]]] = []
    turns, last_rule = [], ""
    for number, step in enumerate(plan.steps, start=1):
        move = board.parse_san(step.move)
        marks = Marks(arrows=(Arrow(move.from_square, move.to_square),))
        boards.append((number, (Position(board.fen()), marks, f"{number}. {step.move}: {step.rule}")))
        if step.rule != last_rule:
            turns.append(number)
            last_rule = step.rule
        board.push(move)
        if step.reply:
            board.push_san(step.reply)
    chosen = sorted({*turns[: _MOST_BOARDS - 1], len(plan.steps)})
    spread = _spread_over(len(plan.steps))
    for number in spread:
        if len(chosen) >= min(_MOST_BOARDS, len(plan.steps)):
            break
        chosen = sorted({*chosen, number})
    return tuple(board for number, board in boards if number in chosen)


def _spread_over(steps: int) -> list[int]:
    """Numbers of steps, evenly spread, to fill up with where few rules take turns."""
    return [1 + round(index * (steps - 1) / _MOST_BOARDS) for index in range(_MOST_BOARDS)]
