"""Marking: whether what a student wrote is right, and if not, which slip it was.

Marking looks at the stored answer and the rules of chess only, so that a sheet can be marked
years later, whatever has become of the kind that made it.
"""

import re
from dataclasses import dataclass

import chess

from coachbook.exercises.notation import NoMove, read_moves, says_none
from coachbook.exercises.numerals import read_number
from coachbook.model.exercise import Answer, AnswerForm, Exercise
from coachbook.model.slips import Slip


@dataclass(frozen=True, slots=True)
class Mark:
    """Right or wrong; `slip` is "" for a right answer."""

    right: bool
    slip: str = ""


RIGHT = Mark(True)


def mark_answer(exercise: Exercise, written: str) -> Mark:
    """The mark for what a student wrote; any text can be marked."""
    form = exercise.answer.form
    if not any(map(str.isalnum, written)) and not (form is AnswerForm.MOVES and says_none(written)):
        return Mark(False, Slip.NOT_TRIED)
    if form is AnswerForm.MOVES:
        return _mark_moves(chess.Board(exercise.position.fen), exercise.answer, written)
    return _MARKED_BY_WORDS[form](exercise.answer, written)


def _mark_number(answer: Answer, written: str) -> Mark:
    number = read_number(written)
    if number is None:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if str(number) in answer.accepted else Mark(False, answer.wrong)


def _mark_choice(answer: Answer, written: str) -> Mark:
    """An option by its words, by their beginning where that is enough, or by its number as printed."""
    text = " ".join(written.casefold().split()).rstrip(".!").removeprefix("a ")
    begun = [option for option in answer.options if option.casefold().startswith(text)]
    exact = [option for option in begun if option.casefold() == text]
    numbered = dict(zip(map(str, range(1, 10)), answer.options, strict=False))
    if text in numbered:
        exact = [numbered[text]]
    chosen = exact or begun
    if len(chosen) != 1:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if chosen[0] in answer.accepted else Mark(False, answer.wrong)


def _mark_squares(answer: Answer, written: str) -> Mark:
    """Squares in any order, with anything but letters and digits between them."""
    parts = re.findall(r"[^\W_]+", written.casefold().replace(" and ", " "))
    if not parts or not all(re.fullmatch(r"([a-h][1-8])+", part) for part in parts):
        return Mark(False, Slip.UNREADABLE)
    squares = set(re.findall(r"[a-h][1-8]", " ".join(parts)))
    if not squares <= set(answer.accepted):
        return Mark(False, answer.wrong)
    return RIGHT if squares == set(answer.accepted) else Mark(False, answer.missed)


_MARKED_BY_WORDS = {
    AnswerForm.NUMBER: _mark_number,
    AnswerForm.CHOICE: _mark_choice,
    AnswerForm.SQUARES: _mark_squares,
}


def _mark_moves(board: chess.Board, answer: Answer, written: str) -> Mark:
    accepted = {board.parse_san(san) for san in answer.accepted}
    moves = () if says_none(written) else read_moves(board, written) or (NoMove.UNREADABLE,)
    for move in moves:
        if move not in accepted:
            return Mark(False, _slip(board, answer, move))
    enough = set(moves) == accepted if answer.all_needed else bool(moves) or not accepted
    return RIGHT if enough else Mark(False, answer.missed or answer.wrong)


def _slip(board: chess.Board, answer: Answer, move: chess.Move | NoMove) -> str:
    """The name of a wrong move: by the rules of chess first, else by the exercise.

    Where stalemates are asked for, nobody means to play the moves: they lose no piece.
    """
    if isinstance(move, NoMove):
        return Slip.UNREADABLE if move is NoMove.UNREADABLE else Slip.ILLEGAL
    if answer.wrong == Slip.NOT_STALEMATE:
        return answer.wrong
    after = board.copy(stack=False)
    after.push(move)
    if after.is_stalemate():
        return Slip.STALEMATE
    if any(after.is_capture(reply) for reply in after.legal_moves):
        return Slip.PIECE_LOST
    return answer.wrong
