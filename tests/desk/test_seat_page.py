"""A tablet as a board: names of tonight, what each may play out, the game; and nothing else of the club."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.desk.asked import Desk
from coachbook.desk.reach import may_listen
from coachbook.desk.sessions import Role
from coachbook.model.facts import PlayOutResult
from coachbook.workflows.members import add_member, add_teaching_group
from coachbook.workflows.playing_at_boards import seat_of
from tests.desk.conftest import Browser, browser_of, desk_of, words
from tests.desk.test_room_page import ROOM, link_on
from tests.workflows.foxes import SYLLABUS, week
from tests.workflows.test_practice import perfect

ON = week(1)
MOST_WORDS = 9
CARD = "/seat/1/queen-box/1"


@pytest.fixture
def desk(foxes: Book) -> Desk:
    """On the second evening, for which no papers were made."""
    return replace(desk_of(foxes.path, ON), room=ROOM)


@pytest.fixture
def board(desk: Desk) -> Browser:
    """A tablet that came in as a board, by the code on the coach's page."""
    coach = browser_of(desk)
    tablet = TestClient(coach.client.app, base_url=ROOM, headers={"origin": ROOM})
    assert tablet.get(link_on(coach.post("/room/link", role="board").text)).status_code == 200
    return Browser(desk, tablet)


def send(board: Browser, path: str, *, is_part: bool = False, **form: object) -> str:
    headers = {"origin": ROOM} | ({"x-part": "yes"} if is_part else {})
    answer = board.client.post(path, data=form, headers=headers)
    assert answer.status_code == 200, answer.text
    return answer.text


def begun(board: Browser) -> int:
    """The number of a game of Ana's."""
    answer = board.client.post(CARD, headers={"origin": ROOM})
    return int(answer.url.path.rpartition("/")[2])


def to_do(page: str) -> str:
    found = re.search(r'<h1>(.*?)</h1>|<p class="now"><b>(.*?)</b>', page)
    assert found
    return found[1] or found[2]


def kept_in(book: Book) -> list[PlayOutResult]:
    with book.reading() as tx:
        return play_outs(tx)


def test_one_code_lets_every_board_in_until_it_is_taken_away(desk: Desk) -> None:
    coach = browser_of(desk)
    link = link_on(coach.post("/room/link", role="board").text)
    for _ in range(3):
        assert "Who are you?" in TestClient(coach.client.app, base_url=ROOM).get(link).text
    page = coach.get("/room")
    assert re.findall(r"Board \d", words(page)) == ["Board 1", "Board 2", "Board 3"]
    assert link_on(page) == link
    coach.post("/room/no-link", role="board")
    assert TestClient(coach.client.app, base_url=ROOM).get(link).status_code == 403


def test_a_code_for_boards_leaves_that_of_helpers_alone(desk: Desk) -> None:
    coach = browser_of(desk)
    link = link_on(coach.post("/room/link").text)
    coach.post("/room/link", role="board")
    assert link in coach.get("/room")


def test_all_boards_are_ended_at_once(desk: Desk, board: Browser) -> None:
    page = browser_of(desk).post("/room/end-boards").text
    assert "/enter/" not in page
    assert "Ana" not in board.get("/seat", 403)


def test_each_screen_says_in_one_line_what_to_do(board: Browser) -> None:
    for path in ("/seat", "/seat/1", f"/seat/game/{begun(board)}"):
        assert len(to_do(board.get(path)).split()) <= MOST_WORDS


def test_a_board_shows_tonights_names_and_nothing_of_anybody(board: Browser, foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    add_member(foxes, "Zoe Adams", ("Owls",))
    add_member(foxes, "Eli Adams", ("Foxes",))
    page = board.get("/seat")
    assert re.findall(r'href="/seat/\d+">(\w+)<', page) == ["Ana", "Bo", "Eli"]
    assert "Adams" not in page
    page = board.get("/seat/1")
    assert "Ana, which one do you play?" in page
    assert "Bo" not in words(page)


@pytest.mark.parametrize(
    "path",
    ["/", "/groups", "/student/1", "/room", "/wall", f"/evening/{ON}/1", "/log", "/board", "/played/1/0"],
)
def test_a_board_sees_no_page_of_the_coach_nor_of_a_helper(board: Browser, path: str) -> None:
    page = board.get(path, 403)
    assert "This page is the coach" in page
    assert 'href="/seat"' in page
    assert "Ana" not in page


def test_a_helper_is_shown_no_board(desk: Desk) -> None:
    helper = browser_of(desk, Role.HELPER)
    helper.get("/seat", 403)
    helper.get("/wall", 403)


def test_somebody_of_another_evening_cannot_sit_down(board: Browser, foxes: Book) -> None:
    add_teaching_group(foxes, "Owls")
    other = add_member(foxes, "Zoe", ("Owls",)).id
    assert "not of this evening" in board.get(f"/seat/{other}", 422)
    assert board.client.post(f"/seat/{other}/queen-box/1", headers={"origin": ROOM}).status_code == 422


def test_after_the_evening_a_board_shows_nothing(board: Browser) -> None:
    later = replace(board.desk, today=lambda: ON + timedelta(days=1))
    app = browser_of(later, None).client.app
    client = TestClient(app, base_url=ROOM, cookies=dict(board.client.cookies))
    answer = client.get("/seat")
    assert answer.status_code == 403
    assert "Ana" not in answer.text


def test_a_game_is_played_at_a_board_and_is_in_the_log_when_it_is_over(board: Browser, foxes: Book) -> None:
    number = begun(board)
    path, page = f"/seat/game/{number}", ""
    for _ in range(40):
        seat = seat_of(foxes, SYLLABUS, ON, number)
        if seat.practice.is_over:
            break
        for hidden in ("slip", "mates in", "Best moment"):
            assert hidden not in page
        move = {"at": len(seat.game.moves), "uci": perfect(seat.practice.board)}
        page = send(board, f"{path}/move", is_part=True, **move)
        assert page.lstrip().startswith('<div id="game"')
        send(board, f"{path}/move", is_part=True, **move)  # sent again after a break
    assert "Checkmate: you have won." in page
    assert "Nobody can mate faster from there." in page
    (found,) = kept_in(foxes)
    assert (found.student, found.card, found.against_coachbook) == ("Ana", "PLAY-QUEEN-BOX-1", True)
    again = board.client.post(f"{path}/again", headers={"origin": ROOM})
    assert "Your moves: 0 of 16." in words(again.text)


def test_a_move_may_be_written(board: Browser) -> None:
    page = send(board, f"/seat/game/{begun(board)}/move", at=0, move="Qc5")
    assert "Your moves: 1 of 16." in words(page)


def test_a_board_hears_of_games_that_something_changed_and_no_more(desk: Desk) -> None:
    link = desk.sessions.new_link(Role.BOARD, desk.now(), ON)
    session = desk.sessions.enter(link, desk.now())
    assert session is not None
    assert may_listen(desk, session, "game.5")
    for about in ("room", f"wall.{ON}", f"{ON}.1", f"{ON}.1.tablet", ""):
        assert not may_listen(desk, session, about)


def test_the_evenings_page_says_that_a_play_out_was_against_coachbook(desk: Desk, board: Browser) -> None:
    number = begun(board)
    send(board, f"/seat/game/{number}/move", at=0, uci="c1c5")
    coach = browser_of(desk)
    coach.post(f"/wall/{number}/stop")
    assert "against coachbook" in coach.get(f"/evening/{ON}/1/play-out/1/PLAY-QUEEN-BOX-1")
