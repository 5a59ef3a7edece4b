"""The independent check of an exercise: its claims, from tables and the rules of chess alone.

Knows no kind and no method: what a kind claims is worked out here again in another way, and
what the key prints (answer, arrows, shading, plan) is compared with the claims.
"""

from collections.abc import Callable, Iterator

import chess

from coachbook.endgame.looks import symmetry_key
from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.errors import CoachbookError
from coachbook.model.claims import AllMates, AllStalemates, Claim, MateIn, RegionIs, WallsAre
from coachbook.model.exercise import Answer, AnswerForm, Exercise, Plan
from coachbook.model.marks import ArrowStyle


def check_exercise(exercise: Exercise) -> None:
    """Raise CoachbookError with the first thing that is wrong with an exercise."""
    fault = next(_faults(exercise), None)
    if fault is not None:
        raise CoachbookError(f"The exercise {exercise.kind} in '{exercise.position.fen}' is wrong: {fault}.")


def _faults(exercise: Exercise) -> Iterator[str]:
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError as error:
        yield f"its position cannot be read ({error})"
        return
    if not board.is_valid():
        yield "its position is not legal"
        return
    if exercise.key != symmetry_key(board):
        yield "its key belongs to another position"
    if not exercise.claims:
        yield "it claims nothing"
    for claim in exercise.claims:
        if not _HOLDS[type(claim)](board, claim):
            yield f"the claim {claim} does not hold"
    yield from _answer_faults(board, exercise)
    if exercise.solution.plan is not None:
        yield from _plan_faults(board, exercise.solution.plan)


def _answer_faults(board: chess.Board, exercise: Exercise) -> Iterator[str]:
    marks = exercise.solution.marks
    if exercise.answer.form is AnswerForm.NUMBER:
        boxes = [claim.squares for claim in exercise.claims if isinstance(claim, WallsAre | RegionIs)]
        if not boxes or any(exercise.answer.accepted != (str(len(box)),) for box in boxes):
            yield "its number is not the size of the box"
        if any(set(marks.shaded) != box for box in boxes):
            yield "its shading is not the box"
        return
    moves = _moves(board, exercise.answer)
    sets = [claim.moves for claim in exercise.claims if isinstance(claim, AllMates | AllStalemates)]
    if not sets or any(set(moves) != claimed for claimed in sets) or len(set(moves)) != len(moves):
        yield "its answer is not what it claims"
    arrows = {(arrow.start, arrow.end) for arrow in marks.arrows if arrow.style is ArrowStyle.ANSWER}
    if arrows != {(move.from_square, move.to_square) for move in map(chess.Move.from_uci, moves)}:
        yield "its arrows are not its answer"


def _moves(board: chess.Board, answer: Answer) -> list[str]:
    try:
        return [board.parse_san(san).uci() for san in answer.accepted]
    except ValueError:
        return ["unreadable"]


def _plan_faults(board: chess.Board, plan: Plan) -> Iterator[str]:
    """Every move of a plan is legal, none gives away a win, and a line of forced replies is one."""
    now = chess.Board(plan.start.fen)
    if now.epd() != board.epd():
        yield "its plan starts in another position"
        return
    for step in plan.steps:
        for san in (step.move, step.reply):
            if not san:
                continue
            before = probe(now)
            try:
                now.push_san(san)
            except ValueError:
                yield f"its plan has the move {san}, which is not legal"
                return
            if san == step.move and _gave_away(before, now):
                yield f"its plan gives away the win with {san}"


def _gave_away(before: Outcome, after_move: chess.Board) -> bool:
    return before.result is Result.WIN and probe(after_move).result is not Result.LOSS


def _mates(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, AllMates) and claim.moves == _moves_after_which(board, chess.Board.is_checkmate)


def _stalemates(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, AllStalemates) and claim.moves == _moves_after_which(
        board, chess.Board.is_stalemate
    )


def _moves_after_which(board: chess.Board, holds: Callable[[chess.Board], bool]) -> frozenset[str]:
    found = set()
    for move in board.legal_moves:
        after = board.copy(stack=False)
        after.push(move)
        if holds(after):
            found.add(move.uci())
    return frozenset(found)


def _mate_in(board: chess.Board, claim: Claim) -> bool:
    return isinstance(claim, MateIn) and probe(board) == Outcome(Result.WIN, claim.moves)


def _walls(board: chess.Board, claim: Claim) -> bool:
    """The rectangle on the lone king's side of the piece's file and rank."""
    lone = board.king(chess.BLACK)
    if not isinstance(claim, WallsAre) or lone is None or claim.piece not in board.piece_map():
        return False
    file, rank = chess.square_file(claim.piece), chess.square_rank(claim.piece)
    lone_file, lone_rank = chess.square_file(lone), chess.square_rank(lone)
    if lone_file == file or lone_rank == rank:
        return False
    files = range(file) if lone_file < file else range(file + 1, 8)
    ranks = range(rank) if lone_rank < rank else range(rank + 1, 8)
    return claim.squares == {chess.square(f, r) for f in files for r in ranks}


def _region(board: chess.Board, claim: Claim) -> bool:
    """Where he could walk, step by step, if White stood still and could not be taken."""
    lone = board.king(chess.BLACK)
    if not isinstance(claim, RegionIs) or lone is None:
        return False
    without = board.copy(stack=False)
    without.remove_piece_at(lone)
    reached, new = {lone}, [lone]
    while new:
        for square in chess.SquareSet(chess.BB_KING_ATTACKS[new.pop()]):
            free = without.piece_at(square) is None and not without.is_attacked_by(chess.WHITE, square)
            if free and square not in reached:
                reached.add(square)
                new.append(square)
    return claim.squares == {square for square in reached if not without.is_attacked_by(chess.WHITE, square)}


_HOLDS: dict[type, Callable[[chess.Board, Claim], bool]] = {
    AllMates: _mates,
    AllStalemates: _stalemates,
    MateIn: _mate_in,
    WallsAre: _walls,
    RegionIs: _region,
}
