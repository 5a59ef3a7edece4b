"""Answers in the letters of another language are recognised, and nothing else is."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.notation import (
    COMMON_LETTERS,
    NoMove,
    Suggestion,
    in_words,
    likely_order,
    read_moves,
    suggest_letters,
)
from coachbook.model.print_options import PaperOptions

ROOK, QUEEN = "8/8/8/3k4/8/8/R7/K7 w - - 0 1", "8/8/8/3k4/8/8/3Q4/K7 w - - 0 1"
ALL_MEN = "4k3/8/8/8/8/2N1B3/1Q4R1/4K3 w - - 0 1"
PAWN = "4k3/1P6/8/8/8/8/8/4K3 w - - 0 1"


@pytest.mark.parametrize(
    ("answers", "suggestion"),
    [
        ([(ROOK, "Ta4"), (QUEEN, "Dg2 Dh2")], Suggestion("KDTLS", "T", "rook")),
        ([(QUEEN, "Dh6+")], Suggestion("KDTLS", "D", "queen")),
        ([(ALL_MEN, "Df2, Fd4, Cd5")], Suggestion("RDTFC", "D", "queen")),
        ([(ALL_MEN, "Ad4"), (ALL_MEN, "Cd5")], Suggestion("RDTAC", "A", "bishop")),
        ([(QUEEN, "Hh6"), (ROOK, "Wa4")], Suggestion("KHWGS", "H", "queen")),
        ([(ROOK, "ta4")], Suggestion("KDTLS", "T", "rook")),
        ([(QUEEN, "Vh6"), (QUEEN, "Qz9")], Suggestion("KVBFH", "V", "queen")),
        ([(QUEEN, "dh6")], Suggestion("KDTLS", "D", "queen")),  # no pawn's move
        ([(QUEEN, "dd4")], Suggestion("KDTLS", "D", "queen")),
        ([(QUEEN, "Dg2 Kc6 Dh2")], Suggestion("KDTLS", "D", "queen")),  # a line
        ([(QUEEN, "Dh6 Kh8")], Suggestion("KDTLS", "D", "queen")),
        ([(PAWN, "b8D")], Suggestion("KDTLS", "D", "queen")),
        ([(PAWN, "b8=T+")], Suggestion("KDTLS", "T", "rook")),
        ([(ROOK, "Rb1")], Suggestion("RDTFC", "R", "king")),  # no move of the rook's
        ([(ROOK, "Rb1"), (QUEEN, "Ad4"), (ALL_MEN, "Ad4")], Suggestion("RDTAC", "A", "bishop")),
        ([(ROOK, "Ba4")], Suggestion("KVBFH", "B", "rook")),
        ([(ROOK, "Rb1"), (ROOK, "Ta4"), (QUEEN, "Dh6")], Suggestion("RDTFC", "T", "rook")),
    ],
)
def test_letters_with_which_the_moves_are_legal_are_suggested(
    answers: list[tuple[str, str]], suggestion: Suggestion
) -> None:
    assert suggest_letters(answers) == suggestion


@pytest.mark.parametrize(
    "answers",
    [
        *([], [(QUEEN, "Qh9")], [(QUEEN, "Bd4")], [(QUEEN, "ee4")], [(QUEEN, "Dd9")], [(QUEEN, "Da8")]),
        *([(ROOK, "hello")], [(ROOK, "-")], [(ROOK, "Rb4")], [(QUEEN, "Kh6")]),
    ],
)
def test_moves_that_other_letters_do_not_make_legal_suggest_nothing(answers: list[tuple[str, str]]) -> None:
    assert suggest_letters(answers) is None


@given(st.sampled_from(sorted(COMMON_LETTERS.values())), st.data())
def test_a_move_written_in_any_of_the_languages_is_read(letters: str, data: st.DataObject) -> None:
    board = chess.Board(ALL_MEN)
    move = data.draw(st.sampled_from(list(board.legal_moves)))
    written = board.san(move).translate(str.maketrans("KQRBN", letters))
    assert read_moves(board, written, letters) == (move,)
    found = suggest_letters([(ALL_MEN, written)])
    (english,) = read_moves(board, written)
    assert (found is None) == (not isinstance(english, NoMove))
    if found is not None:
        assert not any(isinstance(each, NoMove) for each in read_moves(board, written, found.letters))


@given(st.sampled_from(sorted(COMMON_LETTERS.values())), st.sampled_from((ROOK, QUEEN, ALL_MEN)), st.data())
def test_whatever_is_no_english_move_and_a_legal_one_elsewhere_is_suggested(
    letters: str, fen: str, data: st.DataObject
) -> None:
    """Whatever the man and the case, right or wrong: the square is any."""
    board = chess.Board(fen)
    letter = data.draw(st.sampled_from(letters + letters.lower()))
    written = letter + data.draw(st.sampled_from(chess.SQUARE_NAMES))
    (english,), (theirs,) = read_moves(board, written), read_moves(board, written, letters)
    if isinstance(english, NoMove) and not isinstance(theirs, NoMove):
        assert suggest_letters([(fen, written)]) is not None


@pytest.mark.parametrize("letters", COMMON_LETTERS.values(), ids=list(COMMON_LETTERS))
def test_a_club_can_take_any_of_the_letters(letters: str) -> None:
    assert PaperOptions(letters=letters).letters == letters


def test_letters_are_told_with_their_men() -> None:
    assert in_words("DKTLS") == "king D, queen K, rook T, bishop L, knight S"


@pytest.mark.parametrize(
    ("letters", "meant"),
    [
        *(("DKTLS", "KDTLS"), ("KDTSL", "KDTLS"), ("KDTRL", "KDTLR"), ("DRTAC", "RDTAC"), ("QKRBN", "KQRBN")),
        *((letters, None) for letters in ("KQRBN", *COMMON_LETTERS.values())),
        *(("XDTLS", None), ("KDTLX", None), ("ABCDE", None)),
    ],
)
def test_known_letters_in_another_order_are_told_apart(letters: str, meant: str | None) -> None:
    assert likely_order(letters) == meant


def test_a_move_that_two_rooks_could_make_is_not_one_of_a_king_in_another_language() -> None:
    assert suggest_letters([("8/R7/K7/3k4/8/8/8/1R6 w - - 0 1", "Rb7")]) is None
