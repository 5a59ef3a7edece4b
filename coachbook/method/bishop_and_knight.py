"""Bishop and knight against a lone king, in stages.

*Box* is the region of `box`: every square that the lone king could walk to if you stood still. Figures,
up to symmetry (tests/method/test_stages.py): from all 1,352,913 won positions he can be driven to the
edge for good in at most 22 moves, from there into a small box in 16 more, and mated in 10 more: 48, where
best play needs at most 33. Mate itself is only possible in a corner of the bishop's colour.
"""

from coachbook.method.box import region_size
from coachbook.method.positions import FILE, RANK, Mask, Positions
from coachbook.method.stages import Course, Stage

SMALL = 4


def _on_the_edge(positions: Positions) -> Mask:
    edge: Mask = (FILE[positions.lone] % 7 == 0) | (RANK[positions.lone] % 7 == 0)
    return edge


def _in_a_small_box(positions: Positions) -> Mask:
    small: Mask = positions.see(region_size) <= SMALL
    return small


BISHOP_AND_KNIGHT = Course(
    name="bishop-and-knight",
    pieces="BN",
    stages=(
        Stage("edge", _on_the_edge),
        Stage("right_corner", _in_a_small_box, (("squares", SMALL),)),
        Stage("mate", None),
    ),
)
