"""Claims about what is enough: men that are left to mate with, what a pawn becomes, a piece that stops it."""

from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.model.claims import EnoughToMate, NewQueen
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
