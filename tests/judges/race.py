"""Two pawns that run, move by move, as a class would play it out."""

from functools import cache

import chess


def steps_to_queen(rank: int, side: chess.Color) -> int:
    """The moves of a pawn on a rank (1 to 8) that only runs."""
    left = 8 - rank if side else rank - 1
    return left - 1 if left == 6 else left


def race(fen: str) -> tuple[int, int, str]:
    """The moves of White's pawn, those of Black's, and who queens first ("white" or "black")."""
    board = chess.Board(fen)
    left = {
        side: steps_to_queen(chess.square_rank(pawn) + 1, side)
        for side in chess.COLORS
        for pawn in board.pieces(chess.PAWN, side)
    }
    white, black, side = left[chess.WHITE], left[chess.BLACK], board.turn
    while True:
        left[side] -= 1
        if left[side] == 0:
            return white, black, "white" if side else "black"
        side = not side


def king_can_stop(fen: str, side: chess.Color) -> bool:
    """Whether the king against it can take or block this side's pawn, or take the new queen, while the pawn
    only runs, both kings' other men gone and its own king standing still."""
    board = chess.Board(fen)
    for pawn in board.pieces(chess.PAWN, not side):
        board.remove_piece_at(pawn)
    return _can_stop(board.fen(), side)


@cache
def _can_stop(fen: str, side: chess.Color) -> bool:
    board = chess.Board(fen)
    if board.occupied == board.kings:
        return True
    if board.turn != side:
        return any(_can_stop(then, side) for then in _each(board)) if any(board.legal_moves) else False
    if not board.pawns:
        return False
    return not (runs := _runs(board)) or _can_stop(runs[0], side)


def _each(board: chess.Board) -> list[str]:
    return [_after(board, move) for move in board.legal_moves]


def _runs(board: chess.Board) -> list[str]:
    """What the pawn's longest step leads to, if it has one."""
    steps = [move for move in board.legal_moves if board.piece_type_at(move.from_square) == chess.PAWN]
    steps = [move for move in steps if move.promotion in (None, chess.QUEEN)]
    return [
        _after(board, move)
        for move in sorted(steps, key=lambda move: -abs(move.to_square - move.from_square))
    ][:1]


def _after(board: chess.Board, move: chess.Move) -> str:
    then = board.copy(stack=False)
    then.push(move)
    return then.fen()
