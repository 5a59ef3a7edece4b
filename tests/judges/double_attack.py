"""A queen's double attack on king and rook, by trying what can follow with the rules of `chess` alone."""

import chess

from tests.judges import moves
from tests.judges.moves import after, after_each, can_take


def checks_on_rook(fen: str) -> list[chess.Board]:
    """What stands on the board after each check of White's queen with which it attacks Black's rook, too."""
    found = []
    for then in after_each(chess.Board(fen)):
        move = then.peek()
        seen = [then.piece_at(square) for square in then.attacks(move.to_square)]
        if then.piece_type_at(move.to_square) == chess.QUEEN and {"k", "r"} <= {str(man) for man in seen}:
            found.append(then)
    return found


def wins_rook(then: chess.Board) -> bool:
    """Whether after each reply White takes the rook, keeps the queen and has not stalemated."""
    return any(then.legal_moves) and all(map(_falls, after_each(then)))


def forks(fen: str) -> set[str]:
    """The squares from which the queen checks the king, attacks the rook, and wins it next move."""
    winning = [then for then in checks_on_rook(fen) if wins_rook(then)]
    return {chess.square_name(then.peek().to_square) for then in winning}


def saved_by_a_mate(fen: str) -> bool:
    """Whether some double attack wins the rook, or else mates: a reply saves the rook, and is mated."""
    return any(
        not wins_rook(then)
        and all(_falls(replied) or moves.mates(replied.fen()) for replied in after_each(then))
        for then in checks_on_rook(fen)
    )


def _falls(board: chess.Board) -> bool:
    if not board.queens:
        return False  # the rook took her: to take it back wins nothing
    taken = [after(board, move) for move in board.legal_moves if str(board.piece_at(move.to_square)) == "r"]
    kept = [then for then in taken if then.pieces(chess.QUEEN, chess.WHITE) and not can_take(then)]
    return any(any(then.legal_moves) or then.is_checkmate() for then in kept)
