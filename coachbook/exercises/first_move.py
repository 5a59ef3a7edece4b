"""Where one move is asked for and several stand there: a line that begins with it, or a list of moves.

Of a line the first move is the answer, whatever comes of the rest. A list is somebody who could not
make up his mind: then each of its moves counts. What may be either is doubtful.
"""

import re
from collections.abc import Sequence
from enum import Enum, auto

import chess

from coachbook.exercises.notation import MoveText, NoMove

_OR = re.compile(r"\bor\b|/\s*\w{2}", re.IGNORECASE)
_AND = re.compile(r"\band\b|&", re.IGNORECASE)
_SECOND = re.compile(
    r"(?<![\w-])2\s*[.:)\N{HORIZONTAL ELLIPSIS}]|(?<!\S)2\s+(?=[^\W\d_])|\bthen\b", re.IGNORECASE
)
"""The number of a line's second move, or a word for it."""


class Several(Enum):
    """What several moves are."""

    LINE = auto()
    LIST = auto()
    DOUBTFUL = auto()


def what_follows(board: chess.Board, first: chess.Move, rest: Sequence[MoveText], written: str) -> Several:
    """What an answer is that begins with the legal move `first`: `written` is all of it, `rest` what is
    read after that move, at least one part.

    A line that goes on with an impossible move is a line all the same; with words that are no move it is
    doubtful, and so is a second move of the same side that could be its next one.
    """
    now = _after(board, first)
    goes_on, left = any(now.legal_moves), list(rest)
    while left and not isinstance(move := left[0].read(now), NoMove):
        now.push(move)
        del left[0]
    if any(part.read(now) is NoMove.UNREADABLE and not part.meanings(now) for part in left):
        return Several.DOUBTFUL
    second = rest[0].read(board)
    if len(left) < len(rest) and second in (NoMove.ILLEGAL, NoMove.OTHER_SIDE):
        return Several.LINE
    if second is not NoMove.OTHER_SIDE and _OR.search(written):
        return Several.LIST
    if (goes_on and _SECOND.search(written)) or (not left and len(rest) > 1):
        return Several.LINE
    if not rest[0].meanings(board):
        return Several.LINE
    if _AND.search(written):
        return Several.LIST
    may_be_line = len(left) < len(rest) or _is_next_move(_after(board, first), rest[0])
    return Several.DOUBTFUL if may_be_line else Several.LIST


def _is_next_move(after: chess.Board, part: MoveText) -> bool:
    """Whether the same side can play it once the other has replied."""
    return any(part.meanings(_after(after, reply)) for reply in after.legal_moves)


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after
