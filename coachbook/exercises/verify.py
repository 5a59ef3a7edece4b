"""The independent check of an exercise: its claims are true, and all that is printed follows from them.

Knows no kind: what a kind claims is worked out again in another way (`truth`), and the answer,
the arrows, the shading, the plan and the words are compared with the claims.
"""

import re
from collections.abc import Iterator

import chess

from coachbook.endgame.looks import symmetry_key
from coachbook.endgame.probe import Result, keeping_moves, probe
from coachbook.errors import CoachbookError
from coachbook.exercises.truth import holds
from coachbook.model.claims import (
    AllMates,
    AllStalemates,
    Claim,
    FastestMates,
    FinalStatus,
    KeepingMoves,
    KeySquares,
    MateIn,
    MethodRule,
    RegionIs,
    ResultIs,
    SmallestBox,
    SquareOfPawn,
    TakesOpposition,
    ThrowingSquares,
    WallsAre,
)
from coachbook.model.exercise import AnswerForm, Exercise
from coachbook.model.marks import ArrowStyle, Sign

_MOVE = re.compile(r"\b(?:[KQRBN][a-h]?[1-8]?x?|[a-h]x)[a-h][1-8](?:=[QRBN])?[+#]?|\b[a-h][18]=[QRBN][+#]?")
"""A move in printed words; a bare "e4" may as well be a square."""

_Faults = Iterator[str]


def check_exercise(exercise: Exercise) -> None:
    """Raise CoachbookError with the first thing that is wrong with an exercise."""
    fault = next(_faults(exercise), None)
    if fault is not None:
        raise CoachbookError(f"The exercise {exercise.kind} in '{exercise.position.fen}' is wrong: {fault}.")


def _faults(exercise: Exercise) -> _Faults:
    """What is wrong. Each check may rely on those before it: only the first fault counts."""
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError as error:
        yield f"its position cannot be read ({error})"
        return
    if not board.is_valid():
        yield "its position is not legal"
    if exercise.key != symmetry_key(board):
        yield "its key belongs to another position"
    if not 1 <= exercise.difficulty <= 100:
        yield "its difficulty is not within 1 and 100"
    if not exercise.claims:
        yield "it claims nothing"
    for claim in exercise.claims:
        if not holds(board, claim):
            yield f"the claim {claim} does not hold"
    yield from _answer_faults(board, exercise)
    yield from _mark_faults(board, exercise)
    yield from _plan_faults(board, exercise)
    yield from _word_faults(board, exercise)


def _answer_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The answer is what the first claim says that says anything of an answer."""
    answer = exercise.answer
    accepted = list(answer.accepted)
    if answer.form is AnswerForm.MOVES:
        moves = [_read(board, san) for san in accepted]
        if None in moves:
            yield "its answer has a move that is not legal or badly written"
        accepted = [move.uci() for move in moves if move]
    said = [words for words in (_said(claim, answer.form) for claim in exercise.claims) if words is not None]
    if not said or len(set(accepted)) != len(accepted):
        yield "its answer is not claimed, or there twice"
    if said and set(accepted) != said[0]:
        yield "its answer is not what it claims"


def _said(claim: Claim, form: AnswerForm) -> frozenset[str] | None:
    """What a claim says that the right answer is, in this form; None if it says nothing of it."""
    match claim, form:
        case ((WallsAre() | RegionIs()), AnswerForm.NUMBER):
            return frozenset({str(len(claim.squares))})
        case ((KeySquares() | ThrowingSquares()), AnswerForm.SQUARES):
            return frozenset(chess.square_name(square) for square in claim.squares)
        case ResultIs(), AnswerForm.CHOICE:
            return frozenset({"White wins" if claim.white_wins else "draw"})
        case FinalStatus(), AnswerForm.CHOICE:
            return frozenset({claim.status})
        case SquareOfPawn(), AnswerForm.CHOICE:
            return frozenset({"yes" if claim.reached else "no"})
        case MethodRule(), AnswerForm.CHOICE:
            return frozenset({claim.rule})
        case _, AnswerForm.MOVES:
            return _moves_of(claim)
    return None


def _moves_of(claim: Claim) -> frozenset[str] | None:
    match claim:
        case AllMates() | AllStalemates() | KeepingMoves() | SmallestBox() | TakesOpposition() | MethodRule():
            return claim.moves
        case FastestMates():
            return claim.first
    return None


def _read(board: chess.Board, san: str) -> chess.Move | None:
    """The legal move whose exact name (with its check or mate sign) is `san`."""
    try:
        move = board.parse_san(san)
    except ValueError:
        return None
    return move if move and board.san(move) == san else None


def _mark_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The key's diagram shows what is claimed and nothing else; the task's does not give it away."""
    marks, task = exercise.solution.marks, exercise.task_marks
    shaded = {c.squares for c in exercise.claims if isinstance(c, WallsAre | RegionIs | KeySquares)}
    outlined = shaded | {c.squares for c in exercise.claims if isinstance(c, SquareOfPawn)}
    for squares, claimed in ((marks.shaded, shaded), (marks.outlined, outlined)):
        if {frozenset(squares)} != (claimed or {frozenset()}) or len(set(squares)) != len(squares):
            yield "its shading is not what it claims"
    arrows = {(arrow.start, arrow.end) for arrow in marks.arrows if arrow.style is ArrowStyle.ANSWER}
    answer = _answer_moves(board, exercise)
    if exercise.answer.form is AnswerForm.MOVES:
        if arrows != {(move.from_square, move.to_square) for move in answer}:
            yield "its arrows are not its answer"
    elif not arrows <= {(move.from_square, move.to_square) for move in keeping_moves(board)}:
        yield "it has an arrow for a move that spoils the result"
    yield from _sign_faults(board, exercise, {move.to_square for move in answer})
    if any(arrow.style is ArrowStyle.ANSWER for arrow in task.arrows) or set(task.shaded) & set(marks.shaded):
        yield "its task shows the answer"


def _sign_faults(board: chess.Board, exercise: Exercise, targets: set[int]) -> _Faults:
    """Ticks and crosses stand on squares of the answer; around a crowded king they tell where he can go."""
    signs = exercise.solution.marks.signs
    for claim in exercise.claims:
        match claim:
            case ThrowingSquares():
                targets = set(claim.squares)
                if {sign.square for sign in signs} != targets:
                    yield "its crosses are not the squares that it claims"
            case FinalStatus():
                free = {move.to_square for move in board.legal_moves}
                targets = {sign.square for sign in signs}
                if {sign.square for sign in signs if sign.text == Sign.TICK} != free:
                    yield "its ticks are not the squares to which he can go"
                if any(chess.square_distance(q, board.king(board.turn) or 0) > 1 for q in targets):
                    yield "it has a sign on a square that is not beside him"
    if not {sign.square for sign in signs} <= targets:
        yield "it has a sign on a square that is not of the answer"


def _answer_moves(board: chess.Board, exercise: Exercise) -> tuple[chess.Move, ...]:
    if exercise.answer.form is not AnswerForm.MOVES:
        return ()
    return tuple(board.parse_san(san) for san in exercise.answer.accepted)


def _plan_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """Every move of a plan is legal and keeps the result; where a mate distance is claimed, it is kept to."""
    plan = exercise.solution.plan
    if plan is None:
        return
    if plan.start != exercise.position:
        yield "its plan starts in another position"
    line = [san for step in plan.steps for san in (step.move, step.reply)]
    if not line:
        yield "its plan has no move"
    hurry = any(isinstance(claim, MateIn | FastestMates) for claim in exercise.claims)
    now = board.copy(stack=False)
    for ply, san in enumerate(line if line[-1] else line[:-1]):
        move, before = _read(now, san), probe(now)
        if move is None:
            yield f"its plan has the move '{san}', which is not legal or badly written"
            return
        now.push(move)
        after = probe(now)
        if ply % 2 == 0 and after.result != -before.result:
            yield f"its plan spoils the result with {san}"
        if ply % 2 == 0 and hurry and before.moves is not None and after.moves != before.moves - 1:
            yield f"its plan is slow with {san}"


def _word_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The words name no move that isn't claimed, no number that isn't the box's, no false mate."""
    solution, answer = exercise.solution, set(exercise.answer.accepted)
    claimed = {
        board.san(chess.Move.from_uci(uci)) for claim in exercise.claims for uci in _moves_of(claim) or ()
    }
    if not set(_MOVE.findall(solution.text)) <= answer:
        yield "its words name a move that is not the answer"
    if not set(_MOVE.findall(" ".join(solution.watch_for))) <= claimed - answer:
        yield "it warns of a move that is right, or of which nothing is claimed"
    outcome = probe(board)
    told = {int(number) for number in re.findall(r"mates? in (\d+)", solution.text)}
    if not told <= {outcome.moves} or (told and outcome.result is Result.DRAW):
        yield "its words tell another mate"
    if exercise.answer.form is AnswerForm.NUMBER:
        yield from _number_faults(exercise)


def _number_faults(exercise: Exercise) -> _Faults:
    box = next(claim.squares for claim in exercise.claims if isinstance(claim, WallsAre | RegionIs))
    files, ranks = ({chess.square_file(q) for q in box}, {chess.square_rank(q) for q in box})
    *sides, size = [int(number) for number in re.findall(r"\d+", exercise.solution.text)] or [0]
    if size != len(box) or sides not in ([], [len(files), len(ranks)]):
        yield "its words name another number"
