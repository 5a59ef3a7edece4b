"""A lesson of two groups at once is one lesson: whether it was finished is asked once, for both."""

import json
from collections.abc import Mapping
from typing import Any

import pytest

from tests.cli.conftest import AfterOnce, Club
from tests.cli.drive import done

FIRST, SECOND = "2026-09-10", "2026-09-17"
PLAN = ("--from", FIRST, "--until", "2026-12-10", "--weekday", "thursday", "--minutes", "60")
ASKED = "Which units were not finished, and need another evening?"
SAID = "Of the joint lesson you have said already: "
NOT_FINISHED, DONE = f"{SAID}Two big pieces was not finished.\n", f"{SAID}everything was done.\n"
ALL_THERE = "\n\n\n"
"""Nobody is absent, that is right, and there is no note."""


def _plan(club: Club) -> Club:
    done("term", "plan", "--all", *PLAN)
    return club


@pytest.fixture(autouse=True)
def together(after_once: AfterOnce) -> Club:
    """Foxes and Owls learn Two big pieces together on the first evening."""
    return after_once(_plan)


def close(*groups: str, typed: str) -> str:
    chosen = [word for group in groups for word in ("--group", group)]
    return done("evening", "close", FIRST, *chosen, typed=typed)


def plan_of(group: str) -> Mapping[str, Any]:
    return dict(json.loads(done("term", "show", "--group", group, "--json"))["plan"])


def new_on(day: str, group: str) -> list[str]:
    (slots,) = (session["slots"] for session in plan_of(group)["sessions"] if session["on"] == day)
    return [slot["unit"] for slot in slots if slot["kind"] == "new"]


def test_what_was_not_finished_is_asked_once_and_holds_for_both() -> None:
    told = close(typed=f"{ALL_THERE}1\n{ALL_THERE}")
    assert told.count(ASKED) == 1
    assert told.count(NOT_FINISHED) == 1
    assert told.index("Foxes: closed") < told.index(NOT_FINISHED) < told.index("Owls: closed")
    assert "learns apart" not in told
    assert told.count("Replanned with it: Owls.") == 1
    assert new_on(SECOND, "Foxes") == new_on(SECOND, "Owls") == ["two-majors"]


def test_that_everything_was_done_holds_for_both_too() -> None:
    before = plan_of("Owls"), plan_of("Foxes")
    told = close(typed=f"{ALL_THERE}\n{ALL_THERE}")
    assert told.count(ASKED) == 1
    assert told.count(DONE) == 1
    assert (plan_of("Owls"), plan_of("Foxes")) == before


def test_what_was_said_of_one_group_is_not_asked_when_the_other_is_closed_later() -> None:
    told = close("Foxes", typed=f"{ALL_THERE}1\n")
    assert "learns apart" not in told
    later = close("Owls", typed=ALL_THERE)
    assert ASKED not in later
    assert NOT_FINISHED in later
    assert new_on(SECOND, "Foxes") == new_on(SECOND, "Owls") == ["two-majors"]


def test_where_nothing_was_said_the_other_group_is_asked_when_it_is_closed_later() -> None:
    close("Foxes", typed=f"{ALL_THERE}\n")
    told = close("Owls", typed=f"{ALL_THERE}1\n")
    assert ASKED in told
    assert SAID not in told
    assert new_on(SECOND, "Owls") == ["two-majors"]
    assert new_on(SECOND, "Foxes") == ["queen-box"]


def test_who_closes_a_group_once_more_is_asked_again() -> None:
    close(typed=f"{ALL_THERE}1\n{ALL_THERE}")
    told = close("Owls", typed="\n\n\n")
    assert "Not finished (so far: Two big pieces): " in told
    assert SAID not in told


def test_what_only_one_of_the_groups_had_is_asked_for_itself() -> None:
    done("term", "replan", "--group", "Owls", "--from", SECOND, "--not-done", "two-majors")
    told = done("evening", "close", SECOND, typed=f"{ALL_THERE}\n\n{ALL_THERE}\n")
    assert told.count(ASKED) == 2
    assert SAID not in told
