"""A written plan as a compact table: number, move, reply, and why, with what it achieved."""

from collections.abc import Sequence

from reportlab.pdfgen.canvas import Canvas

from coachbook.model.exercise import Plan, PlanStep
from coachbook.paper.flow import Block, paragraph
from coachbook.paper.page import draw_rule
from coachbook.paper.text import LEADING, draw_right, draw_text, notated

PLAN_SIZE = 9.5
_NUMBER, _MOVE, _REPLY = 13.0, 44.0, 36.0


def plan_head(plan: Plan, width: float, size: float = PLAN_SIZE) -> Block:
    """The column headings with the colours of the mover and the other side, and a rule."""
    mover, other = ("White", "Black") if plan.start.white_to_move else ("Black", "White")

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = top - size
        draw_text(canvas, x + _NUMBER + 5, y, mover, size - 1)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE, y, other, size - 1)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE + _REPLY, y, "Why", size - 1)
        draw_rule(canvas, x, x + width, y - 3, 0.5)

    return Block(size * LEADING + 4, draw)


def plan_rows(steps: Sequence[PlanStep], width: float, men: str, size: float = PLAN_SIZE) -> list[Block]:
    """One block for each step, as high as its words need."""
    return [_row(i, step, width, men, size) for i, step in enumerate(steps, start=1)]


def _row(number: int, step: PlanStep, width: float, men: str, size: float) -> Block:
    before = _NUMBER + 5 + _MOVE + _REPLY
    words = paragraph(notated(_words(step), men), width - before, size)
    move, reply = notated(step.move, men), notated(step.reply, men)

    def draw(canvas: Canvas, x: float, top: float) -> None:
        y = top - size
        draw_right(canvas, x + _NUMBER, y, f"{number}", size)
        draw_text(canvas, x + _NUMBER + 5, y, move, size, bold=True)
        draw_text(canvas, x + _NUMBER + 5 + _MOVE, y, reply, size)
        words.draw(canvas, x + before, top)

    return Block(words.height + 1, draw)


def _words(step: PlanStep) -> str:
    """Rule and achievement as one sentence, or as two if the second begins like one."""
    achieved = step.achieved_besides
    if not step.rule or not achieved:
        return step.rule or achieved
    return f"{step.rule}{'. ' if achieved[0].isupper() else ': '}{achieved}"
