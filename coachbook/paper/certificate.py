"""The certificate for a completed level: landscape, in a border of hatched squares with four pieces."""

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import Certificate
from coachbook.paper.diagram import add_hatch, draw_piece, hatch_lines
from coachbook.paper.flow import Block, draw_blocks, height_of, space, stack
from coachbook.paper.page import MM, Frame, draw_rule, frame_of, pdf_of
from coachbook.paper.sheet_layout import Area
from coachbook.paper.text import LEADING, draw_centred, text_width, wrap
from coachbook.wording.counting import day_and_month, day_in_words

# An odd number of squares either way, so that all four corners are alike.
_ACROSS = 39
_DEPTH = 2
_CORNER = 4
_CORNERS = ("K", "q", "k", "Q")
_PAD = 9 * MM
_CLUB, _HEAD, _PLAIN, _LEVEL = 14.0, 34.0, 13.0, 22.0
_LARGEST_NAME, _TWO_LINES = 48.0, (34.0, 32.0, 30.0, 28.0, 26.0)
_AIM_SIZES = (14.0, 13.5, 13.0, 12.5, 12.0, 11.5, 11.0, 10.5, 10.0, 9.0, 8.0)
_LEAST_GAP, _MOST_GAP = 4.0, 14.0
_SIGNATURE = 74 * MM
_FOOT, _ABOVE_FOOT = 15 * MM, 11 * MM


@dataclass(frozen=True, slots=True)
class _Border:
    """The outer edge of the border and the side of one of its squares."""

    x: float
    y: float
    square: float
    down: int

    @property
    def inside(self) -> Area:
        edge = _DEPTH * self.square
        width, height = (_ACROSS - 2 * _DEPTH) * self.square, (self.down - 2 * _DEPTH) * self.square
        return Area(self.x + edge, self.y + edge, width, height)

    @property
    def clear(self) -> float:
        """How far the corners reach inside."""
        return (_CORNER - _DEPTH) * self.square


def certificate_pdf(certificate: Certificate, options: PaperOptions) -> bytes:
    """One page in landscape, as a PDF. Aims that it cannot hold are cut, and it says how many."""
    border = _border(frame_of(options.size, landscape=True))

    def draw(canvas: Canvas) -> None:
        _draw_border(canvas, border)
        _draw_words(canvas, certificate, border)
        canvas.showPage()

    title = f"Certificate for {certificate.student}: {certificate.level_title}"
    return pdf_of(options.size, title, draw, landscape=True)


def _border(frame: Frame) -> _Border:
    square = frame.width / _ACROSS
    height = frame.top - frame.bottom
    down = int(height / square)
    down -= 1 - down % 2
    return _Border(frame.left, frame.bottom + (height - down * square) / 2, square, down)


def _draw_border(canvas: Canvas, border: _Border) -> None:
    square = border.square
    hatch = canvas.beginPath()
    for across in range(_ACROSS):
        for down in range(border.down):
            if (across + down) % 2 == 0 and _on_border(across, down, border.down):
                at = (border.x + across * square, border.y + down * square)
                add_hatch(hatch, *at, square, hatch_lines(square))
    canvas.setLineWidth(0.5)
    canvas.drawPath(hatch)
    inside = border.inside
    canvas.setLineWidth(1.4)
    canvas.rect(border.x, border.y, _ACROSS * square, border.down * square)
    canvas.rect(inside.x, inside.y, inside.width, inside.height)
    _draw_corners(canvas, border)


def _on_border(across: int, down: int, high: int) -> bool:
    return min(across, _ACROSS - 1 - across, down, high - 1 - down) < _DEPTH


def _draw_corners(canvas: Canvas, border: _Border) -> None:
    """A white field over each corner with a piece in it."""
    field = _CORNER * border.square
    canvas.setLineWidth(1.4)
    for i, letter in enumerate(_CORNERS):
        x = border.x + i % 2 * (_ACROSS * border.square - field)
        y = border.y + i // 2 * (border.down * border.square - field)
        canvas.setFillGray(1)
        canvas.rect(x, y, field, field, fill=1)
        canvas.setFillGray(0)
        draw_piece(canvas, letter, x + 0.06 * field, y + 0.06 * field, 0.88 * field)


def _draw_words(canvas: Canvas, certificate: Certificate, border: _Border) -> None:
    """All words above the foot, spread over the height that they have."""
    inside, clear = border.inside, border.clear
    width = inside.width - 2 * _PAD
    top, below = inside.top - 0.6 * clear, inside.y + _FOOT + _ABOVE_FOOT
    lines = [
        _centred(certificate.club, width, width - 2 * clear, _CLUB),
        _centred("Certificate", width, width, _HEAD, bold=True),
        _name(certificate.student, width),
        _centred("has completed", width, width, _PLAIN),
        _centred(certificate.level_title, width, width, _LEVEL, bold=True),
    ]
    room = top - below - sum(line.height for line in lines) - len(lines) * _LEAST_GAP
    aims = stack(aim_blocks(_dated(certificate), width, room))
    left_over = room - aims.height
    gap = _LEAST_GAP + min(left_over / (len(lines) + 1), _MOST_GAP)
    offset = (left_over - len(lines) * (gap - _LEAST_GAP)) / 2
    spread = [block for line in lines for block in (line, space(gap))]
    draw_blocks(canvas, [*spread, aims], inside.x + _PAD, top - offset)
    _draw_foot(canvas, certificate, inside, clear)


def _dated(certificate: Certificate) -> list[str]:
    """What was shown, each with the day on which it was earned."""
    pairs = zip(certificate.can, certificate.days, strict=True)
    return [f"{day_and_month(day)} {day.year}: {aim}" for aim, day in pairs]


def _centred(text: str, width: float, most: float, size: float, *, bold: bool = False) -> Block:
    """One line in the middle of the width, set smaller if it would be wider than `most`."""
    wide = text_width(text, size, bold=bold)
    fitted = size * min(1, most / wide) if wide else size

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_centred(canvas, x + width / 2, top - size, text, fitted, bold=bold)

    return Block(size * LEADING, draw)


def _name(name: str, width: float) -> Block:
    """The name in one line, or in two where that makes it larger without cutting a word."""
    one = _LARGEST_NAME * min(1, width / text_width(name, _LARGEST_NAME, bold=True))
    for size in _TWO_LINES:
        lines = wrap(name, size, width, bold=True)
        if one < size and len(lines) == 2 and " ".join(lines) == " ".join(name.split()):
            return stack([_centred(line, width, width, size, bold=True) for line in lines])
    return _centred(name, width, width, one, bold=True)


def aim_blocks(aims: Sequence[str], width: float, height: float) -> list[Block]:
    """What was shown, as large as it fits; what does not fit even in the smallest type is counted."""
    for size in _AIM_SIZES:
        blocks = _aims(aims, len(aims), width, size)
        if height_of(blocks) <= height:
            return blocks
    shown = len(aims)
    while height_of(blocks) > height and shown:
        shown -= 1
        blocks = _aims(aims, shown, width, size)
    return blocks


def _aims(aims: Sequence[str], shown: int, width: float, size: float) -> list[Block]:
    lines = [line for aim in aims[:shown] for line in wrap(aim, size, width)]
    if shown < len(aims):
        lines.append(f"and {len(aims) - shown} more")
    return [_centred(line, width, width, size) for line in lines]


def _draw_foot(canvas: Canvas, certificate: Certificate, inside: Area, clear: float) -> None:
    """The date to the left, a line for the coach's signature to the right."""
    y = inside.y + _FOOT
    left, right = inside.x + clear + _PAD, inside.x + inside.width - clear - _PAD
    for start, words, label in (
        (left, day_in_words(certificate.on), "Date"),
        (right - _SIGNATURE, "", "Coach"),
    ):
        middle = start + _SIGNATURE / 2
        draw_centred(canvas, middle, y + 5, words, _PLAIN)
        draw_rule(canvas, start, start + _SIGNATURE, y, 0.9)
        draw_centred(canvas, middle, y - 13, label, 10)
