"""Answers found again without the tables, the methods and the verifier: by trying and by counting."""

from collections.abc import Callable
from typing import Any

import chess
import chess.syzygy

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
from tests.exercises import naive

Answer = set[str]


def answered(exercise: Exercise) -> Answer:
    """The answer as on the key: moves (UCI), squares, a number, or an option."""
    if exercise.answer.form is not AnswerForm.MOVES:
        return set(exercise.answer.accepted)
    board = chess.Board(exercise.position.fen)
    return {board.parse_san(san).uci() for san in exercise.answer.accepted}


def check(exercise: Exercise) -> None:
    """Fails where a claim of an exercise, or its answer, is not what the plain way says."""
    fen = exercise.position.fen
    for claim in exercise.claims:
        if isinstance(claim, WallsAre | RegionIs):
            squares = naive.box(fen) if isinstance(claim, WallsAre) else naive.walked(fen)
            assert _names(claim.squares) == squares
            assert _names(exercise.solution.marks.shaded) == squares
            assert naive.walked(fen) <= squares
            assert answered(exercise) == {str(len(squares))}
    said = next((claim for claim in exercise.claims if type(claim) in PLAIN), None)
    if said is not None:
        assert answered(exercise) == PLAIN[type(said)](fen, said)


def check_by_tables(exercise: Exercise, tables: chess.syzygy.Tablebase) -> None:
    """Fails where the published tables do not give the results that an exercise claims."""
    board = chess.Board(exercise.position.fen)
    for claim in exercise.claims:
        if isinstance(claim, ResultIs):
            result = tables.probe_wdl(board) * (1 if board.turn else -1)
            assert claim.white_wins == (result > 0)
            assert result >= 0
            assert answered(exercise) == {"White wins" if result > 0 else "draw"}
        elif isinstance(claim, KeepingMoves):
            assert claim.moves == _keeping(board, tables)
            assert answered(exercise) == claim.moves
        elif isinstance(claim, SquareOfPawn):
            assert claim.reached == (tables.probe_wdl(board) == 0)


def _keeping(board: chess.Board, tables: chess.syzygy.Tablebase) -> set[str]:
    best, found = _sign(tables.probe_wdl(board)), set()
    for move in board.legal_moves:
        after = board.copy(stack=False)
        after.push(move)
        if -_sign(tables.probe_wdl(after)) == best:
            found.add(move.uci())
    return found


def _sign(number: int) -> int:
    return (number > 0) - (number < 0)


def _names(squares: frozenset[int] | tuple[int, ...]) -> set[str]:
    return {chess.square_name(square) for square in squares}


def _fastest(fen: str, claim: FastestMates) -> Answer:
    assert claim.moves == 2, "write a plain way to find longer mates"
    assert not naive.mates(fen)
    return naive.mates_in_two(fen)


def _smallest(fen: str, claim: SmallestBox) -> Answer:
    size, moves = naive.smallest_boxes(fen, chess.square_name(claim.piece), claim.measure)
    assert size == claim.squares
    return moves


def _caught(_: str, claim: SquareOfPawn) -> Answer:
    assert _names(claim.squares) == naive.square_of_pawn(chess.square_name(claim.pawn))
    return {"yes" if claim.reached else "no"}


PLAIN: dict[type[Claim], Callable[[str, Any], Answer]] = {
    AllMates: lambda fen, _: naive.mates(fen),
    AllStalemates: lambda fen, _: naive.stalemates(fen),
    FastestMates: _fastest,
    FinalStatus: lambda fen, _: {naive.status(fen)},
    ThrowingSquares: lambda fen, claim: naive.lost_squares(fen, chess.square_name(claim.piece)),
    SmallestBox: _smallest,
    SquareOfPawn: _caught,
    KeySquares: lambda _, claim: naive.key_squares(chess.square_name(claim.pawn)),
    TakesOpposition: lambda fen, _: naive.opposition(fen),
}
"""The answer of the first of these claims that an exercise makes."""

ELSEWHERE: tuple[type[Claim], ...] = (WallsAre, RegionIs, ResultIs, KeepingMoves, MateIn, MethodRule)
"""Claims that are looked at above, or by other tests: mate distances by those of the tables, what a
method says by those of the methods."""
