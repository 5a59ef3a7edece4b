"""What the tables say of every position of king and pawn against king."""

from functools import cache

import numpy as np

from coachbook.endgame.material import parse_material
from coachbook.endgame.probe import probe_many
from coachbook.endgame.space import BLACK, WHITE
from coachbook.endgame.tables import shared_tables
from coachbook.method.bitboards import Mask
from coachbook.method.positions import Positions, is_stalemate
from coachbook.method.sides import Side
from coachbook.method.symmetry import Codes, canonical, decode, is_legal, is_set_up

_EVERY = 64**3


@cache
def every_position(to_move: Side) -> tuple[Positions, Mask]:
    """All legal positions, mirror images too, with this side to move; and which of them are won."""
    positions = decode("P", np.arange(_EVERY))
    legal = is_legal(positions) if to_move is Side.ATTACKER else is_set_up(positions)
    positions = positions.take(legal)
    columns = (positions.king, positions.piece, positions.lone)
    squares = np.stack([column.astype(np.intp) for column in columns], axis=1)
    side = WHITE if to_move is Side.ATTACKER else BLACK
    return positions, probe_many(parse_material("KPK"), side, squares, shared_tables()) != 0


def won_starts(_ending: str) -> Codes:
    """Canonical codes of the won positions, attacker to move."""
    positions, won = every_position(Side.ATTACKER)
    return np.unique(canonical(positions.take(won)))


def drawn_starts(_ending: str) -> Codes:
    """Canonical codes of the drawn positions in which the lone king has a move."""
    positions, won = every_position(Side.LONE_KING)
    return np.unique(canonical(positions.take(~won & ~positions.see(is_stalemate))))
