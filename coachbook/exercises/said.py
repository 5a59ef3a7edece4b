"""What a claim says of the right answer: shared by the checks of an exercise, known to no kind."""

import chess

from coachbook.method.methods import find_method
from coachbook.model.claims import (
    AllMates,
    AllStalemates,
    Claim,
    FastestMates,
    FinalStatus,
    KeepingMoves,
    KeySquares,
    MethodRule,
    RegionIs,
    ResultIs,
    SmallestBox,
    SquareOfPawn,
    TakesOpposition,
    ThrowingSquares,
    WallsAre,
)
from coachbook.model.worksheet import AnswerForm, Exercise


def answer_claim(exercise: Exercise) -> Claim | None:
    """The claim on which the answer rests: the first that says anything of an answer of its form."""
    form = exercise.answer.form
    return next((claim for claim in exercise.claims if right_answer(claim, form) is not None), None)


def right_answer(claim: Claim, form: AnswerForm) -> frozenset[str] | None:
    """What is right by this claim, moves in UCI; None if the claim says nothing of an answer of this form."""
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
            return moves_of(claim)
    return None


def options_of(claim: Claim | None) -> tuple[str, ...]:
    """All that must be offered where a claim is chosen from; none where it is not."""
    match claim:
        case ResultIs():
            return ("White wins", "draw")
        case FinalStatus():
            return ("mate", "stalemate", "neither")
        case SquareOfPawn():
            return ("yes", "no")
        case MethodRule():
            method = find_method(claim.method)
            return tuple(rule.name for rule in method.rules) if method else ()
    return ()


def card_of(claim: Claim | None) -> dict[int, str]:
    """The names of the rules on the card of a claim's method, by their numbers; empty if it has none."""
    method = find_method(claim.method) if isinstance(claim, MethodRule) else None
    return {method.number_of(rule): rule.name for rule in method.told} if method else {}


def moves_of(claim: Claim) -> frozenset[str] | None:
    """The moves that a claim names, in UCI; None if it is not about moves."""
    match claim:
        case AllMates() | AllStalemates() | KeepingMoves() | SmallestBox() | TakesOpposition() | MethodRule():
            return claim.moves
        case FastestMates():
            return claim.first
    return None


def read_exactly(board: chess.Board, san: str) -> chess.Move | None:
    """The legal move whose exact name (with its check or mate sign) is `san`."""
    try:
        move = board.parse_san(san)
    except ValueError:
        return None
    return move if move and board.san(move) == san else None
