"""Whether a claim holds: worked out from tables and the rules of chess, one function a claim.

Nothing here is shared with the kinds that claim, nor with the methods' code (but for what a
method or a verdict says, which only these can tell; of a verdict the tables must say the same).
"""

from collections.abc import Callable
from functools import cache

import chess

from coachbook.endgame.probe import Outcome, Result, judge_moves, probe
from coachbook.exercises.box_truth import box_of, moves_to_smallest_box, walks_to
from coachbook.method.border import choose, fits
from coachbook.method.methods import find_method
from coachbook.method.verdicts import is_reason
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
    ReasonIs,
    RegionIs,
    ResultIs,
    SmallestBox,
    SquareOfPawn,
    TakesOpposition,
    ThrowingSquares,
    WallsAre,
)


def holds(board: chess.Board, claim: Claim) -> bool:  # noqa: C901 - one case for each claim
    """Whether a claim is true of a legal position of up to four men."""
    match claim:
        case AllMates():
            return claim.moves == _moves_after_which(board, chess.Board.is_checkmate)
        case AllStalemates():
            return claim.moves == _moves_after_which(board, chess.Board.is_stalemate)
        case MateIn():
            return probe(board) == Outcome(Result.WIN, claim.moves)
        case FastestMates():
            return probe(board) == Outcome(Result.WIN, claim.moves) and claim.first == _fastest(board)
        case KeepingMoves():
            return claim.moves == _keeping(board)
        case ResultIs():
            return claim.white_wins == (_for_white(board) is Result.WIN) and _for_white(board) >= Result.DRAW
        case FinalStatus():
            return claim.status == _status(board)
        case ThrowingSquares():
            return claim.squares == _thrown(board, claim.piece)
        case WallsAre():
            return claim.squares == box_of(board, claim.piece)
        case RegionIs():
            return claim.squares == walks_to(board)
        case SmallestBox():
            return (claim.squares, claim.moves) == moves_to_smallest_box(board, claim.piece, claim.measure)
        case SquareOfPawn():
            decided = claim.reached == (_for_white(board) is Result.DRAW)
            told = claim.squares, claim.reached
            return decided and _is_pawn(board, claim.pawn) and told == _square_of_pawn(board, claim.pawn)
        case KeySquares():
            return _is_pawn(board, claim.pawn) and claim.squares == _key_squares(claim.pawn)
        case TakesOpposition():
            return claim.moves == _to_opposition(board)
        case MethodRule():
            return _method_says(board, claim)
        case ReasonIs():
            return _is_why(board, claim)


def _moves_after_which(board: chess.Board, wanted: Callable[[chess.Board], bool]) -> frozenset[str]:
    found = set()
    after = board.copy(stack=False)
    for move in board.legal_moves:
        after.push(move)
        if wanted(after):
            found.add(move.uci())
        after.pop()
    return frozenset(found)


def _fastest(board: chess.Board) -> frozenset[str]:
    shortest = probe(board).moves or 0
    return _moves_after_which(board, lambda after: probe(after) == Outcome(Result.LOSS, shortest - 1))


def _keeping(board: chess.Board) -> frozenset[str]:
    kept = -probe(board).result
    return _moves_after_which(board, lambda after: probe(after).result == kept)


def _for_white(board: chess.Board) -> Result:
    result = probe(board).result
    return result if board.turn else Result(-result)


def _status(board: chess.Board) -> str:
    if board.is_checkmate():
        return "mate"
    return "stalemate" if board.is_stalemate() else "neither"


def _thrown(board: chess.Board, piece: chess.Square) -> frozenset[int]:
    """Where a piece can go so that a won position is won no more."""
    if probe(board).result is not Result.WIN:
        return frozenset()
    return frozenset(
        judged.move.to_square
        for judged in judge_moves(board)
        if judged.move.from_square == piece and judged.outcome.result is not Result.WIN
    )


def _is_pawn(board: chess.Board, square: chess.Square) -> bool:
    return board.piece_at(square) == chess.Piece(chess.PAWN, chess.WHITE)


def _square_of_pawn(board: chess.Board, pawn: chess.Square) -> tuple[frozenset[int], bool]:
    """The squares from which he is as near to the queening square's rank and file as the pawn; and
    whether Black's king, to move, is in them after his move.

    Common practice, no source; a pawn on its first square is counted as on the next.
    """
    left = 7 - max(chess.square_rank(pawn), 2)
    goal = chess.square(chess.square_file(pawn), 7)
    square = frozenset(q for q in chess.SQUARES if chess.square_distance(q, goal) <= left)
    lone = board.king(chess.BLACK)
    steps = {move.to_square for move in board.legal_moves if move.from_square == lone}
    return square, board.turn == chess.BLACK and not square.isdisjoint(steps)


@cache
def _key_squares(pawn: chess.Square) -> frozenset[int]:
    """Common practice, no source; each is checked against the tables: with White's king there and
    White to move, White wins wherever the lone king stands; with a rook's pawn, wherever he stands on
    the two last ranks (elsewhere he may go for the pawn). Empty if that should fail."""
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    if file in (0, 7):
        beside = 1 if file == 0 else 6
        squares = {chess.square(beside, 6), chess.square(beside, 7)}
    else:
        ranks = {rank + 2} if rank < 4 else {rank + 1, rank + 2} & set(range(8))
        squares = {chess.square(f, r) for f in (file - 1, file, file + 1) for r in ranks}
    return frozenset(squares) if all(_wins_with_king_on(pawn, square) for square in squares) else frozenset()


def _wins_with_king_on(pawn: chess.Square, king: chess.Square) -> bool:
    rook_pawn = chess.square_file(pawn) in (0, 7)
    for lone in chess.SquareSet(chess.BB_RANK_7 | chess.BB_RANK_8 if rook_pawn else chess.BB_ALL):
        if lone in (pawn, king):
            continue
        board = chess.Board(None)
        for square, symbol in ((pawn, "P"), (king, "K"), (lone, "k")):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        if board.is_valid() and probe(board).result is not Result.WIN:
            return False
    return True


def _to_opposition(board: chess.Board) -> frozenset[str]:
    own, other = board.king(board.turn), board.king(not board.turn)
    found = set()
    for move in board.legal_moves:
        if move.from_square == own and other is not None:
            apart = abs(chess.square_file(move.to_square) - chess.square_file(other))
            above = abs(chess.square_rank(move.to_square) - chess.square_rank(other))
            if (apart, above) in ((0, 2), (2, 0)):
                found.add(move.uci())
    return frozenset(found)


def _method_says(board: chess.Board, claim: MethodRule) -> bool:
    method = find_method(claim.method)
    if method is None or not fits(board, method):
        return False
    chosen = choose(board, method)
    named = {move.uci() for move in chosen.moves}
    return chosen.rule is not None and chosen.rule.name == claim.rule and named == claim.moves


def _is_why(board: chess.Board, claim: ReasonIs) -> bool:
    after = board.copy(stack=False)
    if claim.after:
        if claim.after not in {move.uci() for move in board.legal_moves}:
            return False
        after.push_uci(claim.after)
    return is_reason(after, claim.reason)
