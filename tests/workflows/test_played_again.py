"""A play-out that cannot have been is found."""

from dataclasses import replace
from datetime import date

import pytest

from coachbook.model.facts import PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal
from coachbook.workflows.checking import play_out_faults

MATED = PlayOutResult(
    student="Ana",
    unit="queen-box",
    on=date(2026, 11, 25),
    fen="7k/8/5K2/8/8/8/8/1Q6 w - - 0 1",
    goal=Goal.WIN,
    allowance=9,
    end=PlayOutEnd.MATE,
    used=2,
    moves=("b1g1", "h8h7", "g1g7"),
)


def fault(result: PlayOutResult) -> str:
    return "; ".join(told for _, told in play_out_faults([result]))


@pytest.mark.parametrize(
    "result",
    [
        MATED,
        replace(MATED, moves=(), used=None),
        replace(MATED, moves=(), used=30, end=PlayOutEnd.GAVE_UP),
        replace(MATED, moves=MATED.moves[:1], used=1, end=PlayOutEnd.UNFINISHED),
        replace(MATED, moves=(), slip="stalemate", end=PlayOutEnd.STALEMATE),
    ],
)
def test_one_that_can_have_been_is_let_pass(result: PlayOutResult) -> None:
    assert fault(result) == ""


@pytest.mark.parametrize(
    ("result", "told"),
    [
        (replace(MATED, fen="7k/8/5K2/8/8/8/8/1Y6 w - - 0 1"), "its position cannot be read"),
        (replace(MATED, fen="7k/8/5q2/8/8/8/8/1Q6 w - - 0 1"), "its position is not legal"),
        (replace(MATED, slip="stalemaxe"), "its slip 'stalemaxe' is not a slip that coachbook knows"),
        (replace(MATED, moves=("b1g1", "h8h7", "g1b7")), "its half-move 3, 'g1b7', is not legal"),
        (replace(MATED, moves=("b1g1", "h8h7", "g1?7")), "its half-move 3, 'g1?7', is not legal"),
        (replace(MATED, used=3), "it says 3 moves of the student, but lists 2"),
        (replace(MATED, end=PlayOutEnd.LOST), "it is kept as 'lost', but ends with 'mate'"),
        (replace(MATED, moves=("b1g1", "h8h7", "g1g2")), "it is kept as 'mate', but does not end so"),
    ],
)
def test_one_that_cannot_have_been_is_told(result: PlayOutResult, told: str) -> None:
    assert fault(result) == told


def test_it_is_told_whose_it_is_and_when() -> None:
    ((where, _),) = play_out_faults([MATED, replace(MATED, used=1)])
    assert where == "the play-out of Ana on 2026-11-25"
