"""All answers that one might write to a printed task, each with whether it is right, given all that is right.

For the judge in `literal_words`: he knows what is right, and here it is put on paper in every way that makes
a difference: each single answer, or the whole set, each set with one missing and each with one too many.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import chess

MOST_SQUARES = 64
MOST_PUSHES = 8


@dataclass(frozen=True, slots=True)
class Printed:
    """What a child sees of a task: the position, the sentence, what there is to tick, with the numbers of
    rules where they are printed, and the replies of a line (SAN)."""

    fen: str
    task: str
    options: tuple[str, ...] = ()
    numbers: tuple[int, ...] = ()
    replies: tuple[str, ...] = ()


Way = Callable[[Printed, set[str]], dict[str, bool]]
"""From a task and all that is right to the answers, and whether each is."""


def one_move(printed: Printed, right: set[str]) -> dict[str, bool]:
    """Each legal move, of which any right one is enough."""
    board = chess.Board(printed.fen)
    return {board.san(move): move.uci() in right for move in board.legal_moves}


def all_moves(printed: Printed, right: set[str]) -> dict[str, bool]:
    """Sets of legal moves; a dash for none."""
    board = chess.Board(printed.fen)
    sans = {board.san(move): move.uci() in right for move in board.legal_moves}
    return {"-": not right} | _sets(sans)


def one_square(_: Printed, right: set[str]) -> dict[str, bool]:
    """Each square, of which any right one is enough."""
    return {square: square in right for square in chess.SQUARE_NAMES}


def all_squares(_: Printed, right: set[str]) -> dict[str, bool]:
    """Sets of squares."""
    return _sets({square: square in right for square in chess.SQUARE_NAMES})


def _sets(things: dict[str, bool]) -> dict[str, bool]:
    """The whole of what is right, the same with one missing, and with one too many."""
    whole = [thing for thing, is_right in things.items() if is_right]
    fewer = [[thing for thing in whole if thing != missing] for missing in whole]
    more = [[*whole, extra] for extra, is_right in things.items() if not is_right]
    tries = {_written(each): False for each in (*fewer, *more)}
    return {text: is_right for text, is_right in (tries | {_written(whole): True}).items() if text}


def _written(things: Iterable[str]) -> str:
    return ", ".join(things)


def numbers(_: Printed, right: set[str]) -> dict[str, bool]:
    """Each number that squares can be counted to."""
    return {f"{number}": f"{number}" in right for number in range(MOST_SQUARES + 1)}


def one_option(printed: Printed, right: set[str]) -> dict[str, bool]:
    """Each option in its words, and by the number printed beside it. One alone is right."""
    tries = {option: right == {option} for option in printed.options}
    numbered = dict(zip(map(str, printed.numbers), printed.options, strict=False))
    return tries | {number: tries[option] for number, option in numbered.items()}


def races(_: Printed, right: set[str]) -> dict[str, bool]:
    """Both counts, and who is first."""
    counts = range(MOST_PUSHES + 1)
    tries = [f"{white} {black} {side}" for white in counts for black in counts for side in ("white", "black")]
    return {text: text in right for text in tries}


def lines(printed: Printed, right: set[str]) -> dict[str, bool]:
    """Each right line, also cut short, and with any legal move in place of one of its own."""
    tries: dict[str, bool] = {}
    for line in right:
        board, own = chess.Board(printed.fen), line.split(" ")
        for at, san in enumerate(own):
            tries |= {" ".join(own[:at]): False} if at else {}
            for move in board.legal_moves:
                text = " ".join([*own[:at], board.san(move), *own[at + 1 :]])
                tries[text] = text in right
            board.push_san(san)
            if at < len(printed.replies):
                board.push_san(printed.replies[at])
        tries[_with_replies(own, printed.replies)] = True
    return tries


def _with_replies(own: list[str], replies: tuple[str, ...]) -> str:
    """ "1. Qd6 Kc3 2. Qd5 Kc2 3. Qd4"."""
    turns = [f"{at}. {' '.join(turn)}" for at, turn in enumerate(zip(own, replies, strict=False), start=1)]
    return " ".join([*turns, f"{len(own)}. {own[-1]}"])
