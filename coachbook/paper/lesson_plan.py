"""The lesson plan: what a coach, or somebody who stands in for him, needs in hand to give one unit.

In the order in which it is used, on two pages at most where the texts are of usual length: the minutes, what
to say, what to set up and show, questions with the right answer and the likely wrong one, what is new on the
sheet, what goes wrong, what if it is hard or easy, play-outs, homework with its key, the rules, and how the
method is known to work.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.position import Marks, Position
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import LessonSheet, RuleInWords, ShownLine, ShownStep
from coachbook.model.syllabus import ClassQuestion, PlayOut
from coachbook.model.term_plan import SlotKind, clock
from coachbook.model.worksheet import Exercise
from coachbook.paper.diagram import RIM
from coachbook.paper.flow import (
    Block,
    CaptionedBoard,
    board_row,
    draw_blocks,
    headed,
    label_width,
    paginate,
    paragraph,
    space,
    stack,
)
from coachbook.paper.key_rows import answer_blocks
from coachbook.paper.page import MM, draw_footer, draw_heading, frame_of, pdf_of
from coachbook.paper.text import draw_text, notated
from coachbook.wording.answer_forms import NEW_ON_SHEET, how_answered
from coachbook.wording.counting import capitalised, day_in_words, level_in_words
from coachbook.wording.people import play_out_task
from coachbook.wording.plans import kind_in_words, reason_in_words
from coachbook.wording.reasons import said_in_key
from coachbook.wording.show_sentences import set_up

_HEADING = 20 * MM
_FOOTER = 9 * MM
_PLAYED_BOARD = 36 * MM
_PLAY_OUTS_A_ROW = 4
_ABOVE_BOARDS = 2.0
_BETWEEN_COLUMNS = 6 * MM
_CARD_PAD = 4 * MM
_ARROW, _DASH, _CROSS = "\N{RIGHTWARDS ARROW}", "\N{EN DASH}", "\N{MULTIPLICATION SIGN}"
# Type size, leading, points between items and after sections, and the widths of a board that is shown and of
# one that is asked about: the usual ones, then smaller and closer ones.
_CLOSENESS = (
    (10.0, 1.25, 2.0, 8.0, 56 * MM, 30 * MM),
    (9.5, 1.22, 1.5, 6.0, 56 * MM, 30 * MM),
    (9.0, 1.2, 1.0, 4.0, 56 * MM, 30 * MM),
    (9.0, 1.2, 1.0, 4.0, 46 * MM, 28 * MM),
    (9.0, 1.2, 0.5, 3.0, 42 * MM, 26 * MM),
    (8.5, 1.18, 1.0, 5.0, 42 * MM, 26 * MM),
    (8.5, 1.18, 0.5, 3.0, 42 * MM, 26 * MM),
)
_TWO_PAGES = 2
_SIGNS = (
    f"{_ARROW} the right answer; {_CROSS} a likely wrong one, with what to reply; 1. White's move; 1..."
    " Black's; + check; # mate."
)
# What is done in a stretch of a lesson that is in no plan.
_DOES = {
    SlotKind.NEW: ": say, show and ask",
    SlotKind.PRACTICE: ": the worksheet, each alone",
    SlotKind.PLAY_OUT: ": in pairs, at the boards",
}
_AGAIN = "Set up the same position once more."
_IN_PAIRS = (
    "In pairs: the side to move is the one who learns. Then change sides; after too many moves begin again."
)


def lesson_pdf(lesson: LessonSheet, options: PaperOptions) -> bytes:
    """The lesson plan as a PDF."""
    frame = frame_of(options.size)
    height = frame.top - _HEADING - frame.bottom - _FOOTER
    pages = lesson_pages(lesson, frame.width, height, options.men)

    who = " \N{MIDDLE DOT} ".join(part for part in (lesson.club, lesson.group) if part)
    level = level_in_words(lesson.unit.level, lesson.level_title)

    def draw(canvas: Canvas) -> None:
        for number, blocks in enumerate(pages, start=1):
            draw_heading(canvas, frame, who, day_in_words(lesson.on), lesson.unit.title)
            draw_text(canvas, frame.left, frame.top - 50, level, _CLOSENESS[0][0])
            draw_blocks(canvas, blocks, frame.left, frame.top - _HEADING)
            page = f"page {number} of {len(pages)}"
            draw_footer(canvas, frame, lesson.unit.title, page, day_in_words(lesson.on))
            canvas.showPage()

    return pdf_of(options.size, f"Lesson: {lesson.unit.title}", draw)


def lesson_pages(lesson: LessonSheet, width: float, height: float, men: str) -> list[list[Block]]:
    """The blocks by page: in the largest type in which they need two pages, or else as few as can be."""
    found: list[list[Block]] = []
    for closeness in _CLOSENESS:
        pages = paginate(_blocks(lesson, _Column(width, men, *closeness)), height)
        if not found or len(pages) < len(found):
            found = pages
        if len(found) <= _TWO_PAGES:
            break
    return found


@dataclass(frozen=True, slots=True)
class _Column:
    """A column of a page: its width in points, how the men are written, the type, what air there is, and how
    wide its boards.

    `leading` is from baseline to baseline, as a share of the size; `between` items and `after`
    sections stand so many points.
    """

    width: float
    men: str
    size: float
    leading: float
    between: float
    after: float
    shown_board: float
    asked_board: float

    def text(self, words: str, *, bold: bool = False, label: str = "", indent: float = 0) -> Block:
        printed = notated(words, self.men)
        return paragraph(
            printed, self.width, self.size, bold=bold, label=label, indent=indent, leading=self.leading
        )

    def headed(self, head: str, words: str, *, label: str = "", indent: float = 0) -> Block:
        printed, bold = notated(words, self.men), notated(head, self.men)
        return headed(bold, printed, self.width, self.size, label=label, indent=indent, leading=self.leading)

    def spaced(self, block: Block) -> Block:
        return Block(block.height + self.between, block.draw, block.keep_next)

    @property
    def half(self) -> "_Column":
        return replace(self, width=(self.width - _BETWEEN_COLUMNS) / 2)


def _blocks(lesson: LessonSheet, column: _Column) -> list[Block]:
    """The sections of a lesson plan; empty ones are left out."""
    unit, half = lesson.unit, column.half
    sections = [
        _side_by_side(
            [
                _section("Aim", [half.text(unit.aim)], half),
                _section("Minutes", _timetable(lesson, half), half),
            ],
            column,
        ),
        _section("Say, in this order", _numbered(unit.say, column), column),
        _section("Set up and show", _shows(lesson, column), column),
        _section("Ask", _asked(lesson, column), column),
        _handed_out(lesson, column),
        _side_by_side(
            [
                _section("What goes wrong", _dashed(unit.slips, half), half),
                _section("If it is easy", _dashed(unit.ahead, half), half)
                + _section("If it is hard", _dashed(unit.behind, half), half),
            ],
            column,
        ),
        *_at_home_and_at_the_board(lesson, column),
        _section("The rules", [_card(lesson, column)] if lesson.rules else [], column),
        _section(
            "How we know, for the coach",
            [column.text(lesson.proof_line)] if lesson.proof_line else [],
            column,
        ),
    ]
    # No air after the last: it could begin a page that has nothing else on it.
    return [block for section in sections for block in section][:-1]


def _at_home_and_at_the_board(lesson: LessonSheet, column: _Column) -> list[list[Block]]:
    """Play-outs and homework, side by side as far as there is room."""
    play_outs, home = lesson.unit.play_outs, lesson.homework
    if 0 < len(play_outs) <= _PLAY_OUTS_A_ROW // 2:
        half = column.half
        played = _section("Play out", _play_outs(play_outs, _PLAY_OUTS_A_ROW // 2, half), half)
        return [_side_by_side([played, _section("Homework", _homework(home, half), half)], column)]
    if home is not None and len(play_outs) == _PLAY_OUTS_A_ROW - 1:
        boards = [
            *map(_play_out, play_outs),
            (home.position, home.task_marks, f"Homework: {home.task.words}"),
        ]
        row = board_row(boards, _PLAY_OUTS_A_ROW, column.width, column.men)
        key = _key_of(home, column)
        return [
            _section(
                "Play out, and homework", [column.text(_IN_PAIRS), space(_ABOVE_BOARDS), row, *key], column
            )
        ]
    played = _section("Play out", _play_outs(play_outs, _PLAY_OUTS_A_ROW, column), column)
    return [played, _section("Homework", _homework(home, column), column)]


def _asked(lesson: LessonSheet, column: _Column) -> list[Block]:
    """The questions in two columns, after a line that says what the signs mean."""
    asked = _in_two([_question(each, column.half) for each in lesson.unit.questions], column)
    signs = replace(column.spaced(column.text(_SIGNS)), keep_next=True)
    return [signs, *asked] if asked else []


def _handed_out(lesson: LessonSheet, column: _Column) -> list[Block]:
    """A line for each kind of exercise that is new on the sheet, as one block, and some air; nothing without
    one."""
    told = [column.headed(NEW_ON_SHEET, how_answered(kind)) for kind in lesson.new_kinds]
    return [stack(told), space(column.after)] if told else []


def _section(title: str, blocks: Sequence[Block], column: _Column) -> list[Block]:
    """A heading, never left alone at the foot of a page, its blocks, and some air; nothing without blocks."""
    if not blocks:
        return []
    heading = column.spaced(replace(column, size=column.size + 1.5).text(title, bold=True))
    return [replace(heading, keep_next=True), *blocks, space(column.after)]


def _side_by_side(sections: Sequence[list[Block]], column: _Column) -> list[Block]:
    """Two sections in two columns, as one block; one alone if the other is empty."""
    stacks = [stack(section[:-1]) for section in sections if section]
    return [*_in_two(stacks, column), space(column.after)] if stacks else []


def _in_two(blocks: Sequence[Block], column: _Column) -> list[Block]:
    """Blocks in two columns, row by row."""
    from_left = column.half.width + _BETWEEN_COLUMNS
    pairs = zip_longest(blocks[::2], blocks[1::2])
    return [left if right is None else _beside(left, right, from_left) for left, right in pairs]


def _numbered(texts: Sequence[str], column: _Column) -> list[Block]:
    indent = label_width((f"{len(texts)}",), column.size)
    return [
        column.spaced(column.text(text, label=f"{i}", indent=indent)) for i, text in enumerate(texts, start=1)
    ]


def _dashed(texts: Sequence[str], column: _Column) -> list[Block]:
    indent = label_width((_DASH,), column.size)
    return [column.text(text, label=_DASH, indent=indent) for text in texts]


def _timetable(lesson: LessonSheet, column: _Column) -> list[Block]:
    """One line for each stretch of the evening: from when to when, what, and why."""
    rows, start = [], 0
    for slot in lesson.slots:
        ends = start + slot.minutes
        span = f"{start}{_DASH}{ends} min"
        if lesson.at:
            span = f"{clock(lesson.at, start)}{_DASH}{clock(lesson.at, ends)}"
        unit = lesson.titles.get(slot.unit, slot.unit)
        what = capitalised(kind_in_words(slot.kind)) + (f": {unit}" if unit else _DOES.get(slot.kind, ""))
        words = f"{what} ({reason_in_words(slot.why, lesson.titles)})" if slot.why else what
        rows.append(column.text(words, label=span, indent=24 * MM))
        start += slot.minutes
    return rows


def _shows(lesson: LessonSheet, column: _Column) -> list[Block]:
    """Each line beside its board; a long one has a second board, of where it ends, below the first."""
    blocks: list[Block] = []
    for before, line in zip((None, *lesson.shows), lesson.shows, strict=False):
        again = before is not None and (before.start, before.task) == (line.start, line.task)
        blocks += [_shown(line, column, again=again), space(column.after)]
    return blocks[:-1]


def _shown(line: ShownLine, column: _Column, *, again: bool) -> Block:
    """The moves of a line beside its board; none that would only show `again` what stands above.

    How to set it up is said below the board, or before the moves if that is the lower block.
    """
    left = column.shown_board + RIM + _BETWEEN_COLUMNS
    beside = replace(column, width=column.width - left)
    moves = [_said(step, beside) for step in line.steps] + _ending(line, beside)
    said = stack(moves)
    if again:
        return _beside(replace(column, width=column.shown_board + RIM).text(_AGAIN), said, left)
    words = f"{set_up(line.start)} {line.task}"
    captioned, bare = (_board(line.start, told, column.shown_board, column) for told in (words, ""))
    after_words = _beside(bare, stack([column.spaced(beside.text(words)), *moves]), left)
    if after_words.height < max(captioned.height, said.height):
        return after_words
    boards = [captioned]
    if line.steps and said.height > 2 * captioned.height:
        boards.append(_board(line.end, "Where it ends.", column.shown_board, column))
    return _beside(stack(boards), said, left)


def _said(step: ShownStep, column: _Column) -> Block:
    """A move and what is said with it."""
    return column.spaced(column.headed(f"{step.number} {step.san}", step.words))


def _ending(line: ShownLine, column: _Column) -> list[Block]:
    return [column.text(f"At the end: {line.ends}.", bold=True)] if line.ends else []


def _beside(one: Block, other: Block, from_left: float) -> Block:
    """Two blocks side by side, the other so far from the left."""

    def draw(canvas: Canvas, x: float, top: float) -> None:
        one.draw(canvas, x, top)
        other.draw(canvas, x + from_left, top)

    return Block(max(one.height, other.height), draw)


def _board(
    position: Position, caption: str, size: float, column: _Column, marks: Marks | None = None
) -> Block:
    shown = [(position, marks or Marks(), caption)]
    return stack([space(_ABOVE_BOARDS), board_row(shown, 1, size + RIM, column.men, size)])


def _question(question: ClassQuestion, column: _Column) -> Block:
    """What to ask, the right answer, and the likely wrong one with what to reply; its board, if any."""
    left = column.asked_board + RIM + _CARD_PAD if question.fen else 0
    beside = replace(column, width=column.width - left)
    indent = 4.5 * MM
    words = [beside.text(question.ask, bold=True), beside.text(question.expect, label=_ARROW, indent=indent)]
    if question.wrong:
        told = (
            f"\N{LEFT DOUBLE QUOTATION MARK}{question.wrong}\N{RIGHT DOUBLE QUOTATION MARK} {question.reply}"
        )
        words.append(beside.text(told, label=_CROSS, indent=indent))
    block = stack(words)
    if question.fen:
        block = _beside(_board(Position(question.fen), "", column.asked_board, column), block, left)
    return Block(block.height + 2 * column.between, block.draw)


def _play_outs(play_outs: Sequence[PlayOut], columns: int, column: _Column) -> list[Block]:
    boards = [_play_out(play_out) for play_out in play_outs]
    rows = [boards[i : i + columns] for i in range(0, len(boards), columns)]
    drawn = [board_row(row, columns, column.width, column.men) for row in rows]
    told = [column.text(_IN_PAIRS)] if drawn else []
    return [*told, *(stack([space(_ABOVE_BOARDS), row]) for row in drawn)]


def _play_out(play_out: PlayOut) -> CaptionedBoard:
    position = Position(play_out.fen)
    side = "White" if position.white_to_move else "Black"
    return position, Marks(), f"{side} to move: {play_out_task(play_out)}."


def _homework(exercise: Exercise | None, column: _Column) -> list[Block]:
    """One exercise with its key."""
    if exercise is None:
        return []
    left = _PLAYED_BOARD + RIM + _BETWEEN_COLUMNS
    beside = replace(column, width=column.width - left)
    words = [beside.spaced(beside.text(exercise.task.words)), *_key_of(exercise, beside)]
    board = _board(exercise.position, "", _PLAYED_BOARD, column, exercise.task_marks)
    return [_beside(board, stack(words), left)]


def _key_of(exercise: Exercise, column: _Column) -> list[Block]:
    return [
        column.text("Key of the homework, for you", bold=True),
        *answer_blocks(exercise.answer, column.width, column.men, column.size, column.size),
        column.text(" ".join(said_in_key(exercise))),
    ]


def _card(lesson: LessonSheet, column: _Column) -> Block:
    """The rules in a frame."""
    inner = replace(column, width=column.width - 2 * _CARD_PAD)
    words = [inner.text(told) for told in lesson.definitions]
    body = stack([*_rules(lesson.rules, inner), space(column.after if words else 0), *words])
    height = body.height + 2 * _CARD_PAD

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.setLineWidth(0.9)
        canvas.roundRect(x, top - height, column.width, height, 8)
        body.draw(canvas, x + _CARD_PAD, top - _CARD_PAD)

    return Block(height, draw)


def _rules(rules: Sequence[RuleInWords], column: _Column) -> list[Block]:
    indent = label_width((f"{len(rules)}",), column.size)
    return [
        column.spaced(column.headed(rule.head, rule.words, label=f"{rule.number}", indent=indent))
        for rule in rules
    ]
