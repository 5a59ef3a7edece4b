"""A year has several terms: planning one touches no other, and what a plan replaces is asked about first."""

import json
from collections.abc import Callable

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

AUTUMN = ("--from", "2026-09-10", "--until", "2026-11-12", "--weekday", "thu", "--minutes", "60")
SPRING = ("--from", "2027-01-14", "--until", "2027-03-18", "--weekday", "thu", "--minutes", "60")
OWLS = ("--group", "Owls")

pytestmark = pytest.mark.usefixtures("club")


def plan(*words: str, group: str = "Owls") -> str:
    return done("term", "plan", "--group", group, *words)


def evenings(day: str) -> dict[str, int]:
    """The evenings of the term of a day, each with its minutes."""
    sessions = json.loads(done("term", "show", *OWLS, "--json", "--date", day))["plan"]["sessions"]
    return {each["on"]: sum(slot["minutes"] for slot in each["slots"]) for each in sessions}


def test_the_next_term_is_planned_without_a_word_about_this_one() -> None:
    plan(*AUTUMN)
    before = evenings("2026-09-10")
    told = plan(*SPRING)
    assert "10 evenings, 2027-01-14 to 2027-03-18" in told
    assert "take it back" not in told
    assert evenings("2026-09-10") == before
    assert next(iter(evenings("2027-01-14"))) == "2027-01-14"
    shown = done("term", "show", *OWLS, "--date", "2026-09-10")
    assert (
        "Owls has other terms: 2027-01-14 to 2027-03-18. To see one, give --date with a day in it." in shown
    )


def test_last_weeks_evening_is_closed_though_the_next_term_is_planned() -> None:
    plan(*AUTUMN)
    plan(*SPRING)
    told = done("evening", "close", "2026-11-12", *OWLS, typed="\n" * 12)
    assert "Owls: closed; next on 2027-01-14." in told


def test_a_plan_that_replaces_evenings_asks_and_says_which(at_a_terminal: Callable[[], None]) -> None:
    plan(*AUTUMN)
    before = evenings("2026-09-10")
    longer = ("--from", "2026-10-01", "--until", "2026-10-15", "--weekday", "thu", "--minutes", "90")
    at_a_terminal()
    told = done("term", "plan", *OWLS, *longer, typed="n\n")
    assert "2026-10-01" in told
    assert told.endswith("Replan these evenings? [y/N] The plans stay as they were.\n")
    assert evenings("2026-09-10") == before
    told = done("term", "plan", *OWLS, *longer, typed="y\n")
    assert "To take it back: coachbook log undo 2\nNext: " in told
    now = evenings("2026-09-10") | evenings("2026-10-01")
    assert [on for on, minutes in now.items() if minutes == 90] == ["2026-10-01", "2026-10-08", "2026-10-15"]
    assert {on: minutes for on, minutes in now.items() if minutes == 60}.items() <= before.items()


def test_where_nobody_can_be_asked_nothing_is_replaced_without_a_yes(club: Club) -> None:
    plan(*AUTUMN)
    before = everything_in(club.folder)
    ran = run("term", "plan", *OWLS, *AUTUMN[:-1], "90")
    assert (ran.code, ran.problems) == (
        2,
        [
            "coachbook: Evenings on these days are planned already, and would change."
            " See it first with --preview, then give --yes to keep it."
        ],
    )
    assert everything_in(club.folder) == before
    plan(*AUTUMN[:-1], "90", "--yes")
    assert set(evenings("2026-09-10").values()) == {90}


def test_a_preview_shows_what_would_change_and_keeps_nothing(club: Club) -> None:
    plan(*AUTUMN)
    before = everything_in(club.folder)
    told = plan(*AUTUMN[:-1], "90", "--preview")
    assert told.endswith("Nothing was kept.\n")
    assert "Owls:\n  " in told
    for change in (
        ("replan", *OWLS, "--from", "2026-09-24", "--skip", "2026-09-24", "--preview"),
        ("pin", "queen-box", "2026-10-08", *OWLS, "--from", "2026-09-10", "--preview"),
    ):
        told = done("term", *change)
        assert "was " in told
        assert told.endswith("Nothing was kept.\n")
    assert everything_in(club.folder) == before


def test_a_plan_is_taken_back_after_a_look_at_what_changes(at_a_terminal: Callable[[], None]) -> None:
    plan(*AUTUMN)
    before = evenings("2026-09-10")
    plan(*AUTUMN[:-1], "90", "--yes")
    at_a_terminal()
    told = done("log", "undo", typed="y\n")
    assert "  a term plan for Owls, 2026-09-10 to 2026-11-12\n" in told
    assert "other minutes" in told or "was " in told
    assert evenings("2026-09-10") == before
    done("log", "redo")
    assert set(evenings("2026-09-10").values()) == {90}


def test_the_log_tells_of_plans_with_their_group() -> None:
    plan(*AUTUMN)
    done("term", "lock", "2026-10-01", *OWLS)
    listed = json.loads(done("log", "list", "--json"))
    assert [(each["what"], each["group"]) for each in listed] == [
        ("an evening locked in the plan of Owls, 2026-09-10 to 2026-11-12", "Owls"),
        ("a term plan for Owls, 2026-09-10 to 2026-11-12", "Owls"),
    ]
