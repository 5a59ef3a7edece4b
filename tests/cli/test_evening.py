"""Preparing an evening in one go, and closing it step by step."""

import json
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.club.book import open_book
from coachbook.club.sheets import prepared_for
from tests.cli.conftest import AfterOnce, Club
from tests.cli.drive import done, everything_in, right_answers, run, sheet_in

FIRST, SECOND, LATER = "2026-09-10", "2026-09-17", "2026-10-01"
PLAN = ("--from", FIRST, "--until", "2026-12-10", "--weekday", "thursday", "--minutes", "60")


@dataclass(frozen=True, slots=True)
class Papers:
    """Text of the two files, page by page."""

    printer: list[str]
    coach: list[str]


def logged() -> list[str]:
    """What is in the log, the newest first, but for the plans of terms."""
    what = [each["what"] for each in json.loads(done("log", "list", "--json"))]
    return [each for each in what if "term" not in each]


def papers(folder: str | Path, ending: str = "") -> Papers:
    printer, coach = (
        [page.extract_text() for page in PdfReader(Path(folder) / name).pages]
        for name in (f"print{ending}.pdf", f"coach{ending}.pdf")
    )
    return Papers(printer, coach)


def codes(club: Club, group: str, day: str) -> dict[str, str]:
    """Each student's sheet."""
    with open_book(club.book).reading() as page:
        return {name: each.sheet for name, each in prepared_for(page, group, date.fromisoformat(day)).items()}


def units_on(club: Club, code: str) -> list[str]:
    return [item.unit for item in sheet_in(club.book, code).items]


def _plan(club: Club) -> Club:
    for group in ("Owls", "Foxes"):
        done("term", "plan", "--group", group, *PLAN)
    return club


@pytest.fixture
def planned(after_once: AfterOnce) -> Club:
    return after_once(_plan)


def test_one_command_makes_everything_for_the_evening(planned: Club) -> None:
    told = done("evening", "prepare", SECOND).splitlines()
    assert told[0] == f"{SECOND}: Foxes, Owls"
    assert told[1].startswith(f"For the printer: evening-{SECOND}/print.pdf (")
    assert told[2] == f"For you:         evening-{SECOND}/coach.pdf"
    assert told[3].startswith("Paper to print:  ")
    made = papers(f"evening-{SECOND}")
    registers = [number for number, text in enumerate(made.printer) if "Register" in text]
    assert registers[0] == 0
    for name in ("Ana", "Bo", "Łucja", "Dee"):
        assert any(name in text for text in made.printer)
    assert "Tonight: Foxes, Owls" in made.coach[0]
    assert "review: nobody is due: a short warm-up on earlier evenings" in made.coach[0]
    given = codes(planned, "Owls", SECOND)
    assert len(set(given.values())) == 3
    for name, code in given.items():
        assert code in made.coach[0] + made.coach[1]
        assert any(code in text and name in text for text in made.printer)
        assert len(sheet_in(planned.book, code).items) == 6
    outline = [
        str(item["/Title"])
        for item in PdfReader(f"evening-{SECOND}/print.pdf").outline
        if isinstance(item, dict)
    ]
    assert outline[0] == "Register Foxes"
    assert [title for title in outline if title.startswith("Worksheets")] == [
        "Worksheets Foxes",
        "Worksheets Owls",
    ]


def test_papers_made_again_are_the_same_byte_for_byte(planned: Club) -> None:
    done("evening", "prepare", SECOND)
    before = everything_in(planned.folder / f"evening-{SECOND}")
    again = done("evening", "prepare", SECOND)
    assert again.endswith("Nothing has changed since these papers were made.\n")
    assert everything_in(planned.folder / f"evening-{SECOND}") == before
    elsewhere = done("evening", "prepare", SECOND, "--to", "copy")
    assert elsewhere.endswith("The same sheets and cards for all who are in the group now, printed again.\n")
    assert everything_in(planned.folder / "copy") == before


def test_papers_are_the_same_when_the_evening_is_over(planned: Club) -> None:
    done("evening", "prepare", SECOND)
    before = everything_in(planned.folder / f"evening-{SECOND}")
    done("log", "answers", "--ticks", "--date", SECOND, typed="=\n=\n100000\n=\n\n")
    done("evening", "prepare", SECOND)
    assert everything_in(planned.folder / f"evening-{SECOND}") == before


def test_a_second_run_after_a_change_says_what_changed(planned: Club) -> None:
    done("evening", "prepare", SECOND, "--group", "Owls")
    before = codes(planned, "Owls", SECOND)
    done("student", "add", "Zed", "--group", "Owls")
    done("group", "take", "Owls", "Bo")
    told = done("evening", "prepare", SECOND, "--group", "Owls").splitlines()
    after = codes(planned, "Owls", SECOND)
    assert told[-4:] == [
        "Changed since these papers were made:",
        "  Bo is no longer in Owls.",
        f"  Zed is new: sheet {after['Zed']}.",
        f"Next: coachbook evening close {SECOND}",
    ]
    assert after == {"Ana": before["Ana"], "Łucja": before["Łucja"], "Zed": after["Zed"]}
    assert before["Bo"] in done("sheet", "list")


def test_what_is_due_comes_on_the_sheet_and_a_sheet_with_answers_stays(planned: Club) -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    first = codes(planned, "Owls", FIRST)
    done("evening", "prepare", LATER, "--group", "Owls")
    early = codes(planned, "Owls", LATER)
    assert set(units_on(planned, early["Ana"])) == {"queen-box"}
    count = len(units_on(planned, early["Ana"]))
    done("log", "attendance", "Ana", "Bo", "Łucja", "--group", "Owls", "--date", FIRST)
    for name in ("Ana", "Bo"):
        done("log", "answers", first[name], "--ticks", "--date", FIRST, typed="000000000000\n\n")
    done("log", "answers", early["Bo"], "--ticks", "--date", LATER, typed="=\n\n")
    told = done("evening", "prepare", LATER, "--group", "Owls")
    late = codes(planned, "Owls", LATER)
    assert (late["Bo"], late["Łucja"]) == (early["Bo"], early["Łucja"])
    assert f"Ana: sheet {late['Ana']} in place of {early['Ana']}, which stays in the book." in told
    assert f"Kept: {count} answers of Ana" in done(
        "log", "answers", early["Ana"], "--ticks", "--date", LATER, typed="=\n\n"
    )
    done("log", "undo")
    assert units_on(planned, late["Ana"]) == ["two-majors"] * 5
    coach = "".join(papers(f"evening-{LATER}", "-owls").coach)
    assert "Two big pieces: 3 weeks ago, 0 of 12" in coach


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("2026-09-11",), "No evening is planned on 2026-09-11. The next one is 2026-09-17."),
        (("2026-09-17", "--group", "Bats"), "There is no group 'Bats'."),
        (("soon",), "'soon' is not a date."),
    ],
)
def test_what_cannot_be_prepared_is_told_and_nothing_is_made(
    planned: Club, arguments: tuple[str, ...], told: str
) -> None:
    before = everything_in(planned.folder)
    ran = run("evening", "prepare", *arguments)
    assert (ran.code, len(ran.problems)) == (2, 1)
    assert told in ran.err
    assert everything_in(planned.folder) == before


def test_a_failure_leaves_neither_sheets_nor_half_a_folder(planned: Club) -> None:
    before = everything_in(planned.folder)
    (planned.folder / "taken").write_text("a file")
    assert run("evening", "prepare", SECOND, "--to", "taken").code == 2
    (planned.folder / "taken").unlink()
    assert everything_in(planned.folder) == before


@pytest.mark.usefixtures("club")
def test_without_a_plan_there_is_nothing_to_prepare() -> None:
    ran = run("evening", "prepare")
    assert ran.code == 2
    assert "No group has a term plan." in ran.err
    assert "No evening is planned on" in run("evening", "close", FIRST).err


def test_an_evening_is_closed_step_by_step(planned: Club) -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    given = codes(planned, "Owls", FIRST)
    right = "; ".join(right_answers(sheet_in(planned.book, given["Ana"])))
    typed = f"łucja\n\n{right}\n\n\nAna, two-majors: helped Bo\nnonsense\n\n1\n"
    told = done("evening", "close", FIRST, "--group", "Owls", typed=typed)
    assert "Kept: attendance on 2026-09-10: 2 of 3 there." in told
    assert f"Sheet {given['Łucja']}" not in told
    assert "12 of 12 right" in told
    assert "Kept: a note on Ana in two-majors on 2026-09-10." in told
    assert "'nonsense' is not a note." in told
    assert f"Owls: closed; next on {SECOND}." in told
    assert told.endswith(f"Next: coachbook evening prepare {SECOND}\n")
    assert f"Not logged: sheet {given['Bo']} of Bo." in told
    assert len(logged()) == 3
    again = done(
        "evening",
        "close",
        FIRST,
        "--group",
        "Owls",
        typed="\n\n\n\n",
    )
    assert "attendance is logged. Absent: Łucja.\n  1  Ana\n  2  Bo\n  3  Łucja\n" in again
    assert f"Sheet {given['Ana']}" not in again


@pytest.mark.usefixtures("planned")
def test_what_is_kept_stays_when_the_coach_stops_in_the_middle() -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    ran = run("evening", "close", FIRST, "--group", "Owls", typed="\n\n")
    assert ran.code == 2
    assert "Kept: attendance on 2026-09-10: 3 of 3 there." in ran.out
    assert ran.err == ("coachbook: Stopped. What was kept so far stays. To go on, close the evening again.\n")
    assert logged() == ["attendance on 2026-09-10: 3 of 3 there"]


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize("typed", ["", "x\n", "two-majors\n0\n"])
def test_input_that_ends_at_the_last_question_stops_the_close(typed: str) -> None:
    done("log", "attendance", "Ana", "--group", "Owls", "--date", FIRST)
    ran = run("evening", "close", FIRST, "--group", "Owls", typed="\n" + typed)
    assert (ran.code, ran.err[:19]) == (2, "coachbook: Stopped.")


def test_a_guest_who_is_marked_elsewhere_does_not_close_a_groups_attendance(planned: Club) -> None:
    done("evening", "prepare", FIRST, "--group", "Owls")
    done("log", "attendance", "Dee", "Ana", "--group", "Foxes", "--date", FIRST)
    told = done("evening", "close", FIRST, "--group", "Owls", typed="\n\n\n\n\n\n\n\n")
    assert "Owls on 2026-09-10: who is absent?" in told
    assert codes(planned, "Owls", FIRST)


@pytest.mark.usefixtures("planned")
def test_papers_of_an_evening_are_printed_with_the_clubs_letters_too() -> None:
    done("club", "set", "--letters", "KDTLS")
    done("evening", "prepare", SECOND, "--notation", "letters")
    own = papers(f"evening-{SECOND}")
    done("evening", "prepare", SECOND, "--notation", "letters", "--letters", "KQRBN")
    assert papers(f"evening-{SECOND}") != own


def test_the_lesson_and_the_cover_say_who_is_due_by_the_log_and_not_by_the_plan(planned: Club) -> None:
    done("log", "answers", planned.sheet, "--date", FIRST, typed="?; ?\n\n\n\n\n")
    plan = json.loads(done("term", "show", "--group", "Owls", "--json", "--date", FIRST))["plan"]
    assert plan["sessions"][1]["slots"][0]["why"].startswith("nobody is due")
    done("evening", "prepare", SECOND, "--group", "Owls")
    made = papers(f"evening-{SECOND}", "-owls")
    told = "students due before the next evening: The queen's box (1)"
    assert told in " ".join(made.coach[0].split())
    assert any(told in " ".join(text.split()) for text in made.printer)


def leaves_told(told: str) -> dict[str, int]:
    """By options: the leaves that `evening prepare` says they take; those given under ""."""
    (line,) = (line for line in told.splitlines() if line.startswith("Paper to print:"))
    now, _, others = line.partition("; ")
    ways = [way.split(" with ") for way in others.split(", ")] if others else []
    return {"": int(now.split()[3]), **{way: int(leaves) for leaves, way in ways}}


@pytest.mark.full
def test_what_is_said_to_save_paper_does_so_and_by_so_much(planned: Club) -> None:
    told = leaves_told(done("evening", "prepare", SECOND, "--boards", "4"))
    assert {"--two-up", "--two-sides", "--two-sides and --two-up"} <= {*told}
    for way, leaves in told.items():
        options = way.replace(" and ", " ").split()
        boards = () if "--boards" in options else ("--boards", "4")
        assert leaves_told(done("evening", "prepare", SECOND, *boards, *options))[""] == leaves
        assert leaves <= told[""]
        pages = len(papers(planned.folder / f"evening-{SECOND}").printer)
        assert leaves == (-(-pages // 2) if "--two-sides" in options else pages)


def test_what_saves_nothing_is_not_offered(planned: Club) -> None:
    assert codes(planned, "Owls", SECOND) == {}
    told = leaves_told(done("evening", "prepare", SECOND, "--two-up", "--two-sides"))
    assert list(told) == [""]


@pytest.mark.usefixtures("planned")
def test_the_coach_reads_how_two_pages_a_side_are_printed_and_cut() -> None:
    done("evening", "prepare", SECOND, "--two-up", "--two-sides")
    cover = " ".join(papers(f"evening-{SECOND}").coach[0].split())
    assert "turned over the short edge, two of these on each, in this order: Register Foxes (1)" in cover
    assert "Cut the leaves down the middle: each half is for one student." in cover


@pytest.mark.usefixtures("planned")
@pytest.mark.parametrize("options", [("--two-up", "--large"), ("--two-up", "--boards", "9")])
def test_what_would_be_too_small_is_refused_in_one_line(options: tuple[str, ...]) -> None:
    ran = run("evening", "prepare", SECOND, *options)
    assert (ran.code, len(ran.problems)) == (2, 1)
