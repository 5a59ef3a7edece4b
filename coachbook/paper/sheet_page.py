"""Worksheets: two to twelve boards a page, each with its task and a place for the answer.

Every page stands alone: it has the heading, the name line, the code and its number, so
that loose pages find home. Nothing of a student is printed but the name. The place for moves
looks the same in every cell of a sheet and so does not give away how many moves are right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.paper.diagram import draw_diagram
from coachbook.paper.flow import Block
from coachbook.paper.page import MM, TITLE, Frame, draw_heading, draw_rule, frame_of, pdf_of, stamp
from coachbook.paper.sheet_layout import (
    Area,
    Layout,
    Spot,
    answer_place,
    cells,
    draw_qr,
    layouts,
    most_moves,
    spots,
)
from coachbook.paper.text import (
    LEADING,
    draw_centred,
    draw_fitted,
    draw_right,
    draw_text,
    fit,
    notated,
    text_width,
    wrap,
)


def mix_line(sheet: Worksheet) -> str:
    """Which items are of which other units: "Also: Mate in one (1 to 5), Two big pieces (9)"; "" if none is.

    A sheet that is not called after its own unit (such as "Review") names all of them.
    """
    is_its_own = sheet.title_of(sheet.unit) == sheet.unit_title
    numbers: dict[str, list[int]] = {}
    for number, item in enumerate(sheet.items, start=1):
        if item.unit != sheet.unit or not is_its_own:
            numbers.setdefault(item.unit, []).append(number)
    listed = ", ".join(f"{sheet.title_of(unit)} ({_ranges(items)})" for unit, items in numbers.items())
    return f"{'Also' if is_its_own else 'From'}: {listed}" if listed else ""


def _ranges(numbers: list[int]) -> str:
    """Rising numbers in short: "1 to 3, 5"."""
    runs = [
        [number for _, number in run]
        for _, run in groupby(enumerate(numbers), lambda placed: placed[1] - placed[0])
    ]
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]} to {run[-1]}" for run in runs)


_QR = 16.5 * MM
# What else is on a sheet stands right of its title, in at most two lines of the first size that fits.
_MIX_SIZES = (10.0, 9.5, 9.0, 8.5, 8.0)
_MIX_LINES, _MIX_GAP = 2, 6 * MM
_TITLE_SHARE = 0.55


@dataclass(frozen=True, slots=True)
class _Sizes:
    """Type sizes, and how far below the frame's top the line for the name lies."""

    label: float
    name: float
    code: float
    page: float
    name_line: float
    date_width: float


_ORDINARY = _Sizes(label=10.5, name=14, code=12, page=10, name_line=59, date_width=52 * MM)
_LARGE = _Sizes(label=18, name=20, code=18, page=18, name_line=112, date_width=62 * MM)


def draw_sheet_head(canvas: Canvas, frame: Frame, sheet: Worksheet, student: str, *, large: bool) -> None:
    """Club, level, title and form of the sheet, what else is on it, lines for the name and the date."""
    level = f"Level {sheet.level} \N{MIDDLE DOT} {sheet.level_title}"
    if large:
        _draw_large_heading(canvas, frame, sheet, level)
    else:
        _draw_heading(canvas, frame, sheet, level)
    sizes = _LARGE if large else _ORDINARY
    y, date_x = frame.top - sizes.name_line, frame.right - sizes.date_width
    _draw_blank(canvas, frame.left, date_x - 6 * MM, y, "Name", student, sizes)
    _draw_blank(canvas, date_x, frame.right, y, "Date", "", sizes)


def draw_sheet_footer(
    canvas: Canvas, frame: Frame, sheet: Worksheet, page: int, pages: int, *, large: bool
) -> None:
    """The QR code and the code in letters, the number of the page, and on the last one the score."""
    sizes = _LARGE if large else _ORDINARY
    draw_qr(canvas, sheet.code, frame.left, frame.bottom, _QR)
    x, y = frame.left + _QR + 5 * MM, frame.bottom + 2
    draw_text(canvas, x, y + 1.4 * sizes.page, sheet.code, sizes.code, bold=True)
    draw_text(canvas, x, y, f"page {page} of {pages}", sizes.page)
    if page == pages:
        _draw_score(canvas, frame.right, y, len(sheet.items), sizes.code)


def _draw_heading(canvas: Canvas, frame: Frame, sheet: Worksheet, level: str) -> None:
    """The title is set smaller where it would leave no room for what else is on the sheet."""
    mix, form, size = mix_line(sheet), _form(sheet), TITLE
    if mix:
        most = _TITLE_SHARE * frame.width
        size *= min(1, most / text_width(sheet.unit_title, TITLE, bold=True))
    draw_heading(canvas, frame, sheet.club, level, sheet.unit_title, size=size, corner=form)
    if mix:
        right = frame.right - 1.5 * text_width(form, 12, bold=True)
        left = frame.left + text_width(sheet.unit_title, size, bold=True) + _MIX_GAP
        _draw_mix(canvas, left, right, frame.top - 35, mix)


def _draw_mix(canvas: Canvas, left: float, right: float, y: float, mix: str) -> None:
    """Lines that end at `right`, the last of them at y; what is too long for them is one small line."""
    for size in _MIX_SIZES:
        lines = wrap(mix, size, right - left)
        if len(lines) <= _MIX_LINES:
            for above, line in enumerate(reversed(lines)):
                draw_right(canvas, right, y + 1.15 * size * above, line, size)
            return
    draw_fitted(canvas, left, y, mix, _MIX_SIZES[-1], right - left)


def _draw_large_heading(canvas: Canvas, frame: Frame, sheet: Worksheet, level: str) -> None:
    """One under the other what ordinary print sets side by side; what else is on the sheet comes in
    place of the level's title."""
    mix = mix_line(sheet)
    y = frame.top - 16
    draw_fitted(canvas, frame.left, y, sheet.club, 18, frame.width)
    draw_rule(canvas, frame.left, frame.right, y - 8, 1.8)
    form = _form(sheet)
    room = frame.width - 1.5 * text_width(form, 20, bold=True)
    draw_fitted(canvas, frame.left, y - 36, sheet.unit_title, 26, room, bold=True)
    draw_right(canvas, frame.right, y - 36, form, 20, bold=True)
    below = f"Level {sheet.level} \N{MIDDLE DOT} {mix}" if mix else level
    draw_fitted(canvas, frame.left, y - 62, below, 18, frame.width)


def _form(sheet: Worksheet) -> str:
    return f"Form {sheet.form}" if sheet.form else ""


def _draw_blank(
    canvas: Canvas, x: float, right: float, y: float, label: str, filled: str, sizes: _Sizes
) -> None:
    """A labelled line to write on, or with `filled` already on it."""
    draw_text(canvas, x, y, label, sizes.label)
    start = x + text_width(label, sizes.label) + 5
    draw_rule(canvas, start, right, y - 3)
    draw_fitted(canvas, start + 4, y, filled, sizes.name, right - start - 6, bold=True)


def _draw_score(canvas: Canvas, right: float, y: float, items: int, size: float) -> None:
    of = f"of {items}"
    draw_right(canvas, right, y, of, size)
    line_end = right - text_width(of, size) - 5
    draw_rule(canvas, line_end - 15 * MM, line_end, y - 2)
    draw_right(canvas, line_end - 15 * MM - 5, y, "How many right?", size)


@dataclass(frozen=True, slots=True)
class _Placed:
    """An item as it goes into a cell: its task in lines, the spot of its board, its answer's place."""

    item: Exercise
    task: tuple[str, ...]
    task_size: float
    spot: Spot
    place: Block


def worksheets_pdf(copies: Sequence[tuple[Worksheet, str]], options: PaperOptions) -> bytes:
    """Each copy in one PDF: a worksheet and the student's name, "" for a blank name line.

    Raises CoachbookError if there is no copy, or an item is too long for any page.
    """
    title = " / ".join(dict.fromkeys(f"{sheet.unit_title} ({sheet.code})" for sheet, _ in copies))

    def draw(canvas: Canvas) -> None:
        for number, (sheet, student) in enumerate(copies, start=1):
            canvas.bookmarkPage(f"copy{number}")
            canvas.addOutlineEntry(f"{student or sheet.unit_title} - {sheet.code}", f"copy{number}")
            _draw_copy(canvas, sheet, student, options)

    return pdf_of(options.size, title, draw)


def _draw_copy(canvas: Canvas, sheet: Worksheet, student: str, options: PaperOptions) -> None:
    frame = frame_of(options.size)
    layout, placed = _laid_out(sheet, frame, options)
    pages = -(-len(placed) // layout.boards)
    for page in range(pages):
        first = page * layout.boards
        draw_sheet_head(canvas, frame, sheet, student, large=layout.large)
        for number, (cell, item) in enumerate(
            zip(cells(layout, frame), placed[first:], strict=False), first + 1
        ):
            canvas.saveState()
            canvas.translate(cell.x, cell.y)
            _draw_item(canvas, layout, cell.height, number, item)
            canvas.restoreState()
        draw_sheet_footer(canvas, frame, sheet, page + 1, pages, large=layout.large)
        canvas.showPage()
    if options.two_sides and pages % 2:
        canvas.showPage()


def _laid_out(sheet: Worksheet, frame: Frame, options: PaperOptions) -> tuple[Layout, list[_Placed]]:
    """The first layout in which every item of the sheet fits, with its items. Raises CoachbookError if there
    is none."""
    *closer, last = layouts(options)
    for layout in closer:
        try:
            return layout, _placed(layout, frame, sheet.items, options.men)
        except CoachbookError:
            # Too long for so many boards a page; the next layout is roomier.
            continue
    return last, _placed(last, frame, sheet.items, options.men)


def _placed(layout: Layout, frame: Frame, items: Sequence[Exercise], men: str) -> list[_Placed]:
    """All items of a sheet, their boards on one height under the longest task. Raises CoachbookError if an
    answer has no place."""
    cell = cells(layout, frame)[0]
    width, most = cell.width - _task_x(layout), most_moves(items)
    tasks = [notated(item.task.words, men) for item in items]
    sizes = [fit(task, layout.task_sizes, width, layout.task_height) for task in tasks]
    lines = [wrap(task, size, width) for task, size in zip(tasks, sizes, strict=True)]
    high = max(len(task) * size * LEADING for task, size in zip(lines, sizes, strict=True))
    placed = []
    for item, task, size in zip(items, lines, sizes, strict=True):
        spot, place = _spot(layout, cell, max(high, 2 * layout.badge), item, men, most)
        placed.append(_Placed(item, task, size, spot, place))
    return placed


def _spot(
    layout: Layout, cell: Area, task_height: float, item: Exercise, men: str, most: int
) -> tuple[Spot, Block]:
    """The largest board that leaves room for the answer, and the answer's place. Raises CoachbookError if
    none does."""
    for spot in spots(layout, cell, task_height):
        place = answer_place(item.answer, spot.answer, layout, men, most)
        if place is not None:
            return spot, place
    raise CoachbookError(
        f"The answer to '{item.task.words[:40]}' is too long for its place on paper.", "Shorten it."
    )


def _task_x(layout: Layout) -> float:
    return 2 * layout.badge + 6


def _draw_item(canvas: Canvas, layout: Layout, top: float, number: int, placed: _Placed) -> None:
    badge, size = layout.badge, placed.task_size
    _draw_badge(canvas, badge, top - badge, number, badge)
    first = top - 1.04 * size if len(placed.task) > 1 else top - badge - 0.35 * size
    for i, line in enumerate(placed.task):
        draw_text(canvas, _task_x(layout), first - i * size * LEADING, line, size)
    spot, item = placed.spot, placed.item
    draw_diagram(canvas, item.position, item.task_marks, spot.x, spot.y, spot.board, layout.coordinates)
    _draw_side_to_move(canvas, layout, spot, white=item.position.white_to_move)
    answer = spot.answer
    # Beside the board the place stands on its foot line, under the board it hangs from it.
    place_top = answer.y + placed.place.height if layout.beside else answer.top
    placed.place.draw(canvas, answer.x, place_top)


def _draw_badge(canvas: Canvas, x: float, y: float, number: int, radius: float) -> None:
    box = (-radius, -radius, radius, radius)
    name = f"badge-{round(radius * 10)}"
    stamp(canvas, name, box, lambda: canvas.circle(0, 0, radius, stroke=0, fill=1), x, y)
    canvas.setFillGray(1)
    size = radius * (1.3 if number < 100 else 1.0)
    draw_centred(canvas, x, y - 0.35 * size, str(number), size, bold=True)
    canvas.setFillGray(0)


def _draw_side_to_move(canvas: Canvas, layout: Layout, spot: Spot, *, white: bool) -> None:
    """A disc in the colour of the side to move and the words: beside it, or under it on a narrow rail."""
    word, size = "White" if white else "Black", layout.label
    disc = 0.72 * size
    beside = 2 * disc + 0.4 * size
    if spot.one_line:
        words = ((beside, 0.35 * size), (beside + text_width(f"{word} ", size, bold=True), 0.35 * size))
    elif layout.beside:
        words = ((beside, -0.12 * size), (beside, 0.98 * size))
    else:
        words = ((0, disc + 1.05 * size), (0, disc + 2.15 * size))

    def draw() -> None:
        canvas.setLineWidth(0.13 * size)
        canvas.setFillGray(1 if white else 0)
        canvas.circle(disc, -disc, disc - 0.065 * size, fill=1)
        canvas.setFillGray(0)
        draw_text(canvas, words[0][0], -disc - words[0][1], word, size, bold=True)
        draw_text(canvas, words[1][0], -disc - words[1][1], "to move", size)

    box = (0, -6 * disc, 11 * size, 4)
    name = f"{word}-{round(size * 10)}-{round(words[1][0])}-{round(words[1][1])}"
    stamp(canvas, name, box, draw, spot.side_x, spot.side_top)
