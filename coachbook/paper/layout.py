"""Where things stand on a worksheet's page: how many boards, how large, and where the answer goes.

All measures in points. A cell holds one item: its task above, the board below it, the answer
beside the board or under it. Positions within a cell start at its lower left corner.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from coachbook.paper.diagram import rim_of
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import MM, Frame

# On smaller boards hatch and pieces do not survive a photocopy of a photocopy.
SMALLEST_BOARD = 28 * MM
_FOOTER = 20.5 * MM
_BELOW_TASK = 5.0
_BELOW_BOARD = 5.0
_SHARES = (1.0, 0.92, 0.84, 0.76, 0.68, 0.6)
# On a rail so wide, in type sizes, the side to move is told in one line.
_ONE_LINE = 9.5


@dataclass(frozen=True, slots=True)
class Layout:
    """One way to fill a page.

    The answer stands `beside` the board on a rail at least `rail` wide, or under it on a strip
    at least `strip` high, with a narrow rail for the side to move; the rail ends with a board of
    full size or goes on to the foot of the cell. `task_sizes` and `label_sizes` are type sizes
    from the best to the smallest allowed, `task_height` the most that a task may take.
    """

    columns: int
    rows: int
    board: float
    rail: float
    strip: float
    task_sizes: tuple[float, ...]
    task_height: float
    label_sizes: tuple[float, ...] = (10.0, 9.5, 9.0)
    badge: float = 8.5
    gutter: float = 7 * MM
    row_gap: float = 4.5 * MM
    heading: float = 27 * MM
    coordinates: float = 7.0
    large: bool = False
    ends_with_board: bool = True

    @property
    def boards(self) -> int:
        return self.columns * self.rows

    @property
    def beside(self) -> bool:
        return self.strip == 0

    @property
    def label(self) -> float:
        return self.label_sizes[0]


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle by its lower left corner."""

    x: float
    y: float
    width: float
    height: float

    @property
    def top(self) -> float:
        return self.y + self.height


@dataclass(frozen=True, slots=True)
class Spot:
    """A board of size `board` with its corner at (x, y), the upper left corner of the side to move,
    and the area for the answer. `one_line` tells whether the side to move has room to be told in one."""

    x: float
    y: float
    board: float
    side_x: float
    side_top: float
    one_line: bool
    answer: Area


_LARGE = (20.0, 19.0, 18.0)
_LAYOUTS = (
    Layout(3, 4, 30 * MM, 21 * MM, 0, (10, 9.5, 9), 37, (9, 8.5), 7.5, 5 * MM, 4 * MM, ends_with_board=False),
    Layout(3, 3, 40 * MM, 12.5 * MM, 19 * MM, (10.5, 10, 9.5, 9), 37, (9, 8.5), 7.5, 5 * MM, 4 * MM),
    Layout(2, 4, 40 * MM, 36 * MM, 0, (11, 10.5, 10, 9.5), 29.5, row_gap=4 * MM),
    Layout(2, 3, 53 * MM, 26 * MM, 0, (12, 11.5, 11, 10.5, 10), 39),
    Layout(2, 2, 70 * MM, 14 * MM, 25 * MM, (12, 11.5, 11, 10.5, 10), 52, coordinates=8),
    Layout(1, 2, 88 * MM, 60 * MM, 0, (13, 12, 11), 42, (11, 10.5, 10), 9.5, coordinates=9),
)
_LARGE_PRINT = (
    Layout(1, 2, 80 * MM, 60 * MM, 0, _LARGE, 52, (18,), 14, heading=46 * MM, coordinates=14, large=True),
    Layout(
        1, 1, 110 * MM, 48 * MM, 55 * MM, _LARGE, 105, (18,), 14, heading=46 * MM, coordinates=14, large=True
    ),
)


def layouts(options: PaperOptions) -> tuple[Layout, ...]:
    """The layouts that a sheet may take, the one asked for first, then ever roomier ones."""
    if options.large_print:
        return _LARGE_PRINT
    return tuple(layout for layout in _LAYOUTS if layout.boards <= options.boards_a_page)


def cells(layout: Layout, frame: Frame) -> list[Area]:
    """The cells of a page in reading order."""
    body = frame.top - layout.heading - frame.bottom - _FOOTER
    pitch = (body + layout.row_gap) / layout.rows
    width = (frame.width - (layout.columns - 1) * layout.gutter) / layout.columns
    top = frame.top - layout.heading
    return [
        Area(
            frame.left + column * (width + layout.gutter),
            top + layout.row_gap - (row + 1) * pitch,
            width,
            pitch - layout.row_gap,
        )
        for row in range(layout.rows)
        for column in range(layout.columns)
    ]


def spots(layout: Layout, cell: Area, task_height: float) -> Iterator[Spot]:
    """Places for board and answer under a task, the largest board first: a smaller one leaves more room."""
    rim, gap = rim_of(layout.coordinates), 3.2 * MM if layout.columns < 3 else 2.6 * MM
    top = cell.height - task_height - _BELOW_TASK
    high = top - rim - (0 if layout.beside else layout.strip + _BELOW_BOARD)
    largest = min(layout.board, high, cell.width - rim - gap - layout.rail)
    for share in _SHARES:
        board = max(share * largest, min(largest, SMALLEST_BOARD))
        side_x, y = rim + board + gap, top - board
        one_line = layout.beside and cell.width - side_x >= _ONE_LINE * layout.label
        if layout.beside:
            end = y if layout.ends_with_board and board == largest else 0
            side = (1.7 if one_line else 2.9) * layout.label
            answer = Area(side_x, end, cell.width - side_x, top - side - end)
        else:
            answer = Area(0, 0, cell.width, y - rim - _BELOW_BOARD)
        yield Spot(rim, y, board, side_x, top, one_line, answer)
