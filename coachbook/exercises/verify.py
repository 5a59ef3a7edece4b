"""Whether an exercise is true: what it claims, and each fact that its sentences state.

Knows no kind: what a kind claims is worked out again in another way (`claims`), and here the answer, the
marks, the plan and what is said are compared with the claims.
"""

from collections.abc import Iterator
from itertools import zip_longest

import chess

from coachbook.endgame.probe import keeping_moves, probe
from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import CoachbookError
from coachbook.exercises.claims.claim_check import Scene, read_exactly, read_line_exactly
from coachbook.exercises.claims.known_claims import FACTS, answer_claim, check_of, right_answer
from coachbook.exercises.claims.rule_claims import card_of
from coachbook.model.claims import ReasonIs
from coachbook.model.facts import Slip
from coachbook.model.position import ArrowStyle, Marks
from coachbook.model.worksheet import NOTHING, Answer, AnswerForm, Exercise, Plan, Saying
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
        yield from _faults_of(scene, saying)


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


def _faults_of(scene: Scene, saying: Saying) -> Iterator[str]:
    if not saying.code:
        return
    if not says_what_it_states(saying):
        yield f"its sentence '{saying.code}' does not state what such a sentence states"
    for name, fact in saying.facts:
        if name not in FACTS or not FACTS[name](scene, fact):
            yield f"its sentence '{saying.code}' is not true ({name})"


def find_damage(exercise: Exercise) -> str | None:
    """What does not fit together, such as "its answer is not what it claims"; None if all does.

    Other than `find_fault` it asks for nothing that may be told in another way one day, such as sentences
    or what a method says: a sheet of an earlier coachbook is marked as it was printed.
    """
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError:
        return "its position cannot be read"
    if not board.is_valid():
        return "its position is not legal"
    if exercise.key != symmetry_key(board):
        return "its key belongs to another position"
    claim, accepted = answer_claim(exercise), _accepted(board, exercise)
    if accepted is None:
        return "its answer has a move that is not legal or badly written"
    if claim is None or frozenset(accepted) != right_answer(claim, exercise.answer.form):
        return "its answer is not what it claims"
    return None


def find_fault(exercise: Exercise) -> str | None:
    """The first thing that is wrong with an exercise, whenever it was made; None if there is nothing."""
    return next(_faults(exercise), None)


def check_exercise(exercise: Exercise) -> None:
    """Raises CoachbookError with the first thing that is wrong with an exercise that is made now."""
    fault = find_fault(exercise)
    if fault is None and not is_newly_worded(chess.Board(exercise.position.fen), exercise):
        fault = "it says something in words of its own"
    if fault is not None:
        raise CoachbookError(f"The exercise {exercise.kind} in '{exercise.position.fen}' is wrong: {fault}.")


def _faults(exercise: Exercise) -> Iterator[str]:
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
        if not check_of(claim).holds(board, claim):
            yield f"the claim {claim} does not hold"
    yield from _answer_faults(board, exercise)
    yield from _reason_faults(exercise)
    yield from _marking_faults(exercise)
    yield from _mark_faults(board, exercise)
    yield from _plan_faults(board, exercise)
    yield from saying_faults(board, exercise)


def _accepted(board: chess.Board, exercise: Exercise) -> list[str] | None:
    """The accepted answers, moves in UCI, a line of them and their replies as one; None if there is a move
    that is not legal or badly written."""
    if exercise.answer.form is AnswerForm.LINE:
        line = _read_line(board, exercise.answer)
        return [line] if line else None
    if exercise.answer.form is not AnswerForm.MOVES:
        return list(exercise.answer.accepted)
    moves = [move for san in exercise.answer.accepted if (move := read_exactly(board, san))]
    return [move.uci() for move in moves] if len(moves) == len(exercise.answer.accepted) else None


def _read_line(board: chess.Board, answer: Answer) -> str:
    """The moves and replies of a line in turn, in UCI; "" if one is not legal or badly written."""
    sans = [san for pair in zip_longest(answer.accepted, answer.replies) for san in pair if san]
    line = [move.uci() for _, move in read_line_exactly(board, sans)]
    return " ".join(line) if len(line) == len(sans) else ""


def _answer_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """The answer, and what there is to choose from, are what its claim says."""
    answer, claim = exercise.answer, answer_claim(exercise)
    accepted = _accepted(board, exercise)
    if accepted is None:
        yield "its answer has a move that is not legal or badly written"
        return
    if claim is None or len(set(accepted)) != len(accepted):
        yield "its answer is not claimed, or there twice"
        return
    if frozenset(accepted) != right_answer(claim, answer.form):
        yield "its answer is not what it claims"
    if answer.form is AnswerForm.CHOICE and answer.options != check_of(claim).options(claim):
        yield "its options are not those that there are"
    if not dict(zip(answer.numbers, answer.options, strict=False)).items() <= card_of(claim).items():
        yield "its options have other numbers than the card"


def _reason_faults(exercise: Exercise) -> Iterator[str]:
    """There is one reason at most, of the position itself or of the right move; where no move is asked for,
    that is the only one that keeps the result."""
    reasons = [claim for claim in exercise.claims if isinstance(claim, ReasonIs)]
    claim, form = answer_claim(exercise), exercise.answer.form
    right = right_answer(claim, form) if claim and form is AnswerForm.MOVES else _only_move(exercise)
    if len(reasons) > 1:
        yield "it gives more than one reason"
    if any({each.after} not in ({""}, right) for each in reasons):
        yield "its reason is one of another move"


def _only_move(exercise: Exercise) -> frozenset[str]:
    kept = keeping_moves(chess.Board(exercise.position.fen))
    return frozenset(move.uci() for move in kept if len(kept) == 1)


def _marking_faults(exercise: Exercise) -> Iterator[str]:
    """Any one of several moves or squares will do, unless all are claimed; each wrong answer has a name."""
    answer, claim = exercise.answer, answer_claim(exercise)
    any_will_do = not (claim and check_of(claim).all_asked)
    if answer.all_needed == any_will_do and len(answer.accepted) != 1:
        yield "it asks for more of the answer, or for less, than it claims"
    names = {answer.wrong}
    if answer.form in (AnswerForm.MOVES, AnswerForm.SQUARES, AnswerForm.RACE, AnswerForm.LINE):
        names.add(answer.missed)
    if not names <= set(Slip):
        yield "a wrong answer has no name"


def _mark_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """What is wrong with the marks; the claims and the answer must be right."""
    marks, claim = exercise.solution.marks, answer_claim(exercise)
    checks = [(check_of(each), each) for each in exercise.claims]
    shaded = {check.shaded(each) for check, each in checks} - {frozenset()}
    outlined = {check.outlined(each) for check, each in checks} - {frozenset()}
    for squares, claimed in ((marks.shaded, shaded), (marks.outlined, outlined)):
        if {frozenset(squares)} != (claimed or {frozenset()}) or len(set(squares)) != len(squares):
            yield "its shading is not what it claims"
    arrows = [(arrow.start, arrow.end, arrow.style) for arrow in marks.arrows]
    shown = {(move.from_square, move.to_square, ArrowStyle.ANSWER) for move in _shown(board, exercise)}
    if set(arrows) != shown or len(arrows) != len(shown):
        yield "its arrows are not its answer"
    signs = check_of(claim).signs(board, claim) if claim else {}
    if sorted((sign.square, sign.text) for sign in marks.signs) != sorted(signs.items()):
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


def _gives_away(task: Marks, key: Marks) -> bool:
    arrows = any(arrow.style is ArrowStyle.ANSWER for arrow in task.arrows)
    squares = set(task.shaded) & set(key.shaded) or set(task.outlined) & set(key.outlined)
    return arrows or bool(squares) or bool(set(task.signs) & set(key.signs))


def _plan_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    """What is wrong with the moves of the plan."""
    plan, claim = exercise.solution.plan, answer_claim(exercise)
    if plan is None:
        return
    if plan.start != exercise.position:
        yield "its plan starts in another position"
    if not plan.steps:
        yield "its plan has no move"
    yield from _line_faults(board, exercise, plan)
    # It begins with the answer, unless the answer is what one must not do.
    moves = right_answer(claim, AnswerForm.MOVES) if claim and check_of(claim).is_played else None
    if moves is not None and board.parse_san(plan.steps[0].move).uci() not in moves:
        yield "its plan does not begin with the answer"
    answer, steps = exercise.answer, plan.steps
    told = [(step.move, step.reply) for step in steps]
    if answer.form is AnswerForm.LINE and told != [
        *zip_longest(answer.accepted, answer.replies, fillvalue="")
    ]:
        yield "its plan is not its answer"


def _line_faults(board: chess.Board, exercise: Exercise, plan: Plan) -> Iterator[str]:
    """Every move is legal and keeps the result; where a mate distance is claimed, it is kept to."""
    line = [san for step in plan.steps for san in (step.move, step.reply)]
    hurry = any(check_of(claim).is_quick for claim in exercise.claims)
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
