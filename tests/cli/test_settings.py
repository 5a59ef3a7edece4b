"""What a club has chosen once holds for every command, unless an option says otherwise."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run

LETTER = (612, 792)
A4 = (595, 842)

pytestmark = pytest.mark.usefixtures("club")


def settings() -> dict[str, str]:
    return {each["setting"]: each["value"] for each in json.loads(done("club", "set", "--json"))}


def size(pdf: Path) -> tuple[int, int]:
    page = PdfReader(BytesIO(pdf.read_bytes())).pages[0].mediabox
    return round(page.width), round(page.height)


def test_a_club_that_chose_nothing_has_the_usual_ways() -> None:
    usual = {"paper": "A4", "notation": "figurine", "letters": "", "folder": "", "dates": "usual"}
    assert settings() == {"name": "Harbour Lane"} | usual
    told = done("club", "set")
    assert all(f"\n{name} " in f"\n{told}" for name in usual)
    assert "Where papers go if --to is not given." in told


def test_what_is_changed_is_told_beside_what_it_was_and_the_rest_stays() -> None:
    assert done("club", "set", "--paper", "letter") == "Paper: Letter (was A4).\n"
    assert done("club", "set", "--paper", "Letter") == "Paper: Letter (as before).\n"
    assert done("club", "set", "--dates", "iso").startswith("Dates: iso, such as 2027-01-12 (was usual")
    assert settings() | {"folder": ""} == {
        "name": "Harbour Lane",
        "paper": "Letter",
        "notation": "figurine",
        "letters": "",
        "folder": "",
        "dates": "iso",
    }


def test_the_clubs_name_is_changed_like_its_other_ways() -> None:
    assert done("club", "set", "--name", " Mill  Road ") == "Name: Mill Road (was Harbour Lane).\n"
    assert done("club", "show").startswith("Mill Road\n")
    for name in ("", "...", "x" * 61, "a\u200eb"):
        refused = run("club", "set", "--name", name, "--paper", "letter")
        assert (refused.code, refused.out, refused.err.count("\n")) == (2, "", 1)
    assert settings() == settings() | {"name": "Mill Road", "paper": "A4"}


@pytest.mark.parametrize("papers", [("poster", "make", "queen-box"), ("lesson", "make", "queen-box")])
def test_an_option_wins_over_the_setting_and_the_setting_over_the_usual_way(
    club: Club, papers: tuple[str, ...]
) -> None:
    done("club", "set", "--paper", "letter", "--notation", "letters")

    def made(*options: str) -> bytes:
        done(*papers, *options, "--to", "new")
        (path,) = (club.folder / "new").glob("*.pdf")
        return path.read_bytes()

    by_setting = made()
    (path,) = (club.folder / "new").glob("*.pdf")
    assert size(path) == LETTER
    by_option = made("--paper", "A4", "--notation", "figurine")
    assert size(path) == A4
    done("club", "set", "--paper", "A4", "--notation", "figurine")
    assert made() == by_option
    assert made("--paper", "letter", "--notation", "letters") == by_setting


def test_papers_go_to_the_clubs_folder_unless_another_is_named(
    club: Club, monkeypatch: pytest.MonkeyPatch
) -> None:
    done("club", "set", "--folder", "papers")
    assert settings()["folder"] == str(club.folder / "papers")
    elsewhere = club.folder / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    done("poster", "make", "queen-box")
    done("card", "make", "queen-box")
    done("sheet", "print", club.sheet)
    done("report", "family", "Ana")
    done("student", "export", "Ana")
    assert list(elsewhere.iterdir()) == []
    names = set(everything_in(club.folder / "papers"))
    assert {"poster-queen-box.pdf", "family-ana.pdf"} <= {name.lower() for name in names}
    done("poster", "make", "queen-box", "--to", ".")
    assert [path.name for path in elsewhere.iterdir()] == ["poster-queen-box.pdf"]
    assert done("club", "set", "--folder", "none").startswith("Folder: the one that you are in (was ")
    assert settings()["folder"] == ""


def test_a_file_is_no_folder_for_papers(club: Club) -> None:
    (club.folder / "list.txt").write_text("x")
    refused = run("club", "set", "--folder", "list.txt", "--paper", "letter")
    assert (refused.code, refused.out) == (2, "")
    assert refused.err == "coachbook: 'list.txt' is not a folder. Choose a folder for the papers.\n"
    assert settings()["paper"] == "A4"


@pytest.mark.parametrize(
    ("style", "shown"),
    [
        ("usual", "2026-09-10"),
        ("iso", "2026-09-10"),
        ("day-first", "10 Sept 2026"),
        ("month-first", "Sept 10, 2026"),
    ],
)
def test_days_are_shown_as_the_club_writes_them_and_to_programs_as_iso(style: str, shown: str) -> None:
    done("club", "set", "--dates", style)
    assert shown in done("sheet", "list")
    assert json.loads(done("sheet", "list", "--json"))[0]["made_on"] == "2026-09-10"
    kept = done("log", "attendance", "--group", "Owls", "Ana", "--date", "10 Sept 2026")
    assert f"attendance on {shown}: " in kept
    assert shown in done("log", "list")
    assert f", {shown}: " in done("student", "show", "Ana", "--date", shown)
