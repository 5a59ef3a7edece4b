"""Rule lists broken on purpose: the proof must catch every one."""

from dataclasses import replace

import numpy as np

from coachbook.method.hold_king_and_pawn import HOLD_KING_AND_PAWN
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.positions import is_stalemate
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import MATE, Look, Method, Rule

_NOTHING = Rule("nothing_is_forbidden", lambda look: np.zeros(len(look), dtype=np.bool_))

CARELESS_QUEEN: Method = replace(QUEEN_BOX, never=_NOTHING)
"""The queen's box without the safety rule: it stalemates, or leaves her to be taken."""

LAZY_QUEEN: Method = replace(QUEEN_BOX, rules=(MATE, QUEEN_BOX.rules[1], QUEEN_BOX.rules[3]))
"""The queen's box without the king: it goes round in circles."""

UNSURE_ROOK: Method = replace(ROOK_BOX, rules=ROOK_BOX.rules[:3])
"""The rook's box without its last rules: sometimes no rule has a move."""

HASTY_PAWN: Method = replace(KING_AND_PAWN, rules=(KING_AND_PAWN.rules[0], KING_AND_PAWN.rules[-1]))
"""The pawn runs, and the king stands still."""

CARELESS_PAWN: Method = replace(KING_AND_PAWN, never=_NOTHING)
"""King and pawn without the safety rule."""

SLANTING_KING: Method = replace(
    HOLD_KING_AND_PAWN, rules=(HOLD_KING_AND_PAWN.rules[0], HOLD_KING_AND_PAWN.rules[2])
)
"""The lone king who never takes the opposition: driven off, he loses."""

RUNAWAY_KING: Method = replace(
    HOLD_KING_AND_PAWN,
    never=_NOTHING,
    rules=(
        HOLD_KING_AND_PAWN.rules[0],
        Rule("any_move", lambda look: np.ones(len(look), dtype=np.bool_)),
    ),
)
"""The lone king who goes anywhere: the pawn queens."""

ONLY_STALEMATES = replace(
    QUEEN_BOX,
    never=_NOTHING,
    rules=(MATE, Rule("stalemate", lambda look: look.then(is_stalemate)), *QUEEN_BOX.rules[1:]),
)
"""The queen's box that stalemates with pleasure."""


def takes_back(look: Look) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """A rule that allows every move: all moves are tied, so all must work."""
    return np.ones(len(look), dtype=np.bool_)


ANY_MOVE: Method = replace(QUEEN_BOX, rules=(MATE, Rule("any_move", takes_back)))
