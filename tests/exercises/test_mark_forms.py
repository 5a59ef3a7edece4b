"""A choice or a set of squares is right exactly if it is the one asked for, however it is written."""

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.exercises.marking import RIGHT, Mark, mark_answer
from coachbook.model.facts import Slip
from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import option_words
from tests.exercises.samples import Made, of_each_kind

EXERCISES = of_each_kind(5)
CHOICES = Made(lambda: (each for each in EXERCISES if each.answer.form is AnswerForm.CHOICE))
SQUARES = Made(
    lambda: (each for each in EXERCISES if each.answer.form is AnswerForm.SQUARES and each.answer.all_needed)
)

squares = st.sets(st.sampled_from(chess.SQUARE_NAMES), min_size=1, max_size=8)


def due(exercise: Exercise, option: str) -> Mark:
    """The mark for an option."""
    return RIGHT if option in exercise.answer.accepted else Mark(False, exercise.answer.wrong)


def numbers_of(exercise: Exercise) -> dict[int, str]:
    """The options by the numbers on the sheet; where none are printed, by their places."""
    numbers = exercise.answer.numbers or range(1, len(exercise.answer.options) + 1)
    return dict(zip(numbers, exercise.answer.options, strict=True))


@given(CHOICES.any, st.data())
def test_an_option_is_read_by_its_words(exercise: Exercise, data: st.DataObject) -> None:
    option = data.draw(st.sampled_from(exercise.answer.options))
    way, words = data.draw(st.sampled_from(["{}", " {} ", "{}.", "{}!", "a {}"])), option_words(option)
    written = way.format(data.draw(st.sampled_from([words, words.upper(), words.capitalize()])))
    assert mark_answer(exercise, written) == due(exercise, option)


@given(CHOICES.any, st.data())
def test_an_option_is_read_by_its_beginning_where_no_other_begins_so(
    exercise: Exercise, data: st.DataObject
) -> None:
    option = data.draw(st.sampled_from(exercise.answer.options))
    words = option_words(option)
    begun = words[: data.draw(st.integers(1, len(words)))].strip().lower()
    begun = begun if begun == words.lower() else begun.partition("-")[0]
    others = [other for other in exercise.answer.options if option_words(other).lower().startswith(begun)]
    exact = [other for other in others if option_words(other).lower() == begun] or others
    expected = due(exercise, exact[0]) if len(exact) == 1 else Mark(False, Slip.UNREADABLE)
    assert mark_answer(exercise, begun) == expected


@given(CHOICES.any, st.integers(0, 10**6))
def test_an_option_is_read_by_its_number_as_printed(exercise: Exercise, number: int) -> None:
    printed = numbers_of(exercise)
    expected = due(exercise, printed[number]) if number in printed else Mark(False, Slip.UNREADABLE)
    assert mark_answer(exercise, str(number)) == expected


@pytest.mark.parametrize(
    "written", ["9" * 5000, "\N{SUPERSCRIPT TWO}", "\N{ARABIC-INDIC DIGIT ONE}", "1 2", "01"]
)
def test_what_only_looks_like_a_number_is_unreadable(written: str) -> None:
    assert mark_answer(CHOICES[0], written) == Mark(False, Slip.UNREADABLE)


@given(CHOICES.any, st.text())
def test_other_words_are_never_right(exercise: Exercise, written: str) -> None:
    """But for words that the right option begins with, its number, signs for it, and "none" for "neither"."""
    mark = mark_answer(exercise, written)
    (right,) = exercise.answer.accepted
    said = " ".join(written.strip().strip(".!()").casefold().split())
    number = next(str(number) for number, option in numbers_of(exercise).items() if option == right)
    nothing = right == "neither" and said in ("none", "nothing")
    begun = option_words(right).casefold().startswith(said)
    assert not mark.right or nothing or said in (number, "=", "#", "½") or begun


@given(SQUARES.any, squares, st.sampled_from([", ", " ", "", " and ", "; ", ". ", "/", "\n"]))
def test_squares_are_right_exactly_if_they_are_those_asked_for(
    exercise: Exercise, named: set[str], between: str
) -> None:
    right = set(exercise.answer.accepted)
    for written in (named, named | right, right - named, right):
        if written:
            wrong = exercise.answer.wrong if written - right else exercise.answer.missed
            expected = RIGHT if written == right else Mark(False, wrong)
            assert mark_answer(exercise, between.join(sorted(written))) == expected


@given(SQUARES.any, st.permutations(range(8)), st.booleans())
def test_the_order_of_squares_and_large_letters_do_not_matter(
    exercise: Exercise, order: list[int], large: bool
) -> None:
    accepted = exercise.answer.accepted
    written = ", ".join(accepted[place] for place in order if place < len(accepted))
    if len(accepted) <= len(order):
        assert mark_answer(exercise, written.upper() if large else written) == RIGHT


@pytest.mark.parametrize("written", ["e9", "i4", "e44", "e 4", "Xe4", "e4 maybe", "44", "and", "_ and _"])
def test_what_is_no_square_is_unreadable(written: str) -> None:
    assert mark_answer(SQUARES[0], written) == Mark(False, Slip.UNREADABLE)


@pytest.mark.parametrize("written", ["", "-", "?", " . "])
def test_nothing_is_not_tried(written: str) -> None:
    for exercise in (*CHOICES, *SQUARES):
        assert mark_answer(exercise, written) == Mark(False, Slip.NOT_TRIED)


@given(SQUARES.any, st.sampled_from(["Q{}", "queen on {}", "q {}", "on {}", "the {}"]))
def test_the_man_that_is_put_on_a_square_may_be_named_beside_it(exercise: Exercise, way: str) -> None:
    written = " or ".join(way.format(square) for square in exercise.answer.accepted)
    mark = mark_answer(exercise, written)
    assert mark.right if "the" not in way else mark.slip == Slip.UNREADABLE
