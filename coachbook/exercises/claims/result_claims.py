"""Claims about what a position is worth: who mates and when, or that it is over."""

import chess

from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.model.claims import FinalStatus, MateIn, ResultIs
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm


def _for_white(board: chess.Board) -> Result:
    result = probe(board).result
    return result if board.turn else Result(-result)


def _is_result(board: chess.Board, claim: ResultIs) -> bool:
    return claim.white_wins == (_for_white(board) is Result.WIN) and _for_white(board) >= Result.DRAW


def _status(board: chess.Board) -> str:
    if board.is_checkmate():
        return "mate"
    return "stalemate" if board.is_stalemate() else "neither"


def _around_king(board: chess.Board, _: FinalStatus) -> dict[int, str]:
    """Where a crowded king can go, and where not."""
    beside = chess.SquareSet(chess.BB_KING_ATTACKS[board.king(board.turn) or 0])
    free = {move.to_square for move in board.legal_moves}
    return {square: Sign.TICK if square in free else Sign.CROSS for square in beside}


MATE_IN = ClaimCheck[MateIn](
    holds=lambda board, claim: probe(board) == Outcome(Result.WIN, claim.moves), is_quick=True
)
RESULT_IS = ClaimCheck[ResultIs](
    holds=_is_result,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({"white_wins" if claim.white_wins else "draw"})},
    options=lambda _: ("white_wins", "draw"),
)
FINAL_STATUS = ClaimCheck[FinalStatus](
    holds=lambda board, claim: claim.status == _status(board),
    answers={AnswerForm.CHOICE: lambda claim: frozenset({claim.status})},
    options=lambda _: ("mate", "stalemate", "neither"),
    signs=_around_king,
)


def _winner(scene: Scene) -> str | None:
    result = probe(scene.board).result
    if result is Result.DRAW:
        return None
    return chess.COLOR_NAMES[scene.board.turn == (result is Result.WIN)]


RESULT_FACTS: dict[str, FactCheck] = {
    "side": just(lambda scene: chess.COLOR_NAMES[scene.board.turn]),
    "other_side": just(lambda scene: chess.COLOR_NAMES[not scene.board.turn]),
    "winner": just(_winner),
    "mates_in": just(lambda scene: probe(scene.board).moves),
    "result": just(lambda scene: probe(scene.board).result.name.lower()),
    "status": just(lambda scene: _status(scene.board)),
    "in_check": just(lambda scene: scene.board.is_check()),
}
