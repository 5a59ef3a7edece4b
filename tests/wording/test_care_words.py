"""Care of the club's data in words."""

from datetime import date

from coachbook.wording.care_words import (
    held_in_words,
    never_logged,
    not_seen_for,
    renamed_slip,
    why_backed_up,
)
from coachbook.wording.people import came_in, changed_by, device_in_words


def test_what_a_book_holds_is_counted() -> None:
    assert held_in_words(1, 2, 0) == "1 student, 2 sheets, 0 answers"


def test_why_a_backup_was_made_is_told_also_of_an_upgrade() -> None:
    assert why_backed_up("") == "you asked for it"
    assert why_backed_up("before-0008") == "before the book was brought up to date"
    assert why_backed_up("before-restore") == "before a backup was brought back"


def test_what_a_check_found_is_told() -> None:
    assert renamed_slip("stalemate", "illegal", 2) == (
        "2 answers kept as 'stalemate' would be marked 'illegal' today."
    )
    assert not_seen_for(12, [("Ana", date(2026, 1, 8))]) == (
        "Not seen for more than 12 months: Ana (last on 2026-01-08)."
    )
    assert never_logged(["Ana", "Bo"]) == "Nothing is logged for Ana and Bo."


def test_whose_browser_it_is_is_told() -> None:
    assert [device_in_words(each) for each in (0, 2)] == ["the coach", "tablet 2"]
    assert [changed_by(each) for each in (0, 2)] == ["Changed by the coach.", "Changed by tablet 2."]
    assert came_in(device_in_words(2)) == "Tablet 2 is in."
