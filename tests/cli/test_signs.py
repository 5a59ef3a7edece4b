"""What a command prints on paper can be read, sign by sign, or is told."""

from pathlib import Path

import pytest

from tests.cli.conftest import Club
from tests.cli.drive import done, run
from tests.paper import printed

ON = ("--date", "2026-09-10")
LOST = set("\ufffd\u25a1\u25af")


def words(path: Path) -> str:
    return " ".join(" ".join(printed.texts(path)).split())


def record_of(folder: Path, name: str) -> str:
    (path,) = (path for path in folder.glob("*.pdf") if name.lower() in path.name.lower())
    return words(path)


def test_the_record_of_a_student_shows_ticked_answers(club: Club) -> None:
    done("log", "answers", club.sheet, "--ticks", *ON, typed="110000\n\n\n\n")
    done("student", "export", "Ana", *ON, "--to", "record")
    text = record_of(club.folder / "record", "ana")
    assert text.count("\u2713 right") == 2
    assert text.count("\u2717 wrong") == 4
    assert "\ufffd" not in text


def test_a_letter_that_no_font_has_is_told_once_and_a_symbol_named(club: Club) -> None:
    done("log", "note", "Ana", "queen-box", "well done \U0001f44d", *ON)
    done("log", "note", "Ana", "queen-box", "\u738b helped \u738b", *ON)
    ran = run("student", "export", "Ana", *ON, "--to", "record")
    assert ran.code == 0
    assert ran.problems == ["No font of coachbook's has \u738b: on paper a question mark stands for each."]
    text = record_of(club.folder / "record", "ana")
    assert "well done (thumbs up sign)" in text
    assert "? helped ?" in text


@pytest.mark.parametrize(
    "command",
    [
        ("sheet", "make", "queen-box", "--group", "Owls", *ON),
        ("lesson", "make", "two-majors", *ON),
        ("card", "make", "queen-box", "--group", "Owls"),
        ("poster", "make", "queen-box"),
    ],
    ids=lambda command: " ".join(command[:2]),
)
def test_no_paper_of_a_command_has_a_sign_without_a_glyph(club: Club, command: tuple[str, ...]) -> None:
    done(*command, "--to", "papers")
    papers = list((club.folder / "papers").rglob("*.pdf"))
    assert papers
    assert not any(LOST & set(words(path)) for path in papers)


def test_no_paper_of_an_evening_has_one(busy_club: Club) -> None:
    papers = list((busy_club.folder / "tonight").rglob("*.pdf"))
    assert papers
    assert not any(LOST & set(words(path)) for path in papers)
