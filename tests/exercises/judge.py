"""An independent judge of marks: whether what a student wrote is right, and whether a slip's name is true.

Right and wrong come from `answers`; what a move does, from the rules, the published tables, and
boxes counted square by square.
"""

import re
from dataclasses import dataclass

import chess

from coachbook.model.slips import Slip
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises import naive, naive_methods
from tests.exercises.answers import NEEDS_ALL, man, question
from tests.exercises.published import Published

THREE_MEN = 3
_WORTH = dict(zip("PNBRQK", (1, 3, 3, 5, 9, 0), strict=True))


@dataclass(frozen=True, slots=True)
class Written:
    """What a student means (moves in UCI, squares, a number or an option), the text for it, and the
    letters of the club (None: English).

    `illegal`, `misread` and `garbled` say that besides there is a move that is none, one of the
    other side, or something unreadable.
    """

    text: str
    means: frozenset[str]
    letters: str | None = None
    illegal: bool = False
    misread: bool = False
    garbled: bool = False


def is_right(exercise: Exercise, right: set[str], written: Written) -> bool:
    """Whether the answer is right: nothing wrong in it, and enough of it."""
    if written.illegal or written.misread or written.garbled or not written.means <= right:
        return False
    all_asked = exercise.answer.form is not AnswerForm.MOVES or question(exercise) in NEEDS_ALL
    return written.means == right if all_asked else bool(written.means)


def is_true(slip: str, exercise: Exercise, right: set[str], written: Written, published: Published) -> bool:
    """Whether the name of a slip says what is wrong with an answer that is wrong."""
    wrong, missing = written.means - right, right - written.means
    if exercise.answer.form is AnswerForm.MOVES and any(
        re.fullmatch(called(exercise, right, move, published), slip) for move in wrong
    ):
        return True
    result = published.result(chess.Board(exercise.position.fen))
    says = {
        Slip.NOT_TRIED: not any(map(str.isalnum, written.text)) and not written.text.startswith("-"),
        Slip.UNREADABLE: written.garbled,
        Slip.ILLEGAL: written.illegal,
        Slip.MISREAD_SIDE: written.misread,
        Slip.MISSED_MATE: bool(missing) and ({"mate"} == right or _mates(exercise, right)),
        Slip.MISSED_STALEMATE: bool(missing) and ({"stalemate"} == right or _stalemates(exercise, right)),
        Slip.WRONG_COUNT: question(exercise) == "box_size" and bool(wrong),
        Slip.WIN_NOT_SEEN: result != 0 and bool(missing),
        Slip.DRAW_NOT_SEEN: result == 0 and bool(missing),
        Slip.MISJUDGED: bool(wrong),
        Slip.WRONG_SQUARE: bool(wrong),
        Slip.MISSED_DANGER: question(exercise) == "no_go_squares" and bool(missing),
        Slip.MISSED_SQUARE: bool(missing),
        Slip.MISSED_SMALLER_BOX: question(exercise) == "smallest_box" and not written.means,
        Slip.NO_OPPOSITION: question(exercise) == "opposition" and not written.means,
        Slip.WRONG_RULE: question(exercise) == "next_rule" and bool(wrong),
        Slip.AGAINST_RULE: question(exercise) == "shrink_or_king" and not written.means,
    }
    return slip in says and says[Slip(slip)]


def called(exercise: Exercise, right: set[str], move: str, published: Published) -> str:
    """What a legal but wrong move (UCI) must be called, as a pattern."""
    board, after = chess.Board(exercise.position.fen), _after(exercise.position.fen, move)
    if question(exercise) == "stalemate_moves":
        return Slip.NOT_STALEMATE
    if naive.status(after.fen()) == "stalemate":
        return Slip.STALEMATE
    if _loses_a_piece(board, after):
        return Slip.PIECE_LOST
    if question(exercise) == "opposition" and not _is_opposition(after):
        return Slip.NO_OPPOSITION
    before = published.result(board)
    if -published.result(after) < before:
        return Slip.WIN_THROWN_AWAY if before == 1 else Slip.DRAW_THROWN_AWAY
    if question(exercise) == "mate_in_two":
        return _slower(1 if naive.mates(exercise.position.fen) else 2, after, published)
    if question(exercise) == "every_mate":
        return Slip.NOT_MATE
    return _about_box(exercise, right, after)


def _about_box(exercise: Exercise, right: set[str], after: chess.Board) -> str:
    fen = exercise.position.fen
    size = naive_methods.walls if "Q" in fen.split()[0] else naive_methods.room
    made = size(after)
    if made > size(chess.Board(fen)):
        return Slip.BOX_GREW
    if any(size(_after(fen, best)) < made for best in right if best[:2] == man(fen, "QR")):
        return Slip.MISSED_SMALLER_BOX
    return {"smallest_box": Slip.NOT_BEST_BOX, "shrink_or_king": Slip.AGAINST_RULE}[question(exercise)]


def _slower(fastest: int, after: chess.Board, published: Published) -> str:
    """By how many moves a mate in one or two is missed: exactly with three men, else whether a mate in two
    is missed by one."""
    if len(after.piece_map()) == THREE_MEN:
        more = published.mates_in(after) + 1 - fastest
    elif fastest == 1:
        return r"slower:\d+"
    elif _mated_in_two(after):
        more = 1
    else:
        return r"slower:([2-9]|\d\d)"
    return f"slower:{more}"


def _mated_in_two(board: chess.Board) -> bool:
    """Whether every reply allows a mate in one or two."""
    replies = [_after(board.fen(), reply.uci()).fen() for reply in board.legal_moves]
    return all(naive.mates(fen) or naive.mates_in_two(fen) for fen in replies)


def _loses_a_piece(before: chess.Board, after: chess.Board) -> bool:
    """Whether the side to move can take a piece, so that it has more than before, also when taken back."""
    for capture in filter(after.is_capture, after.legal_moves):
        if after.piece_type_at(capture.to_square) in (None, chess.PAWN):
            continue
        then = _after(after.fen(), capture.uci())
        back = [move.uci() for move in then.legal_moves if move.to_square == capture.to_square]
        left = [_balance(_after(then.fen(), move), after.turn) for move in back]
        if min([_balance(then, after.turn), *left]) > _balance(before, after.turn):
            return True
    return False


def _is_opposition(board: chess.Board) -> bool:
    """Whether one square is between the kings, on a rank, a file or a diagonal."""
    one, other = (chess.parse_square(man(board.fen(), king)) for king in "Kk")
    middle = (one + other) // 2
    return (
        chess.square_distance(one, other) == 2
        and chess.square_distance(one, middle) == chess.square_distance(middle, other) == 1
        and (one + other) % 2 == 0
        and chess.square_file(one) + chess.square_file(other) == 2 * chess.square_file(middle)
    )


def _balance(board: chess.Board, side: chess.Color) -> int:
    men = board.piece_map().values()
    return sum(_WORTH[one.symbol().upper()] * (1 if one.color == side else -1) for one in men)


def _mates(exercise: Exercise, right: set[str]) -> bool:
    fen = exercise.position.fen
    return right == (naive.mates(fen) or naive.mates_in_two(fen))


def _stalemates(exercise: Exercise, right: set[str]) -> bool:
    return right == naive.stalemates(exercise.position.fen)


def _after(fen: str, move: str) -> chess.Board:
    after = chess.Board(fen)
    after.push_uci(move)
    return after
