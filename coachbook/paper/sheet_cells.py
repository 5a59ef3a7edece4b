"""What stands in a cell of a worksheet's page: an item with its place for the answer, an example, or
what words mean and the rules that a task names."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import product

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.position import Marks
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.paper.diagram import draw_diagram
from coachbook.paper.flow import Block, draw_blocks, height_of, label_width, paragraph, space, stack
from coachbook.paper.key_rows import answer_blocks
from coachbook.paper.page import MM, draw_rule, stamp
from coachbook.paper.sheet_layout import Area, Layout, Spot, answer_place, most_moves, spots
from coachbook.paper.text import LEADING, draw_centred, draw_text, fit, notated, text_width, wrap
from coachbook.wording.reasons import reasons_of

# For a child's hand.
_LINE_PITCH = 10 * MM
_Lines = tuple[tuple[str, ...], float]
"""A task in lines, and the size of its type."""


@dataclass(frozen=True, slots=True)
class ItemCells:
    """The items of a sheet as they go into the cells of a layout: their `tasks` in lines, and `head`, the
    height of the longest, so that all boards stand on one height; `most` moves are asked for at most."""

    layout: Layout
    items: Sequence[Exercise]
    men: str
    tasks: tuple[_Lines, ...]
    head: float
    most: int

    @classmethod
    def of(cls, layout: Layout, items: Sequence[Exercise], width: float, men: str) -> "ItemCells":
        """Those of a sheet. Raises CoachbookError if a task is too long for its place."""
        tasks = tuple(_task(layout, item, width - _task_x(layout), men) for item in items)
        high = max(len(lines) * size * LEADING for lines, size in tasks)
        return cls(layout, items, men, tasks, max(high, 2 * layout.badge), most_moves(items))

    def cell(self, index: int, area: Area, smallest: float) -> Block:
        """The item in its cell, on a board of this size or larger. Raises CoachbookError if there is no
        such place for the answer."""
        item = self.items[index]
        spot, place = _spot(self, area, item, smallest)

        def draw(canvas: Canvas, x: float, top: float) -> None:
            _in_cell(canvas, x, top - area.height, lambda: _draw_item(canvas, self, area, index, spot, place))

        return Block(area.height, draw)


def _task(layout: Layout, item: Exercise, width: float, men: str) -> _Lines:
    task = notated(item.task.words, men)
    size = fit(task, layout.task_sizes, width, layout.task_height)
    return wrap(task, size, width), size


def _spot(cells: ItemCells, area: Area, item: Exercise, smallest: float) -> tuple[Spot, Block]:
    """The largest board that leaves room for the answer, and the answer's place."""
    for spot in spots(cells.layout, area, cells.head):
        place = answer_place(item.answer, spot.answer, cells.layout, cells.men, cells.most)
        if place is not None and spot.board >= smallest:
            return spot, place
    raise CoachbookError(
        f"The answer to '{item.task.words[:40]}' is too long for its place on paper.", "Shorten it."
    )


def _task_x(layout: Layout) -> float:
    return 2 * layout.badge + 6


def _in_cell(canvas: Canvas, x: float, y: float, draw: Callable[[], None]) -> None:
    canvas.saveState()
    canvas.translate(x, y)
    draw()
    canvas.restoreState()


def _draw_item(canvas: Canvas, cells: ItemCells, area: Area, index: int, spot: Spot, place: Block) -> None:
    layout, (task, size), item = cells.layout, cells.tasks[index], cells.items[index]
    badge, top = layout.badge, area.height
    _draw_badge(canvas, badge, top - badge, index + 1, badge)
    first = top - 1.04 * size if len(task) > 1 else top - badge - 0.35 * size
    for i, line in enumerate(task):
        draw_text(canvas, _task_x(layout), first - i * size * LEADING, line, size)
    _draw_board(canvas, layout, spot, item, item.task_marks)
    # Beside the board the place stands on its foot line, under the board it hangs from it.
    place_top = spot.answer.y + place.height if layout.beside else spot.answer.top
    place.draw(canvas, spot.answer.x, place_top)
    if layout.ruled:
        _draw_ruled(canvas, spot.answer, place.height)


def _draw_ruled(canvas: Canvas, area: Area, taken: float) -> None:
    """Lines to write on, in what the answer's place leaves of an area."""
    y = area.top - taken - _LINE_PITCH
    while y >= area.y:
        draw_rule(canvas, area.x, area.x + area.width, y, 0.5)
        y -= _LINE_PITCH


def _draw_board(canvas: Canvas, layout: Layout, spot: Spot, item: Exercise, marks: Marks) -> None:
    draw_diagram(canvas, item.position, marks, spot.x, spot.y, spot.board, layout.coordinates)
    _draw_side_to_move(canvas, layout, spot, white=item.position.white_to_move)


_INSET = 6.0
_LABEL = "Example"


def example_cell(layout: Layout, item: Exercise, area: Area, men: str, smallest: float) -> Block:
    """An exercise in a frame, with its answer on the board, and in words beside or below it, on a board of
    this size or larger; with the reasons, if there is room. Raises CoachbookError if it is too long for the
    cell."""
    inner = Area(0, 0, area.width - 2 * _INSET, area.height - 2 * _INSET)
    told = (item.solution.text.words, *reasons_of(item))
    places = ((False, layout.label), (True, layout.label), (True, layout.label_sizes[-1]))
    for words, (head_says, size) in product(dict.fromkeys((" ".join(told), told[0])), places):
        said = notated(words, men)
        head = _example_head(layout, item, inner.width, men, said if head_says else "", size)
        for spot in spots(layout, inner, head.height):
            answer = _answer_told(item, spot.answer.width, men, "" if head_says else said, size)
            if answer.height <= spot.answer.height and spot.board >= smallest:
                return _example(layout, item, area, head, spot, answer)
    raise CoachbookError(
        f"The example '{item.task.words[:40]}' is too long for its place on paper.", "Shorten it."
    )


def _example_head(layout: Layout, item: Exercise, width: float, men: str, said: str, size: float) -> Block:
    task = paragraph(notated(item.task.words, men), width, layout.task_sizes[-1])
    words = [paragraph(said, width, size)] if said else []
    return stack([_example_label(layout), space(3), task, *words])


def _answer_told(item: Exercise, width: float, men: str, said: str, size: float) -> Block:
    words = [space(2), paragraph(said, width, size)] if said else []
    return stack([*answer_blocks(item.answer, width, men, 1.2 * size, size), *words])


def _example(layout: Layout, item: Exercise, area: Area, head: Block, spot: Spot, answer: Block) -> Block:
    def inside(canvas: Canvas) -> None:
        head.draw(canvas, 0, area.height - 2 * _INSET)
        _draw_board(canvas, layout, spot, item, item.solution.marks)
        answer.draw(canvas, spot.answer.x, spot.answer.top)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_frame(canvas, x, top - area.height, area.width, area.height)
        _in_cell(canvas, x + _INSET, top - area.height + _INSET, lambda: inside(canvas))

    return Block(area.height, draw)


def _example_label(layout: Layout) -> Block:
    """The word in white on black, as the numbers of the items are."""
    size = layout.label
    width, height = text_width(_LABEL, size, bold=True) + 1.4 * size, 1.5 * size

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.roundRect(x, top - height, width, height, height / 2, stroke=0, fill=1)
        canvas.setFillGray(1)
        draw_text(canvas, x + 0.7 * size, top - 1.1 * size, _LABEL, size, bold=True)
        canvas.setFillGray(0)

    return Block(height, draw)


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


_PADDING, _GUTTER = 6.0, 6 * MM
_RADIUS, _LINE = 5.0, 0.8
_Column = tuple[float, Sequence[Block]]
"""From where on, within the frame, and what stands there."""
# A line longer than that, in type sizes, is hard to follow: there are two columns then.
_LONG_LINE = 36
_BETWEEN, _LEADING = 2.5, 1.2


def words_frame(sheet: Worksheet, width: float, size: float) -> Block:
    """The frame, so wide and in type of this size, of a sheet that has words or cards."""
    inner = width - 2 * _PADDING
    if inner <= _LONG_LINE * size or len(sheet.words) + sum(len(card.rules) for card in sheet.cards) < 2:
        return _framed([(0, _told(sheet, inner, size))], width)
    column = (inner - _GUTTER) / 2
    left, right = _in_two(_told(sheet, column, size))
    return _framed([(0, left), (column + _GUTTER, right)], width)


def _framed(columns: Sequence[_Column], width: float) -> Block:
    """Columns side by side in a frame."""
    inner = max(height_of(blocks) for _, blocks in columns)
    height = inner + 2 * _PADDING

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_frame(canvas, x, top - height, width, height)
        for start, blocks in columns:
            draw_blocks(canvas, blocks, x + _PADDING + start, top - _PADDING)

    return Block(height, draw)


def draw_frame(canvas: Canvas, x: float, y: float, width: float, height: float) -> None:
    """A thin frame with round corners around what helps."""
    canvas.setLineWidth(_LINE)
    canvas.roundRect(x + _LINE / 2, y + _LINE / 2, width - _LINE, height - _LINE, _RADIUS)


def _told(sheet: Worksheet, width: float, size: float) -> list[Block]:
    blocks: list[Block] = []
    if sheet.words:
        blocks += [_heading("What the words mean", width, size)]
        for words in sheet.words:
            blocks += [_kept(paragraph(words, width, size, leading=_LEADING)), space(_BETWEEN)]
    for card in sheet.cards:
        blocks += [_heading(f"The rules: {card.title}", width, size)]
        indent = label_width([f"{number}" for number, _ in card.rules], size)
        for number, rule in card.rules:
            line = paragraph(rule, width, size, label=f"{number}", indent=indent, leading=_LEADING)
            blocks += [_kept(line), space(_BETWEEN)]
    return blocks[:-1]


def _heading(text: str, width: float, size: float) -> Block:
    return _kept(paragraph(text, width, size, bold=True))


def _kept(block: Block) -> Block:
    """No column ends with it."""
    return replace(block, keep_next=True)


def _in_two(blocks: Sequence[Block]) -> tuple[Sequence[Block], Sequence[Block]]:
    """Two columns, the taller one as low as can be."""
    cuts = [at for at in range(1, len(blocks)) if not blocks[at - 1].keep_next]
    cut = min(cuts, key=lambda at: max(height_of(blocks[:at]), height_of(blocks[at:])))
    return blocks[:cut], blocks[cut:]
