"""Exercises with one thing made wrong in their marks, their plan or their words."""

import re
from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any

import chess

from coachbook.endgame.probe import judge_moves
from coachbook.model.claims import AllStalemates, Claim, FastestMates, MateIn, MethodRule, SmallestBox
from coachbook.model.position import Arrow, ArrowStyle, Marks, Position, Sign, SquareSign
from coachbook.model.worksheet import AnswerForm, Exercise, Plan, PlanStep

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
    """Moves of the plan, and what it says of them."""
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
    for other in _other_steps(exercise, board, step):
        yield f"a plan that says '{other.rule}: {other.achieved}'", with_step(other)


def _other_first_moves(exercise: Exercise, board: chess.Board, step: PlanStep) -> Iterator[str]:
    """Moves that spoil the result, or are slow where a quick one is told of, or have no arrow."""
    hurry = any(isinstance(claim, MateIn | FastestMates) for claim in exercise.claims)
    hurry |= step.rule in ("the quickest win", "the longest defence")
    arrows = {(arrow.start, arrow.end) for arrow in exercise.solution.marks.arrows}
    dont = isinstance(exercise.claims[0], AllStalemates)
    best, *others = judge_moves(board)
    for judged in others:
        spoils = judged.outcome.result is not best.outcome.result
        slow = hurry and judged.outcome != best.outcome
        if spoils or slow or not (dont or (judged.move.from_square, judged.move.to_square) in arrows):
            yield judged.san


def _other_steps(exercise: Exercise, board: chess.Board, step: PlanStep) -> Iterator[PlanStep]:
    best, *others = judge_moves(board)
    number = (best.outcome.moves or 3) + 1
    for told in (f"White mates in {number}", f"Black mates in {number}", f"White mates in {number - 2}"):
        yield replace(step, achieved=told)
    after = board.copy()
    after.push_san(step.move)
    yield from [] if after.is_checkmate() else [replace(step, achieved="it is mate")]
    yield from [] if after.is_stalemate() else [replace(step, achieved="it is stalemate")]
    if best.outcome.moves is not None:
        yield replace(step, achieved="it is a draw")
    if sum(judged.outcome.result is best.outcome.result for judged in (best, *others)) > 1:
        yield replace(step, rule="the only move")
    if count := re.fullmatch(r"one of (\d+) moves that draw", step.rule):
        yield replace(step, rule=f"one of {int(count[1]) + 1} moves that draw")
        yield replace(step, rule="every move draws")
    if any(isinstance(claim, MethodRule) for claim in exercise.claims):
        yield replace(step, rule="another rule")
    if any(isinstance(claim, SmallestBox) for claim in exercise.claims):
        yield replace(
            step, achieved=re.sub(r"(\d+)(?=,|$)", lambda size: f"{int(size[1]) + 1}", step.achieved)
        )


def other_words(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    """Numbers, moves, squares and mates in the words, and the side and the men in the task."""
    solution, text = exercise.solution, exercise.solution.text
    words = [f"{text} 17 of them.", f"{text} He goes to {_far(exercise)}."]
    for number in re.finditer(r"\b\d+\b", text):
        words += [f"{text[: number.start()]}{int(number[0]) + n}{text[number.end() :]}" for n in (1, -1)]
    if exercise.answer.form is AnswerForm.NUMBER:
        (count,) = exercise.answer.accepted
        words += ["Many squares.", f"{int(count) + 1} by 1: {count} squares."]
    for other in words:
        yield f"the words '{other}'", replace(exercise, solution=replace(solution, text=other))
    yield from _other_named_moves(exercise, board)
    yield from _other_mates(exercise, board)


def _far(exercise: Exercise) -> str:
    """A square that is not of the answer."""
    return next(name for name in chess.SQUARE_NAMES if name not in " ".join(exercise.answer.accepted))


def _other_named_moves(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    solution, text = exercise.solution, exercise.solution.text
    claimed = set[str]().union(*map(_moves, exercise.claims))
    others = [board.san(move) for move in board.legal_moves if move.uci() not in claimed]
    right = exercise.answer.accepted if exercise.answer.form is AnswerForm.MOVES else ()
    for san in (san for san in (*others, *right) if len(san.rstrip("+#")) > len("e4")):
        warned = replace(solution, watch_for=(f"Stalemate: {san}.",))
        yield f"a warning of {san}", replace(exercise, solution=warned)
        if san not in right:
            named = replace(solution, text=f"{text} {san} is it.")
            yield f"words that name {san}", replace(exercise, solution=named)


def _other_mates(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    solution, task = exercise.solution, exercise.task
    number = (judge_moves(board)[0].outcome.moves or 3) if any(board.legal_moves) else 3
    for told in (f"White mates in {number + 1}.", f"White mates in {number + 1} moves.", "Black mates in 2."):
        yield f"words that say {told}", replace(exercise, solution=replace(solution, text=told))
    sides = {"White": "Black", "Black": "White"}
    tasks = {re.sub(r"\b(White|Black)(?= to move| mates| can mate)", lambda side: sides[side[0]], task)}
    tasks |= {re.sub(r"\bfor (White|Black)\b", lambda side: f"for {sides[side[1]]}", task)}
    tasks |= {re.sub(r"in (one|two)\b", "in three", task), re.sub(r"\bmove (wins|draws)\b", _turned, task)}
    if not board.knights:
        tasks.add(f"{task} Use the knight.")
    for other in sorted(tasks - {task}):
        yield f"the task '{other}'", replace(exercise, task=other)


def _turned(verb: re.Match[str]) -> str:
    return "move draws" if verb[1] == "wins" else "move wins"


def _moves(claim: Claim) -> set[str]:
    """The moves that a claim names."""
    values = [getattr(claim, field.name) for field in fields(claim) if field.name in ("moves", "first")]
    return {move for value in values if isinstance(value, frozenset) for move in value}
