"""One position to play at home: the board, and in four steps how a family plays it together."""

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.marks import Marks
from coachbook.model.play_out_card import PlayOutCard
from coachbook.model.position import Position, square_name
from coachbook.model.syllabus import Goal
from coachbook.paper.diagram import draw_diagram, rim_of
from coachbook.paper.flow import Block, draw_blocks, paragraph, space
from coachbook.paper.page import MM

_BOARD = 56 * MM
_COORDINATES = 9.0
_PAD = 4 * MM
_GAP = 6 * MM
_NAMES = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight", "P": "pawn"}


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
    words = sum(block.height for block in blocks)
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
        f"Set it up. {_setting(card.position)}",
        f"{student} has {mine}, you have {yours}. {first} moves first.",
        _goal(card, student),
        f"Count the moves of {student} aloud. Leave the thinking to {student}: if you are stuck, go back"
        " to the start together. Once or twice is plenty.",
    )


def _setting(position: Position) -> str:
    """The men of both sides in words, such as "White: king a1, queen g4. Black: king d6."."""
    sides = []
    for side, is_white in (("White", True), ("Black", False)):
        men = [
            (list(_NAMES).index(letter.upper()), f"{_NAMES[letter.upper()]} {square_name(at)}")
            for at, letter in position.pieces.items()
            if letter.isupper() is is_white
        ]
        sides.append(f"{side}: {', '.join(words for _, words in sorted(men))}.")
    return " ".join(sides)


def _goal(card: PlayOutCard, student: str) -> str:
    moves = "1 move" if card.allowance == 1 else f"{card.allowance} moves"
    letters = set(card.position.pieces.values())
    if card.goal is Goal.WIN:
        goal = (
            f"{student} tries to checkmate your king in at most {moves}. It is checkmate when your king is"
            " attacked and no move of yours can save it. If it is not attacked and you have no move at all,"
            " it is stalemate, a draw."
        )
    else:
        goal = f"You try to win. {student} tries to hold out for {moves}; then it is a draw, and well done."
    return goal + (" A pawn that gets to the last row becomes a queen." if letters & set("Pp") else "")
