"""Positions up to turning and mirroring the board, and every legal start of an ending.

Without pawns a position has up to eight looks, with pawns two. The canonical look has the
attacker's king in the triangle a1-d1-d4 (with pawns: on files a to d); like pieces are sorted.
"""

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe_many
from coachbook.endgame.symmetry import SWAP, king_rows
from coachbook.endgame.symmetry import turned as turned_squares
from coachbook.endgame.tables import shared_tables
from coachbook.method.positions import KING, RANK, Positions, Squares, attacked, ending_name, on

Codes = NDArray[np.int64]


_LOOKS: Squares = np.array([turned_squares(way) for way in range(8)], dtype=np.int8)
"""The ways to turn and mirror, as in `symmetry`: _LOOKS[way, square] is where the square goes."""


_TURNED, _MIRRORED = (
    np.array([turn for _, turn in king_rows(has_pawns)], dtype=np.int8) for has_pawns in (False, True)
)
"""For each square of the king: the way that brings it home, without and with pawns."""


def code(positions: Positions) -> Codes:
    """A number that names each position, its look included. Shape (n,), int64."""
    men = list(positions.men)
    if len(positions.pieces) == 2 and positions.pieces[0] == positions.pieces[1]:
        men[2:] = [np.minimum(men[2], men[3]), np.maximum(men[2], men[3])]
    number = men[0].astype(np.int64)
    for column in men[1:]:
        number = number * 64 + column
    return number


def decode(pieces: str, codes: Codes) -> Positions:
    """The positions that `codes` name."""
    men = [((codes >> (6 * place)) & 63).astype(np.int8) for place in range(len(pieces) + 1, -1, -1)]
    return Positions(pieces, men)


def turned(positions: Positions, way: int | Squares) -> Positions:
    """The positions turned or mirrored, all in one way (0 to 7) or each in its own."""
    return Positions(positions.pieces, [_LOOKS[way, column] for column in positions.men])


def canonical(positions: Positions) -> Codes:
    """The same number for all looks of a position. Shape (n,), int64."""
    if "P" in positions.pieces:
        return code(turned(positions, _MIRRORED[positions.king]))
    home = turned(positions, _TURNED[positions.king])
    return np.minimum(code(home), _code_across(home))


def _code_across(home: Positions) -> Codes:
    """The code of the look across the long diagonal, for kings that stand on it; else the same."""
    across = np.where(home.king % 9 == 0, SWAP, 0).astype(np.int8)
    return code(turned(home, across))


def looks_of(canonical_positions: Positions) -> NDArray[np.int64]:
    """How many different looks each canonical position has: 8 or 4, with pawns 2. Shape (n,)."""
    if "P" in canonical_positions.pieces:
        return np.full(len(canonical_positions), 2)
    on_diagonal = canonical_positions.king % 9 == 0
    same = code(canonical_positions) == _code_across(canonical_positions)
    return np.where(on_diagonal & same, 4, 8)


def table_values(positions: Positions, side: int) -> NDArray[np.int64]:
    """What the tables hold of positions of one ending with this side (0: White) to move; see
    `endgame.retrograde`. Shape (n,)."""
    squares = np.stack((positions.king, *positions.others, positions.lone), axis=1).astype(np.intp)
    values = probe_many(parse_material(ending_name(positions.pieces)), side, squares, shared_tables())
    return values.astype(np.int64)


def legal_codes(pieces: str) -> Codes:
    """Canonical codes, sorted, of all legal positions with the attacker to move. Shape (n,), int64."""
    kings = [square for square in range(64) if (_MIRRORED if "P" in pieces else _TURNED)[square] == 0]
    rest = np.arange(64 ** (len(pieces) + 1), dtype=np.int64)
    found = []
    for king in kings:
        codes = king * len(rest) + rest
        positions = decode(pieces, codes)
        positions = positions.take(is_legal(positions))
        own = code(positions)
        found.append(own[own == canonical(positions)])
    return np.unique(np.concatenate(found))


def is_legal(positions: Positions) -> NDArray[np.bool_]:
    """Attacker to move: men on squares of their own, kings apart, no check, pawns on ranks 2 to 7."""
    return is_set_up(positions) & ~on(attacked(positions), positions.lone)


def is_set_up(positions: Positions) -> NDArray[np.bool_]:
    """Men on squares of their own, kings apart, pawns on ranks 2 to 7; check is not looked at."""
    legal = ~on(KING[positions.king], positions.lone)
    for place, column in enumerate(positions.men):
        for other in positions.men[:place]:
            legal &= column != other
    for kind, column in zip(positions.pieces, positions.others, strict=True):
        if kind == "P":
            legal &= (RANK[column] > 0) & (RANK[column] < 7)
    return legal
