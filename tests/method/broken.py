"""Rule lists broken on purpose: the proof must catch every one."""

from dataclasses import replace

import numpy as np

from coachbook.method.common import MATE
from coachbook.method.positions import is_stalemate
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Look, Method, Rule

_NOTHING = Rule("nothing is forbidden", "", lambda look: np.zeros(len(look), dtype=np.bool_))

CARELESS_QUEEN: Method = replace(QUEEN_BOX, never=_NOTHING)
"""The queen's box without the safety rule: it stalemates, or leaves her to be taken."""

LAZY_QUEEN: Method = replace(QUEEN_BOX, rules=(MATE, QUEEN_BOX.rules[1], QUEEN_BOX.rules[3]))
"""The queen's box without the king: it goes round in circles."""

UNSURE_ROOK: Method = replace(ROOK_BOX, rules=ROOK_BOX.rules[:3])
"""The rook's box without its last rules: sometimes no rule has a move."""

ONLY_STALEMATES = replace(
    QUEEN_BOX,
    never=_NOTHING,
    rules=(MATE, Rule("stalemate", "", lambda look: look.then(is_stalemate)), *QUEEN_BOX.rules[1:]),
)
"""The queen's box that stalemates with pleasure."""


def takes_back(look: Look) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """A rule that allows every move: all moves are tied, so all must work."""
    return np.ones(len(look), dtype=np.bool_)


ANY_MOVE: Method = replace(QUEEN_BOX, rules=(MATE, Rule("any move", "", takes_back)))
