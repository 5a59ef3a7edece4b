"""The right answer of an exercise in print, as the key and an example show it."""

from coachbook.model.worksheet import Answer, AnswerForm
from coachbook.paper.flow import Block, paragraph, space
from coachbook.paper.sheet_layout import tick_line
from coachbook.paper.text import notated
from coachbook.wording.exercises import printed_options


def answer_blocks(answer: Answer, width: float, men: str, size: float, option_size: float) -> list[Block]:
    """The answer in short, in bold type of this size; or all options of a choice as on the worksheet, the
    right one ticked."""
    if answer.form is not AnswerForm.CHOICE:
        return [paragraph(notated(_in_short(answer), men), width, size, bold=True)]
    blocks: list[Block] = []
    for option, printed in zip(answer.options, printed_options(answer), strict=True):
        right = option in answer.accepted
        line = tick_line(notated(printed, men), option_size, width, ticked=right, bold=right)
        blocks += [line, space(2)]
    return [*blocks, space(2)]


def _in_short(answer: Answer) -> str:
    """The accepted answers: "16", "Qb8# and Qg7#", "Qe4 or Qe3", "none"."""
    if not answer.accepted:
        return "none" if answer.form is AnswerForm.MOVES else "none (nothing marked)"
    *others, last = answer.accepted
    joint = " and " if answer.all_needed else " or "
    return joint.join([", ".join(others), last]) if others else last
