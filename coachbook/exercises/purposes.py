"""What a move is for, in a few words that can be seen to be true on the board."""

import chess


def purpose(board: chess.Board, move: chess.Move) -> str:
    """The first thing that the move does of those worth telling, or ""."""
    after = board.copy(stack=False)
    after.push(move)
    if after.is_checkmate():
        return "it is mate"
    if after.is_stalemate():
        return "it is stalemate"
    taken = board.piece_type_at(move.to_square)
    if taken:
        return f"takes the {chess.piece_name(taken)}"
    if move.promotion:
        return f"the pawn becomes a {chess.piece_name(move.promotion)}"
    if board.piece_type_at(move.from_square) == chess.KING:
        return _of_king(board, move)
    if after.is_check():
        return "gives check"
    return "the pawn goes on" if board.piece_type_at(move.from_square) == chess.PAWN else ""


def _of_king(board: chess.Board, move: chess.Move) -> str:
    """What a step of the king does for or against the pawns."""
    before, now = move.from_square, move.to_square
    own, others = (list(board.pieces(chess.PAWN, side)) for side in (board.turn, not board.turn))
    if (own or others) and faces(now, board.king(not board.turn)):
        return "the kings face each other"
    if any(_in_the_way(now, pawn, not board.turn) for pawn in others):
        return "the king stands in the pawn's way"
    if any(_comes_beside(before, now, pawn) for pawn in others):
        return "the king goes for the pawn"
    if any(_comes_beside(before, now, pawn) for pawn in own):
        return "the king guards the pawn"
    return ""


def faces(king: chess.Square, other: chess.Square | None) -> bool:
    """Whether two kings stand on one rank or file with one square between them."""
    if other is None:
        return False
    apart = abs(chess.square_file(king) - chess.square_file(other))
    above = abs(chess.square_rank(king) - chess.square_rank(other))
    return {apart, above} == {0, 2}


def _in_the_way(king: chess.Square, pawn: chess.Square, side: chess.Color) -> bool:
    """Whether the king stands ahead of a pawn of this side, on its file."""
    above = chess.square_rank(king) - chess.square_rank(pawn)
    return chess.square_file(king) == chess.square_file(pawn) and (above > 0) == side


def _comes_beside(before: chess.Square, now: chess.Square, pawn: chess.Square) -> bool:
    return chess.square_distance(now, pawn) == 1 < chess.square_distance(before, pawn)
