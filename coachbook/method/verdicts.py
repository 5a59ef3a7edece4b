"""Why a position is won or drawn: the verdicts, where the tables bear them out."""

from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Result, probe
from coachbook.method import king_and_pawn_verdicts, queen_against_pawn, rook_verdicts
from coachbook.method.border import attacker
from coachbook.method.rook_sights import with_pawn
from coachbook.model.because import Verdict


def find_reason(board: chess.Board) -> Verdict | None:
    """The first verdict that holds on the board; None where there is none, or it is an exception."""
    return next(_reasons(board), None)


def _reasons(board: chess.Board) -> Iterator[Verdict]:
    for pawn in king_and_pawn_verdicts.find_verdicts(board):
        if pawn.won == _is_decided(board):
            yield Verdict(pawn.because, attacker(board))
    for queen in queen_against_pawn.find_verdicts(board):
        if queen.won == _is_decided(board):
            yield Verdict(queen.because, board.turn, queen_against_pawn.is_mirrored(board))
    for rook in rook_verdicts.find_verdicts(board):
        if _pawn_side(board) is (Result.WIN if rook.won else Result.DRAW):
            yield Verdict(rook.because, with_pawn(board))


def _is_decided(board: chess.Board) -> bool:
    """In these endings only one side can win; with the queen against a pawn it is the one to move."""
    result = probe(board).result
    return result is Result.WIN if board.queens else result is not Result.DRAW


def _pawn_side(board: chess.Board) -> Result:
    """The result for the side that has the only pawn, whoever is to move."""
    result = probe(board).result
    return result if board.turn == with_pawn(board) else Result(-result)
