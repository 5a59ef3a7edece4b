"""Exercises with one thing made wrong in their marks or in the moves of their plan."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import chess

from coachbook.endgame.probe import judge_moves
from coachbook.model.claims import AllStalemates, FastestMates, MateIn
from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.model.worksheet import Exercise, Plan, PlanStep

Mutant = tuple[str, Exercise]


def other_marks(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """Arrows, shading, outline, ticks and crosses."""
    marks = exercise.solution.marks
    yield from _other_arrows(exercise, board)
    yield from _other_signs(exercise)
    free = next(square for square in chess.SQUARES if square not in (*marks.shaded, *marks.outlined))
    for name in ("shaded", "outlined"):
        squares: tuple[int, ...] = getattr(marks, name)
        for other in {(*squares, free), squares[1:], ()} - {squares}:
            changes: dict[str, Any] = {name: other}
            yield f"{other} {name}", _with_marks(exercise, replace(marks, **changes))
        if squares:
            twice: dict[str, Any] = {name: (*squares, squares[0])}
            yield f"a square {name} twice", _with_marks(exercise, replace(marks, **twice))
            shown: dict[str, Any] = {name: squares[:1]}
            yield f"the task has a square {name}", replace(exercise, task_marks=Marks(**shown))


def _with_marks(exercise: Exercise, marks: Marks) -> Exercise:
    return replace(exercise, solution=replace(exercise.solution, marks=marks))


def _other_arrows(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    marks = exercise.solution.marks
    for index, arrow in enumerate(marks.arrows):
        rest = marks.arrows[:index] + marks.arrows[index + 1 :]
        changed = {
            "of no move": (*rest, Arrow(arrow.start, arrow.start)),
            "elsewhere": (*rest, Arrow(arrow.start, (arrow.end + 9) % 64)),
            "dropped": rest,
            "as a suggestion": (*rest, replace(arrow, style=ArrowStyle.SUGGESTION)),
        }
        for what, arrows in changed.items():
            yield f"arrow {index} {what}", _with_marks(exercise, replace(marks, arrows=arrows))
        yield f"the task shows arrow {index}", replace(exercise, task_marks=Marks(arrows=(arrow,)))
    there = {(arrow.start, arrow.end) for arrow in marks.arrows}
    for move in board.legal_moves:
        if (move.from_square, move.to_square) not in there:
            arrows = (*marks.arrows, Arrow(move.from_square, move.to_square))
            yield f"an arrow for {move} added", _with_marks(exercise, replace(marks, arrows=arrows))


def _other_signs(exercise: Exercise) -> Iterator[Mutant]:
    marks = exercise.solution.marks
    for index, sign in enumerate(marks.signs):
        rest = marks.signs[:index] + marks.signs[index + 1 :]
        other = Sign.CROSS if sign.text == Sign.TICK else Sign.TICK
        for what, signs in {
            "dropped": rest,
            "turned": (*rest, replace(sign, text=other)),
            "as a dot": (*rest, replace(sign, text=Sign.DOT)),
            "twice": (*marks.signs, sign),
        }.items():
            yield f"sign {index} {what}", _with_marks(exercise, replace(marks, signs=signs))
        yield f"the task shows sign {index}", replace(exercise, task_marks=Marks(signs=(sign,)))
    for square in {0, 27, 63} - {sign.square for sign in marks.signs}:
        for text in (Sign.TICK, Sign.CROSS, "1"):
            signs = (*marks.signs, SquareSign(square, text))
            yield f"{text} on {square} added", _with_marks(exercise, replace(marks, signs=signs))


def other_plans(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """Moves of the plan."""
    plan = exercise.solution.plan
    if plan is None:
        return
    step = plan.steps[0]

    def with_plan(other: Plan) -> Exercise:
        return replace(exercise, solution=replace(exercise.solution, plan=other))

    def with_step(other: PlanStep) -> Exercise:
        return with_plan(replace(plan, steps=(other, *plan.steps[1:])))

    yield "a plan without a move", with_plan(replace(plan, steps=()))
    yield "a plan from elsewhere", with_plan(replace(plan, start=Position("8/8/8/8/8/5Q2/k1K5/8 w - - 0 1")))
    for san in ("", "--", "Ka1xh8", "e9", step.move + "!", *_other_first_moves(exercise, board, step)):
        yield f"a plan with the move '{san}'", with_step(replace(step, move=san, reply=""))
    yield "a plan with an illegal reply", with_step(replace(step, reply="Ka1xh8"))
    if not step.reply:
        yield "a plan that leaves out a reply", with_plan(replace(plan, steps=(step, *plan.steps)))


def _other_first_moves(exercise: Exercise, board: chess.Board, step: PlanStep) -> Iterator[str]:
    """Moves that spoil the result, or are slow where a quick one is told of, or have no arrow."""
    hurry = any(isinstance(claim, MateIn | FastestMates) for claim in exercise.claims)
    hurry |= bool(step.rule.fact("best"))
    arrows = {(arrow.start, arrow.end) for arrow in exercise.solution.marks.arrows}
    dont = isinstance(exercise.claims[0], AllStalemates)
    best, *others = judge_moves(board)
    for judged in others:
        spoils = judged.outcome.result is not best.outcome.result
        slow = hurry and judged.outcome != best.outcome
        if spoils or slow or not (dont or (judged.move.from_square, judged.move.to_square) in arrows):
            yield judged.san
