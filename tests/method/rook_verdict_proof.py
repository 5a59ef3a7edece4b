"""The verdicts on rook and pawn against rook, held against the tables in every position there is."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.block_file import BLOCK, BlockFile
from coachbook.endgame.large_table import parts_of
from coachbook.endgame.material import parse_material
from coachbook.endgame.smaller import Values
from coachbook.endgame.space import BLACK, WHITE
from coachbook.method.moves import Side
from coachbook.method.positions import Mask
from coachbook.method.rook_sights import RookEnding, is_calm, is_set_up, plane, rows_of_plane
from coachbook.method.rook_verdicts import VERDICTS, Verdict

_KRPKR = parse_material("KRPKR")
_WINGS = 2
"""Each position on files a to d stands for itself and its mirror image."""
_RANKS = 6
"""On which a pawn can stand."""


@dataclass(frozen=True, slots=True)
class Counts:
    """Of the calm positions to which a verdict applies, mirror images too: in how many the pawn wins, in how
    many it is a draw, and in how many the other side wins."""

    pawn_wins: int = 0
    drawn: int = 0
    rook_wins: int = 0

    def and_also(self, values: Values, side: int) -> "Counts":
        """With these, too: values for White or Black to move."""
        won, lost = int((values > 0).sum()), int((values < 0).sum())
        pawn_wins, rook_wins = (won, lost) if side == WHITE else (lost, won)
        return Counts(
            self.pawn_wins + _WINGS * pawn_wins,
            self.drawn + _WINGS * int((values == 0).sum()),
            self.rook_wins + _WINGS * rook_wins,
        )


def count_all(folder: Path) -> dict[tuple[str, Side], Counts]:
    """What the tables in a folder say of each verdict, by its code and the side to move."""
    found = dict[tuple[str, Side], Counts]()
    for side, to_move in ((WHITE, Side.ATTACKER), (BLACK, Side.LONE_KING)):
        for positions, values in _planes(folder, side):
            for verdict in VERDICTS:
                if to_move in verdict.to_move and (told := tells(verdict, positions)).any():
                    key = verdict.because.value, to_move
                    found[key] = found.get(key, Counts()).and_also(values[told], side)
    return found


def positions_of(verdict: Verdict) -> Iterator[RookEnding]:
    """All calm positions to which a verdict applies, pawns on files a to d, in rows; its moves not
    counted."""
    for pawn in _pawns():
        for king in range(64):
            told = tells(verdict, plane(king, pawn))
            if told.any():
                yield rows_of_plane(king, pawn, told)


def tells(verdict: Verdict, positions: RookEnding) -> Mask:
    """Where a verdict says who wins: in legal positions only. Shape (64, 64, 64)."""
    told = np.broadcast_to(verdict.applies(positions), (64, 64, 64))
    return told & is_calm(positions) & is_set_up(positions) if told.any() else told


def boards_of(rows: RookEnding, to_move: Side) -> Iterator[chess.Board]:
    """Rows as boards, the pawn White's."""
    men = (rows.king, rows.rook, rows.pawn, rows.his_king, rows.his_rook)
    for squares in zip(*men, strict=True):
        board = chess.Board(None)
        board.turn = to_move is Side.ATTACKER
        for letter, square in zip("KRPkr", squares, strict=True):
            board.set_piece_at(int(square), chess.Piece.from_symbol(letter))
        yield board


def _pawns() -> Iterator[int]:
    return (file + 8 * rank for file in range(4) for rank in range(1, 1 + _RANKS))


def _planes(folder: Path, side: int) -> Iterator[tuple[RookEnding, Values]]:
    """All planes with this side to move, and their values, which mean something in legal positions only."""
    size = 64 * _RANKS * 64 * 64
    for part in parts_of(_KRPKR, side):
        with BlockFile(part.path(folder)) as file:
            for king in range(64):
                values = _read(file, king * size, size).reshape(64, _RANKS, 64, 64)
                for rank in range(_RANKS):
                    yield plane(king, (part.file or 0) + 8 * (rank + 1)), values[:, rank]


def _read(file: BlockFile, start: int, size: int) -> NDArray[np.int8]:
    parts = [file.read(at, BLOCK) for at in range(start, start + size, BLOCK)]
    return np.frombuffer(b"".join(parts), dtype=np.int8)
