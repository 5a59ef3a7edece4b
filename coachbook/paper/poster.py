"""A method's rules on one page, in type that is read from the back of the room, and a page for each two
of them with large boards."""

from collections.abc import Sequence
from dataclasses import dataclass

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
# From 24 points on, type is read from two metres away; a board of 80 mm is seen from there.
_SIZES = (36, 34, 32, 30, 28, 27, 26, 25, 24, 22, 20, 19, 18, 17, 16, 15, 14)
_BOARD, _SMALL_BOARD = 80 * MM, 48 * MM
_WAYS = (*((size, _BOARD) for size in _SIZES), *((size, _SMALL_BOARD) for size in _SIZES))
_A_PAGE = 2
_PICTURE_RULES, _PICTURE_CAPTION = (24.0, 20.0, 17.0, 14.0, 12.0), 18.0
_SHARE_OF_RULE = 0.25
_LARGEST_PICTURE, _BELOW_PICTURE = 100 * MM, 8 * MM
_TITLES = (44.0, 40.0, 36.0, 32.0, 28.0, 24.0, 22.0)
_TITLE_HEIGHT = 57.0
_COORDINATES = 11.0
_CAPTION = 14.0
_PROOF = 12.0
_TIGHT = 1.18


@dataclass(frozen=True, slots=True)
class Picture:
    """What is hung beside the rules: a rule, or what it speaks of, under its number or letter, and its board
    with what is marked and a caption."""

    label: str
    head: str
    words: str
    board: CaptionedBoard


def poster_pdf(
    title: str,
    rules: Sequence[RuleInWords],
    boards: Sequence[CaptionedBoard],
    pictures: Sequence[Picture],
    proof_line: str,
    options: PaperOptions,
) -> bytes:
    """A poster as a PDF: a page with the rules of a method as large as they fit and one or two boards, then
    pages with two large boards each, to be hung beside it: a rule, and what it is about marked.

    `boards`, `pictures` and `proof_line` may be empty. Raises CoachbookError if there are more words or
    boards than a page holds.
    """
    if len(boards) > _MOST_BOARDS:
        raise CoachbookError(f"A poster has room for two boards, not {len(boards)}.", "Choose the best two.")
    frame = frame_of(options.size)
    above, below = poster_blocks(title, rules, boards, proof_line, frame, options.men)
    half = (frame.top - frame.bottom) / _A_PAGE
    shown = [_picture(each, frame.width, half, options.men) for each in pictures]

    def draw(canvas: Canvas) -> None:
        draw_blocks(canvas, above, frame.left, frame.top)
        draw_blocks(canvas, below, frame.left, frame.bottom + height_of(below))
        canvas.showPage()
        for first in range(0, len(shown), _A_PAGE):
            for place, block in enumerate(shown[first : first + _A_PAGE]):
                block.draw(canvas, frame.left, frame.top - place * half)
            canvas.showPage()

    return pdf_of(options.size, f"Poster: {title}", draw)


def poster_blocks(
    title: str,
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
    for size, board in _WAYS:
        above = [*_head(title, size, frame.width), *_rules(rules, size, frame.width, men)]
        below = [*_board_row(boards, board, frame.width, men), *foot]
        if height_of(above) + height_of(below) <= frame.top - frame.bottom:
            return above, below
    raise CoachbookError(f"The rules of '{title}' do not fit on a page.", "Shorten them.")


def _picture(picture: Picture, width: float, height: float, men: str) -> Block:
    """What is said, below it its board, as large as the height allows, and the caption beside the board."""
    position, marks, caption = picture.board
    told = next(
        block
        for size in _PICTURE_RULES
        if (block := _told(picture.label, picture.head, picture.words, "0", size, width, men)).height
        <= _SHARE_OF_RULE * height
        or size == _PICTURE_RULES[-1]
    )
    rim = rim_of(_COORDINATES)
    size = min(_LARGEST_PICTURE, height - told.height - rim - _BELOW_PICTURE)
    beside = paragraph(notated(caption, men), width - size - rim - 8 * MM, _PICTURE_CAPTION)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        told.draw(canvas, x, top)
        under = top - told.height - 6
        draw_diagram(canvas, position, marks, x + rim, under - size, size, _COORDINATES)
        beside.draw(canvas, x + rim + size + 8 * MM, under)

    return Block(height, draw)


def _head(title: str, size: float, width: float) -> list[Block]:
    title_size = fit(title, _TITLES, width, _TITLE_HEIGHT, bold=True)
    title_block = paragraph(title, width, title_size, bold=True, leading=_TIGHT)
    return [title_block, space(6), _rule(width), space(0.3 * size)]


def _rules(rules: Sequence[RuleInWords], size: float, width: float, men: str) -> list[Block]:
    blocks = []
    for rule in rules:
        told = _told(f"{rule.number}", rule.head, rule.words, f"{len(rules)}", size, width, men)
        blocks += [told, space(0.4 * size)]
    return blocks


def _told(label: str, head: str, words: str, widest: str, size: float, width: float, men: str) -> Block:
    """A rule behind its number, with room for the widest of them."""
    indent = label_width((widest,), size)
    return headed(head, notated(words, men), width, size, label=label, indent=indent, leading=_TIGHT)


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
