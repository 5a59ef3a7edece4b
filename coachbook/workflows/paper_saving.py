"""What would save paper: the options that a coach did not choose, each with the leaves that it takes."""

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Worksheet
from coachbook.paper.bundle import Part, pieces_of
from coachbook.paper.leaves import paper_used
from coachbook.paper.sheet_pages import pages_needed

_FULLER = 9
"""Boards a page."""


@dataclass(frozen=True, slots=True)
class CheaperWay:
    """What could be chosen besides: both sides of the paper, two pages side by side, so many boards a page
    (0 for as many as now); and how many leaves the printer takes then."""

    leaves: int
    two_up: bool = False
    two_sides: bool = False
    boards: int = 0


_WAYS = (
    CheaperWay(0, two_up=True),
    CheaperWay(0, two_sides=True),
    CheaperWay(0, two_up=True, two_sides=True),
    CheaperWay(0, boards=_FULLER),
)


def cheaper_ways(
    parts: Sequence[Part], sheets: Mapping[str, Sequence[Worksheet]], options: PaperOptions
) -> tuple[CheaperWay, ...]:
    """What takes fewer leaves than these options. `sheets` are the copies in the parts that have some, by the
    title of the part: only they have other pages with other options, and are counted, not drawn."""
    now = _leaves(parts, sheets, options)
    found = []
    for way in _WAYS:
        chosen = (way.two_up and options.two_up) or (way.two_sides and options.two_sides)
        if chosen or options.boards_a_page == way.boards:
            continue
        with suppress(CoachbookError):  # of options that cannot be had together
            leaves = _leaves(parts, sheets, _with(options, way))
            if leaves < now:
                found.append(replace(way, leaves=leaves))
    return tuple(found)


def _with(options: PaperOptions, way: CheaperWay) -> PaperOptions:
    """Raises CoachbookError if they cannot be had together."""
    return replace(
        options,
        two_up=options.two_up or way.two_up,
        two_sides=options.two_sides or way.two_sides,
        boards_a_page=way.boards or options.boards_a_page,
    )


def _leaves(parts: Sequence[Part], sheets: Mapping[str, Sequence[Worksheet]], options: PaperOptions) -> int:
    copies = {title: [pages_needed(sheet, options) for sheet in own] for title, own in sheets.items()}
    pieces = pieces_of(parts, copies, two_sides=options.two_sides)
    return paper_used(pieces, two_sides=options.two_sides, two_up=options.two_up).leaves
