"""The independent check of an exercise: its claims, from tables and the rules of chess alone.

Knows no kind and no method: what a kind claims is worked out here again in another way, and
what is printed (answer, arrows, shading, plan, words) is compared with the claims.
"""

import re
from collections.abc import Callable, Iterator

import chess

from coachbook.endgame.looks import symmetry_key
from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.errors import CoachbookError
from coachbook.model.claims import AllMates, AllStalemates, Claim, MateIn, RegionIs, WallsAre
from coachbook.model.exercise import AnswerForm, Exercise
from coachbook.model.marks import ArrowStyle

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
    yield from _claim_faults(board, exercise)
    yield from _answer_faults(board, exercise)
    yield from _mark_faults(board, exercise)
    yield from _plan_faults(board, exercise)
    yield from _word_faults(board, exercise)


def _claim_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    if not exercise.claims:
        yield "it claims nothing"
    for claim in exercise.claims:
        if not _HOLDS[type(claim)](board, claim):
            yield f"the claim {claim} does not hold"


def _answer_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The answer is what the first claim about a box, or about moves, says."""
    accepted = exercise.answer.accepted
    if exercise.answer.form is AnswerForm.NUMBER:
        if accepted != (str(len(_box(exercise))),):
            yield "its number is not the size of the box"
        return
    moves = [_read(board, san) for san in accepted]
    if None in moves or len(set(moves)) != len(moves):
        yield "its answer has a move that is not legal, badly written or there twice"
    claimed = [claim.moves for claim in exercise.claims if isinstance(claim, AllMates | AllStalemates)]
    if not claimed or {move.uci() for move in moves if move} != claimed[0]:
        yield "its answer is not what it claims"


def _box(exercise: Exercise) -> frozenset[int]:
    """The squares of the first box that is claimed; none if the exercise is about something else."""
    boxes = (claim.squares for claim in exercise.claims if isinstance(claim, WallsAre | RegionIs))
    return next(boxes, frozenset())


def _read(board: chess.Board, san: str) -> chess.Move | None:
    """The legal move whose exact name (with its check or mate sign) is `san`."""
    try:
        move = board.parse_san(san)
    except ValueError:
        return None
    return move if move and board.san(move) == san else None


def _mark_faults(board: chess.Board, exercise: Exercise) -> _Faults:
    """The key's diagram shows the answer and nothing else; the task's does not give it away."""
    marks, task, box = exercise.solution.marks, exercise.task_marks, _box(exercise)
    if any(set(claim.squares) != box for claim in exercise.claims if isinstance(claim, WallsAre | RegionIs)):
        yield "it claims two different boxes"
    if set(marks.shaded) != box or set(marks.outlined) != box:
        yield "its shading is not the box"
    moves = _answer_moves(board, exercise)
    arrows = {(arrow.start, arrow.end) for arrow in marks.arrows if arrow.style is ArrowStyle.ANSWER}
    if arrows != {(move.from_square, move.to_square) for move in moves}:
        yield "its arrows are not its answer"
    if not {sign.square for sign in marks.signs} <= {move.to_square for move in moves}:
        yield "it has a sign on a square that is not of the answer"
    if any(arrow.style is ArrowStyle.ANSWER for arrow in task.arrows) or not box.isdisjoint(task.shaded):
        yield "its task shows the answer"


def _answer_moves(board: chess.Board, exercise: Exercise) -> tuple[chess.Move, ...]:
    if exercise.answer.form is AnswerForm.NUMBER:
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
    hurry = any(isinstance(claim, MateIn) for claim in exercise.claims)
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
    """The words name no move that isn't claimed, and no number that isn't the box's."""
    solution, answer = exercise.solution, set(exercise.answer.accepted)
    claimed = {
        board.san(chess.Move.from_uci(uci))
        for claim in exercise.claims
        if isinstance(claim, AllMates | AllStalemates)
        for uci in claim.moves
    }
    if not set(_MOVE.findall(solution.text)) <= answer:
        yield "its words name a move that is not the answer"
    if not set(_MOVE.findall(" ".join(solution.watch_for))) <= claimed - answer:
        yield "it warns of a move that is right, or of which nothing is claimed"
    if exercise.answer.form is AnswerForm.NUMBER:
        box = _box(exercise)
        files, ranks = ({chess.square_file(q) for q in box}, {chess.square_rank(q) for q in box})
        *sides, size = [int(number) for number in re.findall(r"\d+", solution.text)] or [0]
        if size != len(box) or sides not in ([], [len(files), len(ranks)]):
            yield "its words name another number"


def _mates(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, AllMates) and claim.moves == _moves_after_which(board, chess.Board.is_checkmate)


def _stalemates(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, AllStalemates) and claim.moves == _moves_after_which(
        board, chess.Board.is_stalemate
    )


def _moves_after_which(board: chess.Board, holds: Callable[[chess.Board], bool]) -> frozenset[str]:
    found = set()
    after = board.copy(stack=False)
    for move in board.legal_moves:
        after.push(move)
        if holds(after):
            found.add(move.uci())
        after.pop()
    return frozenset(found)


def _mate_in(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, MateIn) and probe(board) == Outcome(Result.WIN, claim.moves)


def _walls(board: chess.Board, claim: Claim) -> bool:
    """The rectangle on the lone king's side of White's queen or rook; he can't leave it or take her."""
    lone = board.king(chess.BLACK)
    if not isinstance(claim, WallsAre) or lone is None:
        return False
    if not chess.BB_SQUARES[claim.piece] & (board.queens | board.rooks) & board.occupied_co[chess.WHITE]:
        return False
    file, rank = chess.square_file(claim.piece), chess.square_rank(claim.piece)
    lone_file, lone_rank = chess.square_file(lone), chess.square_rank(lone)
    if lone_file == file or lone_rank == rank:
        return False
    files = range(file) if lone_file < file else range(file + 1, 8)
    ranks = range(rank) if lone_rank < rank else range(rank + 1, 8)
    guarded = board.is_attacked_by(chess.WHITE, claim.piece)
    return (
        claim.squares == {chess.square(f, r) for f in files for r in ranks}
        and _walks_to(board, lone) <= claim.squares
        and (guarded or chess.square_distance(lone, claim.piece) > 1)
    )


def _region(board: chess.Board, claim: Claim) -> bool:
    lone = board.king(chess.BLACK)
    return isinstance(claim, RegionIs) and lone is not None and claim.squares == _walks_to(board, lone)


def _walks_to(board: chess.Board, lone: chess.Square) -> set[chess.Square]:
    """Where he could walk, step by step, if White stood still and could not be taken."""
    without = board.copy(stack=False)
    without.remove_piece_at(lone)
    reached, new = {lone}, [lone]
    while new:
        for square in chess.SquareSet(chess.BB_KING_ATTACKS[new.pop()]):
            free = without.piece_at(square) is None and not without.is_attacked_by(chess.WHITE, square)
            if free and square not in reached:
                reached.add(square)
                new.append(square)
    return {square for square in reached if not without.is_attacked_by(chess.WHITE, square)}


_HOLDS: dict[type, Callable[[chess.Board, Claim], bool]] = {
    AllMates: _mates,
    AllStalemates: _stalemates,
    MateIn: _mate_in,
    WallsAre: _walls,
    RegionIs: _region,
}
