"""Seeing where students stand: one student, a group, who needs review, and the reports."""

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.club.book import open_book
from coachbook.club.sheets import load_worksheet
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

FIRST, LATER = ("--date", "2026-09-10"), ("--date", "2026-11-10")


@pytest.fixture
def evening(club: Club) -> Club:
    """Ana got everything right, Bo little; both played out, and Łucja did not come."""
    done("log", "attendance", "Ana", "Bo", "--group", "Owls", *FIRST)
    done("log", "answers", "--ticks", *FIRST, typed="=\n100-00\n\n\n")
    done("log", "playout", "Ana", "queen-box-1", "mated in 9", *FIRST)
    done("log", "playout", "Bo", "queen-box-1", "stalemate", *FIRST)
    return club


@pytest.mark.usefixtures("evening")
def test_a_student_is_shown_with_the_evidence_and_what_is_missing() -> None:
    told = done("student", "show", "bo", *LATER)
    assert told.splitlines()[0] == "Bo (Owls), 2026-11-10: there on 1 evening"
    assert "working" in told
    assert "2026-09-10: 1 of 6, play-out stalemate" in told
    assert "Missing in The queen's box: 2 good evenings (5 items or more, 80% right)" in told
    assert "little evidence" in told
    data = json.loads(done("student", "show", "Bo", *LATER, "--json"))
    assert next(each["standing"] for each in data if each["unit"] == "queen-box") == "working"
    assert "Nothing is logged yet." in done("student", "show", "Dee", *LATER)
    assert done("student", "show", "Łucja", *LATER).splitlines() == [
        "Łucja (Owls), 2026-11-10: absent on 2026-09-10",
        "",
        "Nothing else is logged yet.",
    ]


@pytest.mark.usefixtures("evening")
def test_a_group_is_shown_with_slips_and_trend() -> None:
    told = done("group", "show", "Owls", *LATER, "--to", "owls.pdf")
    assert "Ana      .    W" in told
    assert "Łucja    .    ." in told
    assert "stalemated once: The queen's box" in told
    assert "2026-09-10  7 of 12  ############  0" in told
    text = PdfReader("owls.pdf").pages[0].extract_text()
    assert "Łucja" in text
    data = json.loads(done("group", "show", "owls", *LATER, "--json", "--every-unit"))
    assert [row[0] for row in data["rows"]] == ["Ana", "Bo", "Łucja"]


def test_review_says_what_to_give_and_prints_exactly_that(evening: Club) -> None:
    advice = json.loads(done("review", "--group", "Owls", *LATER, "--json"))
    assert [(each["student"], each["items"], each["play_out"], each["is_sure"]) for each in advice] == [
        ("Bo", 0, "PLAY-QUEEN-BOX-1", False),
        ("Ana", 5, "", False),
    ]
    told = done("review", "--group", "Owls", *LATER, "--print", "--seed", "5", "--to", "tonight")
    written = [line.removeprefix("Written: ") for line in told.splitlines() if line.startswith("Written: ")]
    assert written == [
        "tonight/review-2026-11-10.pdf",
        "tonight/review-2026-11-10-key.pdf",
        "tonight/review-2026-11-10-cards.pdf",
    ]
    assert "Ana" in PdfReader(written[0]).pages[0].extract_text()
    assert "Ana" in PdfReader(written[1]).pages[0].extract_text()
    assert "Bo" in PdfReader(written[2]).pages[0].extract_text()
    listed = json.loads(done("sheet", "list", "--student", "Ana", "--json"))
    code = listed[-1]["code"]
    assert code.startswith("RE-")
    with open_book(evening.book).reading() as page:
        sheet = load_worksheet(page, code)
    assert [item.unit for item in sheet.items] == ["queen-box"] * 5
    assert "Kept: 5 answers of Ana" in done("log", "answers", code, "--ticks", *LATER, typed="=\n\n")


@pytest.mark.usefixtures("evening")
def test_who_becomes_due_before_the_next_planned_evening_is_to_review_now() -> None:
    def names(*asked: str) -> list[str]:
        return [each["student"] for each in json.loads(done("review", *asked, "--json"))]

    due = {each["student"]: each["due_on"] for each in json.loads(done("review", *LATER, "--json"))}
    eve = date.fromisoformat(due["Ana"]) - timedelta(days=1)
    asked = ("--date", str(eve))
    assert names("--group", "Owls", *asked) == ["Bo"]
    assert not done("review", "--group", "Owls", *asked).startswith("Due by")
    days = ("--from", "2026-09-10", "--until", "2026-12-10", "--weekday", "thu", "--minutes", "60")
    done("term", "plan", "--group", "Owls", *days)
    thursday = eve + timedelta(days=7 - (eve.weekday() + 4) % 7)
    told = done("review", "--group", "Owls", *asked).splitlines()
    assert told[0] == f"Due by {thursday}, the next evening:"
    assert [line.split()[0] for line in told[2:]] == ["Bo", "Ana"]
    assert names("--group", "Owls", *asked) == names(*asked) == ["Bo", "Ana"]
    assert done("review", "--date", "2026-09-09") == "Nobody needs review by 2026-09-10, the next evening.\n"
    assert names("--group", "Foxes", *asked) == []


def test_what_cannot_be_printed_leaves_no_sheet_behind(evening: Club) -> None:
    before = everything_in(evening.folder)
    ran = run("review", *LATER, "--print", "--to", str(evening.book / "folder"))
    assert ran.code == 2
    assert everything_in(evening.folder) == before


@pytest.mark.usefixtures("evening")
def test_reports_are_written_and_named_after_whom_they_are_for() -> None:
    assert done("report", "family", "ana", *LATER) == "Written: family-ana.pdf\n"
    (page,) = PdfReader("family-ana.pdf").pages
    assert "Ana" in page.extract_text()
    assert json.loads(done("report", "family", "Ana", *LATER, "--json"))["evenings"] == 1
    term = ("report", "term", "--from", "2026-09-01", "--until", "2026-12-01")
    assert done(*term).startswith("Written: term-2026-09-01-2026-12-01.pdf")
    summary = json.loads(done(*term, "--json"))
    assert (summary["students"], summary["evenings"], summary["present"], summary["expected"]) == (4, 1, 2, 3)
    assert (summary["right"], summary["tried"], summary["play_outs"], summary["play_outs_within"]) == (
        7,
        12,
        2,
        1,
    )
    text = "".join(page.extract_text() for page in PdfReader("term-2026-09-01-2026-12-01.pdf").pages)
    for name in ("Ana", "Bo", "Dee"):
        assert name not in text.split()
    assert "Swap the dates" in run("report", "term", "--from", "2026-12-01", "--until", "2026-09-01").err


@pytest.mark.usefixtures("evening")
def test_a_family_plays_at_home_what_the_student_has_met_else_nothing() -> None:
    """Of the two units only the queen's box has a play-out."""
    done("log", "note", "Dee", "two-majors", "guards the fence", "--can", *FIRST)
    at_home = {
        name: json.loads(done("report", "family", name, *LATER, "--json"))["at_home"]
        for name in ("Ana", "Dee", "Łucja")
    }
    assert at_home["Ana"]["code"] == "PLAY-QUEEN-BOX-1"
    assert (at_home["Dee"], at_home["Łucja"]) == (None, None)


@pytest.mark.usefixtures("evening")
def test_a_certificate_is_for_a_level_that_is_secure() -> None:
    ran = run("report", "certificate", "Ana", "--level", "1", *LATER)
    assert ran.code == 2
    assert "Ana has not completed level 1" in ran.err
    assert "There is no level 77." in run("report", "certificate", "Ana", "--level", "77", *LATER).err


@pytest.mark.usefixtures("evening")
def test_everything_about_a_student_is_given_out_and_nothing_about_others() -> None:
    told = done("student", "export", "ana", "--to", "out", *LATER).splitlines()
    assert told[:2] == ["Written: out/record-ana.json", "Written: out/record-ana.pdf"]
    data = json.loads(Path("out/record-ana.json").read_text(encoding="utf-8"))
    assert data["student"] == "Ana"
    assert len(data["answers"]) == 6
    assert data["play_outs"][0]["used"] == 9
    assert "Bo" not in json.dumps(data)
    text = "".join(page.extract_text() for page in PdfReader("out/record-ana.pdf").pages)
    assert "Ana" in text
    assert "Bo" not in text.split()
