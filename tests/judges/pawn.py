"""King and pawn, as a class draws it: the square of the pawn, key squares, the opposition."""

from functools import cache

import chess

from tests.judges.moves import after_each


def square_of_pawn(pawn: str) -> set[str]:
    """From the pawn as many files to both sides as it has steps to go, up to its last rank."""
    file, rank = "abcdefgh".index(pawn[0]), max(int(pawn[1]), 3)
    files = [f for f in range(8) if abs(f - file) <= 8 - rank]
    return {"abcdefgh"[f] + str(r) for f in files for r in range(rank, 9)}


def drawn_square(pawn: str, lone: str) -> set[str]:
    """The square as a class draws it: the half that lies on the lone king's side of the pawn's file."""
    sides = {square for square in square_of_pawn(pawn) if (square[0] > pawn[0]) == (lone[0] > pawn[0])}
    return sides | {square for square in square_of_pawn(pawn) if square[0] == pawn[0]}


def corners(area: set[str]) -> set[str]:
    """The squares on an outer file and an outer rank of an area."""
    files, ranks = (sorted({square[place] for square in area}) for place in (0, 1))
    return {file + rank for file in (files[0], files[-1]) for rank in (ranks[0], ranks[-1])}


def key_squares(pawn: str) -> set[str]:
    """Two ranks ahead on three files; from the fifth rank on also one rank ahead; a rook's pawn has two."""
    file, rank = "abcdefgh".index(pawn[0]), int(pawn[1])
    if pawn[0] in "ah":
        return {"a": {"b7", "b8"}, "h": {"g7", "g8"}}[pawn[0]]
    ranks = [rank + 2] if rank <= 4 else [r for r in (rank + 1, rank + 2) if r <= 8]
    return {"abcdefgh"[f] + str(r) for f in (file - 1, file, file + 1) for r in ranks}


def opposition(fen: str) -> set[str]:
    """The king's moves (UCI) after which the kings face each other."""
    return {
        then.peek().uci()
        for then in after_each(chess.Board(fen))
        if face_each_other(then) and then.piece_type_at(then.peek().to_square) == chess.KING
    }


def face_each_other(board: chess.Board) -> bool:
    """Whether one square is between the kings, on a rank or a file."""
    return _apart(board) == {0, 2}


def _apart(board: chess.Board) -> set[int]:
    """How many files, and how many ranks, one king stands from the other."""
    white, black = board.king(chess.WHITE), board.king(chess.BLACK)
    assert white is not None
    assert black is not None
    return {abs(white % 8 - black % 8), abs(white // 8 - black // 8)}


def is_taken_by_force(board: chess.Board) -> bool:
    """Whether Black's king, to move, takes the pawn or the queen that it becomes, whatever White plays.

    The king only looks at steps towards the pawn or the square where it queens.
    """
    return _takes(board.fen().split(" ")[0], 7)


@cache
def _takes(placed: str, moves: int) -> bool:
    board = chess.Board(f"{placed} b - - 0 1")
    (man,) = (square for square, man in board.piece_map().items() if man.symbol() in "PQ")
    goals = (man, chess.square(chess.square_file(man), 7))
    was = [chess.square_distance(board.king(chess.BLACK) or 0, goal) for goal in goals]
    for then in after_each(board):
        if then.is_capture(then.peek()) or len(then.piece_map()) == len("Kk"):
            return True
        king = then.king(chess.BLACK) or 0
        now = [chess.square_distance(king, goal) for goal in goals]
        if moves and board.pawns and any(a < b for a, b in zip(now, was, strict=True)):
            replies = [each.fen().split(" ")[0] for each in after_each(then)]
            if replies and all(_takes(reply, moves - 1) for reply in replies if set("RBN").isdisjoint(reply)):
                return True
    return False
