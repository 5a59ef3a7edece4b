"""`coachbook exercise difficulty` and `list`: the scale, and what the club's answers say of it."""

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from coachbook.club.book import open_book
from coachbook.club.log import log_answers
from coachbook.club.sheets import save_worksheet
from coachbook.exercises.difficulty import ANCHORS, REACHES
from coachbook.model.facts import ItemResult
from coachbook.model.worksheet import Exercise, Worksheet
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in
from tests.exercises.samples import FIRST_USES, sample

DAY = date(2026, 9, 10)
NOW = datetime(2026, 9, 10, 20, tzinfo=UTC)


def of(kind: str) -> Exercise:
    (use,) = (use for use in FIRST_USES if use.use.kind == kind)
    return sample(use, 6)[0]


def answered(club: Club, code: str, item: Exercise, right: int, wrong: int, blank: int = 0) -> None:
    """A sheet with the same item again and again, answered by Ana."""
    marks = ["right"] * right + ["not mate"] * wrong + ["not tried"] * blank
    sheet = Worksheet(code, "", item.unit, "", 1, "", DAY, 1, (item,) * len(marks))
    results = [
        ItemResult("Ana", code, item.unit, number, DAY, "", mark == "right", "" if mark == "right" else mark)
        for number, mark in enumerate(marks, start=1)
    ]
    with open_book(club.book).writing() as page:
        save_worksheet(page, sheet, ("Ana",))
        log_answers(page, results, NOW)


def with_points(points: int) -> Exercise:
    """An item of a kind that there is no more, so that its points stay as they are."""
    return replace(of("every_mate"), kind="mate_in_one", difficulty=points)


def test_kinds_are_listed_with_their_place_on_the_scale() -> None:
    told = done("exercise", "list")
    for kind, reach in REACHES.items():
        (line,) = (line for line in told.splitlines() if line.startswith(f"{kind} "))
        assert f"  {reach.easiest} to {reach.hardest}  " in line
        assert line.endswith(reach.harder)
    assert told.endswith("".join(f"  {points}  {meaning}\n" for points, meaning in ANCHORS.items()))


def test_a_club_that_answered_nothing_is_told_so(club: Club) -> None:
    assert done("exercise", "difficulty") == "No answers are logged yet.\n"
    answered(club, "X-1", with_points(30), 0, 0, blank=2)
    assert done("exercise", "difficulty") == "No answers are logged yet.\n"


def test_few_answers_are_shown_and_said_to_be_few(club: Club) -> None:
    answered(club, "X-1", with_points(30), 8, 2, blank=1)
    assert done("exercise", "difficulty").splitlines() == [
        "Kind         Difficulty  Answers  Right  Likely (95%)",
        "mate_in_one  21 to 40    10       80%    49% to 94%",
        "",
        "Not counted: 1 answer left blank.",
        "There are too few answers to compare anything: it takes 20 on both sides.",
    ]


def test_where_the_answers_agree_with_the_scale_nothing_else_is_told(club: Club) -> None:
    answered(club, "X-1", with_points(30), 20, 0)
    answered(club, "X-2", with_points(50), 10, 10)
    assert done("exercise", "difficulty").splitlines()[-2:] == [
        "Compared once, with 20 answers or more on both sides. Chance alone would bring about 0.01 such"
        " differences (1% each time).",
        "The answers fit the scale: any difference may be chance.",
    ]


def test_where_they_disagree_it_is_told_as_a_question(club: Club) -> None:
    answered(club, "X-1", with_points(30), 10, 10)
    answered(club, "X-2", with_points(50), 20, 0)
    answered(club, "X-3", replace(with_points(50), kind="mate_in_none"), 10, 10)
    told = done("exercise", "difficulty").splitlines()
    assert told[-5].startswith("Compared 3 times, ")
    assert told[-4:-1] == [
        "- mate_in_one: 41 to 60 went better (100% of 20) than 21 to 40 (50% of 20). The higher numbers may"
        " be too high, or the lower ones too low.",
        "- mate_in_none: 41 to 60 went worse (50% of 20) than other kinds of the same numbers (100% of"
        " 20). Its numbers may be too low there.",
        "- mate_in_one: 41 to 60 went better (100% of 20) than other kinds of the same numbers (50% of"
        " 20). Its numbers may be too high there.",
    ]
    assert told[-1].startswith("Take these as questions, not as results: ")


def test_json_has_the_figures(club: Club) -> None:
    answered(club, "X-1", with_points(30), 10, 10)
    answered(club, "X-2", with_points(50), 20, 0, blank=1)
    told = json.loads(done("exercise", "difficulty", "--json"))
    assert [(band["kind"], band["easiest"], band["right"], band["answers"]) for band in told["bands"]] == [
        ("mate_in_one", 21, 10, 20),
        ("mate_in_one", 41, 20, 20),
    ]
    assert (told["left_blank"], told["fewest"], told["comparisons"], told["by_chance"]) == (1, 20, 1, 0.01)
    (found,) = told["disagreements"]
    assert (found["against"], found["band"]["easiest"]) == ("higher is easier", 41)
    assert 0 < found["chance"] < 0.01


@pytest.mark.parametrize("options", [(), ("--json",)])
def test_nobody_is_named_and_nothing_changes(club: Club, options: tuple[str, ...]) -> None:
    answered(club, "X-1", of("every_mate"), 20, 20)
    before = everything_in(club.folder)
    told = done("exercise", "difficulty", *options)
    assert "every_mate" in told
    assert not any(name in told for name in ("Ana", "Bo", "Łucja", "Dee"))
    assert everything_in(club.folder) == before
