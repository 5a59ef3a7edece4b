"""Each thing is logged for the evening to which it belongs; a day that may be a slip is asked about."""

import json
import shlex
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from coachbook.club.book import open_book
from coachbook.club.results import answers, attendance
from coachbook.club.sheets import prepared_for
from tests.cli.conftest import AfterOnce, Calendar, Club
from tests.cli.drive import done, kept_in, right_answers, run, sheet_in

FIRST, SECOND, THIRD, BETWEEN, AHEAD = "2026-09-10", "2026-09-17", "2026-09-24", "2026-09-12", "2026-12-11"
PLAN = ("--from", FIRST, "--until", "2026-12-17", "--weekday", "thursday", "--minutes", "60")
SIX = "1 2 Qa1 Qb2 Qc3 Qd4\n"


def right_line(club: Club, code: str) -> str:
    """All right answers of a sheet, in one line."""
    return "; ".join(right_answers(sheet_in(club.book, code)))


OWLS = ("--group", "Owls")


def _plan(club: Club) -> Club:
    done("term", "plan", *OWLS, *PLAN)
    return club


@pytest.fixture
def planned(after_once: AfterOnce) -> Club:
    return after_once(_plan)


def made_on(day: str) -> str:
    """The code of a sheet that was made for the Owls."""
    made = ("sheet", "make", "queen-box", *OWLS, "--date", day, "--seed", "9", "--to", "papers")
    return done(*made).splitlines()[1].split()[0]


def prepared(club: Club, day: str) -> str:
    """The code of Ana's sheet for an evening."""
    done("evening", "prepare", day, *OWLS)
    return sheet_of(club, day)


def sheet_of(club: Club, day: str) -> str:
    with open_book(club.book).reading() as page:
        return prepared_for(page, "Owls", date.fromisoformat(day))["Ana"].sheet


def evenings_of(club: Club, code: str) -> set[str]:
    with open_book(club.book).reading() as page:
        return {str(each.on) for each in answers(page) if each.sheet == code}


def entries() -> list[str]:
    return [each["what"] for each in json.loads(done("log", "list", "--json"))]


def csv_of(code: str) -> str:
    Path("late.csv").write_text(f"student,item,answer,sheet\nAna,1,9,{code}\n", encoding="utf-8")
    return "late.csv"


@pytest.mark.parametrize("from_table", [False, True])
def test_a_late_sheet_belongs_to_the_evening_for_which_it_was_prepared(
    planned: Club, from_table: bool
) -> None:
    code = prepared(planned, SECOND)
    if from_table:
        told = done("log", "answers", "--table", csv_of(code))
        assert told.endswith(
            f"Kept: 1 answer of Ana on sheet {code}, item 1 (unreadable), evening of {SECOND}.\n"
        )
    else:
        told = done("log", "answers", code, "--ticks", typed="=\n\n")
        assert told.endswith(f"Kept: 6 answers of Ana on sheet {code}, evening of {SECOND}.\n")
    assert evenings_of(planned, code) == {SECOND}


@pytest.mark.parametrize("from_table", [False, True])
def test_a_sheet_that_was_made_alone_belongs_to_the_next_evening_of_the_plan(
    planned: Club, from_table: bool
) -> None:
    code = made_on(BETWEEN)
    call = ("--table", csv_of(code)) if from_table else (code,)
    typed = f"{right_line(planned, code)}\n\n\n\n"
    told = done("log", "answers", *call, typed=typed)
    assert told.endswith(f", evening of {SECOND}.\n")
    assert f"on sheet {code}, " in told
    assert evenings_of(planned, code) == {SECOND}


def test_an_evening_that_was_held_without_a_plan_counts_too(club: Club) -> None:
    done("log", "attendance", "Ana", *OWLS, "--date", "2026-09-15")
    assert f"sheet {club.sheet}, evening of 2026-09-15.\n" in done(
        "log", "answers", club.sheet, typed=f"{SIX}\n\n\n"
    )


def test_without_an_evening_since_it_was_made_a_sheet_belongs_to_today_and_never_to_a_later_day(
    planned: Club, calendar: type[Calendar], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(calendar, "now", date(2026, 9, 14))
    code = made_on(BETWEEN)
    typed = f"{right_line(planned, code)}\n\n\n\n"
    ran = run("log", "answers", code, typed=typed)
    assert "No evening is planned on 2026-09-14 for Owls (the nearest is 2026-09-17)." in ran.err
    told = done("log", "answers", code, "--yes", typed=typed)
    assert f"sheet {code}, evening of 2026-09-14.\n" in told


def test_a_day_that_is_told_wins_and_what_is_logged_already_stays_on_its_evening(planned: Club) -> None:
    code = prepared(planned, SECOND)
    table = Path("dated.csv")
    table.write_text(f"student,item,answer,sheet,date\nAna,1,9,{code},{THIRD}\n", encoding="utf-8")
    assert done("log", "answers", "--table", str(table)).endswith(f"evening of {THIRD}.\n")
    assert f"evening of {THIRD}.\n" in done("log", "answers", code, "--ticks", typed="2: 1\n\n")
    assert evenings_of(planned, code) == {THIRD}
    told = done("log", "answers", code, "--date", "2026-10-01", "--ticks", typed="3: 0\n\n")
    assert f"sheet {code}, item 3 (wrong), evening of 2026-10-01.\n" in told


def test_every_kept_line_names_its_evening(planned: Club) -> None:
    Path("there.csv").write_text(
        f"date,student,present\n{FIRST},Ana,yes\n{SECOND},Ana,no\n{THIRD},Ana,no\n", encoding="utf-8"
    )
    day = ("--date", FIRST)
    assert done("log", "attendance", "--table", "there.csv") == (
        f"Kept: attendance, 3 evenings from {FIRST} to {THIRD}.\n"
    )
    assert f"attendance on {FIRST}: " in done("log", "attendance", "Ana", *OWLS, *day)
    assert f" on {FIRST}" in done("log", "playout", "Ana", "queen-box-1", "9", *day)
    assert f" on {FIRST}." in done("log", "note", "Ana", "queen-box", "helps", *day)
    assert f"evening of {FIRST}." in done("log", "answers", planned.sheet, *day, typed="1: 9\n\n\n\n")
    typed = "Ana queen-box-1 mated in 9\n\nAna, queen-box: sees it\n\n\n"
    told = done("evening", "close", THIRD, *OWLS, typed=f"\n\n{typed}")
    kept = [line for line in told.splitlines() if "Kept: " in line]
    assert len(kept) == 3
    assert all(THIRD in line for line in kept)


LOGGING: dict[str, tuple[tuple[str, ...], str]] = {
    "attendance": (("log", "attendance", "Ana", *OWLS), ""),
    "typed attendance": (("log", "attendance", *OWLS), "\n\n"),
    "answers": (("log", "answers"), f"{SIX}\n\n\n"),
    "a play-out": (("log", "playout", "Ana", "queen-box-1", "9"), ""),
    "a note": (("log", "note", "Ana", "queen-box", "helps"), ""),
    "an evening": (("evening", "close", *OWLS), "\n" * 9),
}
DOUBTED = {
    BETWEEN: (
        f"No evening is planned on {BETWEEN} for Owls (the nearest is {FIRST}).",
        "Log it for that day anyway? [y/N] ",
    ),
    AHEAD: (f"{AHEAD} is still to come.", "Log it anyway? [y/N] "),
}


@pytest.mark.parametrize("day", DOUBTED)
@pytest.mark.parametrize("what", LOGGING)
def test_a_day_that_may_be_a_slip_is_refused_where_nobody_can_be_asked(
    planned: Club, what: str, day: str
) -> None:
    (words, typed), (told, _) = LOGGING[what], DOUBTED[day]
    call = (*words, planned.sheet) if what == "answers" else words
    before = kept_in(planned.folder)
    ran = run(*call, "--date", day, typed=typed)
    assert (ran.code, ran.err) == (
        2,
        f"coachbook: {told} Give another --date, or --yes to log it anyway.\n",
    )
    assert kept_in(planned.folder) == before
    assert f"{day}" in done(*call, "--date", day, "--yes", typed=typed)
    assert entries()


@pytest.mark.parametrize("day", DOUBTED)
@pytest.mark.parametrize("what", LOGGING)
def test_a_day_that_may_be_a_slip_is_asked_about_at_a_terminal(
    planned: Club, at_a_terminal: Callable[[], None], what: str, day: str
) -> None:
    (words, typed), question = LOGGING[what], " ".join(DOUBTED[day])
    call = (*words, planned.sheet) if what == "answers" else words
    before = kept_in(planned.folder)
    at_a_terminal()
    ran = run(*call, "--date", day, typed=f"\n{typed}")
    assert ran.out.startswith(question)
    way_on = "Give the day with --date."
    if what == "an evening":
        near = FIRST if day == BETWEEN else "2026-12-10"  # the last that is open
        way_on = f"To close an evening, give its date: coachbook evening close {near} --group Owls"
    assert (ran.code, ran.err) == (2, f"coachbook: Not logged. {way_on}\n")
    assert kept_in(planned.folder) == before
    assert question in done(*call, "--date", day, typed=f"y\n{typed}")
    assert entries()


@pytest.mark.usefixtures("planned")
def test_a_day_that_was_planned_or_held_is_not_asked_about(at_a_terminal: Callable[[], None]) -> None:
    done("log", "attendance", "Ana", *OWLS, "--date", BETWEEN, "--yes")
    at_a_terminal()
    for day in (SECOND, BETWEEN):
        assert done("log", "playout", "Ana", "queen-box-1", "9", "--date", day).startswith("Kept: ")


@pytest.mark.usefixtures("club")
def test_in_a_group_without_a_plan_only_what_is_to_come_is_asked_about() -> None:
    note = ("log", "note", "Ana", "queen-box", "helps", "--date")
    assert done(*note, BETWEEN).startswith("Kept: ")
    assert f"{AHEAD} is still to come." in run(*note, AHEAD).err


@pytest.fixture
def morning_after(planned: Club, calendar: type[Calendar], monkeypatch: pytest.MonkeyPatch) -> Club:
    monkeypatch.setattr(calendar, "now", date(2026, 9, 18))
    return planned


ASKED = f"No evening is planned today, 2026-09-18, for Owls. Take the last, {SECOND}? [Y/n] "


@pytest.mark.parametrize("what", ["attendance", "typed attendance", "a play-out", "a note"])
@pytest.mark.usefixtures("morning_after")
def test_the_morning_after_the_last_evening_is_offered(at_a_terminal: Callable[[], None], what: str) -> None:
    words, typed = LOGGING[what]
    ran = run(*words, typed=typed)
    assert ran.err == (
        "coachbook: No evening is planned on 2026-09-18 for Owls (the nearest is 2026-09-17)."
        " Give --date 2026-09-17, or --yes to log it for 2026-09-18 anyway.\n"
    )
    at_a_terminal()
    told = done(*words, typed=f"\n{typed}")
    assert told.startswith(ASKED)
    assert SECOND in told.split("Kept: ")[1]
    assert "2026-09-18" in done(*words, typed=f"n\ny\n{typed}").split("Kept: ")[-1]


CLOSE = ("evening", "close", *OWLS)
CLOSING = "The evening of Thu 17 Sept 2026, the last one that is not closed:\n"


@pytest.mark.usefixtures("morning_after")
def test_the_morning_after_the_open_evening_is_closed(
    at_a_terminal: Callable[[], None],
) -> None:
    told = run(*CLOSE, typed="").out
    assert told.startswith(CLOSING)
    assert run(*CLOSE, "--yes", typed="").out.startswith(CLOSING)
    at_a_terminal()
    asked = "Close the evening of Thu 17 Sept 2026? [Y/n] "
    ran = run(*CLOSE, typed="n\n")
    assert (ran.code, ran.out) == (2, asked)
    assert ran.err == (
        "coachbook: Nothing was closed."
        f" To close an evening, give its date: coachbook evening close {FIRST} --group Owls\n"
    )
    assert len(entries()) == 1
    typed = shlex.split(ran.err.rpartition("coachbook ")[2])
    assert f"on {FIRST}" in done(*typed, typed="\n" * 9).split("Kept: ")[1]
    ran = run(*CLOSE, typed="n\n")
    assert ran.err.endswith(f"give its date: coachbook evening close {SECOND} --group Owls\n")
    told = done(*CLOSE, typed="\n" * 9)
    assert told.startswith(asked)
    assert f"on {SECOND}" in told.split("Kept: ")[1]


@pytest.mark.usefixtures("morning_after")
def test_an_evening_that_is_closed_is_not_offered_as_open(at_a_terminal: Callable[[], None]) -> None:
    done("log", "attendance", "Ana", *OWLS, "--date", SECOND)
    assert "No evening is planned on 2026-09-18 for Owls" in run(*CLOSE).err
    at_a_terminal()
    assert done(*CLOSE, typed="\n" * 9).startswith(ASKED)


def test_preparing_says_that_an_earlier_evening_is_not_closed_and_how_to_close_it(
    morning_after: Club,
) -> None:
    left = "Not closed yet: Thu 17 Sept 2026. To close it: coachbook evening close 2026-09-17"
    assert left in done("evening", "prepare", *OWLS).splitlines()
    assert left not in done("evening", "prepare", SECOND, *OWLS)
    done("log", "attendance", "Ana", *OWLS, "--date", SECOND)
    assert left in done("evening", "prepare", *OWLS)
    code = sheet_of(morning_after, SECOND)
    Path("one.csv").write_text("student,item,answer\nAna,1,9\n", encoding="utf-8")
    done("log", "answers", code, "--table", "one.csv", "--date", SECOND)
    assert "Not closed yet" not in done("evening", "prepare", *OWLS)


@pytest.mark.parametrize("day", DOUBTED)
def test_a_table_with_a_day_that_may_be_a_slip_is_refused_with_its_rows(planned: Club, day: str) -> None:
    Path("there.csv").write_text(
        f"date,student,present\n{FIRST},Ana,yes\n{day},Bo,yes\n{day},Ana,no\n", encoding="utf-8"
    )
    Path("answers.csv").write_text(
        f"student,item,answer,sheet,date\nAna,1,9,{planned.sheet},{day}\nBo,1,9,{planned.sheet},{FIRST}\n",
        encoding="utf-8",
    )
    told = f"{DOUBTED[day][0]} To log it anyway, give --yes."
    before = kept_in(planned.folder)
    ran = run("log", "attendance", "--table", "there.csv")
    assert ran.problems == [f"coachbook: there.csv: lines 3 and 4: {told}"]
    ran = run("log", "answers", "--table", "answers.csv")
    assert ran.problems == [f"coachbook: answers.csv: line 2: {told}"]
    assert kept_in(planned.folder) == before
    done("log", "attendance", "--table", "there.csv", "--yes")
    assert "2 answers" in done("log", "answers", "--table", "answers.csv", "--yes")
    with open_book(planned.book).reading() as page:
        assert len(attendance(page)) == 3


@pytest.mark.usefixtures("planned")
def test_errors_show_days_as_the_club_writes_them_and_commands_as_they_are_typed() -> None:
    done("club", "set", "--dates", "month-first")
    between, second = "Sept 12, 2026", "Sept 17, 2026"
    prepare = run("evening", "prepare", BETWEEN, *OWLS)
    assert prepare.err == f"coachbook: No evening is planned on {between}. The next one is {second}.\n"
    cancel = run("term", "replan", *OWLS, "--from", SECOND, "--skip", BETWEEN)
    assert cancel.err == (
        f"coachbook: {between} cannot be cancelled: only evenings from {second} on are replanned."
        f" Give --from {BETWEEN}, or an earlier day.\n"
    )
    twice = run("evening", "close", SECOND, "--date", FIRST)
    assert twice.err == f"coachbook: Which evening: {second} or Sept 10, 2026? Give one date.\n"
    late = run("log", "attendance", *OWLS, "--present", "Ana", "--date", FIRST)
    assert "No attendance is logged on Sept 10, 2026" in late.err
    done("evening", "prepare", SECOND, *OWLS)
    left = done("evening", "prepare", THIRD, *OWLS)
    assert f"Not closed yet: Thu {second}. To close it: coachbook evening close {SECOND}" in left


@pytest.mark.usefixtures("planned")
def test_of_several_groups_the_one_whose_evening_it_is_not_must_be_named_to_be_closed() -> None:
    done("term", "plan", "--group", "Foxes", *PLAN)
    ran = run("evening", "close", BETWEEN)
    assert f"No evening is planned on {BETWEEN} for Foxes or Owls (the nearest is {FIRST})." in ran.err
    ran = run("evening", "close", BETWEEN, "--yes")
    assert "Several groups have a plan. Say which with --group: Foxes, Owls." in ran.err
    assert "Owls: closed" in done("evening", "close", BETWEEN, "--yes", *OWLS, typed="\n" * 9)


@pytest.mark.usefixtures("club")
def test_where_no_group_has_a_plan_there_is_nothing_to_close() -> None:
    assert "No evening is planned on 2026-09-10. Plan a term with" in run("evening", "close", FIRST).err
