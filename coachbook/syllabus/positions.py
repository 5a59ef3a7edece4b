"""What is wrong with a position that a unit shows or has played out, if anything."""

import chess

from coachbook.errors import CoachbookError
from coachbook.model.position import Position


def position_mistake(fen: str, endings: tuple[str, ...]) -> str:
    """What is wrong with `fen` as a position of one of `endings`, or "" if it is fine.

    It must be well formed, legal by the rules of `chess`, not yet decided, with White (who
    attacks) to move, and have the men of one of the endings. No endings: any men will do.
    """
    try:
        position = Position(fen)
        board = chess.Board(fen)
    except (CoachbookError, ValueError):
        return f"'{fen}' is not a position in FEN; it needs eight ranks and a side to move"
    men = _ending_of(position)
    if not position.white_to_move:
        return "Black is to move; White, who attacks, must be to move"
    if board.castling_rights or not board.is_valid():
        return "the position is not legal (kings side by side, a king left in check, or castling)"
    if board.is_game_over():
        return "the game is over in this position"
    if endings and men not in endings:
        return f"the men are {men}; this unit is about {' and '.join(endings)}"
    return ""


def _ending_of(position: Position) -> str:
    """The men by value, White's first: `KQK` is king and queen against king."""
    men = "".join(position.pieces.values())
    white = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece)))
    black = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece.lower())))
    return white + black
