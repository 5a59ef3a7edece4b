"""The right answer of an exercise in print, as the key and an example show it."""

from coachbook.model.worksheet import Answer, AnswerForm
from coachbook.paper.flow import Block, paragraph, space
from coachbook.paper.sheet_layout import tick_line
from coachbook.paper.text import notated
from coachbook.wording.exercises import answer_in_short, printed_options


def answer_blocks(answer: Answer, width: float, men: str, size: float, option_size: float) -> list[Block]:
    """The answer in short, in bold type of this size; or all options of a choice as on the worksheet, the
    right one ticked."""
    if answer.form is not AnswerForm.CHOICE:
        return [paragraph(notated(answer_in_short(answer), men), width, size, bold=True)]
    blocks: list[Block] = []
    for option, printed in zip(answer.options, printed_options(answer), strict=True):
        right = option in answer.accepted
        line = tick_line(notated(printed, men), option_size, width, ticked=right, bold=right)
        blocks += [line, space(2)]
    return [*blocks, space(2)]
