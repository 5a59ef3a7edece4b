"""The slips of many students, the most frequent first, with the units to teach again."""

from collections.abc import Sequence

from coachbook.model.reports import FrequentSlip
from coachbook.paper.page import MM
from coachbook.paper.sections import Section, columns


def slip_section(title: str, slips: Sequence[FrequentSlip], width: float) -> Section:
    """The most frequent slips, each with the units in which it happened; nothing if there was none."""
    table = columns(width, ("Slip", 58 * MM), ("Units", 0))
    rows = [table.row((slip.told, ", ".join(slip.units))) for slip in slips]
    return Section(title, rows, table.head())
