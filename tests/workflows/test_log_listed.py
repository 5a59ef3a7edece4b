"""The log as a list: its newest entries, those before one of them, and what was taken back."""

from coachbook.club.book import Book
from coachbook.model.facts import EntryKind
from coachbook.wording.people import who_in_words
from coachbook.workflows.evening_log import list_log, list_taken_back, redo, undo, what_redo_changes
from tests.workflows.foxes import FIRST, NOW, START, answered, planned, present, week


def test_entries_before_one_are_those_with_smaller_numbers(foxes: Book) -> None:
    for number in range(4):
        present(foxes, week(number), Ana=True)
    numbers = [each.id for each in list_log(foxes, 10)]
    assert [each.id for each in list_log(foxes, 2, numbers[1])] == numbers[2:]
    assert list_log(foxes, 2, numbers[-1]) == []


def test_answers_say_of_which_evening_they_are(foxes: Book) -> None:
    answered(foxes, "Ana", FIRST, week(1))
    (entry,) = list_log(foxes, 10)
    assert (entry.what.kind, entry.what.evenings, entry.group) == (EntryKind.ANSWERS, (week(1),), "Foxes")


def test_what_was_taken_back_is_listed_the_last_one_first_and_stays_so(foxes: Book) -> None:
    planned(foxes)
    present(foxes, START, Ana=True)
    attendance, plan = list_log(foxes, 10)
    undo(foxes, NOW, attendance.id)
    undo(foxes, NOW, plan.id)
    for _ in range(2):
        assert list_taken_back(foxes, 10) == [plan, attendance]
    assert list_taken_back(foxes, 1) == [plan]
    assert list_log(foxes, 10) == []


def test_what_bringing_back_would_change_is_what_it_changes(foxes: Book) -> None:
    planned(foxes)
    (plan,) = list_log(foxes, 10)
    undo(foxes, NOW, plan.id)
    seen = what_redo_changes(foxes, plan.id)
    assert list_log(foxes, 10) == []
    assert redo(foxes, plan.id) == seen
    assert seen.changes


def test_a_few_are_named_and_many_are_told_as_their_group(foxes: Book) -> None:
    present(foxes, START, Ana=True, Bo=True)
    (entry,) = list_log(foxes, 10)
    assert who_in_words(entry.what, entry.group) == "Ana, Bo"
    planned(foxes)
    assert who_in_words(list_log(foxes, 1)[0].what, "") == "Foxes"
