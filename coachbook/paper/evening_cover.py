"""The cover of an evening: a list to tick, the plan by the clock, who needs what, and what to think of."""

from collections.abc import Iterator
from pathlib import Path

from coachbook.model.evening_pack import EveningCover, GroupEvening
from coachbook.paper.flow import space
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import MM, day_in_words, frame_of
from coachbook.paper.places import tick_line
from coachbook.paper.sections import Running, Section, columns, write_sections

_TICK = 11.0
_TEXT = 10.0


def write_cover(cover: EveningCover, path: Path, options: PaperOptions) -> None:
    """Print the cover: one page for a usual group. Raises CoachbookError if it cannot be written."""
    width = frame_of(options.size).width
    names = ", ".join(group.group for group in cover.groups)
    running = Running(cover.club, day_in_words(cover.on), f"Tonight: {names}", names)
    sections = [_checklist(cover, width)]
    if len(cover.groups) > 1:
        sections.append(_own_way(cover, width))
    for group in cover.groups:
        sections += _group_sections(group, width)
    write_sections(path, options, running, sections)


def _checklist(cover: EveningCover, width: float) -> Section:
    pages = sum(count for _, count in cover.printed)
    parts = ", ".join(f"{what} ({count})" for what, count in cover.printed)
    boards = sum(-(-len(group.papers) // 2) for group in cover.groups)
    lines = [
        f"Print the other file, {pages} pages in this order: {parts}.",
        f"Boards and men for pairs: {boards}. Pencils. A clock that all can see.",
        "Hand out each sheet by the name on it; keep the sheets of those who are absent.",
        "Who has finished early sets up an item of the sheet on a board, and plays it out with a neighbour.",
        f"Afterwards: coachbook evening close {cover.on}",
        *cover.notes,
    ]
    blocks = [block for line in lines for block in (tick_line(line, _TICK, width), space(3))]
    return Section("", blocks)


def _own_way(cover: EveningCover, width: float) -> Section:
    """The stretches of all groups that need the coach, by the clock."""
    table = columns(width, ("From", 16 * MM), ("Min", 11 * MM), ("Group", 34 * MM), ("What", 0))
    needed = sorted(
        (
            (slot.begins, slot, group.group)
            for group in cover.groups
            for slot in group.slots
            if slot.with_coach
        ),
        key=lambda each: each[0],
    )
    rows = [table.row((begins, str(slot.minutes), group, slot.what), _TEXT) for begins, slot, group in needed]
    return Section("Where you are needed", rows, table.head())


def _group_sections(group: GroupEvening, width: float) -> Iterator[Section]:
    plan = columns(width, ("From", 16 * MM), ("Min", 11 * MM), ("What", 0), ("Coach", 24 * MM))
    yield Section(
        f"{group.group}: the plan",
        [
            plan.row(
                (slot.begins, str(slot.minutes), slot.what, "explains" if slot.with_coach else ""), _TEXT
            )
            for slot in group.slots
        ],
        plan.head(),
    )
    due = columns(width, ("Student", 34 * MM), ("Who is due, and why", 0), ("Give", 46 * MM))
    yield Section(
        f"{group.group}: to bring back",
        [due.row((each.student, each.reason, each.give), _TEXT) for each in group.reminders],
        due.head(),
    )
    missed = columns(width, ("Student", 34 * MM), ("Was absent when this was new", 0))
    yield Section(
        f"{group.group}: to catch up",
        [missed.row((name, what), _TEXT) for name, what in group.missed],
        missed.head(),
    )
    papers = columns(width, ("Student", 34 * MM), ("Sheet", 27 * MM), ("On it", 0), ("Cards", 46 * MM))
    yield Section(
        f"{group.group}: papers",
        [
            papers.row((each.student, each.sheet, each.holds, ", ".join(each.cards)), _TEXT)
            for each in group.papers
        ],
        papers.head(),
    )
