"""A play-out as it was judged, on one page for the student: praise first, then what to mend.

The start and how it ended, up to three moments with their diagrams, then the game. However long
the game, it stays one page: the moves are set smaller, and in the end cut with three dots.
"""

import re
from collections.abc import Sequence
from datetime import date
from math import hypot

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.facts import PlayOutEnd
from coachbook.model.play_outs import JudgedPlayOut, PlayedMove
from coachbook.model.position import Arrow, Marks
from coachbook.model.print_options import PaperOptions
from coachbook.model.syllabus import Goal, PlayOut
from coachbook.paper.diagram import RIM, draw_diagram
from coachbook.paper.flow import Block, draw_blocks, height_of, paragraph, space, stack
from coachbook.paper.page import MM, draw_footer, draw_heading, frame_of, pdf_of
from coachbook.paper.text import LEADING, draw_centred, draw_fitted, notated, text_width, wrap
from coachbook.wording.counting import capitalised, counted, day_in_words, plural
from coachbook.wording.people import play_out_task, praise_in_words

_HEADING, _FOOTER = 18 * MM, 9 * MM
_START = 46 * MM
_GAP = 7 * MM
_COLUMNS = 3
_FIGURE = 27 * MM
_CAPTION = 10.5
_LARGE, _ASKED = 15.0, 12.0
ARROWS = "Two arrows: the black one is the better move, the dashed one is yours."
_ARROWS_SIZE = 9.0
# The most moves off the method that are listed; a longer list helps nobody.
_MOST_OFF = 3
_GAME_SIZES = (12.0, 11.0, 10.0, 9.0, 8.5)
_MOVE_NUMBER = re.compile(r"(\d+\.) ")
_ENDS = {
    PlayOutEnd.HELD: "The draw is held.",
    PlayOutEnd.STALEMATE: "Stalemate: a draw.",
    PlayOutEnd.DRAW: "A draw.",
    PlayOutEnd.LOST: "The coach won.",
    PlayOutEnd.GAVE_UP: "Given up.",
    PlayOutEnd.STOPPED: "Stopped before the end.",
    PlayOutEnd.UNFINISHED: "Not finished.",
}

Moment = tuple[str, str, PlayedMove, str]
"""Two lines to stand above the diagram, the move, and what is said of it."""


def play_out_pdf(
    judged: JudgedPlayOut,
    student: str,
    club: str,
    unit_title: str,
    on: date,
    options: PaperOptions,
    reached: int = 0,
) -> bytes:
    """The page as a PDF; `reached` counts how often the student has reached such a goal, this time too."""
    frame = frame_of(options.size)
    body = frame.top - _HEADING - frame.bottom - _FOOTER
    blocks = play_out_blocks(judged, student, frame.width, body, options.men, reached)

    def draw(canvas: Canvas) -> None:
        draw_heading(canvas, frame, club, day_in_words(on), unit_title, corner="Play-out")
        draw_blocks(canvas, blocks, frame.left, frame.top - _HEADING)
        draw_footer(canvas, frame, unit_title, "", day_in_words(on))
        canvas.showPage()

    return pdf_of(options.size, f"Play-out: {student}, {unit_title}", draw)


def play_out_blocks(
    judged: JudgedPlayOut, student: str, width: float, height: float, men: str, reached: int = 0
) -> list[Block]:
    """What the page shows, no higher than `height` (points); parts with nothing in them are left out."""
    off = judged.to_mend
    moments = _moments(judged, off)
    blocks = [_opening(judged, student, width, reached), space(14)]
    if moments:
        blocks += [_row(moments, width, men), space(6)]
    blocks += _also_off(off, width, men)
    game = _MOVE_NUMBER.sub(r"\1", notated(judged.line, men))
    if game:
        blocks += [paragraph("The game", width, _ASKED, bold=True), space(2)]
        blocks.append(_game(game, width, height - height_of(blocks)))
    return blocks


def result_in_words(judged: JudgedPlayOut) -> str:
    """Such as "Mate in 14 moves. Goal reached!"."""
    moves = counted(judged.used, "move")
    over = judged.used - judged.allowance
    reached = " Goal reached!"
    if judged.end is PlayOutEnd.MATE:
        if judged.goal is Goal.WIN and over > 0:
            return f"Mate in {moves}, {over} more than allowed."
        return f"Mate in {moves}.{reached}"
    drawn = judged.end in (PlayOutEnd.HELD, PlayOutEnd.STALEMATE, PlayOutEnd.DRAW)
    return _ENDS[judged.end] + (reached if drawn and judged.goal is Goal.DRAW else "")


def _opening(judged: JudgedPlayOut, student: str, width: float, reached: int) -> Block:
    """The start position; beside it who played, what was asked, and what came of it."""
    left = RIM + _START + _GAP
    side = "White" if judged.start.white_to_move else "Black"
    asked = play_out_task(PlayOut(judged.start.fen, judged.allowance, judged.goal))
    beside = stack(
        [
            paragraph(student, width - left, _LARGE, bold=True),
            space(4),
            paragraph(f"You played {side}: {asked}.", width - left, _ASKED),
            space(8),
            paragraph(result_in_words(judged), width - left, _LARGE, bold=True),
            *_praised(judged, width - left, reached),
            space(8),
            _figures(_counts(judged)),
        ]
    )

    def draw(canvas: Canvas, x: float, top: float) -> None:
        draw_diagram(canvas, judged.start, Marks(), x + RIM, top - _START, _START)
        beside.draw(canvas, x + left, top)

    return Block(max(_START + RIM, beside.height), draw)


def _praised(judged: JudgedPlayOut, width: float, reached: int) -> list[Block]:
    """How well the goal was reached, and how often; nothing where it was not."""
    if judged.how_good is None:
        return []
    return [
        space(3),
        paragraph(praise_in_words(judged.how_good, judged.goal, max(1, reached)), width, _ASKED),
    ]


def _counts(judged: JudgedPlayOut) -> list[tuple[int, str]]:
    allowed = "moves to hold" if judged.goal is Goal.DRAW else "allowed"
    counts = [(judged.used, "your moves"), (judged.allowance, allowed)]
    if judged.optimum is not None and judged.goal is Goal.WIN:
        counts.append((judged.optimum, "best possible"))
    return counts


def _figures(counts: Sequence[tuple[int, str]]) -> Block:
    """Numbers in frames, their words below."""
    height, gap = 13 * MM, 3 * MM

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.setLineWidth(0.9)
        for i, (count, words) in enumerate(counts):
            left = x + i * (_FIGURE + gap)
            canvas.roundRect(left, top - height, _FIGURE, height, 5)
            draw_centred(canvas, left + _FIGURE / 2, top - 18, f"{count}", 17, bold=True)
            draw_centred(canvas, left + _FIGURE / 2, top - height + 6, words, 9)

    return Block(height, draw)


def _moments(judged: JudgedPlayOut, off: Sequence[PlayedMove]) -> list[Moment]:
    """The moments that get a diagram, the best one first."""
    moments: list[Moment] = []
    if judged.praise:
        moments.append(("Well done", _played(judged.praise), judged.praise, judged.praise.comment))
    if judged.first_slip:
        slip = judged.first_slip
        title = "First slip" if judged.slip else "There was a quicker way"
        better = f"Better: {slip.better}." if slip.better else ""
        moments.append((title, _played(slip), slip, f"{slip.comment} {better}"))
    if off:
        rule = f"The rule says {off[0].better}."
        moments.append((f"{_played(off[0])}.", rule, off[0], _sentence(off[0].comment)))
    return moments


def _played(move: PlayedMove) -> str:
    return f"Move {move.number}: you played {move.san}"


def _sentence(words: str) -> str:
    return f"{capitalised(words)}."


def _row(moments: Sequence[Moment], width: float, men: str) -> Block:
    """The moments side by side: two lines, diagram, words; below them what the arrows mean."""
    column = (width - (_COLUMNS - 1) * _GAP) / _COLUMNS
    board = column - RIM
    words = [paragraph(notated(text, men), board, _CAPTION) for _, _, _, text in moments]
    key = paragraph(ARROWS if any(move.played for _, _, move, _ in moments) else "", width, _ARROWS_SIZE)
    head = 33.0
    below = head + board + RIM + 6 + max(block.height for block in words)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, (first, second, move, _) in enumerate(moments):
            left = x + i * (column + _GAP) + RIM
            draw_fitted(canvas, left, top - 12, notated(first, men), _ASKED, board, bold=True)
            draw_fitted(canvas, left, top - 26, notated(second, men), _CAPTION, board)
            marks = Marks(arrows=arrows_of(move))
            draw_diagram(canvas, move.before, marks, left, top - head - board, board)
            words[i].draw(canvas, left, top - head - board - RIM - 2)
        key.draw(canvas, x + RIM, top - below)

    return Block(below + key.height, draw)


def arrows_of(move: PlayedMove) -> tuple[Arrow, ...]:
    """What is drawn on the board of a moment, the long one first: of two along one line, it would hide the
    other."""
    arrows = [arrow for arrow in (move.played, move.arrow) if arrow]
    return tuple(sorted(arrows, key=_length, reverse=True))


def _length(arrow: Arrow) -> float:
    return hypot(arrow.end % 8 - arrow.start % 8, arrow.end // 8 - arrow.start // 8)


def _also_off(off: Sequence[PlayedMove], width: float, men: str) -> list[Block]:
    """In a line each: the moves off the method that have no diagram, and how many are left out."""
    if len(off) < 2:
        return []
    indent = 5 * MM
    lines = [f"Move {move.number}, {move.san}. {_sentence(move.comment)}" for move in off[1:_MOST_OFF]]
    more = len(off) - _MOST_OFF
    if more > 0:
        lines.append(f"And {more} more {plural(more, 'move')}.")
    dash = "\N{EN DASH}"
    paragraphs = [paragraph(notated(line, men), width, label=dash, indent=indent) for line in lines]
    return [paragraph("Also not by the rule", width, _ASKED, bold=True), space(2), *paragraphs, space(10)]


def _game(line: str, width: float, height: float) -> Block:
    """The moves in the largest type in which they fit, or as many as fit in the smallest."""
    for size in _GAME_SIZES:
        lines = wrap(line, size, width)
        if len(lines) * size * LEADING <= height:
            return paragraph(line, width, size)
    size = _GAME_SIZES[-1]
    lines = wrap(line, size, width)[: max(1, int(height / (size * LEADING)))]
    return paragraph(" ".join([*lines[:-1], _cut(lines[-1], size, width)]), width, size)


def _cut(line: str, size: float, width: float) -> str:
    """The line with three dots at its end, in place of what has no room beside them."""
    words = line.split()
    while words and text_width(f"{' '.join(words)} ...", size) > width:
        words.pop()
    return f"{' '.join(words)} ..."
