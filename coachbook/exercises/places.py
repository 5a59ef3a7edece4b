"""Positions of one ending with one side to move, as sets that are narrowed by where the men stand.

What a theme says of the men is said once (`themes_of_men`), for two sorts of sets: all positions of a survey,
and those that were placed by chance, where there is no survey.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.space import ALL, WHITE, Man, Space
from coachbook.endgame.symmetry import Words, packed

Squares = NDArray[np.intp]
Mask = NDArray[np.bool_]
Set = NDArray[Any]
"""Positions, of a survey as `Words`, of placed ones as a `Mask`: joined by &, | and ~."""
Suits = Callable[[Squares], Mask]
"""Whether a man suits on each of the squares."""
Related = Callable[[Squares, Squares], Mask]
"""Whether something is so of squares of a king (or a man) and of a man, in any shapes that broadcast."""


class Places(Protocol):
    """The positions that there are, and which of them suit."""

    @property
    def side(self) -> int:
        """The side to move."""

    @property
    def men(self) -> Sequence[Man]:
        """All men besides the kings."""

    def every(self) -> Set:
        """All positions; of a survey, all cells."""

    def where(self, man: Man, suits: Suits) -> Set:
        """Where a man stands on a square that suits."""

    def where_both(self, one: Man, other: Man, related: Related) -> Set:
        """Where it is so of the squares of two men."""

    def where_king(self, side: int, man: Man, related: Related) -> Set:
        """Where it is so of the squares of a side's king and of a man."""

    def where_kings(self, related: Related) -> Set:
        """Where it is so of the squares of White's king and of Black's."""


@dataclass(frozen=True, slots=True)
class Surveyed:
    """All cells of a survey's space."""

    survey: Survey

    @property
    def side(self) -> int:
        return self.survey.side

    @property
    def men(self) -> Sequence[Man]:
        return self.survey.space.men

    def every(self) -> Words:
        return ~self.survey.space.empty()

    def where(self, man: Man, suits: Suits) -> Words:
        return self.survey.space.along(man.axis, _all_or_none(suits(man.squares)))

    def where_both(self, one: Man, other: Man, related: Related) -> Words:
        squares = (self.survey.space.along(man.axis, man.squares) for man in (one, other))
        return _all_or_none(related(*squares))

    def where_king(self, side: int, man: Man, related: Related) -> Words:
        space = self.survey.space
        if side == WHITE:
            return _all_or_none(related(space.along(0, space.kings), space.along(man.axis, man.squares)))
        return space.along(man.axis, packed(related(np.arange(64), man.squares[:, None])))

    def where_kings(self, related: Related) -> Words:
        kings = self.survey.space.kings[:, None]
        suits = np.broadcast_to(related(kings, np.arange(64)), (len(kings), 64))
        return self.survey.space.along(0, packed(suits))


def _all_or_none(suits: Mask) -> Words:
    """Words for all squares of Black's king where something suits, else for none. Same shape."""
    return np.where(suits, ALL, np.uint64(0))


@dataclass(frozen=True, slots=True)
class Placed:
    """Positions one by one: `squares` has shape (n, men), White's king first, Black's last."""

    space: Space
    side: int
    squares: Squares

    @property
    def men(self) -> Sequence[Man]:
        return self.space.men

    def every(self) -> Mask:
        return np.ones(len(self.squares), dtype=np.bool_)

    def where(self, man: Man, suits: Suits) -> Mask:
        return suits(self.squares[:, man.axis])

    def where_both(self, one: Man, other: Man, related: Related) -> Mask:
        return related(self.squares[:, one.axis], self.squares[:, other.axis])

    def where_king(self, side: int, man: Man, related: Related) -> Mask:
        return related(self.squares[:, 0 if side == WHITE else -1], self.squares[:, man.axis])

    def where_kings(self, related: Related) -> Mask:
        return related(self.squares[:, 0], self.squares[:, -1])
