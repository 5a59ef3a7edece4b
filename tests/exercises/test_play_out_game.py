"""Games are read as coaches type them, and nothing is guessed."""

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.exercises.games import read_game

QUEEN = "8/8/8/4k3/8/8/8/K6Q w - - 0 1"
LONE_KING_FIRST = "8/8/8/8/P4k2/8/8/7K b - - 0 1"
MOVES = ["h1h4", "e5d5", "a1b2", "d5e5"]

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def read(text: str, fen: str = QUEEN, letters: str | None = None) -> list[str]:
    return [move.uci() for move in read_game(chess.Board(fen), text, letters)]


@pytest.mark.parametrize(
    "text",
    [
        "1. Qh4 Kd5 2. Kb2 Ke5",
        "1.Qh4 Kd5 2.Kb2 Ke5",
        "1 Qh4 Kd5 2 Kb2 Ke5",
        "1. Qh4 1... Kd5 2. Kb2 2... Ke5",
        "1. Qh4 {a good one} Kd5 2. Kb2 $1 Ke5 1/2-1/2",
        "34. Qh4 Kd5 35. Kb2 Ke5 *",
        "qh4 kd5 kb2 ke5 1-0",
        "Q-h4, K-d5, king to b2, k e 5",
        "1. queen h4 king d5\n2. K b2 K e5",
        "\N{BLACK CHESS QUEEN}h4 \N{WHITE CHESS KING}d5 Kb2! Ke5?",
    ],
)
def test_a_line_of_moves_is_read_as_it_is_typed(text: str) -> None:
    assert read(text) == MOVES


@pytest.mark.parametrize(
    "text",
    ["1... Ke5 2. a5 Kd6", "1. ... Ke5 2. a5 Kd6", "Ke5 a5 Kd6", "1. Ke5 a5 2. Kd6", "...Ke5 2. a5 Kd6"],
)
def test_black_may_begin(text: str) -> None:
    assert read(text, LONE_KING_FIRST) == ["f4e5", "a4a5", "e5d6"]


def test_a_club_may_have_letters_of_its_own() -> None:
    assert read("1. Dh4 Kd5 2. Kb2 Ke5", letters="KDTLS") == MOVES


@pytest.mark.parametrize("header", [f'[FEN "{QUEEN}"]\n[SetUp "1"]\n', '[White "Ada"]\n'])
def test_a_pgn_is_read_without_its_comments_and_variations(header: str) -> None:
    moves = "1. Qh4 (1. Qh5+ Kd4 (1... Kd6)) Kd5 ; check next\n2. Kb2 {[%clk 0:10]} Ke5 *\n"
    assert read(f"{header}\n{moves}") == MOVES


def test_a_pgn_from_another_position_is_refused() -> None:
    with pytest.raises(CoachbookError, match="starts from"):
        read('[FEN "8/8/8/4k3/8/8/8/K5Q1 w - - 0 1"]\n\n1. Qh1 *')
    with pytest.raises(CoachbookError, match="no position"):
        read('[FEN "nonsense"]\n\n1. Qh4 *')
    with pytest.raises(CoachbookError, match="does not say who is to move"):
        read('[FEN "8/8/8/8/8/8/8/K6k"]\n\n1. Qh4 *')


def test_two_games_are_refused() -> None:
    with pytest.raises(CoachbookError, match="more than one game"):
        read('[White "Ada"]\n\n1. Qh4 *\n\n[White "Bo"]\n\n1. Qh4 *')


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1. Qh4 Kd9", "Move 1, Black: 'Kd9' cannot be read."),
        ("1. Qh4 Kd5 2. Kd2", "Move 2, White: 'Kd2' is not a legal move there."),
        ("1. Qh4 Kd5 Kb2 nonsense", "Move 2, Black: 'nonsense' cannot be read."),
        ("1. Qh4 Kb2", "Move 1, Black: 'Kb2' is a move of the other side"),
        ("1. Qh4 2. Kb2 Ke5", "Before '2.' a move is missing, or one too many."),
        ("1. Qh4 Kd5 Kb2 2. Ke5", "Before '2.' a move is missing, or one too many."),
        ("1... Kd5 2. Kb2", "Before '1...' a move is missing"),
        ("", "There is no move in ''."),
        ("1.", "There is no move in '1.'."),
        ('[White "Ada"]\n\n*', "There is no move"),
        ("1. Qh4 Kd5 {a comment that never ends", "Move 2, White"),
    ],
)
def test_the_first_thing_that_is_no_move_is_named(text: str, told: str) -> None:
    with pytest.raises(CoachbookError) as caught:
        read(text)
    assert caught.value.message.startswith(told)


@pytest.mark.parametrize(
    ("fen", "text", "told"),
    [
        (
            "8/8/8/8/1R1k4/8/8/R5K1 w - - 0 1",
            "1. Kf1 Kc5 2. Ra4",
            "Move 2, White: two rooks can go to a4: Raa4 or Rba4.",
        ),
        ("8/7k/8/1Q6/8/8/8/K7 w - - 0 1", "1. b2 Kg7", "Move 1, White: 'b2' can mean Kb2 or Qb2."),
        (
            "8/4P3/8/8/8/k7/8/K7 w - - 0 1",
            "e8",
            "Move 1, White: 'e8' can mean e8=Q, e8=R, e8=B or e8=N.",
        ),
    ],
)
def test_of_a_move_that_may_mean_several_all_are_told(fen: str, text: str, told: str) -> None:
    with pytest.raises(CoachbookError) as caught:
        read(text, fen)
    assert caught.value.message.startswith(told)
    assert caught.value.hint == "Write which of them."


def test_the_moves_that_may_be_meant_are_told_in_the_club_s_own_letters() -> None:
    with pytest.raises(CoachbookError, match="two rooks can go to a4: Taa4 or Tba4"):
        read("Ta4", "8/8/8/8/1R1k4/8/8/R5K1 w - - 0 1", letters="KDTLS")


def test_who_is_at_a_loss_for_words_is_told_those_that_are_understood() -> None:
    with pytest.raises(CoachbookError) as caught:
        read("it went well")
    assert (
        "Say how it ended (mated in 14, stalemate, draw, lost, gave up, time ran out), or write all"
        in str(caught.value)
    )


def test_nothing_comes_after_mate() -> None:
    with pytest.raises(CoachbookError, match=r"Move 1, Black: 'Kd9' comes after the end of the game\."):
        read("Qg7# Kd9", "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1")


@FEW
@given(st.data(), st.sampled_from((QUEEN, LONE_KING_FIRST, "4k3/8/8/8/8/8/4P3/R3K3 w - - 0 1")))
def test_any_game_is_read_back_as_it_was_played(data: st.DataObject, fen: str) -> None:
    start, game = chess.Board(fen), chess.Board(fen)
    plain: list[str] = []
    while len(plain) < 12 and any(game.legal_moves):
        move = data.draw(st.sampled_from(sorted(game.legal_moves, key=chess.Move.uci)))
        plain.append(game.san(move))
        game.push(move)
    assert list(read_game(start, start.variation_san(game.move_stack))) == game.move_stack
    assert list(read_game(start, " ".join(plain))) == game.move_stack


@pytest.mark.parametrize("sign", ['"', "(", "[", "...", "\N{SLIGHTLY SMILING FACE}"])
def test_what_holds_no_word_at_all_is_refused_however_long(sign: str) -> None:
    """With a pattern that tries every length it would take hours."""
    with pytest.raises(CoachbookError, match="There is no move in"):
        read_game(chess.Board(), sign * 200_000)
