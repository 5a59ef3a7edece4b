"""The class is asked, and told in the lesson's words what its move does."""

import pytest

from coachbook.errors import CoachbookError
from coachbook.workflows.lesson_board import ask_class
from tests.workflows.foxes import SYLLABUS

LETTERS = "KQRBN"


def test_before_a_move_there_is_only_the_question() -> None:
    found = ask_class(SYLLABUS.unit("queen-walls"), 1, 0, LETTERS)
    assert (found.question, found.move, found.told) == ("What would you play for White?", "", ())


@pytest.mark.parametrize(
    ("unit", "uci", "told"),
    [
        ("queen-walls", "c2d3", ("The box goes from 30 squares to 20.", "This is the lesson's move.")),
        (
            "queen-walls",
            "c2g6",
            (
                "The box keeps its 30 squares.",
                "It keeps the win, but think of the rule “make the box smaller”.",
            ),
        ),
        ("king-and-pawn", "d1e2", ("The rule allows it, too: it keeps the win.",)),
        ("two-pawns", "b4b5", ("It keeps the win. The lesson plays another move.",)),
        ("opposition", "d3c2", ("The win is gone. From a mate in 21 to a draw.",)),
        (
            "promotion-traps",
            "f7f8q",
            ("It is stalemate.", "The win is gone. Stalemate: Black is not in check and has no move."),
        ),
    ],
)
def test_a_move_is_told_in_the_lessons_words(unit: str, uci: str, told: tuple[str, ...]) -> None:
    assert ask_class(SYLLABUS.unit(unit), 1, 0, LETTERS, uci).told == told


def test_a_move_may_be_written_and_is_shown_with_the_clubs_letters() -> None:
    found = ask_class(SYLLABUS.unit("queen-walls"), 1, 0, "KDTLS", written="Dd3")
    assert (found.move, found.is_lessons) == ("Dd3", True)


@pytest.mark.parametrize(("line", "at"), [(0, 0), (9, 0), (1, 99)])
def test_there_is_no_question_where_the_line_has_no_move(line: int, at: int) -> None:
    with pytest.raises(CoachbookError, match="no such move"):
        ask_class(SYLLABUS.unit("queen-walls"), line, at, LETTERS)


@pytest.mark.parametrize("uci", ["a1a3", "x", "e5e4", "0000"])
def test_a_move_that_is_not_legal_is_refused(uci: str) -> None:
    with pytest.raises(CoachbookError, match="no legal move"):
        ask_class(SYLLABUS.unit("queen-walls"), 1, 0, LETTERS, uci)
