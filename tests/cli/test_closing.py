"""Closing an evening: what is typed twice, typed in part, or seen."""

import json
from datetime import date
from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.sheets import prepared_for
from coachbook.errors import CoachbookError
from coachbook.wording.plans import unmistakable as quoted
from coachbook.workflows import closing
from tests.cli.conftest import AfterOnce, Club
from tests.cli.drive import done, right_answers, run, sheet_in

FIRST, SECOND, WITH_CARDS = "2026-09-10", "2026-09-17", "2026-09-24"
PLAN = ("--from", FIRST, "--until", "2026-12-10", "--weekday", "thursday", "--minutes", "60")


def _plan(club: Club) -> Club:
    done("term", "plan", "--group", "Owls", *PLAN)
    return club


@pytest.fixture
def planned(after_once: AfterOnce) -> Club:
    return after_once(_plan)


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
    told = close(WITH_CARDS, "\n\n\n\n" + "1 mated in 9\n1 mated in 9\n2 gave up\n\n" + "\n\n")
    assert told.count("  Kept: ") == 2
    assert "Play-out 1 is kept." in told
    assert "coachbook log undo" in told
    assert "type its code: Ana PLAY-QUEEN-BOX-1 mated in 9." in told
    kept = [entry for entry in json.loads(done("log", "list", "--json")) if "play-out" in entry["what"]]
    assert len(kept) == 2


def half_logged(club: Club) -> str:
    """Ana's sheet, of which the first two items are logged."""
    done("evening", "prepare", FIRST, "--group", "Owls")
    with open_book(club.book).reading() as page:
        code = prepared_for(page, "Owls", date.fromisoformat(FIRST))["Ana"].sheet
    Path("two.csv").write_text("student,item,answer\nAna,1,\nAna,2,\n", encoding="utf-8")
    done("log", "answers", code, "--table", "two.csv", "--date", FIRST)
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    return code


def test_a_sheet_of_which_a_part_is_logged_is_called_half_logged(planned: Club) -> None:
    code = half_logged(planned)
    told = close(FIRST, "\n\n\n\n\n\n")
    assert f"Sheet {code}" in told
    assert "\nAna (items 3 to 12): " in told
    assert f"  Half logged: items 3 to 12 of sheet {code} of Ana are missing.\n" in told
    assert told.count("  Not logged: sheet ") == 2
    assert f"  To log what is missing: coachbook evening close {FIRST}\n" in told


def test_only_the_missing_items_of_a_sheet_need_to_be_typed(planned: Club) -> None:
    code = half_logged(planned)
    rest = right_answers(sheet_in(planned.book, code))[2:]
    told = close(FIRST, f"\n{'; '.join(rest[:2])}\n{'; '.join(rest)}\n\n\n\n\n\n")
    assert "These are 2 answers, but items 3 to 12 are missing, and the sheet has 12 items." in told
    assert f"Kept: 10 answers of Ana on sheet {code}, evening of {FIRST}." in told
    assert "Half logged" not in told
    done("log", "undo")
    ticked = done("evening", "close", FIRST, "--group", "Owls", "--ticks", typed="\n=\n\n\n\n\n\n")
    assert f"Kept: 10 answers of Ana on sheet {code}, evening of {FIRST}." in ticked


@pytest.mark.usefixtures("planned")
def test_what_was_not_finished_by_an_earlier_close_is_told_and_nobody_missed_it() -> None:
    done("log", "attendance", "Ana", "Bo", "--group", "Owls", "--date", FIRST)
    assert "To catch up: Łucja missed Two big pieces." in close(FIRST, "\n\n\n")
    first = close(FIRST, "\n\n1\n")
    assert "Not finished (numbers; Enter: everything was done): " in first
    assert "To catch up" not in first
    plan = done("term", "show", "--group", "Owls", "--json", "--date", FIRST)
    for again in ("", "1"):
        told = close(FIRST, f"\n\n{again}\n")
        assert "Not finished (so far: Two big pieces): " in told
        assert "To catch up" not in told
        assert done("term", "show", "--group", "Owls", "--json", "--date", FIRST) == plan


@pytest.mark.usefixtures("planned")
def test_a_plan_that_cannot_be_made_anew_does_not_stop_the_close(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise CoachbookError("The hall is too small.", "Ask for another.")

    monkeypatch.setattr(closing, "plan_again", refuse)
    done("log", "attendance", "Ana", "Bo", "--group", "Owls", "--date", FIRST)
    told = close(FIRST, "\n\n1\n")
    assert "\nOwls: closed; next on 2026-09-17.\n" in told
    assert "  The plan stays as it was: The hall is too small. Ask for another.\n" in told
    assert told.endswith("Next: coachbook evening prepare 2026-09-17\n")


@pytest.mark.usefixtures("planned")
def test_whom_to_bring_back_is_told_student_by_student_and_who_was_right_comes_last() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    typed = "\n\n100000000000\n=\n111111111110\n\n\n\n"
    told = done("evening", "close", FIRST, "--group", "Owls", "--ticks", typed=typed).splitlines()
    start = told.index(f"  To bring back by {SECOND}:")
    assert told[start + 1] == "    Ana: Two big pieces (today, 1 of 12)"
    assert not any(line.startswith("    Bo: ") for line in told)
    note = ("log", "note", "Bo", "queen-box", "sees it", "--can", "--date", "2026-06-01", "--yes")
    done(*note)
    late = close(FIRST, "\n\n\n\n").splitlines()
    assert late[-2] == f"  Also due by {SECOND}, but right the last time: Bo."


def test_a_title_that_ends_with_a_sign_stands_in_quotes() -> None:
    assert quoted("Is the game over?") == "“Is the game over?”"
    assert quoted("Two big pieces") == "Two big pieces"


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize(
    ("sign", "impression"), [("", FIRST + "."), ("+", ": can do it."), (" -", ": has trouble.")]
)
def test_a_sign_after_the_unit_says_what_the_coach_saw(sign: str, impression: str) -> None:
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    told = close(FIRST, f"\nAna, 1{sign}: found it alone\n1 {sign}: and again\n\n\n")
    kept = [line for line in told.splitlines() if "a note on Ana" in line]
    assert [line.endswith(impression) for line in kept] == [True, True]


@pytest.mark.usefixtures("planned")
def test_a_note_needs_no_accents_and_without_a_unit_it_is_on_the_evening() -> None:
    done("log", "attendance", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    told = close(FIRST, "\nLucja: helps\n2: sees it\n3 text\n7: text\n: text\nBo, 2: text\n\n\n")
    assert "(Bo, 1: explained it to a neighbour)" in told
    assert "Without a unit it is a note on the evening (Bo: left early)." in told
    assert f"Kept: a note on Łucja on {FIRST}." in told
    assert f"Kept: a note on Bo on {FIRST}." in told
    assert "'3 text' is not a note. Such as: Bo, 1: explained it to a neighbour." in told
    assert "There is no student 7 in the list. Numbers are 1 to 3." in told
    assert "There is no unit '2'." in told


@pytest.mark.usefixtures("planned")
def test_a_question_mark_is_a_question_wherever_something_is_asked() -> None:
    done("log", "attendance", "Bo", "--group", "Owls", "--date", FIRST)
    told = close(FIRST, "\n\n?\n\n")
    assert told.count("Which units were not finished") == 2


@pytest.mark.usefixtures("planned")
def test_who_came_late_is_put_right_and_then_asked_for_the_sheet() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    first = close(FIRST, "2, 3\n\n\n\n=\n\n\n")
    assert "Bo: " not in first.split("Kept: attendance")[1].split("Notes")[0]
    told = close(FIRST, "9\n3 late\n\n\n\n\n\n")
    assert "attendance is logged. Absent: Bo, Łucja." in told
    assert "There is no student 9 in the list. Numbers are 1 to 3." in told
    assert "There: Ana, Łucja. Absent: Bo.\n" in told
    assert "Łucja: " in told
    assert "There: Łucja. Absent: Ana, Bo.\n" in close(FIRST, "ana\n\n\n\n\n\n")


@pytest.mark.usefixtures("planned")
def test_who_was_absent_is_named_where_every_other_sheet_is_logged() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    ticked = done("evening", "close", FIRST, "--group", "Owls", "--ticks", typed="2\n\n=\n=\n\n\n\n")
    assert f"Kept: 24 answers of 2 students on 2 sheets, evening of {FIRST}." in ticked
    told = close(FIRST, "\n\n\n")
    assert "Every sheet of those who were there is logged. Absent: Bo.\n" in told


@pytest.mark.usefixtures("planned")
def test_a_play_out_from_a_card_that_was_not_given_out_is_taken_by_its_code() -> None:
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", WITH_CARDS)
    typed = "lucja queen-box-1 mated in 9\nAna PLAY-QUEEN- BOX-1 1. Qc4 Ke3 2. Kb2 Kf3\n1 mated in 9\n"
    told = close(WITH_CARDS, "\n" + typed + "Bo two-majors-1 mate\nTom queen-box-1 gave up\n\n\n\n")
    assert (
        "Play-outs. Type name, card and how it went, or the moves (Ana PLAY-QUEEN-BOX-1 mated in 14)." in told
    )
    assert "  Kept: Łucja: mate in 9 moves" in told
    assert "  Kept: Ana: stopped (does not count)" in told
    assert (
        "'1 mated in 9' is neither a number of the list nor a name and a card's code, and then how it went."
        in told
    )
    assert "The unit two-majors has no play-out 1." in told
    assert "There is no student 'Tom'." in told


def test_a_card_of_the_list_that_is_told_by_its_code_is_not_taken_by_its_number_too(planned: Club) -> None:
    done("evening", "prepare", WITH_CARDS, "--group", "Owls")
    assert len(cards_of(planned, WITH_CARDS)) == 3
    typed = "bo queen-box-1 mated in 9\n2 mated in 9\nBo queen-box-1 mated in 8\n\n"
    told = close(WITH_CARDS, "\n\n\n\n\n" + typed + "\n\n")
    assert "Play-out 2 is kept." in told
    assert told.count("  Kept: Bo: mate in ") == 2


@pytest.mark.usefixtures("planned")
def test_closing_that_is_stopped_says_which_answers_are_lost() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    ran = run("evening", "close", FIRST, "--group", "Owls", "--ticks", typed="\n\n=\n=\n")
    assert ran.code == 2
    assert ran.err == (
        "coachbook: Stopped. Not kept yet, but safe: 24 answers of 2 students. What was kept so far stays."
        " To go on, close the evening again.\n"
    )


@pytest.mark.usefixtures("planned")
def test_who_has_answers_is_not_put_down_as_absent_without_a_question() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    done("evening", "close", FIRST, "--group", "Owls", "--ticks", typed="3\n\n=\n\n\n\n\n")
    told = close(FIRST, "ana, bo\n\nana\ny\n\n\n\n\n\n")
    assert told.count("Ana has 12 answers from this evening. Still mark as absent? [y/N] ") == 2
    assert "There: Ana. Absent: Bo, Łucja.\n" in told
    assert "There: nobody. Absent: Ana, Bo, Łucja.\n" in told
    assert (
        "If somebody is in the wrong place, type the name or number: there and absent change over.\n" in told
    )


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize(("command", "typed"), [("prepare", ""), ("close", "\n" * 9)])
def test_the_evening_may_be_named_with_date_as_elsewhere(command: str, typed: str) -> None:
    assert SECOND in done("evening", command, "--date", SECOND, typed=typed)
    assert SECOND in done("evening", command, SECOND, "--date", SECOND, typed=typed)
    ran = run("evening", command, SECOND, "--date", FIRST)
    assert (ran.code, ran.err) == (2, f"coachbook: Which evening: {SECOND} or {FIRST}? Give one date.\n")


@pytest.mark.usefixtures("planned")
def test_a_play_out_may_have_a_colon_and_help_is_one_key_away() -> None:
    done("evening", "prepare", WITH_CARDS, "--group", "Owls")
    typed = "?\n1: stalemate\n2:mated in 9\n3 : gave up\n4: mated in 9\nAna queen-box-1: 8\n\n?\n\n\n"
    told = close(WITH_CARDS, "\n\n\n\n\n" + typed)
    assert "How it went: mated in 14, stalemate, draw, lost, gave up, time ran out; or a number alone" in told
    assert "Type who, the unit, a colon, and what you saw." in told
    assert told.count("  Kept: ") == 4
    assert "  Kept: Bo: mate in 9 moves" in told
    assert "'4: mated in 9' is neither a number of the list" in told


@pytest.mark.usefixtures("planned")
def test_the_moves_of_a_play_out_are_judged_as_by_its_own_command() -> None:
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", WITH_CARDS)
    moves = "1. Qd1 Kf5 2. Qd4 Ke6 3. Qc5 Kf6 4. Qd5 Ke7 5. Qc6 Kf7 6. Qa6 Ke7"
    own = done("log", "playout", "Bo", "queen-box-1", *moves.split(), "--date", WITH_CARDS).splitlines()
    judged = [line for line in own if line.startswith(("Best", "First", "Quicker", "Off", "   "))]
    assert any(line.startswith("Best moment: ") for line in judged)
    assert any(line.startswith("Off the rule: ") for line in judged)
    told = close(WITH_CARDS, f"\nAna queen-box-1 {moves}\n\n\n\n").splitlines()
    kept = next(
        number
        for number, line in enumerate(told)
        if f"  Kept: Ana: stopped (does not count), evening of {WITH_CARDS}." in line
    )
    assert [line[4:] for line in told[kept + 1 : kept + 1 + len(judged)]] == judged
