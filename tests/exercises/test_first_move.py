"""Where one move is asked for, the line that follows it takes nothing away; a list of moves stays a list."""

import random
from dataclasses import replace

import chess
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.model.facts import Slip, slower
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.answers import NEEDS_ALL, question
from tests.exercises.samples import Made, first_use, of_each_kind, sample
from tests.judges.moves import after

EXERCISES = of_each_kind(4)
MOVES = Made(lambda: (each for each in EXERCISES if each.answer.form is AnswerForm.MOVES))
ONE_MOVE = Made(lambda: (each for each in MOVES if question(each) not in NEEDS_ALL))
ALL_MOVES = Made(lambda: (each for each in MOVES if question(each) in NEEDS_ALL))
MATES_IN_TWO = sample(first_use("mate_in_two"), 4)

WAYS = (
    *("{0} {1} {2}", "1. {0} {1} 2. {2}", "1.{0} {1} 2.{2}", "1) {0} {1} 2) {2}", "1 {0} {1} 2 {2}"),
    *("{0}, {1}, {2}", "1. {0}, {1}, 2. {2}", "{0}; {1}; {2}", "{0} ... {1} {2}", "{0} - {1} - {2}"),
    *("{0} {1} {2} mate", "{0} and {1} and {2}", "{0}\n{1}\n{2}", "{0} {1}", "1. {0} {1}", "1. {0} 2. {2}"),
)

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def asking(fen: str, *accepted: str, all_needed: bool = False) -> Exercise:
    """An exercise that asks for a move, or for all of them."""
    answer = replace(MATES_IN_TWO[0].answer, accepted=accepted, all_needed=all_needed)
    return replace(MATES_IN_TWO[0], position=replace(MATES_IN_TWO[0].position, fen=fen), answer=answer)


def line_of(exercise: Exercise) -> tuple[str, str, str]:
    """The first move, the reply and the mate that are on the key."""
    assert exercise.solution.plan is not None
    first, last = exercise.solution.plan.steps
    return first.move, first.reply, last.move


def slip_of(exercise: Exercise, written: str) -> str:
    mark = mark_answer(exercise, written)
    assert not mark.right
    return mark.slip


@pytest.mark.parametrize("way", WAYS)
def test_a_right_first_move_with_its_line_is_right(way: str) -> None:
    for exercise in MATES_IN_TWO:
        assert mark_answer(exercise, way.format(*line_of(exercise))) == RIGHT


def _line(board: chess.Board, first: chess.Move, chance: random.Random) -> list[str]:
    """The move and up to three that follow it, by their names."""
    now, names = board.copy(stack=False), [board.san(first)]
    now.push(first)
    while len(names) < 4 and any(now.legal_moves):
        move = chance.choice(list(now.legal_moves))
        names.append(now.san(move))
        now.push(move)
    return names


@FEW
@given(ONE_MOVE.any, st.integers(), st.sampled_from(["1. {} 2. {}", "{}, {}", "{} {}"]))
def test_whatever_line_follows_the_first_move_decides(exercise: Exercise, seed: int, way: str) -> None:
    chance = random.Random(seed)  # noqa: S311 - a choice of moves, not a secret
    board = chess.Board(exercise.position.fen)
    line = _line(board, chance.choice(list(board.legal_moves)), chance)
    whole = way.format(" ".join(line[:2]), " ".join(line[2:])) if len(line) > 2 else line[0]
    assert mark_answer(exercise, whole) == mark_answer(exercise, line[0])


@FEW
@given(ONE_MOVE.any, st.integers())
def test_an_impossible_reply_takes_nothing_from_a_right_move(exercise: Exercise, seed: int) -> None:
    board = chess.Board(exercise.position.fen)
    assume(not board.knights)
    first = exercise.answer.accepted[0]
    after = board.copy(stack=False)
    after.push_san(first)
    for square in random.Random(seed).sample(chess.SQUARE_NAMES, 8):  # noqa: S311 - not a secret
        impossible = f"N{square}"  # nobody has a knight
        assert mark_answer(exercise, f"{first} {impossible}") == RIGHT
        assert mark_answer(exercise, f"1. {first} {impossible} 2. Qa1") == RIGHT


@pytest.mark.parametrize("rest", [" no", " not mate", " hello", ", perhaps", " Qx", " ?x"])
def test_words_after_a_right_move_are_not_dropped(rest: str) -> None:
    for exercise in ONE_MOVE:
        assert slip_of(exercise, exercise.answer.accepted[0] + rest) == Slip.UNREADABLE


QUEEN = asking("8/8/8/8/8/2K5/7Q/k7 w - - 0 1", "Qb2#")
ROOKS = asking("8/8/8/2k5/7R/6R1/8/K7 w - - 0 1", "Rg5+")


@pytest.mark.parametrize(
    ("written", "mark"),
    [
        ("Rg5+ Kd6 Rh6+", RIGHT),
        ("Rg5+ Kb6", RIGHT),
        ("Rg5 or Ra3", Mark(False, slower(1))),
        ("Rg5 / Ra3", Mark(False, slower(1))),
        ("Rg5 and Ra3", Mark(False, slower(1))),
        ("Rg5+, Rh6", Mark(False, Slip.UNREADABLE)),  # the next move of a line, or another first one?
        ("1. Rg5+ 2. Rh6", RIGHT),
        ("Rg5+ or Kc2", Mark(False, Slip.ILLEGAL)),
        *(("Rg5+ Kb6/Kc6 Rh6+", RIGHT), ("Rg5+ or Kd6", RIGHT), ("Rg5+ or Kd5", RIGHT)),
        *(("Rg5+, then Rh6", RIGHT), ("Rg5+ and then Rh6", RIGHT), ("Rg5+ Kb6 then Rh6", RIGHT)),
        ("Rg5+ Rg5+", RIGHT),
        ("Ra3 Kd6 Rg5", Mark(False, slower(1))),
        ("Kd6 Rg5+", Mark(False, Slip.MISREAD_SIDE)),
        ("Kd6", Mark(False, Slip.MISREAD_SIDE)),
        ("Kc3 Rg5", Mark(False, Slip.ILLEGAL)),
    ],
)
def test_a_list_of_moves_is_no_line(written: str, mark: Mark) -> None:
    got = mark_answer(ROOKS, written)
    assert (got.right, got.slip[:9]) == (mark.right, mark.slip[:9])


def test_after_the_end_of_the_game_no_line_goes_on() -> None:
    assert mark_answer(QUEEN, "Qb2# Qg1") == mark_answer(QUEEN, "1. Qb2 2. Qg1") == mark_answer(QUEEN, "Qg1")
    assert not mark_answer(QUEEN, "Qg1").right


@given(ALL_MOVES.any, st.integers())
def test_where_several_moves_are_asked_for_a_line_is_no_answer(exercise: Exercise, seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - a choice of moves, not a secret
    board = chess.Board(exercise.position.fen)
    move = chance.choice([move for move in board.legal_moves if any(after(board, move).legal_moves)])
    first, reply, *_ = _line(board, move, chance)
    everything = ", ".join(exercise.answer.accepted)
    mark = mark_answer(exercise, f"{everything}, {first} {reply}")
    assert not mark.right
    assert mark == mark_answer(exercise, first)
