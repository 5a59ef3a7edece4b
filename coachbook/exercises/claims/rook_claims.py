"""Claims about the rank or file where a rook belongs, tried move by move."""

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.model.claims import RookPlace
from coachbook.model.worksheet import AnswerForm

_LINES = (*(f"rank_{rank}" for rank in range(1, 9)), *(f"file_{file}" for file in chess.FILE_NAMES))
"""Their codes, in the order in which they are offered."""
_OFFERED = 4


def _belongs(board: chess.Board, claim: RookPlace) -> bool:
    """Whether of all moves those of the one rook to the line, and no others, keep a win or a draw; and the
    rook can go to each of the other lines that are offered, and keeps nothing there."""
    rooks, worth = board.pieces(chess.ROOK, board.turn), probe(board).result
    places = [line for line in _LINES if line in claim.offered]
    if len(rooks) != 1 or worth is Result.LOSS or tuple(places) != claim.offered or len(places) != _OFFERED:
        return False
    keeping = {move for move in board.legal_moves if -probe(after_move(board, move)).result == worth}
    there = {line: _going_to(board, rooks, line) for line in places}
    others = [moves for line, moves in there.items() if line != claim.line]
    return there.get(claim.line) == keeping and all(moves and not moves & keeping for moves in others)


def _going_to(board: chess.Board, rooks: chess.SquareSet, line: str) -> set[chess.Move]:
    return {
        move for move in board.legal_moves if move.from_square in rooks and move.to_square in squares(line)
    }


def squares(line: str) -> frozenset[int]:
    """Those of a rank or a file; none for a code that is none."""
    kind, _, name = line.partition("_")
    if line not in _LINES:
        return frozenset()
    if kind == "rank":
        return frozenset(chess.SquareSet(chess.BB_RANKS[int(name) - 1]))
    return frozenset(chess.SquareSet(chess.BB_FILES[chess.FILE_NAMES.index(name)]))


ROOK_PLACE = ClaimCheck[RookPlace](
    holds=_belongs,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({claim.line})},
    options=lambda claim: claim.offered,
    shaded=lambda claim: squares(claim.line),
    outlined=lambda claim: squares(claim.line),
)


def _spoiling(scene: Scene) -> int | None:
    """How many moves do not go there; of the claim that none of them keeps anything."""
    if not isinstance(scene.claim, RookPlace):
        return None
    board = scene.answer_board
    right = _going_to(board, board.pieces(chess.ROOK, board.turn), scene.claim.line)
    return board.legal_moves.count() - len(right)


ROOK_FACTS: dict[str, FactCheck] = {
    "rook_line": just(lambda scene: scene.claim.line if isinstance(scene.claim, RookPlace) else None),
    "spoiling": just(_spoiling),
}
