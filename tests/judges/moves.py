"""What moves do, by trying them with the rules of the package `chess` alone. Moves are written in UCI."""

from functools import lru_cache

import chess

_WORTH = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 0}


def placed(men: str, *, white_to_move: bool = True) -> chess.Board:
    """A board with men by name and square, such as "Kb6 Rh7 ka8" (Black in small letters)."""
    board = chess.Board(None)
    for man in men.split():
        board.set_piece_at(chess.parse_square(man[1:]), chess.Piece.from_symbol(man[0]))
    board.turn = white_to_move
    return board


def after(board: chess.Board, move: chess.Move) -> chess.Board:
    """The board after a move, which is the last and only one on its stack."""
    then = board.copy(stack=False)
    then.push(move)
    return then


def after_each(board: chess.Board) -> list[chess.Board]:
    return [after(board, move) for move in board.legal_moves]


def mates(fen: str) -> set[str]:
    """The moves after which the other side is in check and has no move."""
    return {move for move, ends in _tried(fen) if ends == "mate"}


def stalemates(fen: str) -> set[str]:
    """The moves after which the other side is not in check and has no move."""
    return {move for move, ends in _tried(fen) if ends == "stalemate"}


@lru_cache(maxsize=4096)
def _tried(fen: str) -> list[tuple[str, str]]:
    return [(then.peek().uci(), status(then)) for then in after_each(chess.Board(fen))]


def status(board: chess.Board) -> str:
    """Whether the side to move is in "mate", in "stalemate", or in "neither"."""
    if any(board.legal_moves):
        return "neither"
    king = board.king(board.turn)
    assert king is not None
    return "mate" if board.is_attacked_by(not board.turn, king) else "stalemate"


@lru_cache(maxsize=4096)
def mates_in_two(fen: str) -> frozenset[str]:
    """The moves after which every reply allows a mate; none of them mates or stalemates."""
    return frozenset(
        then.peek().uci()
        for then in after_each(chess.Board(fen))
        if any(then.legal_moves) and all(_can_mate(replied) for replied in after_each(then))
    )


def _can_mate(board: chess.Board) -> bool:
    checks = [move for move in board.legal_moves if board.gives_check(move)]
    return any(after(board, move).is_checkmate() for move in checks)


def can_take(board: chess.Board) -> bool:
    """Whether the side to move can take anything."""
    return any(map(board.is_capture, board.legal_moves))


def spoils(board: chess.Board) -> bool:
    """Whether the side to move is stalemated, or can take something."""
    return can_take(board) or status(board) == "stalemate"


def lost_squares(fen: str, piece: str) -> set[str]:
    """Where a queen or rook that is alone with its king is taken at once, or stalemates."""
    then = [each for each in after_each(chess.Board(fen)) if spoils(each)]
    moves = [each.peek() for each in then]
    return {chess.square_name(m.to_square) for m in moves if chess.square_name(m.from_square) == piece}


def loses_a_piece(board: chess.Board, move: chess.Move) -> bool:
    """Whether the other side can then take a piece, no pawn, so that it has more than before the move,
    also when it is taken back."""
    then = after(board, move)
    for capture in filter(then.is_capture, then.legal_moves):
        if then.piece_type_at(capture.to_square) in (None, chess.PAWN):
            continue
        taken = after(then, capture)
        back = [after(taken, reply) for reply in taken.legal_moves if reply.to_square == capture.to_square]
        if max(_balance(each, board.turn) for each in (taken, *back)) < _balance(board, board.turn):
            return True
    return False


def _balance(board: chess.Board, side: chess.Color) -> int:
    men = board.piece_map().values()
    return sum(_WORTH[man.piece_type] * (1 if man.color == side else -1) for man in men)
