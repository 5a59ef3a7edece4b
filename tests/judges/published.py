"""What published tables say. Source: Gaviota's and Syzygy's, in the source distribution of `chess` 1.11.2."""

from dataclasses import dataclass

import chess
import chess.gaviota
import chess.syzygy


@dataclass(frozen=True, slots=True)
class Published:
    """Results of all positions of up to four men; mate distances of up to three."""

    results: chess.syzygy.Tablebase
    distances: chess.gaviota.PythonTablebase

    def result(self, board: chess.Board) -> int:
        """1, 0 or -1 for the side to move. "Cursed" wins (over 50 moves) are wins here."""
        wdl = self.results.probe_wdl(board)
        return (wdl > 0) - (wdl < 0)

    def keeping(self, board: chess.Board) -> set[str]:
        """The moves (UCI) that keep the result."""
        best, found = self.result(board), set()
        for move in board.legal_moves:
            after = board.copy(stack=False)
            after.push(move)
            if -self.result(after) == best:
                found.add(move.uci())
        return found

    def mates_in(self, board: chess.Board) -> int:
        """In how many moves the winner mates, counted in his moves. Three men, and somebody wins."""
        return (abs(self.distances.probe_dtm(board)) + 1) // 2
