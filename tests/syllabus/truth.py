"""What the exact tables say about a board, in words of a class: who wins, and by which moves."""

import chess

from coachbook.endgame.probe import Result, judge_moves, probe
from tests.judges.moves import placed

WIN, DRAW, LOSS = Result.WIN, Result.DRAW, Result.LOSS


def moves_to(board: chess.Board, result: Result) -> set[str]:
    """The moves (SAN without signs) that lead the side to move to this result."""
    return {each.san.rstrip("+#") for each in judge_moves(board) if each.outcome.result is result}


def mate_in(board: chess.Board) -> int | None:
    return probe(board).moves


def result_of(pieces: str, *, white_to_move: bool = True) -> Result:
    """The result for the side to move, men as in `placed`."""
    return probe(placed(pieces, white_to_move=white_to_move)).result
