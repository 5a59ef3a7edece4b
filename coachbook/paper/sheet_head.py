"""What stands above and below the items on each page of a worksheet: heading, name and date, code, score."""

from dataclasses import dataclass
from itertools import groupby

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.worksheet import Worksheet
from coachbook.paper.page import MM, TITLE, Frame, draw_heading, draw_rule
from coachbook.paper.sheet_layout import draw_qr
from coachbook.paper.text import draw_fitted, draw_right, draw_text, text_width, wrap
from coachbook.wording.counting import day_in_words, level_in_words


def mix_line(sheet: Worksheet) -> str:
    """Which items are of which other units: "Also: Mate in one (1 to 5), Two big pieces (9)"; "" if none is.

    A sheet that is not called after its own unit (such as "Review") names all of them; an assessment only
    what it does not ask for: it gives no hint of what the others are about.
    """
    is_its_own = sheet.title_of(sheet.unit) == sheet.unit_title
    own = sheet.assessed or ((sheet.unit,) if is_its_own else ())
    numbers: dict[str, list[int]] = {}
    for number, item in enumerate(sheet.items, start=1):
        if item.unit not in own:
            numbers.setdefault(item.unit, []).append(number)
    listed = ", ".join(f"{sheet.title_of(unit)} ({_ranges(items)})" for unit, items in numbers.items())
    return f"{'Also' if own else 'From'}: {listed}" if listed else ""


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


_DATE, _AFTER_LABEL = "Date", 5.0
_ORDINARY = _Sizes(label=10.5, name=14, code=12, page=10, name_line=59, date_width=52 * MM)
_LARGE = _Sizes(label=18, name=20, code=18, page=18, name_line=112, date_width=62 * MM)


def draw_sheet_head(canvas: Canvas, frame: Frame, sheet: Worksheet, student: str, *, large: bool) -> None:
    """Club, level, title and form of the sheet, what else is on it, lines for the name and the date; on
    them stands what is known of these."""
    level = level_in_words(sheet.level, sheet.level_title)
    if large:
        _draw_large_heading(canvas, frame, sheet, level)
    else:
        _draw_heading(canvas, frame, sheet, level)
    sizes = _LARGE if large else _ORDINARY
    on = day_in_words(sheet.evening) if sheet.evening else ""
    y, date_x = frame.top - sizes.name_line, frame.right - max(sizes.date_width, _blank_width(on, sizes))
    _draw_blank(canvas, frame.left, date_x - 6 * MM, y, "Name", student, sizes)
    _draw_blank(canvas, date_x, frame.right, y, _DATE, on, sizes)


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
    below = mix or level
    draw_fitted(canvas, frame.left, y - 62, below, 18, frame.width)


def _form(sheet: Worksheet) -> str:
    return f"Form {sheet.form}" if sheet.form else ""


def _blank_width(filled: str, sizes: _Sizes) -> float:
    """What the line for the date needs with this on it."""
    return text_width(_DATE, sizes.label) + _AFTER_LABEL + text_width(filled, sizes.name, bold=True) + 6


def _draw_blank(
    canvas: Canvas, x: float, right: float, y: float, label: str, filled: str, sizes: _Sizes
) -> None:
    """A labelled line to write on, or with `filled` already on it."""
    draw_text(canvas, x, y, label, sizes.label)
    start = x + text_width(label, sizes.label) + _AFTER_LABEL
    draw_rule(canvas, start, right, y - 3)
    draw_fitted(canvas, start + 4, y, filled, sizes.name, right - start - 6, bold=True)


def _draw_score(canvas: Canvas, right: float, y: float, items: int, size: float) -> None:
    of = f"of {items}"
    draw_right(canvas, right, y, of, size)
    line_end = right - text_width(of, size) - 5
    draw_rule(canvas, line_end - 15 * MM, line_end, y - 2)
    draw_right(canvas, line_end - 15 * MM - 5, y, "How many right?", size)
