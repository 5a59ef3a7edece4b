"""A method's rules on one page, in type that is read from the back of the room."""

from collections.abc import Sequence
from dataclasses import replace

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import RuleInWords
from coachbook.paper.diagram import draw_diagram, rim_of
from coachbook.paper.flow import (
    Block,
    CaptionedBoard,
    draw_blocks,
    headed,
    height_of,
    label_width,
    paragraph,
    space,
)
from coachbook.paper.page import MM, Frame, draw_rule, frame_of, pdf_of
from coachbook.paper.text import fit, notated

_MOST_BOARDS = 2
# From 24 points on, type is read from two metres away.
_SIZES = (36, 34, 32, 30, 28, 27, 26, 25, 24, 22, 20, 19, 18, 17, 16, 15, 14)
_LARGEST, _FAR = 36, 24
# Boards shrink with the type, from the largest to the smallest.
_LARGEST_BOARD, _SMALLEST_BOARD = 78 * MM, 48 * MM
_TITLES = (44.0, 40.0, 36.0, 32.0, 28.0, 24.0, 22.0)
_TITLE_HEIGHT = 57.0
_COORDINATES = 11.0
_CAPTION = 14.0
_PROOF = 12.0
_TIGHT = 1.18


def poster_pdf(
    title: str,
    summary: str,
    rules: Sequence[RuleInWords],
    boards: Sequence[CaptionedBoard],
    proof_line: str,
    options: PaperOptions,
) -> bytes:
    """A poster of one page as a PDF: the rules of a method as large as they fit, one or two boards.

    `summary`, `boards` and `proof_line` may be empty. Raises CoachbookError if there are more words
    or boards than a page holds.
    """
    if len(boards) > _MOST_BOARDS:
        raise CoachbookError(f"A poster has room for two boards, not {len(boards)}.", "Choose the best two.")
    frame = frame_of(options.size)
    above, below = poster_blocks(title, summary, rules, boards, proof_line, frame, options.men)

    def draw(canvas: Canvas) -> None:
        draw_blocks(canvas, above, frame.left, frame.top)
        draw_blocks(canvas, below, frame.left, frame.bottom + height_of(below))
        canvas.showPage()

    return pdf_of(options.size, f"Poster: {title}", draw)


def poster_blocks(
    title: str,
    summary: str,
    rules: Sequence[RuleInWords],
    boards: Sequence[CaptionedBoard],
    proof_line: str,
    frame: Frame,
    men: str,
) -> tuple[list[Block], list[Block]]:
    """What hangs from the top of the frame, and what stands on its foot. Raises CoachbookError if even the
    smallest type does not fit on a page."""
    foot = (
        [_rule(frame.width), paragraph(notated(proof_line, men), frame.width, _PROOF)] if proof_line else []
    )
    printed = [replace(rule, words=notated(rule.words, men)) for rule in rules]
    for size in _SIZES:
        above = [*_head(title, notated(summary, men), size, frame.width), *_rules(printed, size, frame.width)]
        below = [*_board_row(boards, _board_size(size), frame.width, men), *foot]
        if height_of(above) + height_of(below) <= frame.top - frame.bottom:
            return above, below
    raise CoachbookError(f"The rules of '{title}' do not fit on a page.", "Shorten them.")


def _board_size(size: float) -> float:
    share = max(0, size - _FAR) / (_LARGEST - _FAR)
    return _SMALLEST_BOARD + share * (_LARGEST_BOARD - _SMALLEST_BOARD)


def _head(title: str, summary: str, size: float, width: float) -> list[Block]:
    """Title and summary; the summary in smaller type than the rules, but at least 12 points."""
    title_size = fit(title, _TITLES, width, _TITLE_HEIGHT, bold=True)
    blocks = [paragraph(title, width, title_size, bold=True, leading=_TIGHT)]
    if summary:
        blocks += [space(4), paragraph(summary, width, max(12, 0.6 * size), leading=_TIGHT)]
    return [*blocks, space(6), _rule(width), space(0.3 * size)]


def _rules(rules: Sequence[RuleInWords], size: float, width: float) -> list[Block]:
    indent = label_width((f"{len(rules)}",), size)
    blocks = []
    for rule in rules:
        number = f"{rule.number}"
        block = headed(rule.head, rule.words, width, size, label=number, indent=indent, leading=_TIGHT)
        blocks += [block, space(0.4 * size)]
    return blocks


def _board_row(boards: Sequence[CaptionedBoard], size: float, width: float, men: str) -> list[Block]:
    """The boards, each in its half of the width, their captions below."""
    if not boards:
        return []
    rim, half = rim_of(_COORDINATES), width / _MOST_BOARDS
    captions = [paragraph(notated(text, men), half - rim - 8, _CAPTION) for _, _, text in boards]
    height = size + rim + 4 + max(caption.height for caption in captions)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        for i, (position, marks, _) in enumerate(boards):
            left = x + i * half + rim
            draw_diagram(canvas, position, marks, left, top - size, size, _COORDINATES)
            captions[i].draw(canvas, left, top - size - rim - 2)

    return [Block(height, draw), space(8)]


def _rule(width: float) -> Block:
    return Block(8, lambda canvas, x, top: draw_rule(canvas, x, x + width, top - 2, 1.6))
