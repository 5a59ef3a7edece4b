from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest

from coachbook.club.book import Book, open_book, set_settings
from coachbook.club.log import last_entries, log_attendance, log_observation, log_play_out
from coachbook.club.results import observations, play_outs
from coachbook.club.taken_back import take_back
from coachbook.errors import CoachbookError
from coachbook.model.facts import Attendance, Impression, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.settings import ClubSettings
from coachbook.model.syllabus import Goal
from coachbook.wording.people import entry_in_words
from tests.club.conftest import NOW

Dump = Callable[[Path], list[str]]
WEEK = timedelta(days=7)


@pytest.fixture
def played(evening: date) -> PlayOutResult:
    return PlayOutResult(
        "Mina",
        "queen-box",
        evening,
        "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1",
        Goal.WIN,
        16,
        PlayOutEnd.STALEMATE,
        None,
        "PLAY-QUEEN-BOX-1",
        ("c2c4", "e5d6"),
        "stalemate",
    )


@pytest.fixture
def seen(evening: date) -> Observation:
    return Observation("Tom", "rook-box", evening, "żółw \u265b", Impression.TROUBLE)


def test_play_outs_and_notes_come_back_as_they_were_logged(
    evening_book: Book, played: PlayOutResult, seen: Observation, now: datetime
) -> None:
    noor = replace(
        played, student="Noor", on=played.on - WEEK, end=PlayOutEnd.MATE, used=12, moves=(), slip=""
    )
    with evening_book.writing() as w:
        entry = log_play_out(w, replace(played, student="mina"), now)
        assert entry_in_words(entry.what) == "a play-out of Mina in queen-box on 2026-11-25: stalemate"
        log_play_out(w, noor, now)
        assert entry_in_words(log_observation(w, seen, now).what) == "a note on Tom in rook-box on 2026-11-25"
    with evening_book.reading() as r:
        assert play_outs(r) == [noor, played]
        assert play_outs(r, student="MINA") == [played]
        assert play_outs(r, group="Tuesday") == [played]
        assert play_outs(r, until=played.on - WEEK) == [noor]
        assert observations(r) == observations(r, group="Tuesday") == [seen]
        assert observations(r, student="Mina") == observations(r, until=played.on - WEEK) == []


def test_unknown_students_are_refused(
    evening_book: Book, played: PlayOutResult, seen: Observation, now: datetime
) -> None:
    with evening_book.writing() as w:
        with pytest.raises(CoachbookError, match="no student 'Minna'"):
            log_play_out(w, replace(played, student="Minna"), now)
        with pytest.raises(CoachbookError, match="no student 'Timo'"):
            log_observation(w, replace(seen, student="Timo"), now)


def test_any_entry_can_be_taken_back(
    evening_book: Book, played: PlayOutResult, seen: Observation, now: datetime, dump: Dump
) -> None:
    with evening_book.writing() as w:
        log_attendance(w, [Attendance("Tom", seen.on, present=True)], now)
    before = dump(evening_book.path)
    with evening_book.writing() as w:
        log_play_out(w, played, now)
    between = dump(evening_book.path)
    with evening_book.writing() as w:
        log_observation(w, seen, now)
        newest = last_entries(w, 2)
        assert [(entry.id, entry_in_words(entry.what)) for entry in newest] == [
            (3, "a note on Tom in rook-box on 2026-11-25"),
            (2, "a play-out of Mina in queen-box on 2026-11-25: stalemate"),
        ]
        assert take_back(w, NOW, 2) == newest[1]
        with pytest.raises(CoachbookError, match="no entry 2"):
            take_back(w, NOW, 2)
    with evening_book.writing() as w:
        log_play_out(w, played, now)
        take_back(w, NOW)
        take_back(w, NOW)
    assert dump(evening_book.path) == before != between


@pytest.mark.parametrize("number", [-1, 0, 99, 10**30])
def test_there_is_no_such_entry(evening_book: Book, number: int) -> None:
    with evening_book.writing() as w, pytest.raises(CoachbookError, match=f"no entry {number} "):
        take_back(w, NOW, number)


@pytest.mark.parametrize(
    ("goal", "end", "used", "reached", "within"),
    [
        (Goal.WIN, PlayOutEnd.MATE, 16, True, True),
        (Goal.WIN, PlayOutEnd.MATE, 17, True, False),
        (Goal.WIN, PlayOutEnd.MATE, None, True, False),
        (Goal.WIN, PlayOutEnd.STALEMATE, 5, False, False),
        (Goal.WIN, PlayOutEnd.UNFINISHED, 5, False, False),
        (Goal.WIN, PlayOutEnd.STOPPED, 5, False, False),
        (Goal.DRAW, PlayOutEnd.HELD, 16, True, True),
        (Goal.DRAW, PlayOutEnd.STALEMATE, None, True, True),
        (Goal.DRAW, PlayOutEnd.LOST, 5, False, False),
        (Goal.DRAW, PlayOutEnd.GAVE_UP, None, False, False),
    ],
)
def test_a_goal_is_reached_and_reached_in_time(
    played: PlayOutResult, goal: Goal, end: PlayOutEnd, used: int | None, reached: bool, within: bool
) -> None:
    result = replace(played, goal=goal, end=end, used=used)
    assert (result.reached, result.within) == (reached, within)


def test_the_club_keeps_its_own_letters(evening_book: Book) -> None:
    with evening_book.writing() as w:
        set_settings(w, ClubSettings(letters="KDTLS"))
    assert open_book(evening_book.path).letters == "KDTLS"
    with evening_book.writing() as w:
        set_settings(w, ClubSettings())
    assert open_book(evening_book.path).letters == ""
