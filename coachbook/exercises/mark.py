"""Marking: whether what a student wrote is right, and if not, which slip it was.

Marking looks at the stored answer and the rules of chess only, so that a sheet can be marked
years later, whatever has become of the kind that made it.
"""

import re
from dataclasses import dataclass

import chess

from coachbook.exercises.notation import BLANK, NOTHING, NoMove, read_move, split_moves
from coachbook.model.exercise import Answer, AnswerForm, Exercise
from coachbook.model.slips import Slip

_NUMBER = re.compile(r"\s*=?\s*(\d{1,3})\s*(squares?)?\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Mark:
    """Right or wrong; `slip` is "" for a right answer."""

    right: bool
    slip: str = ""


RIGHT = Mark(True)


def mark_answer(exercise: Exercise, written: str) -> Mark:
    """The mark for what a student wrote; any text can be marked."""
    text = written.strip()
    if text in BLANK:
        return Mark(False, Slip.NOT_TRIED)
    if exercise.answer.form is AnswerForm.NUMBER:
        return _mark_number(exercise.answer, text)
    return _mark_moves(chess.Board(exercise.position.fen), exercise.answer, text)


def _mark_number(answer: Answer, text: str) -> Mark:
    number = _NUMBER.fullmatch(text)
    if number is None:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if str(int(number[1])) in answer.accepted else Mark(False, answer.wrong)


def _mark_moves(board: chess.Board, answer: Answer, text: str) -> Mark:
    accepted = {board.parse_san(san) for san in answer.accepted}
    moves = [] if text.lower() in NOTHING else [read_move(board, part) for part in split_moves(text)]
    for move in moves:
        if move not in accepted:
            return Mark(False, _slip(board, answer, move))
    written = set(moves)
    enough = written == accepted if answer.all_needed else bool(written) or not accepted
    return RIGHT if enough else Mark(False, answer.missed)


def _slip(board: chess.Board, answer: Answer, move: chess.Move | NoMove) -> str:
    """The name of a wrong move: by the rules of chess first, else by the exercise."""
    if isinstance(move, NoMove):
        return Slip.UNREADABLE if move is NoMove.UNREADABLE else Slip.ILLEGAL
    after = board.copy(stack=False)
    after.push(move)
    if after.is_stalemate() and answer.wrong != Slip.NOT_STALEMATE:
        return Slip.STALEMATE
    if any(after.is_capture(reply) for reply in after.legal_moves) and answer.wrong != Slip.NOT_STALEMATE:
        return Slip.PIECE_LOST
    return answer.wrong
