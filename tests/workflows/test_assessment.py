"""The sheet of an assessment asks for the whole of a level, under a title of its own."""

from collections import Counter
from datetime import timedelta
from pathlib import Path

import pytest

from coachbook.cli.hints import in_words
from coachbook.club.book import Book
from coachbook.club.sheets import load_worksheet, prepared_for
from coachbook.exercises.minutes import minutes_of_items
from coachbook.model.print_options import PaperOptions
from coachbook.model.term_plan import PlannedSession, Reason, Slot, SlotKind, TermPlan, Why
from coachbook.model.worksheet import Worksheet
from coachbook.workflows.evening_needs import Wanted, tonight_of
from coachbook.workflows.preparing import prepare_evening
from coachbook.workflows.printed_sheets import reprint_sheets
from tests.club.plans import keep_plan
from tests.paper.printed import texts
from tests.workflows.foxes import START, SYLLABUS, answered, present, week

LEVEL_1, LEVEL_2, *_ = SYLLABUS.levels
ONES, TWOS = ([unit.code for unit in level.units] for level in (LEVEL_1, LEVEL_2))
TITLE = f"Assessment: {LEVEL_1.title}"
PRACTISED = TWOS[0]


def lesson(number: int, *units: str) -> PlannedSession:
    kinds = (SlotKind.NEW, SlotKind.PRACTICE)
    return PlannedSession(week(number), tuple(Slot(kind, unit, 10) for unit in units for kind in kinds))


def assessed(
    book: Book, minutes: int = 20, why: Why = Why.LEVEL_DONE, level: int = 1, practised: int = 20
) -> None:
    """A plan: the first level and a unit of the second are taught, then comes an assessment, and practice."""
    practice = [Slot(SlotKind.PRACTICE, PRACTISED, practised)] if practised else []
    tonight = (Slot(SlotKind.ASSESSMENT, "", minutes, Reason(why, level)), *practice)
    sessions = (lesson(-3, *ONES[:3]), lesson(-2, *ONES[3:]), lesson(-1, PRACTISED))
    plan = TermPlan(week(-3), START, 60, (*sessions, PlannedSession(START, tonight)))
    with book.writing() as page:
        keep_plan(page, plan, "Foxes")


def wanted(book: Book, name: str = "Bo") -> Wanted:
    with book.reading() as page:
        return tonight_of(page, SYLLABUS, "Foxes", START).wanted[name]


def minutes_on(items: dict[str, int]) -> float:
    return sum(minutes_of_items(SYLLABUS.unit(unit), count) for unit, count in items.items())


def prepared(book: Book) -> tuple[Path, Worksheet]:
    folder = book.path.parent / "papers"
    prepare_evening(book, SYLLABUS, START, (), folder, START, PaperOptions(), in_words=in_words)
    with book.reading() as page:
        return folder, load_worksheet(page, prepared_for(page, "Foxes", START)["Bo"].sheet)


@pytest.mark.parametrize("minutes", [15, 20, 30])
def test_it_asks_for_all_units_of_the_level_alike_within_its_minutes(foxes: Book, minutes: int) -> None:
    assessed(foxes, minutes)
    found = dict(wanted(foxes).items)
    level = {unit: found[unit] for unit in ONES}
    assert list(found) == [*ONES, PRACTISED]
    assert max(level.values()) - min(level.values()) <= 1
    assert minutes - 4 <= minutes_on(level) <= minutes


def test_where_the_minutes_do_not_hold_all_units_each_of_those_there_has_one_item(foxes: Book) -> None:
    assessed(foxes, 5, practised=0)
    found = dict(wanted(foxes).items)
    assert found
    assert set(found.values()) == {1}
    assert minutes_on(found) <= 5


def test_a_unit_with_fewer_answers_than_the_others_has_one_more_item(foxes: Book) -> None:
    assessed(foxes, practised=0)
    for unit in ONES:
        answered(foxes, "Bo", unit, week(-1), "++" if unit == ONES[2] else "++++++")
    found = dict(wanted(foxes).items)
    assert set(found) == {*ONES}
    assert max(found, key=lambda unit: found[unit]) == ONES[2]
    assert Counter(found.values())[found[ONES[2]]] == 1


def test_it_comes_first_and_asks_nobody_for_what_they_missed(foxes: Book) -> None:
    present(foxes, week(-3), Ana=True, Bo=True)
    present(foxes, week(-2), Ana=True, Bo=False)
    assessed(foxes)
    for unit in ONES[:3]:
        answered(foxes, "Bo", unit, week(-3) + timedelta(1))
    found = wanted(foxes)
    assert found.assessed == tuple(ONES[:3])
    assert [unit for unit, _ in found.items][:3] == ONES[:3]
    assert wanted(foxes, "Ana").assessed == tuple(ONES)


def test_on_a_last_evening_without_a_level_that_is_done_it_asks_for_what_the_term_has_taught(
    foxes: Book,
) -> None:
    assessed(foxes, why=Why.LAST_EVENING, level=0)
    assert wanted(foxes).assessed == (*ONES, PRACTISED)
    _, sheet = prepared(foxes)
    assert sheet.unit_title == "Assessment: what was taught"


def test_the_sheet_is_called_after_the_level_and_says_only_what_else_is_on_it(foxes: Book) -> None:
    assessed(foxes)
    folder, sheet = prepared(foxes)
    asked = sum(item.unit in ONES for item in sheet.items)
    first = next(page for page in texts(folder / "print.pdf") if sheet.code in page)
    words = " ".join(first.split())
    assert sheet.unit_title == TITLE
    assert TITLE in words
    assert "Mate, not stalemate · level 1" in words
    assert f"Also: A box made by a queen ({asked + 1} to {len(sheet.items)})" in words
    assert SYLLABUS.unit(ONES[3]).title not in words


def test_answer_page_and_cover_have_its_title_too(foxes: Book) -> None:
    assessed(foxes)
    folder, _ = prepared(foxes)
    pages = [" ".join(page.split()) for page in texts(folder / "coach.pdf")]
    (answers,) = (page for page in pages if "Answers: Foxes" in page)
    assert answers.count(TITLE) == 2
    assert f"{TITLE}: Is the game over? (2)" in pages[0]


def test_its_key_has_its_title_and_says_of_each_item_from_which_unit_it_is(foxes: Book) -> None:
    assessed(foxes, practised=0)
    _, sheet = prepared(foxes)
    made = reprint_sheets(foxes, [sheet.code], foxes.path.parent, PaperOptions())
    words = " ".join(" ".join(texts(made.key_pdf)).split())
    assert f"Answers: {TITLE}" in words
    told = [words.count(f"From: {unit.title}") for unit in LEVEL_1.units]
    assert told == [sum(item.unit == unit.code for item in sheet.items) for unit in LEVEL_1.units]


def test_another_sheet_is_called_after_its_unit(foxes: Book) -> None:
    with foxes.writing() as page:
        keep_plan(page, TermPlan(START, START, 60, (lesson(0, PRACTISED),)), "Foxes")
    _, sheet = prepared(foxes)
    assert (sheet.unit_title, sheet.assessed) == (SYLLABUS.unit(PRACTISED).title, ())
