"""The rows of a key, in two columns: a row has a marked board, the answer, the reasons and the written plan;
and the right answer by itself, as an example shows it.

What fits beside the board stands there, the rest below it over the whole column. A row that does not fit
moves to the next column; one with a long plan is cut between two steps, and the board is printed again
above the rest.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.flow import (
    Block,
    draw_blocks,
    headed,
    height_of,
    paragraph,
    plan_head,
    plan_rows,
    space,
)
from coachbook.paper.page import MM, Frame
from coachbook.paper.sheet_layout import tick_line
from coachbook.paper.text import draw_text, notated, text_width
from coachbook.wording.exercises import answer_in_short, printed_options
from coachbook.wording.reasons import said_in_key

_COLUMNS, _GUTTER = 2, 8 * MM
_BOARD = 27 * MM
_TEXT, _SMALL = 9.0, 8.5
_NUMBER_SIZE, _NUMBER_GAP = 14.0, 4.0
_GAP = 3 * MM
_BELOW = 4.0
_ROW_GAP = 12.0
# A row is cut only if at least so many steps stand on either side of the cut.
_FEWEST_STEPS = 3
# A row lower than this share of a column moves to the next rather than be cut.
_RATHER_WHOLE = 0.4

_Made = Callable[[float], Block]
"""A block, made for a width."""


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One item: blocks above the board, beside it and below it, which stay together; then the plan.

    `continued` stands below the board when the rest of the steps stands in a new column.
    """

    number: str
    item: Exercise
    indent: float
    above: tuple[Block, ...]
    beside: tuple[Block, ...]
    below: tuple[Block, ...]
    continued: tuple[Block, ...]
    steps: tuple[Block, ...] = ()

    @property
    def high(self) -> float:
        """Of the board with what stands beside it."""
        return max(_BOARD + RIM, height_of(self.beside))

    @property
    def height(self) -> float:
        return height_of(self.above) + self.high + height_of((*self.below, *self.steps)) + _ROW_GAP


def column_width(frame: Frame) -> float:
    """Of one of the two columns."""
    return (frame.width - (_COLUMNS - 1) * _GUTTER) / _COLUMNS


def number_width(numbers: Sequence[str]) -> float:
    """What the widest of these numbers needs before the boards."""
    return max(text_width(number, _NUMBER_SIZE, bold=True) for number in numbers) + _NUMBER_GAP


def key_row(
    number: str, item: Exercise, width: float, men: str, indent: float, *, unit: str = "", whose: str = ""
) -> KeyRow:
    """The row of an item in a column, behind its number; with the title of a unit, and with words above
    it that say whose it is, if these are told."""
    solution = item.solution
    beside_width = width - indent - RIM - _BOARD - _GAP
    head: list[_Made] = [
        *([_paragraph(f"From: {unit}", _SMALL, bold=True)] if unit else []),
        _paragraph(notated(item.task.words, men), _SMALL),
        lambda _width: space(2),
    ]
    beside = [make(beside_width) for make in head]
    beside += answer_blocks(item.answer, beside_width, men, 11.5, _TEXT)
    told = [_paragraph(notated(words, men), _TEXT) for words in said_in_key(item)]
    for at, warning in enumerate(solution.watch_for):
        told.append(_watch(notated(warning.words, men), is_first=at == 0))
    more, below = _placed(told, beside_width, width, _BOARD + RIM - height_of(beside))
    continued = [paragraph("continued", width, _SMALL), space(3)]
    steps: list[Block] = []
    if solution.plan and solution.plan.steps:
        heads = [space(_BELOW), plan_head(solution.plan, width, _TEXT)]
        # Of one move it goes without saying whose it is.
        below += heads if len(solution.plan.steps) > 1 else heads[:1]
        continued.append(heads[-1])
        steps = plan_rows(solution.plan.steps, width, men, _TEXT)
        steps.append(paragraph(f"Source: {solution.plan.source.words}.", width, 7.5))
    above = (paragraph(whose, width - indent, _SMALL, bold=True), space(2)) if whose else ()
    parts = (above, (*beside, *more), tuple(below), tuple(continued), tuple(steps))
    return KeyRow(number, item, indent, *parts)


def _paragraph(text: str, size: float, *, bold: bool = False) -> _Made:
    return lambda width: paragraph(text, width, size, bold=bold)


def _watch(words: str, *, is_first: bool) -> _Made:
    return lambda width: headed("Watch for" if is_first else "", words, width, _TEXT)


def _placed(
    told: Sequence[_Made], beside: float, below: float, room: float
) -> tuple[list[Block], list[Block]]:
    """What stands beside the board, as far as there is room, and what stands below it, in order."""
    first: list[Block] = []
    for at, make in enumerate(told):
        block = make(beside)
        if height_of(first) + block.height > room:
            return first, [space(_BELOW), *(rest(below) for rest in told[at:])]
        first.append(block)
    return first, []


def in_columns(rows: Sequence[KeyRow], height: float) -> list[list[list[KeyRow]]]:
    """The rows by page and column, in order, in columns so high."""
    columns: list[list[KeyRow]] = [[]]
    left = height
    for row in rows:
        rest: KeyRow | None = row
        while rest is not None:
            part, after = _cut(rest, left, height)
            if part is None:
                columns.append([])
                left = height
                continue
            columns[-1].append(part)
            left -= part.height
            rest = after
    return [columns[at : at + _COLUMNS] for at in range(0, len(columns), _COLUMNS)]


def _cut(row: KeyRow, left: float, column: float) -> tuple[KeyRow | None, KeyRow | None]:
    """What of a row goes into the space that is left, and what stays over.

    The whole row if it fits; else nothing, if a new column will do better; else the steps that fit.
    """
    if row.height - _ROW_GAP <= left:
        return row, None
    fitting = len(row.steps)
    while fitting and replace(row, steps=row.steps[:fitting]).height - _ROW_GAP > left:
        fitting -= 1
    fitting = min(fitting, len(row.steps) - _FEWEST_STEPS)
    if left < column and (fitting < _FEWEST_STEPS or row.height <= _RATHER_WHOLE * column):
        return None, row
    fitting = max(fitting, 1)
    rest = replace(row, beside=(), below=row.continued, steps=row.steps[fitting:])
    return replace(row, steps=row.steps[:fitting]), rest


def draw_columns(canvas: Canvas, frame: Frame, columns: Sequence[Sequence[KeyRow]], top: float) -> None:
    """The columns of a page, their rows from `top` downwards."""
    for number, rows in enumerate(columns):
        x, y = frame.left + number * (column_width(frame) + _GUTTER), top
        for row in rows:
            _draw_row(canvas, row, x, y)
            y -= row.height


def _draw_row(canvas: Canvas, row: KeyRow, x: float, top: float) -> None:
    draw_text(canvas, x, top - 12, row.number, _NUMBER_SIZE, bold=True)
    draw_blocks(canvas, row.above, x + row.indent, top)
    under = top - height_of(row.above)
    board = x + row.indent + RIM
    draw_diagram(canvas, row.item.position, row.item.solution.marks, board, under - _BOARD, _BOARD)
    draw_blocks(canvas, row.beside, board + _BOARD + _GAP, under)
    draw_blocks(canvas, (*row.below, *row.steps), x, under - row.high)


def answer_blocks(answer: Answer, width: float, men: str, size: float, option_size: float) -> list[Block]:
    """The answer in short, in bold type of this size; or all options of a choice as on the worksheet, the
    right one ticked."""
    if answer.form is not AnswerForm.CHOICE:
        return [paragraph(notated(answer_in_short(answer), men), width, size, bold=True)]
    blocks: list[Block] = []
    for option, printed in zip(answer.options, printed_options(answer), strict=True):
        right = option in answer.accepted
        line = tick_line(notated(printed, men), option_size, width, ticked=right, bold=right)
        blocks += [line, space(2)]
    return [*blocks, space(2)]
