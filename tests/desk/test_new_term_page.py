"""A new term: the form, the plan that it leads to, and that just this plan is kept."""

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.club.groups import terms_of
from coachbook.model.term_plan import TermPlan
from coachbook.workflows.members import add_teaching_group
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import week

NEXT = {"from": week(10), "until": week(14), "weekday": "3", "minutes": "60", "group": "1"}
"""The first term ends with week(5)."""


def plans(book: Book) -> list[TermPlan]:
    with book.reading() as tx:
        return [term.plan for term in terms_of(tx, "Foxes")]


def worked(coach: Browser, path: str, form: dict[str, object] | None = None) -> Response:
    """What a form's work leads to, whether it is done or refused."""
    headers = {"origin": coach.desk.address}
    return coach.wait_for_work(coach.client.post(path, data=form or {}, headers=headers))


def looked_at(coach: Browser, **form: object) -> Response:
    return worked(coach, "/term/new", {**NEXT, **form})


def test_the_form_proposes_days_and_hours_like_those_of_the_last_term(coach: Browser) -> None:
    page = coach.get("/term/new")
    assert 'name="from" required value="2026-10-16"' in page
    assert 'name="weekday" value="3" checked' in page
    assert 'name="weekday" value="4" checked' not in page
    assert 'required value="60"' in page


def test_a_plan_is_shown_and_nothing_is_kept(coach: Browser, foxes: Book) -> None:
    plan = looked_at(coach)
    assert f'<form method="post" action="{plan.url.path}">' in plan.text
    page = words(plan.text)
    assert "Thu 19 Nov 2026" in page
    assert "5 evenings, 2026-11-19 to 2026-12-17" in page
    assert "What would change" not in page
    assert len(plans(foxes)) == 1


def test_the_plan_is_kept_as_it_was_shown(coach: Browser, foxes: Book) -> None:
    plan = looked_at(coach, at="18:30", goal="2", off="26 Nov\n10 Dec to 12 Dec 2026")
    assert worked(coach, plan.url.path).url.path == "/term"
    last = plans(foxes)[-1]
    assert [session.on for session in last.sessions] == [week(10), week(12), week(14)]
    assert (last.at, last.goal, last.minutes) == ("18:30", 2, 60)


def test_what_would_change_in_planned_evenings_is_shown(coach: Browser) -> None:
    page = words(looked_at(coach, **{"from": week(2), "until": week(6)}, minutes="30").text)
    assert "What would change" in page
    assert "Keep this plan" in page


def test_a_plan_that_was_overtaken_is_not_kept(coach: Browser, foxes: Book) -> None:
    first, second = looked_at(coach), looked_at(coach, minutes="45")
    worked(coach, second.url.path)
    assert "The book has changed while you looked at the plan." in worked(coach, first.url.path).text
    assert [plan.minutes for plan in plans(foxes)] == [60, 45]


def test_groups_that_are_not_ticked_get_no_term(coach: Browser, foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    page = coach.get("/term/new")
    assert "Groups that meet then" in page
    assert "Owls" not in looked_at(coach).text.partition("<tbody>")[0].partition("<table>")[2]


@pytest.mark.parametrize(
    "form",
    [
        {"from": "soon"},
        {"until": ""},
        {"minutes": "an hour"},
        {"at": "half past six"},
        {"goal": "high"},
        {"group": "9"},
        {"group": ""},
        {"off": "Christmas"},
        {"off": "2026-12-24 to 2026-12-01"},
        {"holidays": "Nowhere"},
    ],
)
def test_what_cannot_be_read_is_told(coach: Browser, form: dict[str, str]) -> None:
    assert "Not done" in coach.post("/term/new", status=422, **{**NEXT, **form}).text


@pytest.mark.parametrize("form", [{"weekday": ""}, {"until": week(9)}, {"minutes": "-5"}, {"goal": "99"}])
def test_what_cannot_be_planned_is_told(coach: Browser, form: dict[str, object]) -> None:
    assert "Not done" in looked_at(coach, **form).text


def test_a_plan_that_was_never_shown_is_refused(coach: Browser) -> None:
    assert "Look at it again" in coach.get("/term/new/nothing", status=422)
    coach.post("/term/new/nothing", status=422)


def test_a_helpers_tablet_plans_nothing(helper: Browser) -> None:
    helper.get("/term/new", status=403)
    helper.post("/term/new", status=403, **NEXT)
