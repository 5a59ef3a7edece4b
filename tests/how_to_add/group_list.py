"""The club's groups and how many are in each, for the notice board."""

from collections.abc import Sequence

from coachbook.model.facts import Group
from coachbook.model.print_options import PaperOptions
from coachbook.paper.page import frame_of
from coachbook.paper.sections import Running, Section, columns, sections_pdf


def group_list_pdf(club: str, groups: Sequence[Group], options: PaperOptions) -> bytes:
    """The groups in the order given, as a PDF."""
    table = columns(frame_of(options.size).width, ("Group", 0), ("Students", 60))
    rows = [table.row((group.name, str(group.size))) for group in groups]
    return sections_pdf(
        options, Running(club, "", "Our groups", ""), [Section("All groups", rows, table.head())]
    )
