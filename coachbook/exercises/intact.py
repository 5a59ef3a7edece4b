"""Whether an exercise still says one and the same thing everywhere: what damage would bring apart.

Other than `verify` it asks for nothing that may be told in another way one day, such as words or what
a method says: a sheet of an earlier coachbook is marked as it was printed.
"""

import chess

from coachbook.endgame.looks import symmetry_key
from coachbook.exercises.said import answer_claim, read_exactly, right_answer
from coachbook.model.exercise import AnswerForm, Exercise


def find_damage(exercise: Exercise) -> str | None:
    """What does not fit together, such as "its answer is not what it claims"; None if all does."""
    try:
        board = chess.Board(exercise.position.fen)
    except ValueError:
        return "its position cannot be read"
    if not board.is_valid():
        return "its position is not legal"
    if exercise.key != symmetry_key(board):
        return "its key belongs to another position"
    claim, accepted = answer_claim(exercise), list(exercise.answer.accepted)
    if exercise.answer.form is AnswerForm.MOVES:
        moves = [read_exactly(board, san) for san in accepted]
        if None in moves:
            return "its answer has a move that is not legal or badly written"
        accepted = [move.uci() for move in moves if move]
    if claim is None or frozenset(accepted) != right_answer(claim, exercise.answer.form):
        return "its answer is not what it claims"
    return None
