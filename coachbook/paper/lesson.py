"""The lesson plan: everything a coach needs in hand to teach one unit on one evening.

Sections in the order in which they are used: the evening's minutes, what to say, the
demonstration, questions, what goes wrong, what those do who are ahead or behind, play-outs,
a card of rules to hand out, and how the method is known to work.
"""

from collections.abc import Sequence
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.lesson import LessonSheet, RuleInWords
from coachbook.model.marks import Marks
from coachbook.model.position import Position
from coachbook.model.syllabus import PlayOut
from coachbook.model.term import clock
from coachbook.paper.boards import CaptionedBoard, board_row
from coachbook.paper.flow import Block, draw_blocks, headed, label_width, paginate, paragraph, space, stack
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import (
    BODY,
    MM,
    day_in_words,
    draw_footer,
    draw_heading,
    frame_of,
    write_pdf,
)
from coachbook.paper.plan import plan_head, plan_rows
from coachbook.paper.text import draw_text, notated

_HEADING = 22 * MM
_FOOTER = 9 * MM
_MOST_BOARDS = 5
_PLAY_OUTS_A_ROW = 4
_CARD_TEXT = 12.0
_CARD_PAD = 5 * MM


def write_lesson(lesson: LessonSheet, path: Path, options: PaperOptions) -> None:
    """Print the lesson plan. Raises CoachbookError if the file cannot be written."""
    frame = frame_of(options.size)
    pages = paginate(
        lesson_blocks(lesson, frame.width, options.men), frame.top - _HEADING - frame.bottom - _FOOTER
    )

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

    write_pdf(path, options.size, f"Lesson: {lesson.unit.title}", draw)


def lesson_blocks(lesson: LessonSheet, width: float, men: str) -> list[Block]:
    """The sections of a lesson plan; empty ones are left out."""
    unit = lesson.unit
    questions = [(question.ask, question.expect) for question in unit.questions]
    sections = [
        _section("Aim", [paragraph(notated(unit.aim, men), width)]),
        _section("The evening", _timetable(lesson, width)),
        _section("Say, in this order", _numbered(unit.say, width, men)),
        _section("Show", _demonstration(lesson, width, men)),
        _section("Ask", [_question(ask, expect, width, men) for ask, expect in questions]),
        _section("What goes wrong", _dashed(unit.slips, width, men)),
        _section("For those who are ahead", _dashed(unit.ahead, width, men)),
        _section("For those who are behind", _dashed(unit.behind, width, men)),
        _section("Play out", _play_outs(unit.play_outs, width, men)),
        _section("Card to hand out", [_card(lesson, width, men)] if lesson.rules else []),
        _section("How we know", [paragraph(lesson.proof_line, width)] if lesson.proof_line else []),
    ]
    return [block for section in sections for block in section]


def _section(title: str, blocks: Sequence[Block]) -> list[Block]:
    """A heading, never left alone at the foot of a page, its blocks, and some air."""
    if not blocks:
        return []
    heading = paragraph(title, 400, 12, bold=True)
    return [Block(heading.height + 2, heading.draw, keep_next=True), *blocks, space(9)]


def _numbered(texts: Sequence[str], width: float, men: str) -> list[Block]:
    indent = label_width((f"{len(texts)}",))
    return [
        _spaced(paragraph(notated(text, men), width, label=f"{i}", indent=indent))
        for i, text in enumerate(texts, start=1)
    ]


def _rules(rules: Sequence[RuleInWords], width: float, men: str) -> list[Block]:
    indent = label_width((f"{len(rules)}",), _CARD_TEXT)
    return [
        _spaced(headed(rule.head, notated(rule.words, men), width, _CARD_TEXT, label=f"{i}", indent=indent))
        for i, rule in enumerate(rules, start=1)
    ]


def _dashed(texts: Sequence[str], width: float, men: str) -> list[Block]:
    dash = "\N{EN DASH}"
    indent = label_width((dash,))
    return [paragraph(notated(text, men), width, label=dash, indent=indent) for text in texts]


def _spaced(block: Block) -> Block:
    return Block(block.height + 2, block.draw, block.keep_next)


def _timetable(lesson: LessonSheet, width: float) -> list[Block]:
    """One line for each stretch of the evening: from when to when, what, and why."""
    rows, start = [], 0
    for slot in lesson.slots:
        ends = start + slot.minutes
        span = f"{start}\N{EN DASH}{ends} min"
        if lesson.at:
            span = f"{clock(lesson.at, start)}\N{EN DASH}{clock(lesson.at, ends)}"
        what = slot.kind.value.capitalize() + (f": {slot.unit}" if slot.unit else "")
        words = f"{what} ({slot.why})" if slot.why else what
        rows.append(paragraph(words, width, label=span, indent=24 * MM))
        start += slot.minutes
    return rows


def _demonstration(lesson: LessonSheet, width: float, men: str) -> list[Block]:
    blocks: list[Block] = []
    boards = lesson.demonstration_boards[:_MOST_BOARDS]
    if boards:
        blocks += [board_row(boards, max(4, len(boards)), width, men), space(4)]
    if lesson.demonstration.steps:
        head = plan_head(lesson.demonstration, width)
        blocks.append(Block(head.height, head.draw, keep_next=True))
        blocks += plan_rows(lesson.demonstration.steps, width, men)
        blocks.append(paragraph(f"Source: {lesson.demonstration.source}.", width, 8.5))
    return blocks


def _question(ask: str, expect: str, width: float, men: str) -> Block:
    indent = 6 * MM
    asked = paragraph(notated(ask, men), width, bold=True)
    expected = paragraph(notated(expect, men), width, label="\N{RIGHTWARDS ARROW}", indent=indent)
    return _spaced(stack([asked, expected]))


def _play_outs(play_outs: Sequence[PlayOut], width: float, men: str) -> list[Block]:
    boards = [_play_out(play_out) for play_out in play_outs]
    rows = [boards[i : i + _PLAY_OUTS_A_ROW] for i in range(0, len(boards), _PLAY_OUTS_A_ROW)]
    return [board_row(row, _PLAY_OUTS_A_ROW, width, men) for row in rows]


def _play_out(play_out: PlayOut) -> CaptionedBoard:
    position = Position(play_out.fen)
    side = "White" if position.white_to_move else "Black"
    return position, Marks(), f"{side} to move: {play_out.in_words}."


def _card(lesson: LessonSheet, width: float, men: str) -> Block:
    """The rules in a dashed frame to cut out."""
    inner = width - 2 * _CARD_PAD
    title = _spaced(paragraph(lesson.unit.title, inner, 14, bold=True))
    body = stack([title, *_rules(lesson.rules, inner, men)])
    height = body.height + 2 * _CARD_PAD

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.setLineWidth(0.9)
        canvas.setDash(5, 4)
        canvas.roundRect(x, top - height, width, height, 8)
        canvas.setDash()
        body.draw(canvas, x + _CARD_PAD, top - _CARD_PAD)

    return Block(height, draw)
