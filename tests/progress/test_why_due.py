"""What is told of why a unit is due is what decides it: the same day and the same standing."""

from datetime import date, timedelta
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from coachbook.model.facts import Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.progress import DecidedBy, Evening, Standing, Went
from coachbook.model.syllabus import Goal
from coachbook.progress.standing import review_advice, standing, why_due
from coachbook.syllabus.read import read_syllabus
from coachbook.wording.counting import day_in_words
from coachbook.wording.why_due import why_in_words

SYLLABUS = read_syllabus(Path(__file__).parents[2] / "curricula")
UNIT = SYLLABUS.unit("queen-box")
FIRST = date(2027, 1, 12)
START = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"


def play_out(on: date, end: PlayOutEnd, used: int | None) -> PlayOutResult:
    return PlayOutResult("Zoë", UNIT.code, on, START, Goal.WIN, 16, end, used)


@st.composite
def histories(draw: st.DrawFn) -> tuple[tuple[Evening, ...], date]:
    """Up to six evenings with anything that can happen on one, and a day from the last of them on."""
    day, evenings = FIRST, []
    for gap in draw(st.lists(st.integers(1, 200), max_size=6)):
        day += timedelta(gap)
        tried = draw(st.integers(0, 8))
        ends = st.sampled_from(
            [
                (PlayOutEnd.MATE, 9),
                (PlayOutEnd.MATE, 20),
                (PlayOutEnd.STALEMATE, None),
                (PlayOutEnd.STOPPED, None),
            ]
        )
        played = tuple(play_out(day, *each) for each in draw(st.lists(ends, max_size=2)))
        noted = draw(st.lists(st.sampled_from(list(Impression)), min_size=not (tried or played), max_size=1))
        seen = tuple(Observation("Zoë", UNIT.code, day, "a note", each) for each in noted)
        evenings.append(Evening(day, draw(st.integers(0, tried)), tried, (), played, seen))
    return tuple(evenings), day + timedelta(draw(st.integers(0, 400)))


@given(histories())
def test_the_paragraph_names_the_day_and_the_standing_that_everything_else_names(
    history: tuple[tuple[Evening, ...], date],
) -> None:
    evenings, today = history
    progress = standing("Zoë", UNIT, evenings, today)
    why = why_due(UNIT, progress, today)
    told = why_in_words(why)
    advice = review_advice(SYLLABUS, {"Zoë": {UNIT.code: evenings}}, today)
    assert [each.due_on for each in advice] == [progress.due_on] * progress.is_due(today)
    if progress.due_on is None:
        assert "new and not due" in told
        assert progress.standing is Standing.NEW
        return
    assert day_in_words(progress.due_on) in told
    words = {Standing.WORKING: "being worked on", Standing.SECURE: "secure", Standing.FADING: "fading"}
    assert [each for each, said in words.items() if f"the unit is {said}" in told] == [progress.standing]
    assert ("Still missing" in told) == bool(progress.missing)
    assert ("take the day as a guess" in told) != progress.is_sure
    assert (progress.standing is Standing.FADING) == (progress.is_due(today) and not progress.missing)


def told(*evenings: Evening, weeks: int) -> str:
    today = FIRST + timedelta(weeks=weeks)
    return why_in_words(why_due(UNIT, standing("Zoë", UNIT, evenings, today), today))


def test_what_went_well_twice_can_wait_and_the_paragraph_says_until_when() -> None:
    won = play_out(FIRST, PlayOutEnd.MATE, 14)
    words = told(Evening(FIRST, 5, 6, play_outs=(won,)), Evening(FIRST + timedelta(7), 6, 6), weeks=1)
    assert words.startswith(
        "Zoë and “The queen's box”, Tue 19 Jan 2027: on Tue 12 Jan 2027 5 of 6 answers were right and a"
        " play-out reached its goal in 14 moves; on Tue 19 Jan 2027 6 of 6 answers were right. The unit's"
        " rule asks for two evenings each with at least 5 answers, at least 80 of 100 right, and a play-out"
        " that reaches its goal in the moves allowed. All of that is done, and review is not due yet,"
        " so the unit is secure. It went well twice in a row, the last time on Tue 19 Jan 2027, so"
        " the unit can wait until "
    )
    assert "guess" not in words


def test_what_went_badly_comes_back_soon_and_the_paragraph_says_what_it_was() -> None:
    words = told(Evening(FIRST, 2, 6), weeks=0)
    assert "Still missing: two such evenings and one such play-out; so the unit is being worked on." in words
    assert "it is due from Wed 13 Jan 2027 on." in words
    assert words.endswith("All this rests on only 1 evening and 6 answers, so take the day as a guess.")
    lost = Evening(FIRST, 6, 6, play_outs=(play_out(FIRST, PlayOutEnd.STALEMATE, None),))
    assert "On Tue 12 Jan 2027 the last play-out did not reach its goal, so the unit comes back soon" in told(
        lost, weeks=0
    )


def test_the_worse_of_answers_and_play_out_is_named_as_what_decided() -> None:
    late = Evening(FIRST, 6, 6, play_outs=(play_out(FIRST, PlayOutEnd.MATE, 20),))
    why = why_due(UNIT, standing("Zoë", UNIT, [late], FIRST), FIRST)
    assert (why.progress.last_went, why.decided_by) == (Went.WITH_TROUBLE, DecidedBy.PLAY_OUT)
    assert why.well_in_a_row == 0


def test_a_play_out_that_stopped_before_its_end_is_told_as_what_does_not_count() -> None:
    stopped = Evening(FIRST, play_outs=(play_out(FIRST, PlayOutEnd.STOPPED, None),))
    why = why_due(UNIT, standing("Zoë", UNIT, [stopped], FIRST), FIRST)
    assert "nothing that is logged yet tells how it goes, so the unit is new" in why_in_words(why)
    later = Evening(FIRST + timedelta(1), 6, 6)
    assert "a play-out stopped before its end, which does not count" in told(stopped, later, weeks=1)


def test_a_note_without_an_impression_is_not_read_to_anybody() -> None:
    note = Evening(FIRST, observations=(Observation("Zoë", UNIT.code, FIRST, "was tired"),))
    assert "tired" not in told(note, Evening(FIRST + timedelta(1), 3, 6), weeks=1)
