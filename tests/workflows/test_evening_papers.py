"""An evening's papers for a screen: whose they can be, where they lie, and what is still open."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coachbook.club.book import Book
from coachbook.club.students import add_group, add_student
from coachbook.errors import CoachbookError
from coachbook.model.print_options import PaperOptions
from coachbook.workflows.club_settings import folder_of_papers, keep_settings
from coachbook.workflows.evening_papers import evening_groups, evening_papers, prepare_groups
from coachbook.workflows.members import open_club
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.preparing import PreparedEvening
from tests.workflows.foxes import START, SYLLABUS, planned, week

_WIDE = "\N{CJK UNIFIED IDEOGRAPH-68CB}"


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
    assert evening_papers(foxes, START, START).of_all is None
    made = prepared(foxes, 1)
    assert made.printer_pdf.parent == foxes.path.parent / "evening-2026-09-10"
    view = evening_papers(foxes, START, START)
    assert view.of_all == (made.printer_pdf, made.coach_pdf)
    assert view.of_some == ()
    assert [group.name for group in view.evening.with_papers] == ["Foxes"]


def test_papers_for_some_of_the_groups_that_meet_do_not_take_the_place_of_others(foxes: Book) -> None:
    with foxes.writing() as page:
        for group, name in (("Owls & Co.", "Cy"), ("Bears", "Di")):
            add_group(page, group)
            add_student(page, name, [group])
    wish = TermWish(START, week(1), weekdays=(3,), minutes=60)
    plan_terms(foxes, SYLLABUS, ("Foxes", "Owls & Co."), wish)
    plan_terms(foxes, SYLLABUS, ("Bears",), TermWish(week(1), week(1), weekdays=(3,), minutes=60))
    first, second, both = prepared(foxes, 1), prepared(foxes, 2), prepared(foxes, 1, 2)
    assert [(made.printer_pdf.name, made.coach_pdf.name) for made in (first, second, both)] == [
        ("print-foxes.pdf", "coach-foxes.pdf"),
        ("print-owls---co-.pdf", "coach-owls---co-.pdf"),
        ("print.pdf", "coach.pdf"),
    ]
    view = evening_papers(foxes, START, START)
    assert view.of_all == (both.printer_pdf, both.coach_pdf)
    assert [(names, files[0]) for names, files in view.of_some] == [
        (("Foxes",), first.printer_pdf),
        (("Owls & Co.",), second.printer_pdf),
    ]


def test_names_of_groups_that_are_too_long_for_a_file_give_way_to_their_numbers(foxes: Book) -> None:
    names = [f"{number}{_WIDE * 58}" for number in range(3)]
    with foxes.writing() as page:
        for name in names:
            add_group(page, name)
            add_student(page, f"Child {name[0]}", [name])
    wish = TermWish(START, week(1), weekdays=(3,), minutes=60)
    plan_terms(foxes, SYLLABUS, ("Foxes", *names), wish)
    made = prepared(foxes, 2, 3)
    assert made.printer_pdf.name == "print-groups+2+3.pdf"


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
