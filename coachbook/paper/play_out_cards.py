"""Play-out cards: four a page, to cut apart and to write a game on.

A card has the start position, what is asked for, a numbered grid for the moves and boxes for
how it ended. Nothing of a student is printed but the name, or a line to write it on.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.play_outs import PlayOutCard
from coachbook.model.position import Marks
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Goal
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.flow import Block, draw_blocks, paragraph, space
from coachbook.paper.page import MM, SMALL, Frame, draw_rule, frame_of, pdf_of
from coachbook.paper.sheet_layout import Area, draw_qr, tick_line
from coachbook.paper.text import draw_centred, draw_fitted, draw_right, draw_text, text_width
from coachbook.wording.counting import counted

_COLUMNS, _ROWS = 2, 2
_CARDS_A_PAGE = _COLUMNS * _ROWS
# From a cut to the print on either side of it.
_PAD = 5 * MM
_BOARD = 40 * MM
_QR = 14 * MM
_HEAD = 20 * MM
_FOOT = 8 * MM
_GRID_HEAD = 12.0
_GRID_GAP = 3 * MM
_NUMBER = 6 * MM
_OVERLEAF = 12.0
# What a child's hand needs, and more than enough.
_LOWEST_ROW, _HIGHEST_ROW = 5.3 * MM, 8 * MM
_RESULTS = {Goal.WIN: ("Mate", "Stalemate", "Gave up"), Goal.DRAW: ("Held", "Lost", "Gave up")}


@dataclass(frozen=True, slots=True)
class Grid:
    """Rows for moves: so many columns of so many rows of a height in points, numbered up to `moves`."""

    columns: int
    rows: int
    row_height: float
    moves: int


def cards_pdf(cards: Sequence[PlayOutCard], options: PaperOptions) -> bytes:
    """The cards as a PDF, four a page. Raises CoachbookError if there is none."""
    frame = frame_of(options.size)

    def draw(canvas: Canvas) -> None:
        for first in range(0, len(cards), _CARDS_A_PAGE):
            _draw_cuts(canvas, frame)
            for slot, card in enumerate(cards[first : first + _CARDS_A_PAGE]):
                _draw_card(canvas, _area(frame, slot), card)
            canvas.showPage()

    codes = ", ".join(card.code for card in cards)
    return pdf_of(options.size, f"Play-out cards {codes}", draw)


def moves_to_write(card: PlayOutCard) -> int:
    """The allowance, and one row more if White has to wait for Black's first move."""
    return card.allowance + (card.white and not card.position.white_to_move)


def grid_for(moves: int, height: float) -> Grid:
    """One column for so many moves if it fits into the height (points), else two.

    What two columns cannot hold has to go on overleaf.
    """
    most = int((height - _GRID_HEAD) / _LOWEST_ROW)
    columns = 1 if moves <= most else 2
    rows = min(-(-moves // columns), most)
    return Grid(columns, rows, min((height - _GRID_HEAD) / rows, _HIGHEST_ROW), min(moves, columns * rows))


def _area(frame: Frame, slot: int) -> Area:
    """The print of a card. On the page's edge it needs no padding: the margin is enough."""
    width = (frame.width - 2 * _PAD) / _COLUMNS
    height = (frame.top - frame.bottom - 2 * _PAD) / _ROWS
    column, row = slot % _COLUMNS, slot // _COLUMNS
    x = frame.left + column * (width + 2 * _PAD)
    return Area(x, frame.top - height - row * (height + 2 * _PAD), width, height)


def _draw_cuts(canvas: Canvas, frame: Frame) -> None:
    x, y = (frame.left + frame.right) / 2, (frame.bottom + frame.top) / 2
    canvas.setLineWidth(0.7)
    canvas.setDash(5, 4)
    canvas.line(x, frame.bottom, x, frame.top)
    canvas.line(frame.left, y, frame.right, y)
    canvas.setDash()


def _draw_card(canvas: Canvas, area: Area, card: PlayOutCard) -> None:
    _draw_head(canvas, area, card)
    board_y = area.top - _HEAD - _BOARD
    draw_diagram(canvas, card.position, Marks(), area.x + RIM, board_y, _BOARD)
    rail = area.x + RIM + _BOARD + 4 * MM
    draw_blocks(canvas, _asked(card, area.x + area.width - rail), rail, area.top - _HEAD)
    draw_qr(canvas, card.code, rail, board_y, _QR)
    # Below its symbol there is room for the longest in one line: broken, a code would be typed wrongly.
    draw_fitted(canvas, rail, board_y - SMALL - 1, card.code, SMALL, area.x + area.width - rail, bold=True)
    top = board_y - RIM - 3 * MM
    _draw_grid(canvas, Area(area.x, area.y + _FOOT, area.width, top - area.y - _FOOT), card)
    if card.for_two:
        draw_blocks(canvas, [paragraph(_points(card), area.width, SMALL)], area.x, area.y + _FOOT - 2)
    else:
        _draw_results(canvas, area, card.goal)


def _draw_head(canvas: Canvas, area: Area, card: PlayOutCard) -> None:
    """Club and title of the level, the unit, lines for name and date."""
    level, right, y = card.level_title, area.x + area.width, area.top - SMALL
    draw_right(canvas, right, y, level, SMALL)
    draw_fitted(canvas, area.x, y, card.club, SMALL, area.width - text_width(level, SMALL) - 4 * MM)
    draw_rule(canvas, area.x, right, y - 4, 1.2)
    draw_fitted(canvas, area.x, y - 18, card.unit_title, 13, area.width, bold=True)
    line = y - 36
    date = right - 28 * MM
    lines = (("Name", area.x, date - 4 * MM, card.student), ("Date", date, right, ""))
    if card.for_two:
        middle = (area.x + right) / 2
        lines = (("White", area.x, middle - 2 * MM, ""), ("Black", middle + 2 * MM, right, ""))
    for label, start, end, filled in lines:
        draw_text(canvas, start, line, label, 9.5)
        blank = start + text_width(label, 9.5) + 4
        draw_rule(canvas, blank, end, line - 2)
        draw_fitted(canvas, blank + 2, line, filled, 11, end - blank - 4, bold=True)


def _asked(card: PlayOutCard, width: float) -> list[Block]:
    """Who plays what, who begins, and the allowance."""
    if card.for_two:
        return _asked_of_two(card, width)
    mine, _ = _sides(card)
    turn = "White" if card.position.white_to_move else "Black"
    moves = counted(card.allowance, "move")
    asked = "Mate in at most" if card.goal is Goal.WIN else "Hold the draw for"
    return [
        paragraph(f"You are {mine}.", width, 11, bold=True),
        paragraph(f"{turn} to move.", width, 10),
        space(4),
        paragraph(f"{asked} {moves}.", width, 12, bold=True),
    ]


def _sides(card: PlayOutCard) -> tuple[str, str]:
    """Whose goal it is, and the other side."""
    return ("White", "Black") if card.white else ("Black", "White")


def _asked_of_two(card: PlayOutCard, width: float) -> list[Block]:
    """What each side has to do, and who begins."""
    turn = "White" if card.position.white_to_move else "Black"
    mine, other = _sides(card)
    moves = counted(card.allowance, "move")
    tasks = (
        (f"{mine}: mate in at most {moves}.", f"{other}: hold out longer.")
        if card.goal is Goal.WIN
        else (f"{mine}: hold the draw for {moves}.", f"{other}: win.")
    )
    return [
        paragraph("A game for two", width, 11, bold=True),
        paragraph(f"{turn} to move.", width, 10),
        space(4),
        *(paragraph(task, width, 10, bold=True) for task in tasks),
    ]


def _points(card: PlayOutCard) -> str:
    """How two neighbours count."""
    mine, other = _sides(card)
    if card.goal is Goal.WIN:
        told = f"Mate in time: {mine} 2 points. Mate later: 1 each. No mate: {other} 2."
    else:
        told = f"Draw held: {mine} 2 points. Not held: {other} 2."
    return f"{told} Then change sides: who has more points?"


def _draw_grid(canvas: Canvas, area: Area, card: PlayOutCard) -> None:
    """The numbered boxes for the moves, White's and Black's."""
    needed = moves_to_write(card)
    grid = grid_for(needed, area.height)
    if grid.moves < needed:
        grid = grid_for(needed, area.height - _OVERLEAF)
        y = area.top - _GRID_HEAD - grid.rows * grid.row_height - 10
        draw_right(canvas, area.x + area.width, y, "Go on overleaf.", SMALL)
    width = (area.width - (grid.columns - 1) * _GRID_GAP) / grid.columns
    for column in range(grid.columns):
        first = column * grid.rows
        numbers = range(first + 1, min(first + grid.rows, grid.moves) + 1)
        _draw_moves(canvas, area.x + column * (width + _GRID_GAP), area.top, width, grid.row_height, numbers)
    if not card.position.white_to_move:
        box = (width - _NUMBER) / 2
        y = area.top - _GRID_HEAD - grid.row_height / 2 - 3
        draw_centred(canvas, area.x + _NUMBER + box / 2, y, "\N{HORIZONTAL ELLIPSIS}", 11)


def _draw_moves(canvas: Canvas, x: float, top: float, width: float, height: float, numbers: range) -> None:
    """One column of the grid, with rows of this height."""
    box = (width - _NUMBER) / 2
    for i, word in enumerate(("White", "Black")):
        draw_centred(canvas, x + _NUMBER + (i + 0.5) * box, top - 9, word, SMALL)
    canvas.setLineWidth(0.8)
    for row, number in enumerate(numbers, start=1):
        y = top - _GRID_HEAD - row * height
        draw_right(canvas, x + _NUMBER - 4, y + height / 2 - 3, str(number), SMALL)
        canvas.rect(x + _NUMBER, y, box, height)
        canvas.rect(x + _NUMBER + box, y, box, height)


def _draw_results(canvas: Canvas, area: Area, goal: Goal) -> None:
    for i, result in enumerate(_RESULTS[goal]):
        tick_line(result, 10, area.width / 3).draw(canvas, area.x + i * area.width / 3, area.y + 13)
