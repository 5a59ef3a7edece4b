"""An evening's papers for a screen: whose they can be, where they lie, and what is still open."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.club_settings import folder_of_papers, keep_settings
from coachbook.workflows.evening_papers import evening_groups, evening_papers, prepare_groups
from coachbook.workflows.members import open_club
from coachbook.workflows.preparing import PreparedEvening
from tests.workflows.foxes import START, SYLLABUS, planned, week


def prepared(book: Book, *groups: int) -> PreparedEvening:
    options = PaperOptions()
    return prepare_groups(
        book, SYLLABUS, START, groups, START, options, lambda *_: None, in_words=lambda _: ""
    )


def test_papers_can_be_made_for_the_groups_that_meet(foxes: Book) -> None:
    planned(foxes)
    with foxes.writing() as page:
        add_group(page, "Owls")
    evening = evening_groups(foxes, START)
    assert [group.name for group in evening.groups] == ["Foxes"]
    assert evening.with_papers == ()


def test_a_day_without_an_evening_is_refused_with_the_next_one(foxes: Book) -> None:
    planned(foxes, 2)
    for day, next_one in (
        (START + timedelta(1), "Fri 11 Sept 2026. The next one is Thu 17 Sept 2026."),
        (week(2), "Thu 24 Sept 2026."),
    ):
        with pytest.raises(CoachbookError) as refused:
            evening_groups(foxes, day)
        assert str(refused.value) == f"No evening is planned on {next_one}"


def test_papers_lie_beside_the_book_where_no_folder_is_chosen(foxes: Book) -> None:
    planned(foxes)
    assert evening_papers(foxes, START, START).for_printer is None
    made = prepared(foxes, 1)
    assert made.printer_pdf.parent == foxes.path.parent / "evening-2026-09-10"
    view = evening_papers(foxes, START, START)
    assert (view.for_printer, view.for_coach) == (made.printer_pdf, made.coach_pdf)
    assert [group.name for group in view.evening.with_papers] == ["Foxes"]


def test_papers_lie_in_the_folder_that_is_chosen(foxes: Book) -> None:
    chosen = foxes.path.parent / "to print"
    keep_settings(foxes, replace(foxes.settings, folder=str(chosen)))
    assert folder_of_papers(open_club(foxes.path)) == chosen


def test_no_group_and_an_unknown_one_are_refused(foxes: Book) -> None:
    planned(foxes)
    for groups, told in (((), "No group is chosen."), ((9,), "This group is no longer in the book.")):
        with pytest.raises(CoachbookError, match=told):
            prepared(foxes, *groups)


def test_an_earlier_evening_that_is_not_closed_is_told(foxes: Book) -> None:
    planned(foxes)
    assert evening_papers(foxes, START, START).still_open is None
    left = evening_papers(foxes, week(1), week(1)).still_open
    assert left is not None
    assert (left[0], left[1].name) == (START, "Foxes")
