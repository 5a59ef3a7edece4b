"""Claims about results: what a position is worth, who mates and when; and about what is enough for one: men
that are left to mate with, what a pawn becomes, a piece that stops it."""

from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Outcome, Result, after_move, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.model.claims import EnoughToMate, FinalStatus, MateIn, NewQueen, ResultIs
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Fact


def _is_yes(yes: bool) -> frozenset[str]:
    return frozenset({"yes" if yes else "no"})


def _queens(board: chess.Board) -> list[chess.Board]:
    """After each way to make a queen."""
    return [after_move(board, move) for move in board.legal_moves if move.promotion == chess.QUEEN]


def _wins_with(board: chess.Board, piece: chess.PieceType) -> bool:
    after = (after_move(board, move) for move in board.legal_moves if move.promotion == piece)
    return any(probe(then).result is Result.LOSS for then in after)


def _is_new_queen(board: chess.Board, claim: NewQueen) -> bool:
    queens = _queens(board)
    if not board.turn or not queens:
        return False
    if claim.wins:
        return all(probe(then).result is Result.LOSS for then in queens)
    other_wins = any(_wins_with(board, piece) for piece in (chess.ROOK, chess.BISHOP, chess.KNIGHT))
    return other_wins and all(then.is_stalemate() for then in queens)


def _captures(board: chess.Board) -> Iterator[tuple[str, chess.Board]]:
    """What can be taken, by name, and the position after that."""
    for move in board.generate_legal_captures():
        yield chess.piece_name(board.piece_type_at(move.to_square) or chess.KING), after_move(board, move)


def _cannot_mate(board: chess.Board) -> bool:
    """As the Laws of Chess have it (5.2.2, a dead position): by no series of legal moves."""
    return board.has_insufficient_material(chess.WHITE)


def _is_enough(board: chess.Board, claim: EnoughToMate) -> bool:
    if board.turn or board.occupied_co[chess.BLACK] & ~board.kings:
        return False
    if claim.enough:
        return probe(board).result is Result.LOSS
    return _cannot_mate(board) or any(_cannot_mate(then) for _, then in _captures(board))


NEW_QUEEN = ClaimCheck[NewQueen](
    holds=_is_new_queen,
    answers={AnswerForm.CHOICE: lambda claim: _is_yes(claim.wins)},
    options=lambda _: ("yes", "no"),
)
ENOUGH_TO_MATE = ClaimCheck[EnoughToMate](
    holds=_is_enough,
    answers={AnswerForm.CHOICE: lambda claim: _is_yes(claim.enough)},
    options=lambda _: ("yes", "no"),
)


def _squares_left(scene: Scene) -> tuple[str, ...] | None:
    """Where the lone king can go after the new queen, which gives no check."""
    queens = _queens(scene.board)
    if len(queens) != 1 or queens[0].is_check():
        return None
    return tuple(sorted(chess.square_name(move.to_square) for move in queens[0].legal_moves))


def _wins_instead(scene: Scene, fact: Fact) -> bool:
    return fact in chess.PIECE_NAMES and _wins_with(scene.board, chess.PIECE_NAMES.index(str(fact)))


def _white_men(board: chess.Board) -> tuple[str, ...]:
    """White's men besides the king, by name, the strongest first."""
    men = [board.piece_type_at(at) or 0 for at in chess.SquareSet(board.occupied_co[True] & ~board.kings)]
    return tuple(chess.piece_name(man) for man in sorted(men, reverse=True))


def _men_after(scene: Scene, fact: Fact) -> bool:
    """What is taken, and the men that are left then; where it is not enough, nothing is with them."""
    if not isinstance(fact, tuple) or not isinstance(scene.claim, EnoughToMate):
        return False
    left = [then for man, then in _captures(scene.board) if (man, *_white_men(then)) == fact]
    return bool(left) and _cannot_mate(left[0]) is not scene.claim.enough


def _enough(scene: Scene) -> bool | None:
    return scene.claim.enough if isinstance(scene.claim, EnoughToMate) else None


def _after_answer(scene: Scene) -> tuple[chess.Board, chess.Square] | None:
    """After the right move, and where its piece stands; None where it can be taken, or no pawn is left."""
    board = scene.answer_board
    move = board.parse_san(scene.exercise.answer.accepted[0])
    after = after_move(board, move)
    taken = any(reply.to_square == move.to_square for reply in after.legal_moves)
    return None if taken or not after.pieces(chess.PAWN, chess.BLACK) else (after, move.to_square)


def _guards_on_way(scene: Scene, fact: Fact) -> bool:
    """All squares in front of the pawn that the moved piece attacks, the nearest first."""
    found = _after_answer(scene)
    if found is None:
        return False
    after, square = found
    (pawn,) = after.pieces(chess.PAWN, chess.BLACK)
    way = [at for at in range(63, -1, -1) if at % 8 == pawn % 8 and at < pawn]
    guarded = tuple(chess.square_name(at) for at in way if after.attackers_mask(True, at) >> square & 1)
    return bool(guarded) and fact == guarded


def _blocks_way(scene: Scene) -> bool:
    found = _after_answer(scene)
    if found is None:
        return False
    after, square = found
    (pawn,) = after.pieces(chess.PAWN, chess.BLACK)
    return square % 8 == pawn % 8 and square < pawn


WINNING_FACTS: dict[str, FactCheck] = {
    "queen_leaves": just(_squares_left),
    "queen_stalemates": just(lambda scene: all(then.is_stalemate() for then in _queens(scene.board))),
    "instead": _wins_instead,
    "men": just(lambda scene: _white_men(scene.board)),
    "takes_nothing": just(lambda scene: not any(_captures(scene.board))),
    "taken_and_left": _men_after,
    "never_mate": just(lambda scene: _cannot_mate(scene.board)),
    "enough": just(_enough),
    "way_guarded": _guards_on_way,
    "blocks_way": just(_blocks_way),
}


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
