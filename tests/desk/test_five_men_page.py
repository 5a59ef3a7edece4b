"""The page of endings of five men: what is built, what building takes, and building."""

from pathlib import Path
from urllib.parse import urlencode

import pytest

from coachbook.files.reading import FOLDER_VARIABLE
from tests.desk.conftest import Browser, words

PATH = "/board/five-men"


@pytest.fixture
def empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return tmp_path


@pytest.mark.usefixtures("empty_folder")
def test_it_says_what_rook_and_pawn_against_rook_take(coach: Browser) -> None:
    text = words(coach.get(PATH))
    assert "KRPKR: king, rook and pawn against king and rook" in text
    assert "8 tables to solve: roughly 3 minutes, 320 MiB on disk, and 1600 MiB of memory" in text
    assert "Built" not in text.split()


def test_what_is_built_is_listed_and_not_offered_again(coach: Browser, empty_folder: Path) -> None:
    (empty_folder / "KQRKR-black.blocks").touch()
    page = coach.get(PATH)
    assert "KQRKR: king, queen and rook against king and rook" in words(page)


def test_an_ending_is_built_with_its_progress_on_a_page(
    coach: Browser, empty_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    built: list[str] = []

    def build(material: object, folder: Path, _: object) -> None:
        built.append(f"{material}")
        assert folder == empty_folder

    monkeypatch.setattr("coachbook.workflows.endings.build_large", build)
    page = coach.wait_for_work(coach.post(f"{PATH}/build", ending="KRPKR"))
    assert "Endings of five men" in words(page.text)
    assert len(built) == 1


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("dog", "is not the name of an ending."),
        ("KPPKP", "KPPKP has a mate in 127 moves"),
        ("KRPKRP", "This ending has 6 men; the tables go up to 5."),
    ],
)
def test_what_cannot_be_built_is_said_in_one_line(coach: Browser, name: str, told: str) -> None:
    assert told in words(coach.client.get(f"{PATH}?{urlencode({'ending': name})}").text)


def test_what_needs_it_says_where_it_is_built_and_the_board_leads_there(coach: Browser) -> None:
    fen = "1K1k4/1P6/8/8/8/8/r7/2R5 w - - 0 1"
    text = words(coach.get(f"/board?{urlencode({'fen': fen})}"))
    assert "KRPKR is not solved yet. It can be built once: the page Board leads to the endings" in text
    assert f'href="{PATH}"' in coach.get("/board/set-up")
