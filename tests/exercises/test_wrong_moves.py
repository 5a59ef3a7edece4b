"""A wrong move is called by the first name that is true of it, and tables are asked only for a name."""

import re
from dataclasses import replace

import chess
import pytest

from coachbook.endgame.probe import Result, probe
from coachbook.exercises import marking as wrong_moves
from coachbook.exercises.marking import mark_answer
from coachbook.model.claims import SmallestBox
from coachbook.model.facts import Slip, slower
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.answers import answered
from tests.exercises.judge import called
from tests.exercises.samples import Made, of_each_kind
from tests.judges.published import Published

EXERCISES = of_each_kind(3)
MOVES = Made(lambda: (each for each in EXERCISES if each.answer.form is AnswerForm.MOVES))
ROOK_MATE = "8/7R/8/8/8/8/4K3/6k1 w - - 0 1"
QUEEN_BOX = "8/8/2Q5/8/3k3K/8/8/8 w - - 0 1"
"""He is in five files and five ranks."""


def asked(kind: str, fen: str, *accepted: str) -> Exercise:
    """An exercise of a kind in another position."""
    exercise = next(each for each in MOVES if each.kind == kind)
    wrong = exercise.answer.wrong
    if wrong in (Slip.WIN_THROWN_AWAY, Slip.DRAW_THROWN_AWAY):
        is_won = probe(chess.Board(fen)).result is Result.WIN
        wrong = Slip.WIN_THROWN_AWAY if is_won else Slip.DRAW_THROWN_AWAY
    answer = replace(exercise.answer, accepted=accepted, wrong=wrong)
    return replace(exercise, position=replace(exercise.position, fen=fen), answer=answer)


def slip(exercise: Exercise, written: str) -> str:
    mark = mark_answer(exercise, written)
    assert not mark.right
    return mark.slip


def test_every_wrong_move_is_called_what_a_judge_calls_it(published: Published) -> None:
    for exercise in MOVES:
        board, right = chess.Board(exercise.position.fen), answered(exercise)
        for move in board.legal_moves:
            if move.uci() not in right:
                name = called(exercise, right, move.uci(), published)
                found = slip(exercise, board.san(move))
                assert re.fullmatch(name, found), (exercise.kind, board.fen(), move.uci(), name)


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Rg7+", slower(2)),  # Gaviota: mate in 4, where 2 are enough
        ("Re7", slower(3)),
        ("Rh2", Slip.PIECE_LOST),
        ("-", Slip.MISSED_MATE),
        ("Kf2", Slip.ILLEGAL),
        ("Kh1", Slip.ILLEGAL),  # on the rook's file
        ("Kg2", Slip.MISREAD_SIDE),
        ("Kf3 or Rg7", slower(2)),
        ("Rg7, Rh2", slower(2)),  # the first that is wrong
    ],
)
def test_a_slower_win_is_called_by_how_much(written: str, name: str) -> None:
    assert slip(asked("mate_in_two", ROOK_MATE, "Kf3"), written) == name


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("Qd6+", Slip.BOX_GREW),  # he stands on her file: no box at all
        ("Qa6", Slip.BOX_GREW),
        ("Qc7", Slip.BOX_GREW),
        ("Qf3", Slip.MISSED_SMALLER_BOX),
        ("Kg4", Slip.MISSED_SMALLER_BOX),
        ("none", Slip.MISSED_SMALLER_BOX),
        ("Qc5+", Slip.PIECE_LOST),
        ("Kd3", Slip.MISREAD_SIDE),
    ],
)
def test_a_box_grew_or_a_smaller_one_was_missed(written: str, name: str) -> None:
    assert slip(asked("smallest_box", QUEEN_BOX, "Qe6"), written) == name


def test_a_smaller_box_that_is_not_asked_for_is_not_best() -> None:
    """The rook was to make it, and the king did."""
    exercise = asked("smallest_box", "8/2K3k1/3R4/8/8/8/8/8 w - - 0 1", "Re6")
    exercise = replace(exercise, claims=(SmallestBox(chess.D6, "region", 6, frozenset({"d6e6"})),))
    assert slip(exercise, "Kd7") == Slip.NOT_BEST_BOX
    assert slip(exercise, "Kb7") == Slip.MISSED_SMALLER_BOX


def test_a_guarded_man_that_is_exchanged_is_not_lost() -> None:
    race = asked("only_move", "7k/8/8/5p2/8/6PK/8/8 w - - 0 1", "Kh4")
    assert slip(race, "g4") == Slip.DRAW_THROWN_AWAY
    assert slip(race, "Kh2") == Slip.DRAW_THROWN_AWAY


def test_a_queen_that_a_rook_can_take_is_lost_guarded_or_not() -> None:
    assert slip(asked("only_move", "2k5/8/7r/8/8/6QK/8/8 w - - 0 1", "Kg2"), "Qh4") == Slip.PIECE_LOST


@pytest.mark.parametrize("written", ["Qa3", "-", "Kb2", "Qd4", "hello", "Qb1", "?"])
def test_tables_are_not_asked_where_the_board_is_enough(
    written: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(board: chess.Board) -> None:
        raise AssertionError(board.fen())

    monkeypatch.setattr(wrong_moves, "probe", refuse)
    exercise = asked("every_mate", "8/8/8/8/8/5Q2/k1K5/8 w - - 0 1", "Qa3#", "Qa8#", "Qf7#", "Qb3#")
    mark_answer(exercise, written)
    with pytest.raises(AssertionError):
        mark_answer(exercise, "Qf1")


def test_where_the_tables_end_a_wrong_move_is_called_as_the_exercise_calls_it() -> None:
    exercise = asked("every_mate", "7k/8/6K1/8/8/8/PP6/5Q2 w - - 0 1", "Qf8#")
    assert slip(exercise, "a4") == Slip.NOT_MATE
