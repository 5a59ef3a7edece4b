"""Closing an evening: what is typed twice, typed in part, or seen."""

import json
from datetime import date
from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.prepared import prepared_for
from tests.cli.conftest import Club
from tests.cli.drive import done, right_answers, sheet_in

FIRST, WITH_CARDS = "2026-09-10", "2026-09-24"
PLAN = ("--from", FIRST, "--to", "2026-12-10", "--weekday", "thursday", "--minutes", "60")


@pytest.fixture
def planned(club: Club) -> Club:
    done("term", "plan", "--group", "Owls", *PLAN)
    return club


def close(day: str, typed: str) -> str:
    return done("evening", "close", day, "--group", "Owls", typed=typed)


def cards_of(club: Club, day: str) -> list[str]:
    with open_book(club.book).reading() as page:
        kept = prepared_for(page, "Owls", date.fromisoformat(day))
        return [card for each in kept.values() for card in each.cards]


def test_a_play_out_that_is_kept_is_not_taken_a_second_time(planned: Club) -> None:
    done("evening", "prepare", WITH_CARDS, "--group", "Owls")
    assert len(cards_of(planned, WITH_CARDS)) == 3
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", WITH_CARDS)
    told = close(WITH_CARDS, "\n\n\n" + "1 mated in 9\n1 mated in 9\n2 gave up\n\n" + "\n\n")
    assert told.count("  Kept: ") == 2
    assert "Play-out 1 is kept." in told
    assert "coachbook log undo" in told
    kept = [entry for entry in json.loads(done("log", "list", "--json")) if "play-out" in entry["what"]]
    assert len(kept) == 2


def test_a_sheet_of_which_a_part_is_logged_is_not_called_logged(planned: Club) -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    with open_book(planned.book).reading() as page:
        code = prepared_for(page, "Owls", date.fromisoformat(FIRST))["Ana"].sheet
    first = right_answers(sheet_in(planned.book, code))[0]
    Path("one.csv").write_text(f"student,item,answer\nAna,1,{first}\n", encoding="utf-8")
    done("log", "answers", code, "--csv", "one.csv", "--date", FIRST)
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    assert f"Sheet {code}" in close(FIRST, "\n\n\n\n\n")


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize(
    ("sign", "impression"), [("", FIRST + "."), ("+", ": can do it."), (" -", ": has trouble.")]
)
def test_a_sign_after_the_unit_says_what_the_coach_saw(sign: str, impression: str) -> None:
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    told = close(FIRST, f"Ana, 1{sign}: found it alone\n\n\n")
    kept = next(line for line in told.splitlines() if "a note on Ana" in line)
    assert kept.endswith(impression)
