"""Whether the diagrams and the plan of an exercise show what is claimed, and nothing else."""

import re
from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Result, best_moves, keeping_moves, probe
from coachbook.exercises.said import answer_claim, read_exactly
from coachbook.model.claims import (
    AllStalemates,
    FastestMates,
    FinalStatus,
    KeySquares,
    MateIn,
    MethodRule,
    RegionIs,
    SquareOfPawn,
    ThrowingSquares,
    WallsAre,
)
from coachbook.model.position import ArrowStyle, Marks, Sign
from coachbook.model.worksheet import AnswerForm, Exercise, Plan


def mark_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """What is wrong with the marks; the claims and the answer must be right."""
    marks = exercise.solution.marks
    shaded = {c.squares for c in exercise.claims if isinstance(c, WallsAre | RegionIs | KeySquares)}
    outlined = shaded | {c.squares for c in exercise.claims if isinstance(c, SquareOfPawn)}
    for squares, claimed in ((marks.shaded, shaded), (marks.outlined, outlined)):
        if {frozenset(squares)} != (claimed or {frozenset()}) or len(set(squares)) != len(squares):
            yield "its shading is not what it claims"
    arrows = [(arrow.start, arrow.end, arrow.style) for arrow in marks.arrows]
    shown = {(move.from_square, move.to_square, ArrowStyle.ANSWER) for move in _shown(board, exercise)}
    if set(arrows) != shown or len(arrows) != len(shown):
        yield "its arrows are not its answer"
    if sorted((sign.square, sign.text) for sign in marks.signs) != sorted(_signs(board, exercise).items()):
        yield "its ticks and crosses are not what it claims"
    if _gives_away(exercise.task_marks, marks):
        yield "its task shows the answer"


def _shown(board: chess.Board, exercise: Exercise) -> tuple[chess.Move, ...]:
    """The moves that have an arrow: those of the answer, else the first of the plan."""
    plan = exercise.solution.plan
    if exercise.answer.form is AnswerForm.MOVES:
        return tuple(board.parse_san(san) for san in exercise.answer.accepted)
    move = read_exactly(board, plan.steps[0].move) if plan and plan.steps else None
    return (move,) if move else ()


def _signs(board: chess.Board, exercise: Exercise) -> dict[int, str]:
    """The signs that belong on the key's diagram. Around a crowded king they tell where he can go."""
    match answer_claim(exercise):
        case ThrowingSquares(squares=squares):
            return dict.fromkeys(squares, Sign.CROSS)
        case AllStalemates(moves=moves):
            return dict.fromkeys((chess.Move.from_uci(move).to_square for move in moves), Sign.CROSS)
        case FinalStatus():
            beside = chess.SquareSet(chess.BB_KING_ATTACKS[board.king(board.turn) or 0])
            free = {move.to_square for move in board.legal_moves}
            return {square: Sign.TICK if square in free else Sign.CROSS for square in beside}
    return {}


def _gives_away(task: Marks, key: Marks) -> bool:
    arrows = any(arrow.style is ArrowStyle.ANSWER for arrow in task.arrows)
    squares = set(task.shaded) & set(key.shaded) or set(task.outlined) & set(key.outlined)
    return arrows or bool(squares) or bool(set(task.signs) & set(key.signs))


def plan_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """What is wrong with the moves of the plan; its words are looked at elsewhere."""
    plan = exercise.solution.plan
    if plan is None:
        return
    if plan.start != exercise.position:
        yield "its plan starts in another position"
    if not plan.steps:
        yield "its plan has no move"
    yield from _first_move_faults(exercise, board, plan)
    yield from _line_faults(board, exercise, plan)


def _first_move_faults(exercise: Exercise, board: chess.Board, plan: Plan) -> Iterator[str]:
    """The plan begins with the answer, unless the answer is what one must not do."""
    step, claim = plan.steps[0], answer_claim(exercise)
    move = read_exactly(board, step.move)
    named = claim.moves if isinstance(claim, MethodRule) else frozenset()
    if isinstance(claim, MethodRule) and (move is None or move.uci() not in named or step.rule != claim.rule):
        yield "its plan does not follow the rule"
    asked = exercise.answer.form is AnswerForm.MOVES and not isinstance(claim, AllStalemates)
    if asked and step.move not in exercise.answer.accepted:
        yield "its plan does not begin with the answer"
    if "only move" in step.rule and len(keeping_moves(board)) != 1:
        yield "its plan calls a move the only one, and it is not"
    if not _counts_right(step.rule, board):
        yield "its plan miscounts the moves that draw"
    if re.search("quickest|longest", step.rule) and move not in best_moves(board):
        yield "its plan calls a move the best one, and it is not"


def _counts_right(rule: str, board: chess.Board) -> bool:
    """Whether what a rule says of how many moves draw is so; of any other rule it is."""
    told = re.fullmatch(r"one of (\d+) moves that draw|every move draws|no move wins", rule)
    if told is None:
        return True
    if probe(board).result is not Result.DRAW or rule == "no move wins":
        return probe(board).result is Result.DRAW
    return len(keeping_moves(board)) == (int(told[1]) if told[1] else board.legal_moves.count())


def _line_faults(board: chess.Board, exercise: Exercise, plan: Plan) -> Iterator[str]:
    """Every move is legal and keeps the result; where a mate distance is claimed, it is kept to."""
    line = [san for step in plan.steps for san in (step.move, step.reply)]
    hurry = any(isinstance(claim, MateIn | FastestMates) for claim in exercise.claims)
    now = board.copy(stack=False)
    for ply, san in enumerate(line if line[-1] else line[:-1]):
        move, before = read_exactly(now, san), probe(now)
        if move is None:
            yield f"its plan has the move '{san}', which is not legal or badly written"
            return
        now.push(move)
        after = probe(now)
        if ply % 2 == 0 and after.result != -before.result:
            yield f"its plan spoils the result with {san}"
        if ply % 2 == 0 and hurry and before.moves is not None and after.moves != before.moves - 1:
            yield f"its plan is slow with {san}"
