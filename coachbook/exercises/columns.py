"""Cells of a table as the columns of squares that methods look at."""

import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.method.positions import Positions


def positions_of(survey: Survey, cells: NDArray[np.intp]) -> Positions:
    """The positions of cells (see `Survey.cells`) of an ending in which Black has a lone king."""
    men = [cells[:, man.axis] for man in survey.space.men]
    columns = (survey.space.kings[cells[:, 0]], cells[:, -1], *men)
    return Positions(survey.space.material.white, [column.astype(np.int8) for column in columns])


def thinned(cells: NDArray[np.intp], most: int) -> NDArray[np.intp]:
    """At most `most` of the cells, evenly spread."""
    if len(cells) <= most:
        return cells
    return cells[np.arange(most) * len(cells) // most]
