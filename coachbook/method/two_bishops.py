"""Two bishops against a lone king, in stages.

*Box* is the region of `box`: every square that the lone king could walk to if you stood still. Figures,
up to symmetry (tests/method/test_stages.py): from all 312,951 won positions the wall stands in at most
4 moves, the small box in 11 more, mate in 13 more: 28, where best play needs at most 19. Bishops on one
colour never win.
"""

from coachbook.method.box import region_size
from coachbook.method.positions import Mask, Positions
from coachbook.method.rules import kings_apart
from coachbook.method.stages import Course, Stage

WALL = 20
SMALL = 4
NEAR = 3


def _behind_a_wall(positions: Positions) -> Mask:
    wall: Mask = positions.see(region_size) <= WALL
    return wall


def _cornered(positions: Positions) -> Mask:
    cornered: Mask = (positions.see(region_size) <= SMALL) & (positions.see(kings_apart) <= NEAR)
    return cornered


TWO_BISHOPS = Course(
    name="two-bishops",
    pieces="BB",
    stages=(
        Stage("wall", _behind_a_wall, (("squares", WALL),)),
        Stage("small_box", _cornered, (("squares", SMALL), ("steps", NEAR))),
        Stage("mate", None),
    ),
)
