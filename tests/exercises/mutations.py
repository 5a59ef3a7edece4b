"""Exercises with one thing made wrong, each with what was done to it."""

from collections.abc import Iterator
from dataclasses import fields, replace
from typing import Any

import chess

from coachbook.endgame.looks import symmetry_key
from coachbook.endgame.probe import Result, judge_moves
from coachbook.model.claims import Claim
from coachbook.model.exercise import AnswerForm, Exercise, Plan
from coachbook.model.marks import Arrow, ArrowStyle, Marks, Sign, SquareSign
from coachbook.model.position import Position

Mutant = tuple[str, Exercise]


def mutants(exercise: Exercise) -> Iterator[Mutant]:
    """All of them. Every one is wrong whatever the position is."""
    for mutate in (_other_positions, _other_claims, _other_answers, _other_marks, _other_plans, _other_words):
        yield from mutate(exercise, chess.Board(exercise.position.fen))
    yield "difficulty 0", replace(exercise, difficulty=0)
    yield "difficulty 101", replace(exercise, difficulty=101)


def moved(exercise: Exercise) -> Iterator[Mutant]:
    """The exercise with one man elsewhere, plan and key following. Some are true by chance."""
    board = chess.Board(exercise.position.fen)
    for square, man in board.piece_map().items():
        for other in chess.SquareSet(~board.occupied):
            after = board.copy()
            after.remove_piece_at(square)
            after.set_piece_at(other, man)
            if after.is_valid():
                yield (
                    f"{man} from {chess.square_name(square)} to {chess.square_name(other)}",
                    _at(exercise, after),
                )


def _at(exercise: Exercise, board: chess.Board) -> Exercise:
    position, plan = Position(board.fen()), exercise.solution.plan
    plan = plan and replace(plan, start=position)
    return replace(
        exercise,
        position=position,
        key=symmetry_key(board),
        solution=replace(exercise.solution, plan=plan),
    )


def _other_positions(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    flipped = board.copy()
    flipped.turn = not board.turn
    yield "the other side to move", replace(exercise, position=Position(flipped.fen()))
    yield "no legal position", replace(exercise, position=Position("8/8/8/8/8/8/kK6/8 w - - 0 1"))
    yield "no position at all", replace(exercise, position=Position("8/44/8/8/8/8/8/k1K5 w - - 0 1"))
    yield "another key", replace(exercise, key=exercise.key[:-1])
    for what, elsewhere in moved(exercise):
        if elsewhere.key != exercise.key:
            yield f"{what}, key kept", replace(elsewhere, key=exercise.key)


def _other_claims(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    yield "no claims", replace(exercise, claims=())
    claims = exercise.claims
    for index, claim in enumerate(claims):
        for false in _false_claims(claim, board):
            changed = (*claims[:index], false, *claims[index + 1 :])
            yield f"{claim} became {false}", replace(exercise, claims=changed)


def _false_claims(claim: Claim, board: chess.Board) -> Iterator[Claim]:
    """A number one off, a set with one too many or too few, a piece elsewhere."""
    moves: set[Any] = {move.uci() for move in board.legal_moves}

    def changed(name: str, value: object) -> Claim:
        changes: dict[str, Any] = {name: value}
        return replace(claim, **changes)

    for name in (field.name for field in fields(claim)):
        value = getattr(claim, name)
        if isinstance(value, frozenset):
            every = set(chess.SQUARES) if name == "squares" else moves
            for one in [*sorted(every - value)[:3], *sorted(value)]:
                yield changed(name, value ^ {one})
        elif isinstance(value, int):
            yield changed(name, value + 1)
            yield changed(name, value - 1)


def _other_answers(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    answer = exercise.answer
    accepted = answer.accepted

    def with_answer(*other: str) -> Exercise:
        return replace(exercise, answer=replace(answer, accepted=other))

    if answer.form is AnswerForm.NUMBER:
        for number in (int(accepted[0]) - 1, int(accepted[0]) + 1, 0):
            yield f"the number {number}", with_answer(str(number))
        yield "a number in words", with_answer("nine")
        yield "a zero before the number", with_answer(f"0{accepted[0]}")
    else:
        for san in accepted:
            yield f"{san} dropped", with_answer(*(other for other in accepted if other != san))
            yield f"{san} twice", with_answer(*accepted, san)
            yield f"{san} badly written", with_answer(*(other + "?" * (other == san) for other in accepted))
        for move in board.legal_moves:
            if board.san(move) not in accepted:
                yield f"{move} added", with_answer(*accepted, board.san(move))
        yield "an illegal move", with_answer(*accepted, "Ka1xh8")
        yield "no move", with_answer(*accepted, "--")
        yield (
            "another form",
            replace(exercise, answer=replace(answer, form=AnswerForm.NUMBER, accepted=("1",))),
        )


def _other_marks(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    marks = exercise.solution.marks

    def with_marks(other: Marks) -> Exercise:
        return replace(exercise, solution=replace(exercise.solution, marks=other))

    free = next(square for square in chess.SQUARES if square not in marks.shaded)
    for index, arrow in enumerate(marks.arrows):
        rest = marks.arrows[:index] + marks.arrows[index + 1 :]
        yield "an arrow dropped", with_marks(replace(marks, arrows=rest))
        elsewhere = Arrow(arrow.start, (arrow.end + 9) % 64)
        yield "an arrow elsewhere", with_marks(replace(marks, arrows=(*rest, elsewhere)))
        suggested = replace(arrow, style=ArrowStyle.SUGGESTION)
        yield "an arrow as a suggestion", with_marks(replace(marks, arrows=(*rest, suggested)))
        yield "the task shows the arrow", replace(exercise, task_marks=Marks(arrows=(arrow,)))
    wrong = next(m for m in board.legal_moves if (m.from_square, m.to_square) not in _ends(marks))
    added = Arrow(wrong.from_square, wrong.to_square)
    yield "an arrow added", with_marks(replace(marks, arrows=(*marks.arrows, added)))
    for name in ("shaded", "outlined"):
        squares: tuple[int, ...] = getattr(marks, name)
        for other in {(*squares, free), squares[1:], ()} - {squares}:
            changes: dict[str, Any] = {name: other}
            yield f"{other} {name}", with_marks(replace(marks, **changes))
    if marks.shaded:
        yield "the task is shaded", replace(exercise, task_marks=Marks(shaded=marks.shaded[:1]))
    crossed = {sign.square for sign in marks.signs} | {arrow.end for arrow in marks.arrows}
    sign = SquareSign(next(square for square in chess.SQUARES if square not in crossed), Sign.CROSS)
    yield "a cross elsewhere", with_marks(replace(marks, signs=(*marks.signs, sign)))


def _ends(marks: Marks) -> set[tuple[int, int]]:
    return {(arrow.start, arrow.end) for arrow in marks.arrows}


def _other_plans(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    plan = exercise.solution.plan
    if plan is None:
        return
    step = plan.steps[0]

    def with_plan(other: Plan) -> Exercise:
        return replace(exercise, solution=replace(exercise.solution, plan=other))

    def with_move(san: str, reply: str = "") -> Exercise:
        return with_plan(replace(plan, steps=(replace(step, move=san, reply=reply), *plan.steps[1:])))

    yield "a plan without a move", with_plan(replace(plan, steps=()))
    yield "a plan from elsewhere", with_plan(replace(plan, start=Position("8/8/8/8/8/5Q2/k1K5/8 w - - 0 1")))
    for san in ("", "--", "Ka1xh8", "e4", step.move + "!"):
        yield f"a plan with the move '{san}'", with_move(san)
    yield "a plan with an illegal reply", with_move(step.move, "Kxh8")
    yield "a plan that leaves out a reply", with_plan(replace(plan, steps=(step, *plan.steps)))
    for judged in judge_moves(board):
        if judged.outcome.result is not Result.WIN:
            yield f"a plan that gives away the win with {judged.san}", with_move(judged.san)
        elif judged.outcome != judge_moves(board)[0].outcome:
            yield f"a plan that is slow with {judged.san}", with_move(judged.san)


def _other_words(exercise: Exercise, board: chess.Board) -> Iterator[Mutant]:
    solution, accepted = exercise.solution, exercise.answer.accepted

    def with_words(text: str, *watch_for: str) -> Exercise:
        return replace(exercise, solution=replace(solution, text=text, watch_for=watch_for))

    if exercise.answer.form is AnswerForm.NUMBER:
        number = int(accepted[0])
        yield "words with another number", with_words(f"{number + 1} squares.")
        yield "words with other sides", with_words(f"{number + 1} by 1: {number} squares.")
        yield "words without the number", with_words("Many squares.")
        return
    sets = [getattr(claim, "moves", ()) for claim in exercise.claims]
    claimed = {move for moves in sets if isinstance(moves, frozenset) for move in moves}
    for move in board.legal_moves:
        if move.uci() not in claimed:
            yield f"words that name {move}", with_words(f"{board.san(move)} is it.")
            yield f"a warning of {move}", with_words(solution.text, f"Stalemate: {board.san(move)}.")
    for san in accepted:
        yield f"a warning of {san}", with_words(solution.text, f"Stalemate: {san}.")
