"""The answer key: one full-width row for each item of a worksheet.

Left a marked board, in the middle the answer and the written plan, right what to watch
for. A row that does not fit moves to the next page; one with a long plan is cut between
two steps, and the board is printed again beside the rest.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.print_options import PaperOptions
from coachbook.model.worksheet import Answer, AnswerForm, Exercise, Worksheet
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.flow import PLAN_SIZE, Block, draw_blocks, paragraph, plan_head, plan_rows, space
from coachbook.paper.page import BODY, MM, Frame, draw_footer, draw_heading, frame_of, pdf_of
from coachbook.paper.sheet_layout import tick_line
from coachbook.paper.sheet_page import mix_line
from coachbook.paper.text import draw_fitted, draw_text, notated, text_width
from coachbook.wording.counting import day_in_words
from coachbook.wording.exercises import printed_options
from coachbook.wording.reasons import reasons_of

_HEADING = 18 * MM
# Under the title, what else is on the sheet, in a line of its own.
_MIX, _MIX_LINE = 48.0, 3 * MM
# In the same line, below the code, whose sheet it is.
_NAMES, _MOST_NAMES = 11.0, 4
_FOOTER = 8 * MM
_NUMBER = 15.0
# Six rows of boards fit on an A4 page, like the six items of a worksheet's page.
_BOARD = 33 * MM
_GAP = 5 * MM
_WATCH = 39 * MM
_ROW_GAP = 13.0
# A row is cut only if at least so many steps stand on either side of the cut.
_FEWEST_STEPS = 3
# A row lower than this share of a page moves to the next page rather than be cut.
_RATHER_WHOLE = 0.4


@dataclass(frozen=True, slots=True)
class _Row:
    """One item: blocks of the middle column (a head that is never cut, then steps) and of the right one.

    `continued` is the head when the rest of the steps stands on a new page.
    """

    number: int
    item: Exercise
    head: tuple[Block, ...]
    continued: tuple[Block, ...]
    steps: tuple[Block, ...]
    watch: tuple[Block, ...]

    @property
    def height(self) -> float:
        middle = _height(self.head) + _height(self.steps)
        return max(_BOARD + RIM, middle, _height(self.watch)) + _ROW_GAP


def key_pdf(
    worksheets: Sequence[Worksheet],
    options: PaperOptions,
    names: Mapping[str, Sequence[str]] = MappingProxyType({}),
) -> bytes:
    """The answer key of each worksheet in one PDF, each from a new page.

    `names` has the students of a sheet by its code; they stand below it, unless they are too many to
    be found by. Raises CoachbookError if there is no worksheet.
    """
    frame = frame_of(options.size)

    def draw(canvas: Canvas) -> None:
        for number, sheet in enumerate(worksheets, start=1):
            canvas.bookmarkPage(f"key{number}")
            given = _named(names.get(sheet.code, ()))
            title = " - ".join(part for part in (sheet.unit_title, sheet.code, given) if part)
            canvas.addOutlineEntry(title, f"key{number}")
            rows = _rows(sheet, _middle_width(frame), options.men)
            pages = _pages(rows, frame.top - _heading(sheet, given) - frame.bottom - _FOOTER)
            for page, on_page in enumerate(pages, start=1):
                _draw_page(canvas, frame, sheet, given, on_page, f"page {page} of {len(pages)}")

    codes = ", ".join(sheet.code for sheet in worksheets)
    return pdf_of(options.size, f"Answer key {codes}", draw)


def _named(students: Sequence[str]) -> str:
    """Such as "Ada, Ben", or "" of a sheet that goes to many."""
    named = [student for student in students if student]
    return ", ".join(named) if len(named) <= _MOST_NAMES else ""


def _heading(sheet: Worksheet, names: str) -> float:
    return _HEADING + _MIX_LINE if names or mix_line(sheet) else _HEADING


def _middle_width(frame: Frame) -> float:
    return frame.width - _NUMBER - RIM - _BOARD - _WATCH - 2 * _GAP


def _rows(sheet: Worksheet, width: float, men: str) -> list[_Row]:
    """The rows of a sheet; an item from another unit says from which."""
    others = [sheet.title_of(item.unit) if item.unit != sheet.unit else "" for item in sheet.items]
    return [
        _row(number, item, unit, width, men)
        for number, (item, unit) in enumerate(zip(sheet.items, others, strict=True), start=1)
    ]


def _row(number: int, item: Exercise, other: str, width: float, men: str) -> _Row:
    solution = item.solution
    head = [
        *([paragraph(f"From: {other}", width, 9.0, bold=True)] if other else []),
        paragraph(notated(item.task.words, men), width, 9.0),
        space(2),
        *_answer_blocks(item.answer, width, men),
        paragraph(notated(solution.text.words, men), width, BODY),
        *[paragraph(told, width, BODY) for told in reasons_of(item)],
    ]
    continued = [paragraph("continued", width, 9.0), space(3)]
    steps: list[Block] = []
    if solution.plan and solution.plan.steps:
        head += [space(5), plan_head(solution.plan, width)]
        continued.append(head[-1])
        steps = plan_rows(solution.plan.steps, width, men)
        steps.append(paragraph(f"Source: {solution.plan.source.words}.", width, 8.0))
    watch = [paragraph("Watch for", _WATCH, 9.0, bold=True)] if solution.watch_for else []
    for warning in solution.watch_for:
        watch += [paragraph(notated(warning.words, men), _WATCH, PLAN_SIZE), space(3)]
    return _Row(number, item, tuple(head), tuple(continued), tuple(steps), tuple(watch))


def _answer_blocks(answer: Answer, width: float, men: str) -> list[Block]:
    """The answer in short, or all options of a choice as on the worksheet, the right one ticked."""
    if answer.form is not AnswerForm.CHOICE:
        return [paragraph(notated(_answer(answer), men), width, 12.0, bold=True)]
    blocks: list[Block] = []
    for option, printed in zip(answer.options, printed_options(answer), strict=True):
        right = option in answer.accepted
        blocks += [tick_line(notated(printed, men), BODY, width, ticked=right, bold=right), space(2)]
    return [*blocks, space(2)]


def _answer(answer: Answer) -> str:
    """The accepted answers in short: "16", "Qb8# and Qg7#", "Qe4 or Qe3", "none"."""
    if not answer.accepted:
        return "none" if answer.form is AnswerForm.MOVES else "none (nothing marked)"
    *others, last = answer.accepted
    joint = " and " if answer.all_needed else " or "
    return joint.join([", ".join(others), last]) if others else last


def _pages(rows: Sequence[_Row], height: float) -> list[list[_Row]]:
    pages: list[list[_Row]] = [[]]
    left = height
    for row in rows:
        rest: _Row | None = row
        while rest is not None:
            part, after = _cut(rest, left, height)
            if part is None:
                pages.append([])
                left = height
                continue
            pages[-1].append(part)
            left -= part.height
            rest = after
    return pages


def _cut(row: _Row, left: float, page: float) -> tuple[_Row | None, _Row | None]:
    """What of a row goes into the space that is left, and what stays over.

    The whole row if it fits; else nothing, if a new page will do better; else the steps that fit.
    """
    if row.height - _ROW_GAP <= left:
        return row, None
    fitting = len(row.steps)
    while fitting and replace(row, steps=row.steps[:fitting]).height - _ROW_GAP > left:
        fitting -= 1
    fitting = min(fitting, len(row.steps) - _FEWEST_STEPS)
    if left < page and (fitting < _FEWEST_STEPS or row.height <= _RATHER_WHOLE * page):
        return None, row
    fitting = max(fitting, 1)
    rest = replace(row, head=row.continued, steps=row.steps[fitting:], watch=())
    return replace(row, steps=row.steps[:fitting]), rest


def _height(blocks: Sequence[Block]) -> float:
    return sum(block.height for block in blocks)


def _draw_page(
    canvas: Canvas, frame: Frame, sheet: Worksheet, names: str, rows: Sequence[_Row], page: str
) -> None:
    level = f"Level {sheet.level} \N{MIDDLE DOT} {sheet.level_title}"
    draw_heading(canvas, frame, sheet.club, level, f"Answers: {sheet.unit_title}", size=16, corner=sheet.code)
    width = min(text_width(names, _NAMES, bold=True), frame.width / 2)
    draw_fitted(canvas, frame.right - width, frame.top - _MIX, names, _NAMES, width, bold=True)
    if mix := mix_line(sheet):
        draw_fitted(canvas, frame.left, frame.top - _MIX, mix, 9.0, frame.width - width - _GAP)
    top = frame.top - _heading(sheet, names)
    for row in rows:
        _draw_row(canvas, frame, row, top)
        top -= row.height
    draw_footer(canvas, frame, sheet.code, page, f"made {day_in_words(sheet.made_on)}")
    canvas.showPage()


def _draw_row(canvas: Canvas, frame: Frame, row: _Row, top: float) -> None:
    solution = row.item.solution
    draw_text(canvas, frame.left, top - 12, str(row.number), 14, bold=True)
    board_x = frame.left + _NUMBER + RIM
    draw_diagram(canvas, row.item.position, solution.marks, board_x, top - _BOARD, _BOARD)
    middle = board_x + _BOARD + _GAP
    draw_blocks(canvas, (*row.head, *row.steps), middle, top)
    draw_blocks(canvas, row.watch, frame.right - _WATCH, top)
