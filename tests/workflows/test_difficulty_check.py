"""The check of the scale takes the answers that hold, by the scale of today, and changes nothing."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book
from coachbook.club.log import log_answers
from coachbook.club.sheets import load_worksheet, save_worksheet
from coachbook.club.taken_back import take_back
from coachbook.model.facts import ItemResult, Slip
from coachbook.model.position import Position
from coachbook.model.scale import Band, ScaleCheck
from coachbook.model.worksheet import Exercise, Worksheet
from coachbook.workflows.difficulty_check import check_difficulty
from tests.exercises.samples import FIRST_USES, Use, sample
from tests.shipped import without_five_men
from tests.workflows.foxes import NOW, START

MATES, ENDS = (
    sample(next(use for use in FIRST_USES if use.use.kind == kind), 6)
    for kind in ("every_mate", "final_position")
)


def given(book: Book, code: str, items: tuple[Exercise, ...]) -> None:
    """A sheet for Ana and Bo."""
    unit = items[0].unit
    with book.writing() as page:
        save_worksheet(page, Worksheet(code, "", unit, "", 1, "", START, 1, items), ("Ana", "Bo"))


def logged(book: Book, code: str, student: str, marks: str) -> None:
    """The first answers of a sheet: "+" is right, "x" wrong, "-" left blank."""
    slips = {"+": "", "x": "not mate", "-": Slip.NOT_TRIED}
    with book.writing() as page:
        items = load_worksheet(page, code).items
        results = [
            ItemResult(student, code, items[item - 1].unit, item, START, "Qg7#", mark == "+", slips[mark])
            for item, mark in enumerate(marks, start=1)
        ]
        log_answers(page, results, NOW + timedelta(minutes=1))


def figures(check: ScaleCheck) -> tuple[int, int]:
    """How many answers of how many were right."""
    return sum(band.right for band in check.bands), sum(band.answers for band in check.bands)


def test_a_club_without_answers_has_nothing_to_compare(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    check = check_difficulty(foxes)
    assert (check.bands, check.left_blank, check.comparisons) == ((), 0, 0)


def test_an_item_of_an_ending_that_is_not_built_counts_as_it_was_stored(
    foxes: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    without_five_men(monkeypatch, tmp_path)
    five = Position("3k4/R7/1r6/3PK3/8/8/8/8 b - - 0 1")
    given(foxes, "X-1", (replace(MATES[0], kind="only_move", position=five, difficulty=77),))
    logged(foxes, "X-1", "Ana", "+")
    ((kind, easiest),) = [(band.kind, band.easiest) for band in check_difficulty(foxes).bands]
    assert kind == "only_move"
    assert easiest <= 77 < easiest + 20


def test_each_answer_counts_for_the_kind_and_the_band_of_its_item(foxes: Book) -> None:
    given(foxes, "X-1", (*ENDS[:2], *MATES[:2]))
    logged(foxes, "X-1", "Ana", "+x++")
    logged(foxes, "X-1", "Bo", "++x")
    found = {(band.kind, band.easiest): (band.right, band.answers) for band in check_difficulty(foxes).bands}
    expected: dict[tuple[str, int], tuple[int, int]] = {}
    for item, marks in zip((*ENDS[:2], *MATES[:2]), ("++", "x+", "+x", "+"), strict=True):
        place = item.kind, (item.difficulty - 1) // 20 * 20 + 1
        right, tried = expected.get(place, (0, 0))
        expected[place] = right + marks.count("+"), tried + len(marks)
    assert found == expected


def test_what_was_left_blank_is_not_counted(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    logged(foxes, "X-1", "Ana", "+x--")
    check = check_difficulty(foxes)
    assert (figures(check), check.left_blank) == ((1, 2), 2)


def test_of_an_item_that_was_logged_twice_the_later_answer_counts(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    logged(foxes, "X-1", "Ana", "xxx")
    logged(foxes, "X-1", "Ana", "++")
    assert figures(check_difficulty(foxes)) == (2, 3)


def test_answers_that_were_taken_back_do_not_count(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    logged(foxes, "X-1", "Ana", "xxx")
    logged(foxes, "X-1", "Ana", "++")
    with foxes.writing() as page:
        take_back(page, NOW)
    assert figures(check_difficulty(foxes)) == (0, 3)


def test_a_sheet_of_another_scale_counts_by_that_of_today(foxes: Book) -> None:
    given(foxes, "X-1", tuple(replace(item, difficulty=100) for item in MATES))
    given(foxes, "X-2", MATES)
    logged(foxes, "X-1", "Ana", "++++++")
    old = check_difficulty(foxes).bands
    logged(foxes, "X-2", "Ana", "++++++")
    assert [twice(band) for band in old] == [
        (band.easiest, band.right, band.answers) for band in check_difficulty(foxes).bands
    ]


def twice(band: Band) -> tuple[int, int, int]:
    return band.easiest, 2 * band.right, 2 * band.answers


@pytest.mark.parametrize(
    "kind",
    [
        "mate_in_one",  # which there is no more
        "catch_pawn",  # for which the other side is to move
        "opposition",  # to which the position does not suit
    ],
)
def test_what_would_not_be_made_today_counts_as_it_was_stored(foxes: Book, kind: str) -> None:
    given(foxes, "X-1", (replace(MATES[0], difficulty=100, kind=kind),))
    logged(foxes, "X-1", "Ana", "+")
    (band,) = check_difficulty(foxes).bands
    assert (band.kind, band.hardest) == (kind, 100)


@pytest.mark.parametrize("use", FIRST_USES, ids=str)
def test_what_was_just_made_is_measured_as_it_says(foxes: Book, use: Use) -> None:
    items = sample(use, 6)
    given(foxes, "X-1", items)
    logged(foxes, "X-1", "Ana", "++++++")
    bands = {(band.easiest, band.answers) for band in check_difficulty(foxes).bands}
    places = [(item.difficulty - 1) // 20 * 20 + 1 for item in items]
    assert bands == {(place, places.count(place)) for place in places}


def test_checking_changes_nothing_in_the_book(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    logged(foxes, "X-1", "Ana", "++x")
    before = foxes.path.read_bytes()
    check_difficulty(foxes)
    assert foxes.path.read_bytes() == before


def test_progress_is_told_answer_by_answer(foxes: Book) -> None:
    given(foxes, "X-1", MATES)
    logged(foxes, "X-1", "Ana", "++-")
    told: list[tuple[int, int, str]] = []
    check_difficulty(foxes, lambda *step: told.append(step))
    assert told == [(0, 2, "sheet X-1"), (1, 2, "sheet X-1")]
