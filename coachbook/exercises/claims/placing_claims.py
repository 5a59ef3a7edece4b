"""Claims about a man that is still to be placed: where it mates, or stalemates."""

import chess

from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import PlacingSquares
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Fact

_OTHER_END = {"mate": "stalemate", "stalemate": "mate"}


def _are_all(board: chess.Board, claim: PlacingSquares) -> bool:
    """Whether these are the squares. A student might also name one on which it looks like it, though such a
    position can't arise: where there is one, the claim does not hold."""
    found = _ending_in(board, claim.man, claim.goal)
    can_arise = all(_with(board, claim.man, square).is_valid() for square in found)
    return bool(found) and found == claim.squares and can_arise


def _ending_in(board: chess.Board, man: str, goal: str) -> frozenset[int]:
    """Where a white man of this name ends the game so, Black to move; none for a name that is none."""
    if board.turn != chess.BLACK or man not in chess.PIECE_NAMES:
        return frozenset()
    ends = chess.Board.is_checkmate if goal == "mate" else chess.Board.is_stalemate
    free = chess.SquareSet(~board.occupied)
    return frozenset(square for square in free if ends(_with(board, man, square)))


def _with(board: chess.Board, man: str, square: chess.Square) -> chess.Board:
    placed = board.copy(stack=False)
    placed.set_piece_at(square, chess.Piece(chess.PIECE_NAMES.index(man), chess.WHITE))
    return placed


PLACING_SQUARES = ClaimCheck[PlacingSquares](
    holds=_are_all,
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    signs=lambda _, claim: dict.fromkeys(claim.squares, Sign.TICK),
)


def _goal(scene: Scene) -> str | None:
    return scene.claim.goal if isinstance(scene.claim, PlacingSquares) else None


def _ends_otherwise(scene: Scene, fact: Fact) -> bool:
    """Whether these are all the squares on which the man would end the game in the other way."""
    if not isinstance(scene.claim, PlacingSquares) or not isinstance(fact, tuple):
        return False
    found = _ending_in(scene.board, scene.claim.man, _OTHER_END[scene.claim.goal])
    return sorted(fact) == sorted(names_of(found))


PLACING_FACTS: dict[str, FactCheck] = {
    "placed_for": just(_goal),
    "other_end": just(lambda scene: _OTHER_END.get(_goal(scene) or "")),
    "ends_otherwise_on": _ends_otherwise,
}
