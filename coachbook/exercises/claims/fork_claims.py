"""Claims about a double attack of the queen, tried move by move with the rules of chess alone."""

import chess

from coachbook.endgame.probe import after_move
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import ForkSquares
from coachbook.model.worksheet import AnswerForm


def _forks(board: chess.Board, queen: chess.Square) -> frozenset[int]:
    """Where White's queen gives check and attacks a rook that nothing can save."""
    if board.piece_map().get(queen) != chess.Piece(chess.QUEEN, chess.WHITE):
        return frozenset()
    moves = (move for move in board.legal_moves if move.from_square == queen)
    return frozenset(move.to_square for move in moves if _wins_rook(board, move))


def _wins_rook(board: chess.Board, move: chess.Move) -> bool:
    after = after_move(board, move)
    rooks = after.pieces(chess.ROOK, chess.BLACK)
    if not rooks & after.attacks(move.to_square) or move.to_square not in after.checkers():
        return False
    replies = list(after.legal_moves)
    return bool(replies) and all(_falls(after_move(after, reply)) for reply in replies)


def _falls(board: chess.Board) -> bool:
    """Whether White, to move, can take the rook and keeps the queen: nothing takes back or is stalemated."""
    for move in board.generate_legal_captures():
        then = after_move(board, move)
        taken_back = any(then.is_capture(reply) for reply in then.legal_moves)
        if then.queens and not then.rooks and not taken_back and not then.is_stalemate():
            return True
    return False


FORK_SQUARES = ClaimCheck[ForkSquares](
    holds=lambda board, claim: bool(claim.squares) and claim.squares == _forks(board, claim.piece),
    answers={
        AnswerForm.SQUARES: lambda claim: names_of(claim.squares),
        AnswerForm.MOVES: lambda claim: frozenset(
            chess.Move(claim.piece, square).uci() for square in claim.squares
        ),
    },
    all_asked=True,
    outlined=lambda claim: claim.squares,
)


def _is_fork(scene: Scene) -> bool:
    return scene.move is not None and _wins_rook(scene.board, scene.move)


FORK_FACTS: dict[str, FactCheck] = {"forks": just(_is_fork)}
