"""The verdicts on queen against pawn, held against the tables in every position there is."""

from dataclasses import dataclass
from functools import cache

import chess
import numpy as np

from coachbook.endgame.material import Material
from coachbook.endgame.probe import probe_many
from coachbook.endgame.smaller import IMPOSSIBLE, Values
from coachbook.endgame.space import WHITE
from coachbook.endgame.tables import Tables, shared_tables
from coachbook.method.positions import Mask
from coachbook.method.queen_against_pawn import VERDICTS, QueenAndPawn, Verdict, in_check

_ENDING = Material("Q", "P")
_WINGS = 2
"""Each position on files a to d stands for itself and its mirror image."""


@dataclass(frozen=True, slots=True)
class VerdictProof:
    """What the tables say of a verdict.

    `positions` it applies to, on all eight files; `exceptions` in which it is wrong, each with its
    mirror image (FEN, the pawn on files a to d); `longest` mate in moves where it says "won" and
    is right.
    """

    positions: int
    exceptions: tuple[str, ...]
    longest: int | None

    @property
    def wrong(self) -> int:
        """How many positions are exceptions, mirror images counted."""
        return _WINGS * len(self.exceptions)


@dataclass(frozen=True, slots=True)
class Cover:
    """All legal positions with the pawn on its seventh and the queen's side to move, on eight files.

    `told` of them have a verdict that is right, `wrong` one that is not, `checked` are those in
    which the pawn gives check; the rest have no verdict.
    """

    positions: int
    told: int
    wrong: int
    checked: int


def prove_verdict(verdict: Verdict) -> VerdictProof:
    """Hold one verdict against every position it applies to."""
    positions, values = _every_position(shared_tables())
    fits = _fits(verdict, positions)
    found, exact = positions.take(fits), values[fits]
    wrong = (exact > 0) != verdict.won
    decided = exact[~wrong]
    return VerdictProof(
        positions=_WINGS * len(found),
        exceptions=tuple(_fens(found.take(wrong))),
        longest=127 - int(decided.min()) if verdict.won and len(decided) else None,
    )


def cover() -> Cover:
    """How much of the ending the verdicts tell."""
    positions, values = _every_position(shared_tables())
    told = np.zeros(len(positions), dtype=np.bool_)
    wrong = np.zeros(len(positions), dtype=np.bool_)
    for verdict in VERDICTS:
        fits = _fits(verdict, positions)
        told |= fits
        wrong |= fits & ((values > 0) != verdict.won)
    checked = in_check(positions)
    return Cover(
        positions=_WINGS * len(positions),
        told=_WINGS * int((told & ~wrong).sum()),
        wrong=_WINGS * int(wrong.sum()),
        checked=_WINGS * int(checked.sum()),
    )


def _fits(verdict: Verdict, positions: QueenAndPawn) -> Mask:
    return verdict.applies(positions) & ~in_check(positions)


@cache
def _every_position(tables: Tables) -> tuple[QueenAndPawn, Values]:
    """All legal positions with the pawn on a2 to d2, queen's side to move, and their values."""
    squares = np.arange(64, dtype=np.int8)
    grids = np.meshgrid(squares, squares, squares[8:12], squares, indexing="ij")
    positions = QueenAndPawn(*(grid.reshape(-1) for grid in grids))
    men = (positions.king, positions.queen, positions.pawn, positions.his_king)
    apart = np.ones(len(positions), dtype=np.bool_)
    for place, man in enumerate(men):
        for other in men[:place]:
            apart &= man != other
    positions = positions.take(apart)
    values = _values(positions, tables)
    legal = values != IMPOSSIBLE
    return positions.take(legal), values[legal]


def _values(positions: QueenAndPawn, tables: Tables) -> Values:
    men = (positions.king, positions.queen, positions.pawn, positions.his_king)
    return probe_many(_ENDING, WHITE, np.stack(men, axis=1).astype(np.intp), tables)


def _fens(positions: QueenAndPawn) -> list[str]:
    fens = []
    for men in zip(positions.king, positions.queen, positions.pawn, positions.his_king, strict=True):
        board = chess.Board(None)
        for letter, square in zip("KQpk", men, strict=True):
            board.set_piece_at(int(square), chess.Piece.from_symbol(letter))
        fens.append(board.fen())
    return fens
