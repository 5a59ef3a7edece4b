"""The queen's box with a simpler walk of the king: proven from every position, longest 17 moves.

He goes the way that is shortest in files and ranks together.
"""

from dataclasses import replace

from coachbook.method.box import NO_BOX, walls_size
from coachbook.method.positions import Mask, Numbers, Positions, files_plus_ranks
from coachbook.method.queen_box import QUEEN_BOX, meeting_square
from coachbook.method.rules import Look, Rule, least

_MATE, _SMALLER, _, _OTHER = QUEEN_BOX.rules


def _way(positions: Positions) -> Numbers:
    return files_plus_ranks(positions.king, meeting_square(positions))


def _keeps_box(look: Look) -> Mask:
    kept = (look.then(walls_size) <= look.now(walls_size)) & (look.then(walls_size) < NO_BOX)
    return look.king_moves & kept


QUEEN_WALK = replace(
    QUEEN_BOX,
    name="queen-walk",
    rules=(
        _MATE,
        _SMALLER,
        Rule("walk_to_meeting_square", _keeps_box, (least(_way),)),
        _OTHER,
    ),
)
