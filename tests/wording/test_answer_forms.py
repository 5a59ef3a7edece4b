"""What is said of an answer that cannot be read: a form that is read, for this item and this club."""

import re
from dataclasses import replace

import pytest

from coachbook.exercises.kinds import kind_names
from coachbook.exercises.marking import mark_answer
from coachbook.model.facts import Slip
from coachbook.model.worksheet import Answer, AnswerForm
from coachbook.wording import answer_forms as words
from coachbook.wording.answer_forms import form_in_words
from tests.exercises.samples import FIRST_USES, Use, sample
from tests.model.an_exercise import AN_EXERCISE

LETTERS = ["", "KDTLS", "RDTAC"]


def examples(told: str) -> list[str]:
    """What the sentence says that one may write."""
    told = told.removeprefix("Write ").removesuffix(", or - for nothing.")
    if " like " in told:
        return [told.rpartition(" like ")[2]]
    if told.startswith(("the number", "its number")):
        return re.findall(r"\d+", told)
    words = re.split(", | or ", told.removesuffix(", or the first letter"))
    return [*words, *(word[0] for word in words if told.endswith(", or the first letter"))]


@pytest.mark.parametrize("letters", LETTERS)
@pytest.mark.parametrize("use", FIRST_USES, ids=lambda use: str(use.use.kind))
def test_all_that_is_said_to_be_read_is_read(use: Use, letters: str) -> None:
    for item in sample(use, 2):
        told = form_in_words(item, letters)
        assert told.startswith("Write ")
        for written in (*examples(told), "-"):
            assert mark_answer(item, written, letters or None).slip != Slip.UNREADABLE, (told, written)


def test_a_move_has_the_letters_of_the_club_and_a_man_that_is_there() -> None:
    queen = replace(AN_EXERCISE, answer=Answer(AnswerForm.MOVES, ("Qg7#",), all_needed=False))
    assert "Q" in queen.position.fen
    assert form_in_words(queen, "") == "Write a move like Qe4, or - for nothing."
    assert form_in_words(queen, "KDTLS") == "Write a move like De4, or - for nothing."
    every = replace(queen, answer=Answer(AnswerForm.MOVES, ("Qg7#",)))
    assert form_in_words(every, "KDTLS") == "Write every move, like De4 Df4, or - for nothing."


@pytest.mark.parametrize(
    ("answer", "told"),
    [
        (Answer(AnswerForm.NUMBER, ("9",)), "a number like 12"),
        (Answer(AnswerForm.SQUARES, ("b6",), all_needed=False), "a square like e4"),
        (Answer(AnswerForm.SQUARES, ("b6", "b7")), "every square, like e4 f4"),
        (
            Answer(AnswerForm.CHOICE, ("mate",), options=("mate", "stalemate", "neither")),
            "mate, stalemate or neither, or the first letter",
        ),
        (
            Answer(AnswerForm.CHOICE, ("rank_2",), options=("rank_2", "rank_6", "file_a")),
            "rank 2, rank 6 or a-file",
        ),
        (
            Answer(AnswerForm.CHOICE, ("mate",), options=("mate", "fence"), numbers=(1, 3)),
            "the number of one: 1 or 3",
        ),
        (
            Answer(AnswerForm.RACE, ("4 3 black",)),
            "White's moves, Black's moves and who is first, like 4 3 black",
        ),
    ],
)
def test_each_form_of_answer_has_its_example(answer: Answer, told: str) -> None:
    assert form_in_words(replace(AN_EXERCISE, answer=answer), "") == f"Write {told}, or - for nothing."


@pytest.mark.parametrize("kind", kind_names())
def test_every_kind_says_how_it_is_answered(kind: str) -> None:
    told = words.how_answered(kind)
    assert told[0].islower()
    assert told.endswith(". Do one together first.")
    assert any(word in told for word in ("tick", "write", "shade", "mark", "cross"))
    assert "child" in told


def test_nothing_is_said_of_a_kind_that_is_none() -> None:
    with pytest.raises(KeyError):
        words.how_answered("no_kind")
