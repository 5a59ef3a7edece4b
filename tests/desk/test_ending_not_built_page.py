"""Where the table of an ending of five men is not built, the desk says so in words, and never breaks down."""

import pytest

from coachbook.club.board_games import games_on
from coachbook.club.book import Book
from coachbook.workflows.printed_sheets import list_sheets
from tests.desk.conftest import Browser, words
from tests.desk.test_papers_page import made
from tests.desk.test_room_page import ROOM
from tests.desk.test_seat_page import ON, board, desk
from tests.shipped import LARGE_UNITS, without_five_men

__all__ = ["board", "desk"]
UNIT = LARGE_UNITS[0]
TOLD = "KRPKR is not solved yet. It can be built once: the page Board leads to the endings of five men."


@pytest.fixture(autouse=True)
def nothing_built(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever other tests have built."""
    without_five_men(monkeypatch, tmp_path_factory.mktemp("tables"))


@pytest.mark.parametrize(
    "path",
    [
        f"/play/{UNIT.code}/1?seed=1",
        f"/syllabus/{UNIT.code}/ask/1/0?move={UNIT.shows[0].line[0].san}",
    ],
)
def test_a_game_and_a_move_of_the_class_are_refused_in_words(path: str, coach: Browser) -> None:
    assert TOLD in words(coach.get(path, 422))


def test_a_position_on_the_board_is_shown_and_what_to_do(coach: Browser) -> None:
    assert TOLD in words(coach.get(f"/board?fen={UNIT.demonstration.replace(' ', '+')}"))


@pytest.mark.parametrize(
    "path", [f"/syllabus/{UNIT.code}", f"/syllabus/{UNIT.code}/show/1/0", "/syllabus", "/term", "/papers"]
)
def test_other_pages_never_need_it(path: str, coach: Browser) -> None:
    assert "not solved yet" not in coach.get(path)


@pytest.mark.parametrize("form", [{"what": "sheet", "items": "3", "boards": "6"}, {"what": "lesson"}])
def test_papers_are_not_made_and_the_job_says_why(form: dict[str, str], coach: Browser, foxes: Book) -> None:
    before = list_sheets(foxes)
    answer = made(coach, **form, unit=UNIT.code, whom="group-1")
    assert answer.status_code == 422
    assert TOLD in words(answer.text)
    assert list_sheets(foxes) == before


@pytest.mark.usefixtures("desk")
def test_no_game_begins_at_a_board(board: Browser, foxes: Book) -> None:
    answer = board.client.post(f"/seat/1/{UNIT.code}/1", headers={"origin": ROOM})
    assert answer.status_code == 422
    assert "KRPKR is not solved yet" in words(answer.text)
    with foxes.reading() as tx:
        assert not games_on(tx, ON, 1)
