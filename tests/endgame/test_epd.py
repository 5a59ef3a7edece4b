"""Checked against the EPD file of mate distances in the source distribution of `chess` 1.11.2.

It takes the longest mates from K. Kryukov's published table of longest checkmates.
"""

from pathlib import Path

import chess

from coachbook.endgame.probe import Outcome, Result, probe
from coachbook.endgame.tables import Tables


def expected(board: chess.Board, moves: int) -> Outcome:
    """`dm`: the side to move mates in so many moves, or (negative) is mated; 0: a draw."""
    if moves == 0:
        return Outcome(Result.LOSS, 0) if board.is_checkmate() else Outcome(Result.DRAW, None)
    return Outcome(Result.WIN if moves > 0 else Result.LOSS, abs(moves))


def test_every_line_of_the_epd_file_agrees(endgame_epd: Path, tables: Tables) -> None:
    mismatches, captures_en_passant = [], 0
    for line in endgame_epd.read_text().splitlines():
        if line and not line.startswith("#"):
            board, operations = chess.Board.from_epd(line)
            distance = operations["dm"]
            assert isinstance(distance, int)
            captures_en_passant += board.has_legal_en_passant()
            if probe(board, tables) != expected(board, distance):
                mismatches.append(line)
    assert mismatches == []
    assert captures_en_passant > 0
