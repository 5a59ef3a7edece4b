"""The moves of a judged play-out that are worth a word, each in a line."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coachbook.model.play_out import JudgedPlayOut, PlayedMove

_MOST_OFF = 3
"""The most moves off the rule that are told, as on paper."""


def told_moves(judged: "JudgedPlayOut") -> Iterator[str]:
    """The best moment, the first slip or else the slowest move, and the first moves off the rule."""
    if judged.praise is not None:
        yield f"Best moment:  {_told(judged.praise)}"
    if judged.first_slip is not None:
        yield f"{'First slip:  ' if judged.slip else 'Quicker way: '} {_told(judged.first_slip)}"
    for move in judged.to_mend[:_MOST_OFF]:
        yield f"Off the rule: {_told(move)}"
    more = len(judged.to_mend) - _MOST_OFF
    if more > 0:
        yield f"              and {more} more"


def _told(move: "PlayedMove") -> str:
    return f"{move.number}. {move.san}: {move.told}"
