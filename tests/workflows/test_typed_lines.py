"""What a line of typed answers means: which part is the answer to which item."""

from dataclasses import replace
from datetime import date

import pytest

from coachbook.errors import CoachbookError
from coachbook.model.worksheet import Answer, AnswerForm, Exercise, Worksheet
from coachbook.workflows.evening_log import CROSS as CROSSED
from coachbook.workflows.evening_log import TICK as TICKED
from coachbook.workflows.typed_answers import could_be, left_out, typed_answers, typed_ticks
from tests.exercises.samples import FIRST_USES, sample


def first(kind: str) -> Exercise:
    return sample(next(use for use in FIRST_USES if use.use.kind == kind), 1)[0]


TICK, MOVES, COUNT = first("final_position"), first("every_mate"), first("box_size")
RACE = first("race_count")


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


def test_a_race_is_one_answer_only_with_all_its_parts() -> None:
    assert read(sheet_of(RACE, TICK), "4 3 black, s") == ["4 3 black", "s"]
    assert read(sheet_of(RACE, RACE, TICK), "4/3/b -, s") == ["4/3/b", "-", "s"]
    assert read(sheet_of(RACE, RACE), "4, 3, black; 2 2 w") == ["4, 3, black", "2 2 w"]
    for line in ("4 3 black", "4, 3, black"):
        with pytest.raises(CoachbookError, match="3 items, but divided at"):
            typed_answers(sheet_of(RACE, RACE, RACE), line)


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
            "2 items, but divided at spaces and commas there are 3 answers",
        ),
        (
            sheet_of(MOVES, COUNT),
            "Qe5, Qb8 9",
            "2 items, but divided at spaces and commas there are 3 answers",
        ),
        (MIXED, "s, s, n", "5 items, but divided at spaces and commas there are 3 answers"),
        (MIXED, "Rd8", "5 items, but divided at spaces there is 1 answer."),
        (MIXED, "s s n", "5 items, but divided at spaces there are 3 answers."),
    ],
)
def test_what_could_be_parted_in_two_ways_is_asked_for_again(sheet: Worksheet, line: str, told: str) -> None:
    with pytest.raises(CoachbookError, match=told):
        typed_answers(sheet, line)


def test_the_last_items_may_be_left_out_where_items_are_not_told_by_number() -> None:
    assert left_out(MIXED, "s; s; n", typed_answers(MIXED, "s; s; n")) == (4, 5)
    assert left_out(MIXED, "s; s;", typed_answers(MIXED, "s; s;")) == (3, 4, 5)
    assert left_out(MIXED, "3: n", typed_answers(MIXED, "3: n")) == ()
    assert left_out(MIXED, "s;s;n;Rd8;", typed_answers(MIXED, "s;s;n;Rd8;")) == ()


@pytest.mark.parametrize(
    ("missing", "line", "told"),
    [
        ((3, 4, 5), "n; Rd8; Qc3", {3: "n", 4: "Rd8", 5: "Qc3"}),
        ((3, 4, 5), "n Rd8 Qc3", {3: "n", 4: "Rd8", 5: "Qc3"}),
        ((4,), "Rd8", {4: "Rd8"}),
        ((4,), "Qe5, Qb8", {4: "Qe5, Qb8"}),
        ((1,), "s s n Rd8 Qc3", {1: "s", 2: "s", 3: "n", 4: "Rd8", 5: "Qc3"}),
        ((3, 4, 5), "4: Rd8", {4: "Rd8"}),
    ],
)
def test_where_some_items_are_missing_an_answer_for_each_of_these_will_do(
    missing: tuple[int, ...], line: str, told: dict[int, str]
) -> None:
    assert typed_answers(MIXED, line, missing) == told


def test_neither_for_the_missing_items_nor_for_all_is_asked_for_again() -> None:
    with pytest.raises(CoachbookError, match="2 answers, but items 3 to 5 are missing, and the sheet has 5"):
        typed_answers(MIXED, "n; Rd8", (3, 4, 5))
    with pytest.raises(CoachbookError, match="This is 1 mark, but items 4 and 5 are missing"):
        typed_ticks(MIXED, "1", (4, 5))


def test_marks_may_be_those_of_the_missing_items_alone() -> None:
    assert typed_ticks(MIXED, "10", (4, 5)) == {4: "\u2713", 5: "\u2717"}
    assert set(typed_ticks(MIXED, "=", (4, 5))) == {4, 5}
    assert set(typed_ticks(MIXED, "11111", (4, 5))) == {1, 2, 3, 4, 5}


def test_some_items_may_be_ticked_by_their_numbers() -> None:
    assert typed_ticks(MIXED, "2: 1; 5: 0, 4:-") == {2: TICKED, 5: CROSSED, 4: ""}
    with pytest.raises(CoachbookError, match="'2' is not a mark"):
        typed_ticks(MIXED, "1: 2")


def test_letters_that_begin_several_options_could_be_each_of_them() -> None:
    answer = Answer(AnswerForm.CHOICE, ("mate",), options=("mate", "make the box smaller", "wait"))
    choice = replace(TICK, answer=answer)
    assert could_be(choice, " A m.") == ("mate", "make the box smaller")
    assert could_be(choice, "mak") == could_be(choice, "x") == could_be(choice, ".") == ()
    assert could_be(MOVES, "Q") == ()
