"""Marking: whether what a student wrote is right, and if not, which slip it was.

Right or wrong depends on the stored answer and the rules of chess only, so that a sheet can be
marked years later, whatever has become of the kind that made it. (Only a number typed for a rule, on
a sheet that printed none, must also be that of today's card: see `choices`.)

An answer that is not right is called, in this order: not tried; unreadable, for nothing is known of
it; illegal, or misread the side to move; then what `wrong_moves` says of a wrong move; and last, if
all that stands there is right, that something is missing. Of several moves the first that is not
right gives the name. Where one move is asked for and a line begins with it, only that move counts.
"""

import re
from collections.abc import Set
from dataclasses import dataclass

import chess

from coachbook.exercises.choices import fitting_options
from coachbook.exercises.first_move import Several, what_follows
from coachbook.exercises.notation import NoMove, says_none, split_moves
from coachbook.exercises.numerals import read_number
from coachbook.exercises.wrong_moves import name_missing, name_wrong_move
from coachbook.model.exercise import Answer, AnswerForm, Exercise
from coachbook.model.slips import Slip


@dataclass(frozen=True, slots=True)
class Mark:
    """Right or wrong; `slip` is "" for a right answer."""

    right: bool
    slip: str = ""


RIGHT = Mark(True)


def mark_answer(exercise: Exercise, written: str, letters: str | None = None) -> Mark:
    """The mark for what a student wrote, as the coach typed it; any text can be marked.

    A blank, or signs that say nothing such as "?", is not tried; but "#" is mate and "=" a draw where that
    is to be ticked. A dash is not tried either, but where moves are asked for it means "none".

    `letters` are five signs of the club for king, queen, rook, bishop and knight, such as KDTLS
    (German) or RDTAC (Spanish, where R is the king); None for English ones. Each move is read with
    the club's letters first; if they give no legal move but the English ones do, those hold. Text
    that could mean two legal moves by the same letters is unreadable.
    """
    if not any(map(str.isalnum, written)) and not _is_sign(exercise, written):
        return Mark(False, Slip.NOT_TRIED)
    match exercise.answer.form:
        case AnswerForm.MOVES:
            return _mark_moves(exercise, written, letters)
        case AnswerForm.CHOICE:
            return _mark_choice(exercise, written)
        case AnswerForm.NUMBER:
            return _mark_number(exercise.answer, written)
        case AnswerForm.SQUARES:
            return _mark_squares(exercise.answer, written)


def _is_sign(exercise: Exercise, written: str) -> bool:
    """Whether signs without a letter or digit are an answer: a dash for "none", or such as "=" for a draw."""
    if exercise.answer.form is AnswerForm.MOVES:
        return says_none(written)
    return bool(fitting_options(exercise, written))


def _mark_choice(exercise: Exercise, written: str) -> Mark:
    answer, chosen = exercise.answer, fitting_options(exercise, written)
    if len(chosen) != 1:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if chosen[0] in answer.accepted else Mark(False, answer.wrong)


def _mark_number(answer: Answer, written: str) -> Mark:
    number = read_number(written)
    if number is None:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if str(number) in answer.accepted else Mark(False, answer.wrong)


def _mark_squares(answer: Answer, written: str) -> Mark:
    """Squares in any order, with anything but letters and digits between them."""
    parts = re.findall(r"[^\W_]+", written.casefold().replace(" and ", " "))
    if not parts or not all(re.fullmatch(r"([a-h][1-8])+", part) for part in parts):
        return Mark(False, Slip.UNREADABLE)
    squares = set(re.findall(r"[a-h][1-8]", " ".join(parts)))
    if not squares <= set(answer.accepted):
        return Mark(False, answer.wrong)
    return RIGHT if squares == set(answer.accepted) else Mark(False, answer.missed)


_NO_MOVE = {
    NoMove.UNREADABLE: Slip.UNREADABLE,
    NoMove.ILLEGAL: Slip.ILLEGAL,
    NoMove.OTHER_SIDE: Slip.MISREAD_SIDE,
}


def _mark_moves(exercise: Exercise, written: str, letters: str | None) -> Mark:
    board, answer = chess.Board(exercise.position.fen), exercise.answer
    accepted = {board.parse_san(san) for san in answer.accepted}
    moves = () if says_none(written) else _moves_that_count(board, answer, accepted, written, letters)
    for move in moves:
        if isinstance(move, NoMove):
            return Mark(False, _NO_MOVE[move])
        if move not in accepted:
            return Mark(False, name_wrong_move(exercise, board, move))
    enough = set(moves) == accepted if answer.all_needed else bool(moves) or not accepted
    return RIGHT if enough else Mark(False, name_missing(exercise))


def _moves_that_count(
    board: chess.Board, answer: Answer, accepted: Set[chess.Move], written: str, letters: str | None
) -> tuple[chess.Move | NoMove, ...]:
    """All that is written; but of a right move and the line that it begins only the move, where one is
    asked for."""
    parts = split_moves(written, letters)
    moves = tuple(part.read(board) for part in parts) or (NoMove.UNREADABLE,)
    first = moves[0]
    if answer.all_needed or isinstance(first, NoMove) or first not in accepted or accepted >= {*moves}:
        return moves
    match what_follows(board, first, parts[1:], written):
        case Several.LINE:
            return (first,)
        case Several.LIST:
            return moves
        case Several.DOUBTFUL:
            return (NoMove.UNREADABLE,)
