"""What is wrong with a position that a unit shows or has played out, if anything."""

import chess

from coachbook.errors import CoachbookError
from coachbook.model.position import Position
from coachbook.model.syllabus import Goal


def position_mistake(fen: str, endings: tuple[str, ...], goal: Goal = Goal.WIN) -> str:
    """What is wrong with `fen` as a position of one of `endings`, or "" if it is fine.

    It must be well formed, legal by the rules of `chess` and not yet decided, and have the men
    of one of the endings (no endings: any men will do). The side to move is the student's: who
    is to win needs more than a king. Whether the goal can be reached, only the tables know.
    """
    try:
        position = Position(fen)
        board = chess.Board(fen)
    except (CoachbookError, ValueError):
        return f"'{fen}' is not a position in FEN; it needs eight ranks and a side to move"
    men = _ending_of(position)
    if board.castling_rights or not board.is_valid():
        return "the position is not legal (kings side by side, a king left in check, or castling)"
    if board.is_game_over():
        return "the game is over in this position"
    if endings and men not in endings:
        return f"the men are {men}; this unit is about {' and '.join(endings)}"
    side = "White" if board.turn else "Black"
    if goal is Goal.WIN and board.occupied_co[board.turn].bit_count() == 1:
        return f"{side} is to move and to win, with a king alone; the side to move is the student's"
    return ""


def _ending_of(position: Position) -> str:
    """The men by value, White's first: `KQK` is king and queen against king."""
    men = "".join(position.pieces.values())
    white = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece)))
    black = "".join(piece for piece in "KQRBNP" for _ in range(men.count(piece.lower())))
    return white + black
