"""The trend says of each day what the standing of that day says."""

from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.facts import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import Evening, Standing
from coachbook.model.syllabus import Goal
from coachbook.progress.standing import secure_on, standing
from coachbook.syllabus.read import read_syllabus

UNIT = read_syllabus(Path(__file__).parents[2] / "curricula").unit("queen-box")
FIRST = date(2026, 9, 10)
DAYS = [FIRST + timedelta(7 * week) for week in range(20)]


@st.composite
def evenings(draw: st.DrawFn) -> list[Evening]:
    """Some weeks of a year, in any order, with answers, play-outs or a note."""
    found = []
    for week in draw(st.sets(st.integers(0, 15), min_size=1)):
        on = FIRST + timedelta(7 * week)
        tried = draw(st.integers(0, 8))
        ends = draw(st.lists(st.sampled_from([PlayOutEnd.MATE, PlayOutEnd.STALEMATE]), max_size=2))
        played = [PlayOutResult("Zoë", UNIT.code, on, "", Goal.WIN, 16, end, 12) for end in ends]
        seen = Observation("Zoë", UNIT.code, on, "x", draw(st.sampled_from(Impression)))
        right = draw(st.integers(0, tried))
        found.append(Evening(on, right, tried, (), tuple(played), (seen,)))
    return found


@given(evenings())
def test_the_trend_equals_the_standing_of_each_day(seen: list[Evening]) -> None:
    expected = tuple(standing("Zoë", UNIT, seen, day).standing is Standing.SECURE for day in DAYS)
    assert secure_on(UNIT, seen, DAYS) == expected


def test_a_note_without_an_impression_takes_no_unit_away() -> None:
    won = PlayOutResult("Zoë", UNIT.code, FIRST, "", Goal.WIN, 16, PlayOutEnd.MATE, 12)
    good = [Evening(FIRST + timedelta(7 * week), 6, 6, play_outs=(won,)) for week in range(2)]
    note = Evening(FIRST + timedelta(14), observations=(Observation("Zoë", UNIT.code, FIRST, "was tired"),))
    assert secure_on(UNIT, [*good, note], DAYS[:3]) == (False, True, True)


def test_after_an_evening_that_went_badly_a_note_without_an_impression_makes_nothing_secure() -> None:
    seen, day = list[Evening](), FIRST
    won = PlayOutResult("Zoë", UNIT.code, FIRST, "", Goal.WIN, 16, PlayOutEnd.MATE, 12)
    for _ in range(6):  # so well known that one bad evening does not make it due at once
        seen.append(Evening(day, 6, 6, play_outs=(won,)))
        due = standing("Zoë", UNIT, seen, day).due_on
        assert due is not None
        day = due
    note = Observation("Zoë", UNIT.code, day, "was tired")
    seen += [Evening(day, 2, 6), Evening(day + timedelta(1), observations=(note,))]
    assert secure_on(UNIT, seen, [day - timedelta(1), day, day + timedelta(1)]) == (True, False, False)
