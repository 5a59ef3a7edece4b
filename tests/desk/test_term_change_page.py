"""Changing a plan in a browser: shown beside what is, kept only then, and once."""

from uuid import uuid4

import pytest
from httpx2 import Response

from coachbook.club.book import Book
from coachbook.club.groups import terms_of
from coachbook.model.term_plan import TermPlan
from coachbook.workflows.evening_log import list_log
from coachbook.workflows.replanning import lock_session
from tests.desk.conftest import Browser, words
from tests.workflows.foxes import FIRST, START, SYLLABUS, THIRD, TITLES, week


def plan(book: Book) -> TermPlan:
    with book.reading() as page:
        return terms_of(page, "Foxes")[0].plan


def looked(browser: Browser, status: int = 200, **form: object) -> Response:
    """The page that shows what would change."""
    return sent(browser, "/term/look", status=status, **{"group": "1"} | form)


def sent(browser: Browser, path: str, status: int = 200, **form: object) -> Response:
    fields = {"touch": str(uuid4()), **form}
    answer = browser.client.post(path, data=fields, headers={"origin": browser.desk.address})
    answer = browser.wait_for_work(answer)
    assert answer.status_code == status, answer.text[:500]
    return answer


def kept(browser: Browser, page: Response, **form: object) -> Response:
    return sent(browser, f"{page.url.path}/keep", status=200, **form)


def test_a_cancelled_evening_is_shown_before_it_is_kept(coach: Browser, foxes: Book) -> None:
    before = plan(foxes)
    page = looked(coach, step="cancel", on=week(2))
    told = words(page.text)
    assert "Cancel Thu 24 Sept 2026 for Foxes . Nothing is kept yet." in told
    assert "Evening Is Would be" in told
    assert "cancelled" in told
    assert plan(foxes) == before
    done = words(kept(coach, page).text)
    assert "The plan has changed" in done
    assert "Take it back" in done
    assert plan(foxes).session_on(week(2)) is None


def test_a_lock_a_pin_and_their_ends_are_kept(coach: Browser, foxes: Book) -> None:
    for step, unit in (("lock", ""), ("unlock", ""), ("pin", THIRD), ("unpin", THIRD)):
        entries = len(list_log(foxes, 50))
        kept(coach, looked(coach, step=step, on=week(2), unit=unit))
        assert len(list_log(foxes, 50)) == entries + 1
        has_lock = bool((session := plan(foxes).session_on(week(2))) and session.locked)
        assert (has_lock, len(plan(foxes).pins)) == (step == "lock", int(step == "pin"))


def test_what_was_not_done_is_planned_again(coach: Browser, foxes: Book) -> None:
    page = looked(coach, step="not done", on=START, unit=FIRST)
    assert f"{TITLES[FIRST]} (again)" in words(page.text)
    kept(coach, page)
    assert [each.unit for each in plan(foxes).not_done] == [FIRST]


def test_days_off_are_read_from_several_fields(coach: Browser, foxes: Book) -> None:
    form = {"first": [f"{week(1)}", "", f"{week(3)}", ""], "last": ["", "", f"{week(4)}", ""]}
    page = looked(coach, status=200, step="days off", **form)
    assert "No club for Foxes: Thu 17 Sept 2026, Thu 1 Oct 2026 to Thu 8 Oct 2026" in words(page.text)
    kept(coach, page)
    assert [session.on for session in plan(foxes).sessions] == [START, week(2), week(5)]


def test_a_plan_that_stays_as_it_is_has_nothing_to_keep(coach: Browser) -> None:
    kept(coach, looked(coach, status=200, step="replan", **{"from": week(1)}))
    page = looked(coach, status=200, step="replan", **{"from": week(1)}).text
    assert "Nothing changes." in page
    assert "<button" not in page


def test_a_button_that_was_pressed_twice_changes_the_plan_once(coach: Browser, foxes: Book) -> None:
    page, touch, entries = looked(coach, step="cancel", on=week(2)), str(uuid4()), len(list_log(foxes, 50))
    assert kept(coach, page, touch=touch).text == kept(coach, page, touch=touch).text
    assert len(list_log(foxes, 50)) == entries + 1


def test_what_has_changed_meanwhile_is_not_kept(coach: Browser, foxes: Book) -> None:
    page = looked(coach, step="cancel", on=week(2))
    lock_session(foxes, SYLLABUS, "Foxes", week(3), locked=True)
    before = plan(foxes)
    answer = sent(coach, f"{page.url.path}/keep", status=422)
    assert "The book has changed while you looked at the plan." in answer.text
    assert plan(foxes) == before


@pytest.mark.parametrize(
    "form",
    [
        {"step": "explode", "on": week(2)},
        {"step": "cancel", "on": "never"},
        {"step": "cancel", "on": week(2), "group": "one"},
        {"step": "cancel", "on": week(2), "group": "99"},
        {"step": "cancel", "on": week(2), "group": []},
        {"step": "pin", "on": week(2), "unit": "no-such-unit"},
        {"step": "not done", "on": START},
        {"step": "days off", "first": "", "last": ""},
        {"step": "days off", "first": "3/4", "last": ""},
        {"step": "replan", "from": ""},
        {"step": "cancel", "on": week(2), "touch": "no number"},
    ],
)
def test_a_change_that_cannot_be_is_refused_in_words(
    coach: Browser, foxes: Book, form: dict[str, object]
) -> None:
    before = plan(foxes)
    assert "Not done" in looked(coach, status=422, **form).text
    assert plan(foxes) == before


@pytest.mark.parametrize("path", ["/term/seen/0123456789", "/term/kept/0123456789", "/term/seen/x"])
def test_a_page_of_long_ago_is_gone(coach: Browser, path: str) -> None:
    assert "Not done" in coach.get(path, status=422)


def test_changing_the_plan_is_not_for_a_helpers_tablet(helper: Browser) -> None:
    helper.post("/term/look", status=403, step="cancel", on=week(2), group=1)
    helper.post("/term/seen/0123456789/keep", status=403)
