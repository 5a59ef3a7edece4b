"""Judges of what is asked about the box: each knows one printed sentence and the definitions, no more.

They look at the board square by square, with the rules of the package `chess` alone: nothing that coachbook
works out, and no tie-break or condition that is not printed. What the definitions say of the two boxes, `box`
in `tests/judges` knows.
"""

import re
from collections.abc import Callable

import chess

from tests.exercises import naive_methods
from tests.judges import box, moves

Judge = Callable[[chess.Board, str], set[str]]
"""From a position and the man of the sentence to all that is right: moves (UCI), squares, number, rule."""


def right_by_words(fen: str, task: str) -> set[str]:
    """All answers that are right by a task's sentence."""
    for sentence, judge in _SENTENCES.items():
        if read := re.fullmatch(sentence, task):
            return judge(chess.Board(fen), (*read.groups(), "")[0])
    raise AssertionError(f"no judge reads '{task}'")


def box_of(board: chess.Board, man: str) -> set[str]:
    """The squares of the queen's box, or of the rook's."""
    return box.walls(board) if man == "queen" else box.region(board)


def size(board: chess.Board, man: str) -> int:
    """How many squares the box has; more than any where there is none."""
    return len(box_of(board, man)) or box.NO_BOX


def can_shrink(board: chess.Board, man: str) -> bool:
    """Whether a safe move of the man makes the box smaller than it is."""
    return any(size(after, man) < size(board, man) for after in _safe(board, man))


def steps_to_lone_king(board: chess.Board) -> int:
    """How many steps, straight or slanting, White's king needs to where the lone king stands."""
    king, lone = (board.king(side) or 0 for side in (chess.WHITE, chess.BLACK))
    return max(abs(king % 8 - lone % 8), abs(king // 8 - lone // 8))


def _after_each_of(board: chess.Board, man: str) -> list[chess.Board]:
    """The boards after all legal moves of a man."""
    kind = chess.PIECE_NAMES.index(man)
    return [each for each in moves.after_each(board) if each.piece_type_at(each.peek().to_square) == kind]


def _safe(board: chess.Board, man: str) -> list[chess.Board]:
    """Those after which the lone king can't take, and keeps two squares or more."""
    after = _after_each_of(board, man)
    return [each for each in after if not moves.can_take(each) and len(box.region(each)) >= 2]


def _number(board: chess.Board, man: str) -> set[str]:
    return {f"{len(box_of(board, man))}"}


def _smallest(board: chess.Board, man: str) -> set[str]:
    after = _safe(board, man)
    least = min(size(each, man) for each in after)
    return {each.peek().uci() for each in after if size(each, man) == least}


def _shrink_or_step(board: chess.Board, man: str) -> set[str]:
    if can_shrink(board, man):
        return _smallest(board, man)
    apart = steps_to_lone_king(board)
    return {each.peek().uci() for each in _safe(board, "king") if steps_to_lone_king(each) < apart}


def _no_go(board: chess.Board, man: str) -> set[str]:
    spoiled = [each for each in _after_each_of(board, man) if moves.spoils(each)]
    return {chess.square_name(each.peek().to_square) for each in spoiled}


def _next_rule(board: chess.Board, _: str) -> set[str]:
    """By the card: of the queen's box as it is defined, else as `naive_methods` follow it."""
    if not board.queens or board.rooks:
        return {naive_methods.decide(board.fen(), by_card=True)[0]}
    if moves.mates(board.fen()):
        return {"mate"}
    if can_shrink(board, "queen"):
        return {"make the box smaller"}
    steps = [each for each in _after_each_of(board, "king") if not moves.spoils(each)]
    return {"bring the king" if box.walls(board) and steps else "make another box"}


_SENTENCES: dict[str, Judge] = {
    r"Shade the (queen|rook)'s box\. How many squares\?": _number,
    r"Make the smallest safe box with the (queen|rook)\. Leave him two squares or more\.": _smallest,
    r"Make the smallest safe box with the (queen|rook)\. If it can't shrink, step nearer\.": _shrink_or_step,
    r"Cross out every no-go square of the (queen|rook)\.": _no_go,
    r"Read your rule card from the top\. Tick the first rule you can follow\.": _next_rule,
}
