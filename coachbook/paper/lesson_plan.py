"""The lesson plan: everything a coach needs in hand to teach one unit on one evening.

Sections in the order in which they are used: the evening's minutes, what to say, the
demonstration, questions, what goes wrong, what those do who are ahead or behind, play-outs,
a card of rules to hand out, and how the method is known to work.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.position import Marks, Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import LessonSheet, RuleInWords
from coachbook.model.syllabus import PlayOut
from coachbook.model.term_plan import clock
from coachbook.model.worksheet import Plan
from coachbook.paper.flow import (
    Block,
    CaptionedBoard,
    board_row,
    draw_blocks,
    headed,
    label_width,
    paginate,
    paragraph,
    plan_head,
    plan_rows,
    space,
    stack,
)
from coachbook.paper.page import BODY, MM, draw_footer, draw_heading, frame_of, pdf_of
from coachbook.paper.text import LEADING, draw_text, notated
from coachbook.wording.counting import capitalised, day_in_words
from coachbook.wording.people import play_out_task
from coachbook.wording.plans import kind_in_words, reason_in_words

_HEADING = 22 * MM
_FOOTER = 9 * MM
_MOST_BOARDS = 5
_BOARDS_A_ROW, _BOARDS_BESIDE = 4, 2
_PLAY_OUTS_A_ROW = 4
_ABOVE_BOARDS = 2.0
_CARD_TEXT = 12.0
_CARD_PAD = 5 * MM
# Leading, points between items and after sections: the usual ones, then closer ones.
_CLOSENESS = ((LEADING, 2.0, 9.0), (1.23, 1.5, 6.0), (1.18, 0.5, 3.0))


def lesson_pdf(lesson: LessonSheet, options: PaperOptions) -> bytes:
    """The lesson plan as a PDF."""
    frame = frame_of(options.size)
    height = frame.top - _HEADING - frame.bottom - _FOOTER
    pages = lesson_pages(lesson, frame.width, height, options.men)

    who = " \N{MIDDLE DOT} ".join(part for part in (lesson.club, lesson.group) if part)
    level = f"Level {lesson.unit.level} \N{MIDDLE DOT} {lesson.level_title}"

    def draw(canvas: Canvas) -> None:
        for number, blocks in enumerate(pages, start=1):
            draw_heading(canvas, frame, who, day_in_words(lesson.on), lesson.unit.title)
            draw_text(canvas, frame.left, frame.top - 50, level, BODY)
            draw_blocks(canvas, blocks, frame.left, frame.top - _HEADING)
            page = f"page {number} of {len(pages)}"
            draw_footer(canvas, frame, lesson.unit.title, page, day_in_words(lesson.on))
            canvas.showPage()

    return pdf_of(options.size, f"Lesson: {lesson.unit.title}", draw)


def lesson_pages(lesson: LessonSheet, width: float, height: float, men: str) -> list[list[Block]]:
    """The blocks by page, drawn closer together where that, and only where that, saves a page."""
    columns = (_Column(width, men, *closeness) for closeness in _CLOSENESS)
    return min((paginate(_blocks(lesson, column), height) for column in columns), key=len)


@dataclass(frozen=True, slots=True)
class _Column:
    """The column of a page: its width in points, how the men are written, and what air there is.

    `leading` is from baseline to baseline, as a share of the size; `between` items and `after`
    sections stand so many points.
    """

    width: float
    men: str
    leading: float
    between: float
    after: float

    def text(
        self, words: str, *, size: float = BODY, bold: bool = False, label: str = "", indent: float = 0
    ) -> Block:
        printed = notated(words, self.men)
        return paragraph(
            printed, self.width, size, bold=bold, label=label, indent=indent, leading=self.leading
        )

    def spaced(self, block: Block) -> Block:
        return Block(block.height + self.between, block.draw, block.keep_next)


def _blocks(lesson: LessonSheet, column: _Column) -> list[Block]:
    """The sections of a lesson plan; empty ones are left out."""
    unit = lesson.unit
    titled = [
        ("Aim", [column.text(unit.aim)]),
        ("The evening", _timetable(lesson, column)),
        ("Say, in this order", _numbered(unit.say, column)),
        ("Show", _demonstration(lesson, column)),
        ("Ask", [_question(each.ask, each.expect, column) for each in unit.questions]),
        ("What goes wrong", _dashed(unit.slips, column)),
        ("For those who are ahead", _dashed(unit.ahead, column)),
        ("For those who are behind", _dashed(unit.behind, column)),
        ("Play out", _play_outs(unit.play_outs, column)),
        ("Card to hand out", [_card(lesson, column)] if lesson.rules else []),
        ("How we know", [column.text(lesson.proof_line)] if lesson.proof_line else []),
    ]
    sections = [_section(title, blocks, column) for title, blocks in titled if blocks]
    # No air after the last: it could begin a page that has nothing else on it.
    return [block for section in sections for block in section][:-1]


def _section(title: str, blocks: Sequence[Block], column: _Column) -> list[Block]:
    """A heading, never left alone at the foot of a page, its blocks, and some air."""
    heading = column.spaced(column.text(title, size=12, bold=True))
    return [replace(heading, keep_next=True), *blocks, space(column.after)]


def _numbered(texts: Sequence[str], column: _Column) -> list[Block]:
    indent = label_width((f"{len(texts)}",))
    return [
        column.spaced(column.text(text, label=f"{i}", indent=indent)) for i, text in enumerate(texts, start=1)
    ]


def _dashed(texts: Sequence[str], column: _Column) -> list[Block]:
    dash = "\N{EN DASH}"
    indent = label_width((dash,))
    return [column.text(text, label=dash, indent=indent) for text in texts]


def _timetable(lesson: LessonSheet, column: _Column) -> list[Block]:
    """One line for each stretch of the evening: from when to when, what, and why."""
    rows, start = [], 0
    for slot in lesson.slots:
        ends = start + slot.minutes
        span = f"{start}\N{EN DASH}{ends} min"
        if lesson.at:
            span = f"{clock(lesson.at, start)}\N{EN DASH}{clock(lesson.at, ends)}"
        unit = lesson.titles.get(slot.unit, slot.unit)
        what = capitalised(kind_in_words(slot.kind)) + (f": {unit}" if unit else "")
        words = f"{what} ({reason_in_words(slot.why, lesson.titles)})" if slot.why else what
        rows.append(column.text(words, label=span, indent=24 * MM))
        start += slot.minutes
    return rows


def _demonstration(lesson: LessonSheet, column: _Column) -> list[Block]:
    """The boards and below them the plan; beside them, if they are so few that there is room."""
    boards = lesson.demonstration_boards[:_MOST_BOARDS]
    if not boards:
        return _plan(lesson.demonstration, column)
    columns = max(_BOARDS_A_ROW, len(boards))
    row = stack([space(_ABOVE_BOARDS), board_row(boards, columns, column.width, column.men)])
    left = len(boards) / columns * column.width
    beside = stack(_plan(lesson.demonstration, replace(column, width=column.width - left)))
    if len(boards) > _BOARDS_BESIDE or beside.height > row.height:
        return [row, space(2 * column.between), *_plan(lesson.demonstration, column)]

    def draw(canvas: Canvas, x: float, top: float) -> None:
        row.draw(canvas, x, top)
        beside.draw(canvas, x + left, top)

    return [Block(row.height, draw)]


def _plan(plan: Plan, column: _Column) -> list[Block]:
    """The plan as a table, its source below; nothing of a plan without a step."""
    if not plan.steps:
        return []
    head = replace(plan_head(plan, column.width), keep_next=True)
    source = column.text(f"Source: {plan.source.words}.", size=8.5)
    return [head, *plan_rows(plan.steps, column.width, column.men), source]


def _question(ask: str, expect: str, column: _Column) -> Block:
    expected = column.text(expect, label="\N{RIGHTWARDS ARROW}", indent=6 * MM)
    return column.spaced(stack([column.text(ask, bold=True), expected]))


def _play_outs(play_outs: Sequence[PlayOut], column: _Column) -> list[Block]:
    boards = [_play_out(play_out) for play_out in play_outs]
    rows = [boards[i : i + _PLAY_OUTS_A_ROW] for i in range(0, len(boards), _PLAY_OUTS_A_ROW)]
    drawn = [board_row(row, _PLAY_OUTS_A_ROW, column.width, column.men) for row in rows]
    return [stack([space(_ABOVE_BOARDS), row]) for row in drawn]


def _play_out(play_out: PlayOut) -> CaptionedBoard:
    position = Position(play_out.fen)
    side = "White" if position.white_to_move else "Black"
    return position, Marks(), f"{side} to move: {play_out_task(play_out)}."


def _card(lesson: LessonSheet, column: _Column) -> Block:
    """The rules in a dashed frame to cut out."""
    width, inner = column.width, column.width - 2 * _CARD_PAD
    title = column.spaced(paragraph(lesson.unit.title, inner, 14, bold=True))
    body = stack([title, *_rules(lesson.rules, replace(column, width=inner))])
    height = body.height + 2 * _CARD_PAD

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.setLineWidth(0.9)
        canvas.setDash(5, 4)
        canvas.roundRect(x, top - height, width, height, 8)
        canvas.setDash()
        body.draw(canvas, x + _CARD_PAD, top - _CARD_PAD)

    return Block(height, draw)


def _rules(rules: Sequence[RuleInWords], column: _Column) -> list[Block]:
    indent = label_width((f"{len(rules)}",), _CARD_TEXT)
    blocks = []
    for rule in rules:
        words, number = notated(rule.words, column.men), f"{rule.number}"
        block = headed(
            rule.head, words, column.width, _CARD_TEXT, label=number, indent=indent, leading=column.leading
        )
        blocks.append(column.spaced(block))
    return blocks
