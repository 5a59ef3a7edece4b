"""What a method plays in the positions of an ending, worked out once for all kinds that ask of its rules."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.exercises.board_facts import positions_of, thinned
from coachbook.exercises.box_moves import BoxMoves, shrink_or_step
from coachbook.method.positions import Mask, Positions
from coachbook.method.rules import Choice, Method, choose_all

_LOOKED_AT = 20_000
_OF_FOUR_MEN = 4_000
"""Positions that are looked at: most of three men, and a part of four, where each takes longer."""
_FOUR_MEN = 2
_FEWEST = 200
"""So many of a rule are taken though another has fewer."""


@dataclass(frozen=True, slots=True, eq=False)
class RuleChoices:
    """The method's choice in each of n positions, whose cells are as of `Survey.cells`."""

    cells: NDArray[np.intp]
    positions: Positions
    choice: Choice

    def has_one_move(self) -> Mask:
        """Whether the method leaves just one move. Shape (n,)."""
        one: Mask = np.bincount(self.choice.moves.of, minlength=len(self.cells)) == 1
        return one


def in_equal_shares(cells: NDArray[np.intp], rule: NDArray[np.integer], numbers: range) -> NDArray[np.intp]:
    """The cells in which these rules decide, each rule's share as large, as far as the rarer ones go."""
    parts = [cells[rule == number] for number in numbers]
    share = max(_FEWEST, min(map(len, parts)))
    return np.concatenate([thinned(part, share) for part in parts])


@lru_cache(maxsize=4)
def rule_choices(survey: Survey, method: Method) -> RuleChoices:
    """What a method for a survey's ending plays with White to move, in positions spread evenly over it."""
    most = _OF_FOUR_MEN if len(survey.space.men) >= _FOUR_MEN else _LOOKED_AT
    cells = survey.cells(survey.legal, most)
    positions = positions_of(survey, cells)
    return RuleChoices(cells, positions, choose_all(method, positions))


@lru_cache(maxsize=4)
def right_by_words(survey: Survey, method: Method) -> BoxMoves:
    """In the same positions the moves that are right by what a sheet says of the box."""
    return shrink_or_step(rule_choices(survey, method).positions)
