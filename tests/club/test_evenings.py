from collections import defaultdict
from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from coachbook.club.book import Book
from coachbook.club.log import log_answers, log_observation, log_play_out
from coachbook.club.results import EveningsByUnit, answers, evenings
from coachbook.club.taken_back import take_back
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening
from coachbook.model.syllabus import Goal
from tests.club.conftest import NOW

MakeResult = Callable[..., ItemResult]
WEEK = timedelta(days=7)
SLIPS = ("", "stalemate", "not tried")


def naive_evenings(results: list[ItemResult]) -> dict[str, EveningsByUnit]:
    """The same sums by hand, from the answers one by one."""
    by_evening: defaultdict[tuple[str, str, date], list[ItemResult]] = defaultdict(list)
    for result in results:
        by_evening[result.student, result.unit, result.on].append(result)
    found: dict[str, EveningsByUnit] = {"Mina": {}, "Noor": {}, "Tom": {}}
    for (name, unit, on), answered in sorted(by_evening.items()):
        slips = [answer.slip for answer in answered if answer.slip]
        in_order = tuple(sorted(slips, key=lambda slip: (-slips.count(slip), slip)))
        right = sum(answer.right for answer in answered)
        found[name][unit] = (*found[name].get(unit, ()), Evening(on, right, len(answered), in_order))
    return found


_items = st.sampled_from(
    [("QB-1", "queen-box", item) for item in (1, 2, 3)] + [("RB-1", "rook-box", item) for item in (1, 2)]
)
_answers = st.tuples(
    st.sampled_from(["Mina", "Tom"]), _items, st.integers(0, 2), st.sampled_from(SLIPS), st.booleans()
)


@settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(_answers, max_size=20))
def test_the_database_sums_up_as_one_would_by_hand(
    evening_book: Book,
    make_result: MakeResult,
    now: datetime,
    evening: date,
    told: list[tuple[str, tuple[str, str, int], int, str, bool]],
) -> None:
    """Whatever is logged, logged again about the same item, and taken back."""
    for name, (sheet, unit, item), week, slip, taken_back in told:
        with evening_book.writing() as w:
            log_answers(
                w, [make_result(name, sheet, item, unit=unit, on=evening + week * WEEK, slip=slip)], now
            )
            if taken_back:
                take_back(w, NOW)
    with evening_book.reading() as r:
        expected = naive_evenings(answers(r))
        assert evenings(r) == expected
        assert evenings(r, student="mina") == {"Mina": expected["Mina"]}
        assert evenings(r, group="Tuesday") == {name: expected[name] for name in ("Mina", "Tom")}
        assert evenings(r, until=evening) == naive_evenings(answers(r, until=evening))


def play_out(student: str, on: date, end: PlayOutEnd = PlayOutEnd.MATE) -> PlayOutResult:
    return PlayOutResult(
        student, "queen-box", on, "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1", Goal.WIN, 16, end, 9, "", ("c2c4", "e5d6")
    )


def test_play_outs_and_observations_belong_to_the_evening(
    evening_book: Book, make_result: MakeResult, now: datetime, evening: date
) -> None:
    seen = Observation("Mina", "queen-box", evening, "explained it to a neighbour", Impression.CAN)
    with evening_book.writing() as w:
        log_answers(w, [make_result("Mina", "QB-1", 1, unit="queen-box", on=evening)], now)
        log_play_out(w, play_out("mina", evening), now)
        log_observation(w, seen, now)
        log_play_out(w, play_out("Noor", evening + WEEK, PlayOutEnd.GAVE_UP), now)
    with evening_book.reading() as r:
        mina = Evening(evening, 1, 1, (), (play_out("Mina", evening),), (seen,))
        gave_up = play_out("Noor", evening + WEEK, PlayOutEnd.GAVE_UP)
        noor = Evening(evening + WEEK, play_outs=(gave_up,))
        assert evenings(r, until=evening)["Mina"] == {"queen-box": (mina,)}
        assert evenings(r, until=evening)["Noor"] == {}
        assert evenings(r)["Noor"] == {"queen-box": (noor,)}
        assert evenings(r)["Tom"] == {}


def test_evenings_of_unknown_students_and_groups_are_refused(evening_book: Book) -> None:
    with evening_book.reading() as r:
        with pytest.raises(CoachbookError, match="no student 'Mira'"):
            evenings(r, student="Mira")
        with pytest.raises(CoachbookError, match="no group 'Monday'"):
            evenings(r, group="Monday")


@pytest.mark.parametrize(("right", "tried"), [(1, 0), (4, 3), (-1, 3)])
def test_an_impossible_evening_is_refused(evening: date, right: int, tried: int) -> None:
    with pytest.raises(CoachbookError, match="cannot be right"):
        Evening(evening, right, tried)


def test_an_evening_without_anything_is_refused(evening: date) -> None:
    with pytest.raises(CoachbookError, match="nothing happened"):
        Evening(evening)
