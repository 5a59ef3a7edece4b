"""A unit of the syllabus as a page of plain text."""

import textwrap
from collections.abc import Iterator, Sequence

from coachbook.model.position import Position
from coachbook.model.syllabus import Syllabus, Unit

_WIDTH = 78


def unit_page(syllabus: Syllabus, unit: Unit) -> Iterator[str]:
    """The lines of the page."""
    yield unit.title
    yield f"Level {unit.level}, {syllabus.level_of(unit).title}. Unit {unit.code}, {unit.minutes} minutes."
    yield ""
    yield from _wrapped(unit.aim, "  ")
    yield from _section("Comes after", [syllabus.unit(code).title for code in unit.prerequisites])
    yield from _demonstration(unit)
    yield from _section("Say", unit.say, numbered=True)
    yield from _questions(unit)
    yield from _section("Watch for", unit.slips)
    kinds = [f"{use.kind.replace('_', ' ')}, difficulty {use.easiest} to {use.hardest}" for use in unit.kinds]
    yield from _section("Worksheets", kinds)
    yield from _section("For those who are done early", unit.ahead)
    yield from _section("For those who can't follow yet", unit.behind)
    yield from _section("Play out", [f"{play.fen}, {play.in_words}" for play in unit.play_outs])
    yield from _section("Secure after", [_secure(unit)])


def _demonstration(unit: Unit) -> Iterator[str]:
    position = Position(unit.demonstration)
    side = "White" if position.white_to_move else "Black"
    yield from ("", f"Show on the board: {side} to move and {unit.demonstration_goal}")
    yield from board_lines(position)
    yield f"  {unit.demonstration}"
    if unit.method:
        yield f"  Method: {unit.method}"


def board_lines(position: Position) -> Iterator[str]:
    """A diagram in letters: White upper case, Black lower case, dots for empty squares."""
    pieces = position.pieces
    for rank in range(7, -1, -1):
        yield f"  {rank + 1}  " + " ".join(pieces.get(8 * rank + file, ".") for file in range(8))
    yield "     a b c d e f g h"


def _questions(unit: Unit) -> Iterator[str]:
    yield from ("", "Ask")
    for question in unit.questions:
        yield from _wrapped(question.ask, "  - ")
        yield from _wrapped(question.expect, "      ")


def _secure(unit: Unit) -> str:
    rule = unit.secure
    evenings = "1 evening" if rule.evenings == 1 else f"{rule.evenings} evenings"
    return f"{evenings} with at least {rule.items} items answered and {rule.share:.0%} of them right"


def _section(heading: str, texts: Sequence[str], *, numbered: bool = False) -> Iterator[str]:
    if texts:
        yield from ("", heading)
    for number, text in enumerate(texts, start=1):
        yield from _wrapped(text, f"  {number}. " if numbered else "  - ")


def _wrapped(text: str, start: str) -> list[str]:
    return textwrap.wrap(
        text, _WIDTH, initial_indent=start, subsequent_indent=" " * len(start), break_on_hyphens=False
    )
