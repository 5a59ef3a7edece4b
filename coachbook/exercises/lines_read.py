"""Reading a line as a child writes it: the moves that are asked for in their order, with the printed replies
between them or without, and an option that is a move of a printed line.

What follows the last move is not looked at, as long as it is no second try at it: a line may go on.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import after_move
from coachbook.exercises.notation import MoveText, NoMove, split_moves
from coachbook.model.worksheet import Answer

_OR = re.compile(r"\bor\b", re.IGNORECASE)
_NUMBERED = re.compile(r"\s*(?:([1-9])\s*[.:)]+)?(.*)", re.DOTALL)
_PAIR = 2


@dataclass(frozen=True, slots=True)
class Asked:
    """A position of the line, the move that is right in it, and the printed reply (None to the last)."""

    board: chess.Board
    move: chess.Move
    reply: chess.Move | None

    @property
    def after(self) -> chess.Board:
        return after_move(self.board, self.move)


def asked_moves(board: chess.Board, answer: Answer) -> tuple[Asked, ...]:
    """The moves of a line that is to be written, each where it is made."""
    return tuple(_along(board, zip(answer.accepted, (*answer.replies, ""), strict=True)))


@dataclass(frozen=True, slots=True)
class LineRead:
    """So many moves are right from the first on; then comes `off`, a legal but other move in place of the
    next, or something that is no move there; None if nothing comes."""

    right: int
    off: chess.Move | NoMove | None = None


def read_line(asked: tuple[Asked, ...], written: str, letters: str | None) -> LineRead:
    """How far a line is right. Two moves with "or" between them are none."""
    parts = split_moves(written, letters)
    if not parts or _OR.search(written):
        return LineRead(0, NoMove.UNREADABLE)
    right = 0
    for at, part in enumerate(parts):
        if right == len(asked):
            return _with_rest(asked[-1], parts[at:], right)
        before = asked[right - 1] if right else None
        if before and before.reply and part.read(before.after) == before.reply:
            continue
        read = part.read(asked[right].board)
        if read != asked[right].move:
            return LineRead(right, read)
        right += 1
    return LineRead(right)


def _with_rest(last: Asked, rest: tuple[MoveText, ...], right: int) -> LineRead:
    """What comes after the last move: nothing, unless it says nothing or is another try at that move."""
    now = last.after
    for part in rest:
        goes_on, instead = part.read(now), part.read(last.board)
        if not isinstance(goes_on, NoMove):
            now = after_move(now, goes_on)
        elif not isinstance(instead, NoMove) and instead != last.move:
            return LineRead(right - 1, instead)
        elif NoMove.UNREADABLE in (goes_on, instead):
            return LineRead(right, NoMove.UNREADABLE)
    return LineRead(right)


def fitting_pairs(
    board: chess.Board, pairs: tuple[str, ...], text: str, letters: str | None
) -> tuple[str, ...]:
    """The pairs of a printed line ("2. Kd5 Ke7") that a text may mean: a move, perhaps with its number or its
    reply."""
    number, moves = _NUMBERED.fullmatch(text).groups()  # type: ignore[union-attr] # fits any text
    parts = split_moves(moves, letters)
    if not 0 < len(parts) <= _PAIR or _OR.search(text):
        return ()
    printed = (pair.split(" ")[1:] for pair in pairs)
    return tuple(
        pair
        for pair, asked in zip(pairs, _along(board, printed), strict=True)
        if (number is None or pair.startswith(f"{number}."))
        and parts[0].read(asked.board) == asked.move
        and (len(parts) < _PAIR or parts[1].read(asked.after) == asked.reply)
    )


def _along(board: chess.Board, pairs: Iterable[Sequence[str]]) -> Iterator[Asked]:
    """The moves of a line, each with its reply ("" for none), SAN."""
    now = board
    for san, reply_san in pairs:
        move = now.parse_san(san)
        after = after_move(now, move)
        reply = after.parse_san(reply_san) if reply_san else None
        yield Asked(now, move, reply)
        now = after_move(after, reply) if reply else after
