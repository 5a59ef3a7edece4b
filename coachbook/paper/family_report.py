"""The family report: on one page and in plain words, what a student can do, and one position for home.

The student is called by name throughout: nobody is guessed to be a he or a she.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.model.play_outs import PlayOutCard
from coachbook.model.position import Marks
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import FamilyReport
from coachbook.model.syllabus import Goal
from coachbook.paper.diagram import draw_diagram, rim_of
from coachbook.paper.flow import Block, draw_blocks, height_of, paragraph, space
from coachbook.paper.page import MM, draw_heading, draw_rule, frame_of, pdf_of
from coachbook.paper.sheet_layout import tick_line
from coachbook.wording.counting import counted, day_in_words
from coachbook.wording.show_sentences import set_up

_BOARD = 56 * MM
_COORDINATES = 9.0
_PAD = 4 * MM
_GAP = 6 * MM


def home_position(card: PlayOutCard, student: str, size: float, width: float) -> Block:
    """A framed block: the position to the left, what to do in words of type size `size` beside it."""
    rim = rim_of(_COORDINATES)
    text_left = _PAD + rim + _BOARD + _GAP
    inner = width - text_left - _PAD
    blocks = [paragraph("Play this together at home", inner, 1.15 * size, bold=True), space(0.3 * size)]
    for number, step in enumerate(steps(card, student), start=1):
        blocks += [
            paragraph(step, inner, size, label=str(number), indent=1.4 * size),
            space(0.25 * size),
        ]
    words = height_of(blocks)
    height = max(words, _BOARD + rim) + 2 * _PAD

    def draw(canvas: Canvas, x: float, top: float) -> None:
        canvas.setLineWidth(0.9)
        canvas.roundRect(x, top - height, width, height, 8)
        board_y = top - _PAD - _BOARD
        draw_diagram(canvas, card.position, Marks(), x + _PAD + rim, board_y, _BOARD, _COORDINATES)
        draw_blocks(canvas, blocks, x + text_left, top - _PAD)

    return Block(height, draw)


def steps(card: PlayOutCard, student: str) -> tuple[str, ...]:
    """What to do, in order: set up, who has which side, the goal, and how to go about it."""
    mine, yours = ("White", "Black") if card.white else ("Black", "White")
    first = "White" if card.position.white_to_move else "Black"
    return (
        f"Set it up. {set_up(card.position)}",
        f"{student} has {mine}, you have {yours}. {first} moves first.",
        _goal(card, student),
        f"Count the moves of {student} aloud. Leave the thinking to {student}: if you are stuck, go back"
        " to the start together. Once or twice is plenty.",
    )


def _goal(card: PlayOutCard, student: str) -> str:
    moves = counted(card.allowance, "move")
    letters = set(card.position.pieces.values())
    if card.goal is Goal.WIN:
        goal = (
            f"{student} tries to checkmate your king in at most {moves}. It is checkmate when your king is"
            " attacked and no move of yours can save it. If it is not attacked and you have no move at all,"
            " it is stalemate, a draw."
        )
    else:
        goal = f"You try to win. {student} tries to hold out for {moves}; then it is a draw, and well done."
    return goal + (" A pawn that gets to the last rank becomes a queen." if letters & set("Pp") else "")


_HEADING = 17 * MM
_SIZES = (13.0, 12.5, 12.0, 11.5, 11.0)
_SMALL_SIZES = (11.0, 10.0, 9.0)
_FOOT = 9.0
_KEPT = (
    "In coachbook the club keeps names, groups, attendance, answers, games played out and the coach's notes "
    "about the chess, and nothing else. Ask us, and we print all of it for you. "
    "The club's safeguarding rules always come first."
)
_NOTHING_YET = "Nothing is on this list yet. It takes time and practice, and that is how it should be."
_AIMS = "Each line is the aim of a lesson, in the words of somebody who has reached it."


@dataclass(frozen=True, slots=True)
class _List:
    """Sentences under a title, of which the first `count` are printed; `ticked` if they are done."""

    title: str
    sentences: tuple[str, ...]
    count: int
    ticked: bool = False
    when_empty: str = ""


def family_report_pdf(report: FamilyReport, options: PaperOptions) -> bytes:
    """One page, as a PDF. Lists too long for it are cut, and say how much is left out.

    Raises CoachbookError if no cut makes a page of it.
    """
    frame = frame_of(options.size)
    foot = [paragraph(_KEPT, frame.width, _FOOT)]
    blocks = family_blocks(report, frame.width, frame.top - frame.bottom - _HEADING - height_of(foot) - 12)

    def draw(canvas: Canvas) -> None:
        title = f"How {report.student} is getting on"
        draw_heading(canvas, frame, report.club, day_in_words(report.on), title)
        draw_blocks(canvas, blocks, frame.left, frame.top - _HEADING)
        draw_rule(canvas, frame.left, frame.right, frame.bottom + height_of(foot) + 4)
        draw_blocks(canvas, foot, frame.left, frame.bottom + height_of(foot))
        canvas.showPage()

    return pdf_of(options.size, f"For the family of {report.student}", draw)


def family_blocks(report: FamilyReport, width: float, height: float) -> list[Block]:
    """The page in the largest type in which all of it fits; else its longest lists are cut.

    Raises CoachbookError if even one sentence a list is too much.
    """
    whole = _lists(report)
    for size in _SIZES:
        blocks = _page(report, whole, size, width)
        if height_of(blocks) <= height:
            return blocks
    for size in _SMALL_SIZES:
        for lists in _ever_shorter(whole):
            blocks = _page(report, lists, size, width)
            if height_of(blocks) <= height:
                return blocks
    raise CoachbookError(
        f"The report for {report.student} does not fit on a page.", "Shorten the aims of the units."
    )


def _lists(report: FamilyReport) -> tuple[_List, ...]:
    name = report.student
    return (
        _List(f"{name} can do this now", report.can, len(report.can), ticked=True, when_empty=_NOTHING_YET),
        _List("At the board", report.played, len(report.played)),
        _List("This was learned, and we are refreshing it", report.fading, len(report.fading)),
        _List("We are working on this", report.working, len(report.working)),
        _List("This comes next", report.next_up, len(report.next_up)),
    )


def _ever_shorter(lists: tuple[_List, ...]) -> Iterator[tuple[_List, ...]]:
    """The lists, then again and again with one sentence less in the longest, down to one in each."""
    counts = [entry.count for entry in lists]
    while True:
        yield tuple(
            _List(entry.title, entry.sentences, count, entry.ticked, entry.when_empty)
            for entry, count in zip(lists, counts, strict=True)
        )
        longest = counts.index(max(counts))
        if counts[longest] <= 1:
            return
        counts[longest] -= 1


def _page(report: FamilyReport, lists: Sequence[_List], size: float, width: float) -> list[Block]:
    blocks = [paragraph(_greeting(report), width, size), space(0.3 * size)]
    for entry in lists:
        blocks += _list_blocks(entry, size, width)
    return [*blocks, *_at_home(report, size, width)]


def _greeting(report: FamilyReport) -> str:
    there = {0: "", 1: f" {report.student} was there on one evening."}.get(
        report.evenings, f" {report.student} was there on {report.evenings} evenings."
    )
    return f"We are glad to have {report.student} with us at {report.club}.{there} {_AIMS}"


def _list_blocks(entry: _List, size: float, width: float) -> list[Block]:
    if not entry.sentences and not entry.when_empty:
        return []
    blocks = [space(0.6 * size), paragraph(entry.title, width, 1.15 * size, bold=True), space(0.2 * size)]
    if not entry.sentences:
        blocks.append(paragraph(entry.when_empty, width, size))
    for sentence in entry.sentences[: entry.count]:
        if entry.ticked:
            blocks.append(tick_line(sentence, size, width, ticked=True))
        else:
            blocks.append(paragraph(sentence, width, size, label="\N{EN DASH}", indent=1.7 * size))
        blocks.append(space(0.15 * size))
    if left_out := len(entry.sentences) - entry.count:
        blocks.append(paragraph(f"and {left_out} more", width, size, indent=1.7 * size))
    return blocks


def _at_home(report: FamilyReport, size: float, width: float) -> list[Block]:
    name = report.student
    if report.at_home:
        return [space(size), home_position(report.at_home, name, size, width)]
    what = "something from the first list" if report.can else "what we did on the last evening"
    request = (
        f"Ask {name} to show you {what} on a board, and to tell you why it works. Saying it helps to keep it."
    )
    title = paragraph("How to help at home", width, 1.15 * size, bold=True)
    return [space(0.6 * size), title, space(0.2 * size), paragraph(request, width, size)]
