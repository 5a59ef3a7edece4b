"""An answer is right exactly when the rules of chess say so, and a slip's name is never wrong."""

import random
from collections.abc import Callable
from dataclasses import replace

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.model.facts import Slip, slip_family
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.samples import Made, first_use, of_each_kind, sample
from tests.exercises.written import LETTERS
from tests.judges import moves as judged
from tests.judges.box import walls

EXERCISES = of_each_kind(5)
BOXES = Made(lambda: (each for each in EXERCISES if each.answer.wrong == Slip.WRONG_COUNT))
MATES = Made(lambda: (each for each in EXERCISES if each.answer.wrong == Slip.NOT_MATE))
STALEMATES = Made(lambda: (each for each in EXERCISES if each.answer.wrong == Slip.NOT_STALEMATE))
A_MATE = sample(first_use("every_mate"), 1)[0]

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def wrong(slip: Slip) -> Mark:
    return Mark(False, slip)


def at(fen: str, exercise: Exercise, *accepted: str) -> Exercise:
    """An exercise of the same kind in another position."""
    position = replace(exercise.position, fen=fen)
    return replace(exercise, position=position, answer=replace(exercise.answer, accepted=accepted))


QUEEN_MATES = at("8/8/8/8/8/5Q2/k1K5/8 w - - 0 1", A_MATE, "Qa3#", "Qa8#", "Qf7#", "Qb3#")
ROOK_MATE = at("k7/7R/1K6/8/8/8/8/8 w - - 0 1", A_MATE, "Rh8#")


@pytest.mark.parametrize("written", ["", " ", "?", "???", "...", "\n", "_"])
def test_a_blank_is_not_tried(written: str) -> None:
    for exercise in EXERCISES:
        assert mark_answer(exercise, written) == wrong(Slip.NOT_TRIED), exercise.kind


@pytest.mark.parametrize("written", ["hello", "I don't know", "Q", "12 or Qe5", "x"])
def test_what_says_nothing_is_unreadable(written: str) -> None:
    for exercise in EXERCISES:
        assert mark_answer(exercise, written) == wrong(Slip.UNREADABLE), exercise.kind


@FEW
@given(
    EXERCISES.any,
    st.text() | st.text(alphabet="KQRBNkqrbnabcdefgh12345678x+#-=, .Oo0DTLSCP♕♜"),
    st.none() | st.sampled_from(LETTERS) | st.text(max_size=6),
)
def test_any_text_gets_a_mark_whatever_the_clubs_letters(
    exercise: Exercise, written: str, letters: str | None
) -> None:
    mark = mark_answer(exercise, written, letters)
    assert mark.right == (mark.slip == "")
    assert mark.right or slip_family(mark.slip) in set(Slip)


@given(BOXES.any, st.integers(0, 70), st.sampled_from(["{}", "{} squares", " {} ", "={}."]))
def test_a_count_is_right_if_it_is_the_number_of_squares(exercise: Exercise, number: int, way: str) -> None:
    right = number == len(walls(chess.Board(exercise.position.fen)))
    assert mark_answer(exercise, way.format(number)) == (RIGHT if right else wrong(Slip.WRONG_COUNT))


def test_a_dash_for_a_count_is_not_tried() -> None:
    assert mark_answer(BOXES[0], "-") == wrong(Slip.NOT_TRIED)


def _written(exercise: Exercise, moves: list[str], chance: random.Random) -> str:
    board = chess.Board(exercise.position.fen)
    names = [board.san(chess.Move.from_uci(move)) for move in moves]
    ways: list[Callable[[str], str]] = [
        str,
        str.lower,
        lambda san: san.rstrip("+#"),
        lambda san: f"{san[0]} {san[1:]}",
    ]
    return chance.choice([", ", " ", " and "]).join(chance.choice(ways)(name) for name in names)


@FEW
@given(MATES.any | STALEMATES.any, st.integers())
def test_moves_are_right_exactly_if_they_are_all_those_asked_for(exercise: Exercise, seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311 - a choice of moves, not a secret
    fen = exercise.position.fen
    asked = judged.mates(fen) if exercise in MATES else judged.stalemates(fen)
    others = [move.uci() for move in chess.Board(fen).legal_moves if move.uci() not in asked]
    moves = chance.sample(sorted(asked), chance.randint(0, len(asked)))
    moves += chance.sample(others, chance.choice([0, 0, 1, 2]))
    mark = mark_answer(exercise, _written(exercise, moves, chance) or "-")
    assert mark.right == (set(moves) == asked)
    if set(moves) < asked:
        assert mark.slip == (Slip.MISSED_MATE if exercise in MATES else Slip.MISSED_STALEMATE)


@given(MATES.any | STALEMATES.any, st.integers())
def test_a_wrong_moves_slip_is_what_it_does(exercise: Exercise, seed: int) -> None:
    board = chess.Board(exercise.position.fen)
    move = random.Random(seed).choice(list(board.legal_moves))  # noqa: S311 - not a secret
    slip = mark_answer(exercise, board.san(move)).slip
    board.push(move)
    taken = judged.can_take(board)
    if exercise in STALEMATES:
        assert (slip == Slip.NOT_STALEMATE) == (not board.is_stalemate())
    elif not board.is_checkmate():
        expected = Slip.STALEMATE if board.is_stalemate() else Slip.PIECE_LOST if taken else Slip.NOT_MATE
        assert slip == expected


@pytest.mark.parametrize(
    ("written", "mark"),
    [
        ("Qa3, Qa8, Qf7, Qb3", RIGHT),
        ("queen b3 mate, queen f7 mate, queen a3, qa8", RIGHT),
        ("Qa3, Qa8, Qf7, Qb3, Qa3", RIGHT),
        ("a3 a8 f7 b3", RIGHT),
        ("Qa3, Qa8, Qf7", wrong(Slip.MISSED_MATE)),
        ("-", wrong(Slip.MISSED_MATE)),
        ("none", wrong(Slip.MISSED_MATE)),
        ("Qa3, Qa8, Qf7, Qb3, Qe3", wrong(Slip.NOT_MATE)),
        ("Qf1", wrong(Slip.NOT_MATE)),
        ("Kb2", wrong(Slip.ILLEGAL)),
        ("Ka1", wrong(Slip.MISREAD_SIDE)),
        ("Qd4", wrong(Slip.ILLEGAL)),
        ("Qa3, Qa8, Qf7, Qb3, hello", wrong(Slip.UNREADABLE)),
        ("mate", wrong(Slip.UNREADABLE)),
    ],
)
def test_every_mate_must_be_written_and_nothing_else(written: str, mark: Mark) -> None:
    assert mark_answer(QUEEN_MATES, written) == mark


@pytest.mark.parametrize(
    ("written", "letters", "mark"),
    [
        ("Da3, Da8, Df7, Db3", "KDTLS", RIGHT),
        ("da3 da8 Df7+ qb3", "KDTLS", RIGHT),
        ("Da3, Da8, Df7, Db3", "RDTAC", RIGHT),
        ("Da3, Da8, Df7, Db3, Rd2", "RDTAC", wrong(Slip.NOT_MATE)),
        ("Дa3", "ЦДТОК", wrong(Slip.MISSED_MATE)),
        ("Da3", None, wrong(Slip.UNREADABLE)),
        ("-", "KDTLS", wrong(Slip.MISSED_MATE)),
        ("?", "KDTLS", wrong(Slip.NOT_TRIED)),
    ],
)
def test_moves_are_marked_in_the_clubs_letters(written: str, letters: str | None, mark: Mark) -> None:
    assert mark_answer(QUEEN_MATES, written, letters) == mark


@pytest.mark.parametrize(
    ("written", "mark"),
    [("Rh8", RIGHT), ("h8", RIGHT), ("Rh6", wrong(Slip.NOT_MATE)), ("Rb7", wrong(Slip.STALEMATE))],
)
def test_a_stalemate_is_named_where_a_mate_is_asked_for(written: str, mark: Mark) -> None:
    assert mark_answer(ROOK_MATE, written) == mark


def test_a_lost_piece_is_named_where_a_mate_is_asked_for() -> None:
    exercise = at("8/8/8/8/8/1K6/6R1/k7 w - - 0 1", A_MATE, "Rg1#")
    assert mark_answer(exercise, "Ra2") == wrong(Slip.NOT_MATE)
    assert mark_answer(at("8/8/8/8/8/2K5/7R/k7 w - - 0 1", A_MATE, "Rh1#"), "Ra2") == wrong(Slip.PIECE_LOST)


def test_one_right_move_will_do_where_not_all_are_needed() -> None:
    exercise = replace(QUEEN_MATES, answer=replace(QUEEN_MATES.answer, all_needed=False))
    assert mark_answer(exercise, "Qb3") == RIGHT
    assert mark_answer(exercise, "Qb3 Qa8") == RIGHT
    assert mark_answer(exercise, "Qb3 or Qe3") == wrong(Slip.NOT_MATE)
    assert mark_answer(exercise, "none") == wrong(Slip.MISSED_MATE)


def test_none_is_wrong_where_a_move_is_asked_for() -> None:
    """Also where nothing can be missed in part, the slip has a name."""
    exercise = replace(ROOK_MATE, answer=replace(ROOK_MATE.answer, missed=""))
    assert mark_answer(exercise, "none") == wrong(Slip.NOT_MATE)


def test_none_is_right_where_there_is_none() -> None:
    exercise = at("8/8/8/3k4/8/8/8/K6Q w - - 0 1", A_MATE)
    assert exercise.answer.form is AnswerForm.MOVES
    assert mark_answer(exercise, "-") == mark_answer(exercise, "none") == RIGHT
    assert mark_answer(exercise, "") == wrong(Slip.NOT_TRIED)
    assert mark_answer(exercise, "Qg1") == wrong(Slip.NOT_MATE)
    assert mark_answer(exercise, "mate") == wrong(Slip.UNREADABLE)
