"""What a coach is proposed to plan next: as the last term was, or the usual first one."""

from pathlib import Path

from coachbook.club.book import Book
from coachbook.workflows.planning import TermWish, plan_terms
from coachbook.workflows.term_proposal import propose_term
from tests.workflows.conftest import club_of
from tests.workflows.foxes import START, SYLLABUS, planned, week


def test_the_first_term_begins_today_with_an_hour(foxes: Book) -> None:
    proposal = propose_term(foxes, START)
    assert proposal.is_first
    assert [group.name for group in proposal.groups] == ["Foxes"]
    assert proposal.wish == TermWish(START, week(12), (), 60)


def test_groups_that_are_named_after_a_day_meet_on_it(tmp_path: Path) -> None:
    book = club_of(tmp_path, (), "thursday", "Monday", "Owls")
    assert propose_term(book, START).wish.weekdays == (0, 3)


def test_the_next_term_is_like_the_last_one_and_follows_it(foxes: Book) -> None:
    wish = TermWish(week(10), week(12), weekdays=(3, 4), minutes=75, at="18:30", zone="Europe/Dublin")
    plan_terms(foxes, SYLLABUS, ("Foxes",), wish)
    planned(foxes)
    proposal = propose_term(foxes, START)
    assert not proposal.is_first
    assert proposal.wish.starts_on.isoformat() == "2026-12-04"
    assert (proposal.wish.weekdays, proposal.wish.minutes) == ((3, 4), 75)
    assert (proposal.wish.at, proposal.wish.zone) == ("18:30", "Europe/Dublin")


def test_no_term_is_proposed_for_days_that_are_over(foxes: Book) -> None:
    planned(foxes)
    assert propose_term(foxes, week(40)).wish.starts_on == week(40)
