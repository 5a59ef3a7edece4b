"""Claims about two pawns that run: pushed on a board, move by move, with the kings walking after them."""

from collections.abc import Iterator
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.model.claims import PawnRace
from coachbook.model.worksheet import AnswerForm


@dataclass(frozen=True, slots=True)
class _Run:
    """A race up to the first queen: the `first` side, whether it gives check, and the board then."""

    first: chess.Color
    check: bool
    board: chess.Board


def _is_race(board: chess.Board, claim: PawnRace) -> bool:
    run = _run(board)
    if run is None or not _nobody_stops(board):
        return False
    counted = tuple(_moves_alone(board, side) for side in (chess.WHITE, chess.BLACK))
    return (
        counted == (claim.white, claim.black) and chess.COLOR_NAMES[run.first] == claim.first and _fits(run)
    )


def _fits(run: _Run) -> bool:
    """Whether it ends as the race says; after the first queen the other side is to move."""
    left = _moves_alone(run.board, not run.first)
    drawn = probe(run.board).result is Result.DRAW
    lost = probe(run.board).result is Result.LOSS
    if left != 1 or run.check:
        return lost
    return drawn and _keeps(run.board, _push(run.board))


def _run(board: chess.Board) -> _Run | None:
    """The race from a board with a pawn each; None if a push is not possible, or spoils something."""
    if any(len(board.pieces(chess.PAWN, side)) != 1 for side in chess.COLORS):
        return None
    now = board.copy(stack=False)
    while True:
        push = _push(now)
        if not _keeps(now, push) or push is None:
            return None
        now.push(push)
        if push.promotion:
            return _Run(not now.turn, now.is_check(), now)


def _push(board: chess.Board) -> chess.Move | None:
    """The longest push of the side to move, to a queen where it can; None if there is none."""
    pushes = [
        move
        for move in board.legal_moves
        if board.piece_type_at(move.from_square) == chess.PAWN
        and not board.is_capture(move)
        and move.promotion in (None, chess.QUEEN)
    ]
    return max(pushes, key=lambda move: abs(move.to_square - move.from_square), default=None)


def _keeps(board: chess.Board, move: chess.Move | None) -> bool:
    if move is None:
        return False
    after = after_move(board, move)
    return probe(after).result == -probe(board).result


def _squares_of_run(board: chess.Board, side: chess.Color) -> Iterator[chess.Square]:
    """Where the pawn of a side stands after each of its pushes, with nothing else on the board but the kings,
    which stay; it ends early where one is in the way. Nothing for a side without a pawn."""
    alone = board.copy(stack=False)
    for man in chess.SquareSet(board.occupied & ~board.kings & ~(board.pawns & board.occupied_co[side])):
        alone.remove_piece_at(man)
    alone.turn, alone.ep_square = side, None
    while (push := _push(alone)) is not None:
        alone.push(push)
        alone.turn, alone.ep_square = side, None
        yield push.to_square


def _moves_alone(board: chess.Board, side: chess.Color) -> int | None:
    """How many moves the pawn of a side needs to queen; None if it does not get there."""
    squares = tuple(_squares_of_run(board, side))
    return len(squares) if squares and chess.square_rank(squares[-1]) in (0, 7) else None


def _nobody_stops(board: chess.Board) -> bool:
    return not any(_is_stopped(board, side) for side in chess.COLORS)


def _is_stopped(board: chess.Board, side: chess.Color) -> bool:
    """Whether the other king, if it spends all its moves, comes into the way of this side's pawn, or to a
    square where it takes the pawn or the new queen."""
    reached = {board.king(not side) or 0}
    (pawn,) = board.pieces(chess.PAWN, side)
    if board.turn != side:
        reached = _walked(reached)
    for square in _squares_of_run(board, side):
        way = chess.SquareSet.between(pawn, square) | chess.SquareSet.from_square(square)
        if pawn in reached or not way.isdisjoint(reached):
            return True
        pawn, reached = square, _walked(reached)
    return pawn in reached


def _walked(squares: set[int]) -> set[int]:
    """The squares of a king after one more move or none."""
    return squares | {to for square in squares for to in chess.SquareSet(chess.BB_KING_ATTACKS[square])}


PAWN_RACE = ClaimCheck[PawnRace](
    holds=_is_race,
    answers={AnswerForm.RACE: lambda claim: frozenset({f"{claim.white} {claim.black} {claim.first}"})},
)


def _claimed(scene: Scene) -> PawnRace | None:
    return scene.claim if isinstance(scene.claim, PawnRace) else None


def _run_of(scene: Scene) -> _Run | None:
    return _run(scene.board) if _claimed(scene) else None


def _second(scene: Scene) -> str | None:
    run = _run_of(scene)
    return chess.COLOR_NAMES[not run.first] if run else None


def _still_needs(scene: Scene) -> int | None:
    run = _run_of(scene)
    return _moves_alone(run.board, not run.first) if run else None


def _with_check(scene: Scene) -> bool | None:
    run = _run_of(scene)
    return run.check if run else None


def _first_wins(scene: Scene) -> bool | None:
    run = _run_of(scene)
    return probe(run.board).result is Result.LOSS if run else None


def _is_even(scene: Scene) -> bool | None:
    claim = _claimed(scene)
    return claim.white == claim.black if claim else None


def _has_double_step(scene: Scene) -> bool | None:
    """Whether a pawn still stands on its first square."""
    home = {chess.WHITE: 1, chess.BLACK: 6}
    pawns = [
        chess.square_rank(pawn) == home[side]
        for side in home
        for pawn in scene.board.pieces(chess.PAWN, side)
    ]
    return any(pawns) if _claimed(scene) else None


RACE_FACTS: dict[str, FactCheck] = {
    "queens_first": just(lambda scene: claim.first if (claim := _claimed(scene)) else None),
    "queens_second": just(_second),
    "still_needs": just(_still_needs),
    "queens_with_check": just(_with_check),
    "first_wins": just(_first_wins),
    "equal_counts": just(_is_even),
    "double_step": just(_has_double_step),
}
