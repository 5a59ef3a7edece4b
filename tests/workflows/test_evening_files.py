"""What the coach's page of an evening says that a student is given."""

from dataclasses import replace
from datetime import date

from coachbook.model.progress import Evening, ReviewAdvice
from coachbook.workflows.preparing import reminder_of
from tests.paper import samples

CARD = "PLAY-QUEEN-BOX-1"
LAST = Evening(date(2026, 1, 7), 2, 5)
ADVICE = ReviewAdvice("Ida", "queen-box", "The queen's box", 1.0, date(2026, 1, 8), LAST, 1, items=3)
OTHER = samples.worksheet(2)
SHEET = replace(OTHER, items=(replace(OTHER.items[0], unit="queen-box"), OTHER.items[1]))


def test_it_says_how_many_items_of_the_sheet_are_for_it() -> None:
    assert reminder_of(ADVICE, SHEET, ()).give == "on the sheet (1)"


def test_it_says_the_card_that_was_printed_and_not_one_that_was_only_advised() -> None:
    advised = replace(ADVICE, play_out=CARD)
    assert reminder_of(advised, OTHER, (CARD,)).give == f"card {CARD}"
    assert reminder_of(advised, SHEET, ()).give == "on the sheet (1)"


def test_what_found_no_room_is_not_said_to_be_given() -> None:
    for sheet in (OTHER, None):
        reminder = reminder_of(ADVICE, sheet, (CARD,))
        assert (reminder.student, reminder.reason) == ("Ida", "The queen's box: yesterday, 2 of 5")
        assert reminder.give == "another evening: no room"
