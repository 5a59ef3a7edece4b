"""What is made for an evening: its cover, its register to tick, and all papers as one file."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import EveningCover, GroupEvening
from coachbook.paper.flow import space
from coachbook.paper.page import (
    MM,
    Frame,
    draw_footer,
    draw_heading,
    draw_rule,
    frame_of,
    pdf_of,
)
from coachbook.paper.sections import Running, Section, columns, sections_pdf
from coachbook.paper.sheet_layout import tick_line
from coachbook.paper.text import draw_centred, draw_fitted, draw_right, draw_text, text_width, wrap
from coachbook.wording.counting import counted, day_in_words, listed

_TICK = 11.0
_TEXT = 10.0


def cover_pdf(cover: EveningCover, options: PaperOptions) -> bytes:
    """The cover as a PDF: one page for a usual group."""
    width = frame_of(options.size).width
    names = ", ".join(group.group for group in cover.groups)
    running = Running(cover.club, day_in_words(cover.on), f"Tonight: {names}", names)
    sections = [_checklist(cover, options, width)]
    if len(cover.groups) > 1:
        sections.append(_own_way(cover, width))
    for group in cover.groups:
        sections += _group_sections(group, width)
    return sections_pdf(options, running, sections)


def _checklist(cover: EveningCover, options: PaperOptions, width: float) -> Section:
    parts = ", ".join(f"{what} ({count})" for what, count in cover.printed)
    boards = sum(-(-len(group.papers) // 2) for group in cover.groups)
    lines = [
        f"Print the other file, {_how_to_print(cover.pages, options)} in this order: {parts}.",
        *_how_to_cut(options),
        f"Boards and men for pairs: {boards}. Pencils. A clock that all can see.",
        "Hand out each sheet by the name on it; keep the sheets of those who are absent.",
        "Those who finish early set up an item of the sheet on a board, and play it out with a neighbour.",
        f"Afterwards: {cover.afterwards}",
        *cover.notes,
    ]
    blocks = [block for line in lines for block in (tick_line(line, _TICK, width), space(3))]
    return Section("", blocks)


def _how_to_print(pages: int, options: PaperOptions) -> str:
    """Such as "12 pages" or "12 pages on both sides of the paper,"."""
    sides = " on both sides of the paper" if options.two_sides else ""
    edge = ", turned over the short edge" if options.two_sides and options.two_up else ""
    shared = ", two of these on each" if options.two_up else ""
    told = f"{sides}{edge}{shared}"
    return f"{counted(pages, 'page')}{told}{',' if told else ''}"


def _how_to_cut(options: PaperOptions) -> list[str]:
    if options.two_up and options.two_sides:
        return ["Cut the leaves down the middle: each half is for one student."]
    return ["Cut the leaves down the middle where marks stand at the edges."] if options.two_up else []


def _own_way(cover: EveningCover, width: float) -> Section:
    """The stretches of all groups that need the coach, by the clock."""
    table = columns(width, ("From", 16 * MM), ("Min", 11 * MM), ("Group", 34 * MM), ("What", 0))
    needed: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for group in cover.groups:
        for slot in group.slots:
            if slot.with_coach:
                needed.setdefault((slot.begins, slot.what), []).append((group.group, slot.minutes))
    rows = []
    for (begins, what), those in sorted(needed.items()):
        minutes = max(minutes for _, minutes in those)
        rows.append(table.row((begins, str(minutes), listed(name for name, _ in those), what), _TEXT))
    return Section("Where you are needed", rows, table.head())


def _group_sections(group: GroupEvening, width: float) -> Iterator[Section]:
    plan = columns(width, ("From", 16 * MM), ("Min", 11 * MM), ("What", 0), ("Coach", 24 * MM))
    yield Section(
        f"{group.group}: the plan",
        [
            plan.row((slot.begins, str(slot.minutes), slot.what, "needed" if slot.with_coach else ""), _TEXT)
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
    missed = columns(width, ("Student", 34 * MM), ("Has missed", 0), ("Tonight, in ten minutes", 70 * MM))
    yield Section(
        f"{group.group}: to catch up",
        [missed.row((each.student, each.missing, each.tonight), _TEXT) for each in group.missed],
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


_HEADING = 17 * MM
_FOOTER = 9 * MM
_HEAD_SIZES, _HEAD_LINES = (8.5, 8.0, 7.5, 7.0, 6.5), 3
_HEAD = _HEAD_SIZES[0]
_HEAD_PITCH, _HEAD_AIR = 10.0, 9.0
_STUDENTS_A_PAGE = 40
_GUESTS, _FEWEST_LINES = 3, 12
_HIGHEST_ROW = 9.5 * MM
_NAME = 12.0
_NUMBER, _HERE = 8 * MM, 14 * MM
_LEAST_NAME, _MOST_NAME = 38 * MM, 78 * MM
_WIDEST_COLUMN, _LEAST_NOTES = 17 * MM, 34 * MM


@dataclass(frozen=True, slots=True)
class _Measures:
    """Where the columns begin: the name, "here", the further ones (`column` wide each), the notes;
    where the rows begin, and how high each is."""

    name: float
    here: float
    further: float
    column: float
    notes: float
    top: float
    row: float


def register_pdf(
    club: str,
    group: str,
    on: date,
    students: Sequence[str],
    columns: Sequence[str],
    options: PaperOptions,
) -> bytes:
    """A group's register for an evening as a PDF: 40 students a page, and blank lines for guests at the end.

    `columns` head the narrow columns between "here" and the notes.
    """
    frame = frame_of(options.size)
    title = f"Register: {group}" if group else "Register"
    pages = [students[i : i + _STUDENTS_A_PAGE] for i in range(0, len(students), _STUDENTS_A_PAGE)] or [()]

    def draw(canvas: Canvas) -> None:
        for page, names in enumerate(pages):
            first = page * _STUDENTS_A_PAGE + 1
            blank = max(_GUESTS, _FEWEST_LINES - len(names)) if page == len(pages) - 1 else 0
            measures = _measures(frame, students, columns, len(names) + blank)
            draw_heading(canvas, frame, club, day_in_words(on), title)
            _draw_heads(canvas, measures, columns)
            _draw_rows(canvas, frame, measures, first, [*names, *[""] * blank])
            _draw_lines(canvas, frame, measures, len(columns), len(names) + blank)
            draw_footer(canvas, frame, club, f"page {page + 1} of {len(pages)}", group)
            canvas.showPage()

    return pdf_of(options.size, f"{title}, {day_in_words(on)}", draw)


def _measures(frame: Frame, students: Sequence[str], columns: Sequence[str], lines: int) -> _Measures:
    """The names take what they need, within bounds; the narrow columns leave room for notes."""
    widest = max((text_width(student, _NAME) for student in students), default=0) + 8
    spare = frame.width - _NUMBER - _HERE - _LEAST_NOTES - len(columns) * _WIDEST_COLUMN
    name = min(max(widest, _LEAST_NAME), max(spare, _MOST_NAME))
    rest = frame.width - _NUMBER - name - _HERE - _LEAST_NOTES
    column = min(_WIDEST_COLUMN, rest / max(1, len(columns)))
    further = frame.left + _NUMBER + name + _HERE
    heads = max((len(head_lines(words, column - 4)[0]) for words in columns), default=1)
    top = frame.top - _HEADING - heads * _HEAD_PITCH - _HEAD_AIR
    row = min(_HIGHEST_ROW, (top - frame.bottom - _FOOTER) / lines)
    return _Measures(
        frame.left + _NUMBER, further - _HERE, further, column, further + len(columns) * column, top, row
    )


def head_lines(words: str, width: float) -> tuple[tuple[str, ...], float]:
    """A head in at most three lines, no word cut, with its type size; else in one line, to be fitted."""
    for size in _HEAD_SIZES:
        lines = wrap(words, size, width)
        if len(lines) <= _HEAD_LINES and " ".join(lines) == " ".join(words.split()):
            return lines, size
    return (words,), _HEAD


def _draw_heads(canvas: Canvas, at: _Measures, columns: Sequence[str]) -> None:
    """The heads stand on the table."""
    foot = at.top + 4
    draw_text(canvas, at.name, foot, "Name", _HEAD)
    draw_centred(canvas, at.here + _HERE / 2, foot, "Here", _HEAD)
    draw_text(canvas, at.notes + 5, foot, "Notes", _HEAD)
    room = at.column - 4
    for i, column in enumerate(columns):
        lines, size = head_lines(column, room)
        for line, words in enumerate(reversed(lines)):
            wide = min(text_width(words, size), room)
            start = at.further + i * at.column + (at.column - wide) / 2
            draw_fitted(canvas, start, foot + line * _HEAD_PITCH, words, size, room)


def _draw_rows(canvas: Canvas, frame: Frame, at: _Measures, first: int, names: Sequence[str]) -> None:
    """Number, name and the box to tick; a line without a name is for a guest."""
    side = min(0.62 * at.row, 5 * MM)
    for i, name in enumerate(names):
        y = at.top - (i + 1) * at.row
        middle = y + at.row / 2
        if name:
            draw_right(canvas, at.name - 6, middle - 3.2, str(first + i), 9)
            draw_fitted(canvas, at.name, middle - 0.34 * _NAME, name, _NAME, at.here - at.name - 6)
        canvas.setLineWidth(1.1)
        canvas.rect(at.here + (_HERE - side) / 2, middle - side / 2, side, side)
        draw_rule(canvas, frame.left, frame.right, y, 1.0 if (first + i) % 5 == 0 else 0.4)


def _draw_lines(canvas: Canvas, frame: Frame, at: _Measures, columns: int, lines: int) -> None:
    """The strong rule under the heads and the lines between columns."""
    draw_rule(canvas, frame.left, frame.right, at.top, 1.2)
    canvas.setLineWidth(0.4)
    for x in (at.here, *(at.further + i * at.column for i in range(columns + 1))):
        canvas.line(x, at.top, x, at.top - lines * at.row)
