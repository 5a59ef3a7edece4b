"""What a line of typed answers means: which part is the answer to which item."""

from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.exercise import Exercise
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.typed_lines import typed_answers
from tests.exercises.samples import FIRST_USES, sample


def first(kind: str) -> Exercise:
    return sample(next(use for use in FIRST_USES if use.use.kind == kind), 1)[0]


TICK, MOVES, COUNT = first("final_position"), first("every_mate"), first("box_size")


def sheet_of(*items: Exercise) -> Worksheet:
    return Worksheet("A-1", "", "queen-box", "", 1, "", date(2026, 9, 10), 1, items)


MIXED = sheet_of(TICK, TICK, TICK, MOVES, MOVES)


def read(sheet: Worksheet, line: str) -> list[str]:
    return [written for _, written in sorted(typed_answers(sheet, line).items())]


@pytest.mark.parametrize(
    "line",
    [
        *("s; s; n; Rd8; Qc3", "s s n Rd8 Qc3", "s, s, n, Rd8, Qc3", "s,s,n,Rd8,Qc3", "s, s, n Rd8, Qc3,"),
        *("s,; s, ;n; Rd8,;Qc3,", "1: s, 2: s, 3:n,4: Rd8, 5: Qc3", "s ,s , n , Rd8 , Qc3"),
    ],
)
def test_commas_part_answers_as_semicolons_do(line: str) -> None:
    assert read(MIXED, line) == ["s", "s", "n", "Rd8", "Qc3"]


def test_options_of_several_words_may_stand_between_commas() -> None:
    assert read(sheet_of(TICK, COUNT), "a stalemate, 9 squares") == ["a stalemate", "9 squares"]
    assert read(MIXED, "a mate, s, neither!, Qe5, -") == ["a mate", "s", "neither!", "Qe5", "-"]


def test_a_comma_without_a_space_stands_between_moves_of_one_answer() -> None:
    assert read(sheet_of(MOVES, COUNT), "Qe5,Qb8 9") == ["Qe5,Qb8", "9"]
    assert read(sheet_of(MOVES, COUNT), "Qe5,Qb8, 9") == ["Qe5,Qb8", "9"]
    assert read(sheet_of(MOVES, COUNT), "Qe5, Qb8; 9") == ["Qe5, Qb8", "9"]
    assert read(sheet_of(MOVES), "Qe5, Qb8") == ["Qe5, Qb8"]


def test_nothing_between_two_commas_is_a_blank() -> None:
    assert read(MIXED, "s,,n,Rd8,Qc3") == ["s", "", "n", "Rd8", "Qc3"]
    assert read(MIXED, "s, , n, Rd8, Qc3") == ["s", "", "n", "Rd8", "Qc3"]


@pytest.mark.parametrize(
    ("sheet", "line", "told"),
    [
        (
            sheet_of(MOVES, MOVES),
            "Qe5, Qb8 Qc3",
            "2 items, and between spaces and commas there are 3 answers",
        ),
        (sheet_of(MOVES, COUNT), "Qe5, Qb8 9", "2 items, and between spaces and commas there are 3 answers"),
        (MIXED, "s, s, n", "5 items, and between spaces and commas there are 3 answers"),
        (MIXED, "Rd8", "5 items, and between spaces there is 1 answer."),
        (MIXED, "s s n", "5 items, and between spaces there are 3 answers."),
    ],
)
def test_what_could_be_parted_in_two_ways_is_asked_for_again(sheet: Worksheet, line: str, told: str) -> None:
    with pytest.raises(CoachbookError, match=told):
        typed_answers(sheet, line)
