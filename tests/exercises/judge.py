"""An independent judge of marks: whether what a student wrote is right, and whether a slip's name is true.

Right and wrong come from `answers`; what a move does, from the rules, the published tables, and
boxes counted square by square.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

import chess

from coachbook.model.facts import Slip
from coachbook.model.position import Position
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.answers import ANY_SQUARE, NEEDS_ALL, man, placed, question, to_place
from tests.judges import box, moves, pawn
from tests.judges.published import Published

THREE_MEN = 3
BY_RULE = ("shrink_or_king", "next_moves", "waiting_move")
"""Where a wrong move that is nothing worse goes against a rule."""


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
    all_asked &= question(exercise) not in ANY_SQUARE
    return written.means == right if all_asked else bool(written.means)


def is_true(slip: str, exercise: Exercise, right: set[str], written: Written, published: Published) -> bool:
    """Whether the name of a slip says what is wrong with an answer that is wrong."""
    wrong, missing = written.means - right, right - written.means
    if exercise.answer.form is AnswerForm.LINE:
        return _is_true_of_line(slip, exercise, right, written, published)
    if exercise.answer.form is AnswerForm.MOVES and any(
        re.fullmatch(called(exercise, right, move, published), slip) for move in wrong
    ):
        return True
    if question(exercise) == "build_position" and not written.garbled and wrong:
        return slip in {called_placed(exercise, square) for square in wrong}
    result = published.result(chess.Board(exercise.position.fen))
    says = {
        Slip.NOT_TRIED: not any(map(str.isalnum, written.text)) and not written.text.startswith("-"),
        Slip.UNREADABLE: written.garbled,
        Slip.ILLEGAL: written.illegal,
        Slip.MISREAD_SIDE: written.misread,
        Slip.MISSED_MATE: bool(missing) and ({"mate"} == right or _mates(exercise, right)),
        Slip.MISSED_STALEMATE: bool(missing) and ({"stalemate"} == right or _stalemates(exercise, right)),
        Slip.WRONG_COUNT: question(exercise) == "box_size" and bool(wrong),
        Slip.MISCOUNTED_MOVES: question(exercise) == "race_count" and _count(written.means) != _count(right),
        Slip.WIN_NOT_SEEN: result != 0 and bool(missing),
        Slip.DRAW_NOT_SEEN: result == 0 and bool(missing),
        Slip.MISJUDGED: bool(wrong)
        and (question(exercise) != "race_count" or _count(wrong) == _count(right)),
        Slip.WRONG_SQUARE: bool(wrong),
        Slip.MISSED_DANGER: question(exercise) == "no_go_squares" and bool(missing),
        Slip.MISSED_SQUARE: bool(missing),
        Slip.MISSED_SMALLER_BOX: question(exercise) == "smallest_box" and not written.means,
        Slip.NO_OPPOSITION: question(exercise) == "opposition" and not written.means,
        Slip.WRONG_RULE: question(exercise) == "next_rule" and bool(wrong),
        Slip.RULE_NOT_KNOWN: question(exercise) == "finish_rule" and bool(wrong),
        Slip.AGAINST_RULE: question(exercise) in BY_RULE and not written.means,
    }
    return slip in says and says[Slip(slip)]


def _is_true_of_line(
    slip: str, exercise: Exercise, right: set[str], written: Written, published: Published
) -> bool:
    """Whether it says what is wrong with the first move of a line that is not right, or that there are too
    few."""
    (line,) = right
    (sans,) = written.means or {""}
    asked, said = line.split(), sans.split()
    board = chess.Board(exercise.position.fen)
    for one, other, reply in zip(asked, said, (*exercise.answer.replies, ""), strict=False):
        if one != other:
            here = replace(exercise, position=Position(board.fen()))
            move, due = board.parse_san(other).uci(), {board.parse_san(one).uci()}
            return re.fullmatch(called(here, due, move, published), slip) is not None
        board.push_san(one)
        if reply:
            board.push_san(reply)
    says = {
        Slip.NOT_TRIED: not any(map(str.isalnum, written.text)),
        Slip.UNREADABLE: written.garbled,
        Slip.ILLEGAL: written.illegal,
        Slip.MISREAD_SIDE: written.misread,
        Slip.LINE_UNFINISHED: len(said) < len(asked) and not written.illegal,
    }
    return slip in says and says[Slip(slip)]


def _count(races: Iterable[str]) -> set[str]:
    """The numbers of moves in a race, without who queens first."""
    return {race.rpartition(", ")[0] for race in races}


def called_placed(exercise: Exercise, square: str) -> str:
    """What a wrong square must be called on which a man is placed."""
    fen, at = exercise.position.fen, chess.parse_square(square)
    if chess.Board(fen).piece_at(at):
        return Slip.WRONG_SQUARE
    board = placed(fen, to_place(exercise.task.words)[0], at)
    if moves.status(board) == "stalemate":
        return Slip.STALEMATE
    return Slip.PIECE_LOST if moves.can_take(board) else Slip.WRONG_SQUARE


def called(exercise: Exercise, right: set[str], move: str, published: Published) -> str:
    """What a legal but wrong move (UCI) must be called, as a pattern."""
    board = chess.Board(exercise.position.fen)
    after = moves.after(board, chess.Move.from_uci(move))
    if question(exercise) == "stalemate_moves":
        return Slip.NOT_STALEMATE
    if moves.status(after) == "stalemate":
        return Slip.STALEMATE
    if moves.loses_a_piece(board, after.peek()):
        return Slip.PIECE_LOST
    if question(exercise) == "opposition" and not pawn.face_each_other(after):
        return Slip.NO_OPPOSITION
    before = published.result(board)
    if -published.result(after) < before:
        return Slip.WIN_THROWN_AWAY if before == 1 else Slip.DRAW_THROWN_AWAY
    if question(exercise) == "mate_in_two":
        return _slower(1 if moves.mates(exercise.position.fen) else 2, after, published)
    if question(exercise) == "every_mate":
        return Slip.NOT_MATE
    return _about_box(exercise, right, after)


def _about_box(exercise: Exercise, right: set[str], after: chess.Board) -> str:
    fen = exercise.position.fen
    board = chess.Board(fen)
    if len(board.piece_map()) != THREE_MEN:
        return Slip.AGAINST_RULE
    made = box.size(after)
    if made > box.size(board):
        return Slip.BOX_GREW
    best = [moves.after(board, chess.Move.from_uci(move)) for move in right if move[:2] == man(fen, "QR")]
    if any(box.size(each) < made for each in best):
        return Slip.MISSED_SMALLER_BOX
    return Slip.AGAINST_RULE if question(exercise) in BY_RULE else Slip.NOT_BEST_BOX


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
    replied = [each.fen() for each in moves.after_each(board)]
    return all(moves.mates(fen) or moves.mates_in_two(fen) for fen in replied)


def _mates(exercise: Exercise, right: set[str]) -> bool:
    fen = exercise.position.fen
    return right == (moves.mates(fen) or moves.mates_in_two(fen))


def _stalemates(exercise: Exercise, right: set[str]) -> bool:
    return right == moves.stalemates(exercise.position.fen)
