"""What a coach may choose for paper: forms, large print, letters, boards a page, cards and posters."""

import json
import re
import shutil
from collections.abc import Iterable
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from coachbook.model.dates import WEEKDAYS
from tests.cli.conftest import Club
from tests.cli.drive import done, everything_in, run, sheet_in

MAKE = ("sheet", "make", "queen-box", "--seed", "5", "--date", "2026-09-17")


def made(club: Club, *options: str) -> tuple[list[str], list[str]]:
    """The codes of sheets made with these options, and the text of their pages."""
    told = done(*MAKE, *options, "--to", "new").splitlines()
    codes = [line.split()[0] for line in told[1 : told.index("")]]
    (path,) = (club.folder / "new").glob("*[!y].pdf")
    return codes, [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def test_forms_are_made_shown_and_printed_again(club: Club) -> None:
    codes, pages = made(club, "--group", "Owls", "--forms", "--items", "4")
    assert [code[-2:] for code in codes] == ["-A", "-B"]
    assert [sheet_in(club.book, code).form for code in codes] == ["A", "B"]
    assert ["Form A" in page for page in pages] == [True, False, True]
    done("sheet", "print", *codes, "--to", "again")
    assert everything_in(club.folder / "again") == everything_in(club.folder / "new")


def test_a_sheet_has_the_day_that_was_named_and_else_a_line_for_it(club: Club) -> None:
    done("club", "set", "--dates", "month-first")
    _, pages = made(club, "--student", "Dee", "--items", "4")
    assert all("Date Thu Sept 17, 2026" in page for page in pages)
    (code,) = made_today("two-majors", "--student", "Dee", "--items", "4", "--to", "blank")
    (path,) = (club.folder / "blank").glob("*[!y].pdf")
    text = " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())
    assert not re.search(rf"Date ({'|'.join(day[:3] for day in WEEKDAYS)})", text)
    assert sheet_in(club.book, code).evening is None


def made_today(*words: str) -> list[str]:
    """The codes of sheets that are made without a day."""
    told = done("sheet", "make", *words, "--seed", "5").splitlines()
    return [line.split()[0] for line in told[1 : told.index("")]]


def test_items_for_review_are_told(club: Club) -> None:
    done("sheet", "make", "two-majors", "--student", "Bo", "--items", "3", "--date", "2026-09-10")
    rows = "student,item,answer\n" + "".join(f"Bo,{item},?\n" for item in (1, 2, 3))
    (club.folder / "a.csv").write_text(rows)
    code = next(
        line.split()[0]
        for line in done("sheet", "list", "--student", "Bo").splitlines()
        if "two-majors" in line
    )
    done("log", "answers", code, "--table", "a.csv", "--date", "2026-09-10")
    shown = done(*MAKE, "--group", "Owls", "--each", "--items", "4", "--date", "2026-11-19")
    assert [line.split()[1:] for line in shown.splitlines()[1:4]] == [
        ["4", "Ana"],
        ["4", "(2", "review)", "Bo"],
        ["4", "Łucja"],
    ]
    none = done(*MAKE, "--student", "Bo", "--items", "4", "--date", "2026-11-19", "--review", "0")
    assert "review" not in none.splitlines()[1]


@pytest.mark.parametrize(
    ("options", "pages"),
    [
        ((), 2),
        (("--boards", "2"), 5),
        (("--boards", "9"), 2),
        (("--large",), 4),
        (("--two-sides",), 2),
        (("--two-up",), 1),
    ],
)
def test_a_page_is_as_full_as_asked_for(club: Club, options: tuple[str, ...], pages: int) -> None:
    _, printed = made(club, "--student", "Dee", "--items", "8", *options)
    assert len(printed) >= pages if options == ("--large",) else len(printed) == pages


def test_letters_of_another_language_are_letters_without_more_words(club: Club) -> None:
    made(club, "--student", "Dee", "--letters", "KDTLS")
    (key,) = (club.folder / "new").glob("*-key.pdf")
    text = " ".join(page.extract_text() for page in PdfReader(key).pages)
    assert not set("♔♕♖♗♘") & set(text)
    english = done(*MAKE, "--student", "Ana", "--notation", "letters", "--to", "english")
    assert english
    lesson = done("lesson", "make", "queen-box", "--letters", "KDTLS", "--to", "new").split()[1]
    shown = " ".join(page.extract_text() for page in PdfReader(club.folder / lesson).pages)
    assert not set("♔♕♖♗♘") & set(shown)
    assert "Dd" in shown or "De" in shown or "Dc" in shown


def text_of(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


def test_a_club_with_letters_of_its_own_has_them_on_paper_that_has_letters(club: Club) -> None:
    sheet = ("sheet", "print", club.sheet, "--to")
    moves = ("log", "playout", "Ana", "queen-box-1", "1. Qc5", "--date", "2026-09-10", "--to")
    papers = {
        "sheet": (*sheet, "{}"),
        "lesson": ("lesson", "make", "queen-box", "--to", "{}"),
        "poster": ("poster", "make", "queen-box", "--to", "{}"),
        "play-out": (*moves, "{}/page.pdf"),
    }

    def printed(*options: str) -> dict[str, list[bytes]]:
        found = {}
        for name, words in papers.items():
            Path(name).mkdir()
            done(*(word.format(name) for word in words), *options)
            found[name] = [path.read_bytes() for path in sorted(Path(name).glob("*.pdf"))]
            shutil.rmtree(name)
        return found

    def texts(printed: Iterable[bytes]) -> list[str]:
        return [page.extract_text() for paper in printed for page in PdfReader(BytesIO(paper)).pages]

    asked = ("--notation", "letters")
    english, german = printed(*asked), printed("--letters", "KDTLS")
    assert all(texts(german[name]) != texts(english[name]) for name in papers)
    figurines = printed()
    done("club", "set", "--letters", "KDTLS")
    assert printed(*asked) == german
    assert printed("--letters", "KQRBN") == english
    assert printed() == figurines
    codes, _ = made(club, "--student", "Dee", *asked)
    done("sheet", "print", *codes, "--letters", "KDTLS", "--to", "again")
    assert everything_in(club.folder / "again") == everything_in(club.folder / "new")


@pytest.mark.usefixtures("club")
def test_a_club_shows_its_letters() -> None:
    assert "Letters   English (KQRBN)\n" in done("club", "show")
    assert json.loads(done("club", "show", "--json"))["letters"] == ""
    assert done("club", "set", "--letters", "kdtls") == (
        "Letters: king K, queen D, rook T, bishop L, knight S.\n"
        "Before:  king K, queen Q, rook R, bishop B, knight N.\n"
        "Letters: KDTLS (was English (KQRBN)).\n"
        "Papers still have little pieces. For letters: coachbook club set --notation letters\n"
    )
    assert "Letters   KDTLS\n" in done("club", "show")
    assert json.loads(done("club", "show", "--json"))["letters"] == "KDTLS"


def test_a_poster_in_letters_needs_no_book_either(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COACHBOOK_BOOK", raising=False)
    for variable in ("HOME", "XDG_DATA_HOME"):
        monkeypatch.setenv(variable, str(tmp_path))
    monkeypatch.chdir(tmp_path)
    done("poster", "make", "queen-box", "--notation", "letters")
    assert [path.name for path in tmp_path.iterdir()] == ["poster-queen-box.pdf"]
    assert not set("♔♕♖♗♘") & set(text_of(tmp_path / "poster-queen-box.pdf"))


@pytest.mark.usefixtures("club")
def test_cards_are_for_a_group_for_a_student_or_without_names() -> None:
    def names(*options: str) -> int:
        path = Path(done("card", "make", "queen-box", *options).split()[1])
        text = " ".join(page.extract_text() for page in PdfReader(path).pages)
        assert "PLAY-QUEEN-" in text
        return sum(bool(re.search(rf"\b{name}\b", text)) for name in ("Ana", "Bo", "Łucja", "Dee"))

    told = done("card", "make", "queen-box", "--group", "Owls").splitlines()
    assert told[1] == "In it: 3 cards, 1 for each of 3 students."
    assert done("card", "make", "queen-box").splitlines()[1] == "In it: 1 card."
    assert names() == 0
    assert names("--student", "dee") == 1
    assert names("--group", "Owls") == 3


def test_a_poster_is_printed_without_a_book(club: Club) -> None:
    told = done("poster", "make", "queen-box", "--paper", "letter", "--to", "wall")
    path = club.folder / "wall" / "poster-queen-box.pdf"
    assert told == "Written: wall/poster-queen-box.pdf\n"
    for page in PdfReader(path).pages:
        assert (page.mediabox.width, page.mediabox.height) == (612, 792)


def test_a_supply_that_ends_is_one_line_and_changes_nothing(club: Club) -> None:
    syllabus = Path("own")
    syllabus.mkdir()
    for name in ("level-1.toml", "level-2.toml"):
        text = (Path(__file__).with_name("syllabus") / name).read_text(encoding="utf-8")
        (syllabus / name).write_text(text.replace("hardest = 20\n", "hardest = 1\n"), encoding="utf-8")
    before = everything_in(club.folder)
    ran = run(*MAKE, "--student", "Dee", "--syllabus", "own")
    assert (ran.code, ran.out) == (2, "")
    assert ran.problems == [
        "coachbook: For Dee: Only 0 fresh positions are left for box_size in queen-box, 2 are needed. Make a"
        " shorter sheet, widen the range of difficulty in the syllabus, or take another unit."
    ]
    assert everything_in(club.folder) == before
