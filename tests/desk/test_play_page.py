"""Practice at one board: a game goes on from its address alone, and may be kept for a student afterwards."""

import re
from html import unescape
from urllib.parse import parse_qs, urlsplit

import pytest

from coachbook.club.book import Book
from coachbook.club.results import play_outs
from coachbook.desk.play_page import address
from coachbook.desk.sessions import Role
from coachbook.model.facts import PlayOutResult
from coachbook.workflows.practice import Practice, moved, practice_of
from tests.desk.conftest import Browser, browser_of, desk_of, words
from tests.workflows.foxes import SYLLABUS
from tests.workflows.test_practice import perfect, perfect_until, played

BOX = "/play/queen-box/1"
MOST_WORDS = 9


def won(seed: int = 3) -> Practice:
    return played(practice_of(SYLLABUS, "queen-box", 1, seed), perfect)


def link(page: str, name: str) -> str:
    found = re.search(f'href="([^"]+)"[^>]*>{name}<', page)
    assert found, name
    return unescape(found[1])


def kept_in(book: Book) -> list[PlayOutResult]:
    with book.reading() as tx:
        return play_outs(tx)


def to_do(page: str) -> str:
    found = re.search(r'<p class="now"><b>(.*?)</b>', page)
    assert found
    return found[1]


def test_a_unit_has_a_link_for_each_position_to_play(coach: Browser) -> None:
    page = coach.get("/syllabus/queen-box")
    assert re.findall(r'href="(/play/[^"]+)"', page) == [BOX, "/play/queen-box/2"]


def test_a_game_begins_with_a_seed_of_its_own(coach: Browser) -> None:
    answer = coach.client.get(BOX)
    assert re.fullmatch(f"{BOX}\\?seed=[0-9]+", str(answer.url).removeprefix(coach.desk.address))
    page = words(answer.text)
    assert "Your move, White: mate within 16 moves." in page
    assert "Your moves: 0 of 16." in page


def test_nothing_is_told_of_the_position_while_it_is_played(coach: Browser) -> None:
    page = coach.get(f"{BOX}?seed=1&uci=c1c5")
    assert "coachbook answers" in page
    for told in ("How it went", "slip", "Best moment", "mates in", "Keep it"):
        assert told not in page


def test_a_game_is_played_to_its_end_in_writing(coach: Browser) -> None:
    """Without a script: each move is written, and the address has the game."""
    game, path = practice_of(SYLLABUS, "queen-box", 1, 3), f"{BOX}?seed=3"
    while not game.is_over:
        uci = perfect(game.board)
        written = game.board.san(game.board.parse_uci(uci))
        answer = coach.client.get(f"{path}&move={written.replace('#', '').replace('+', '')}")
        game, path = moved(game, uci), str(answer.url)
        assert path.endswith(address(game))
        assert len(to_do(answer.text).split()) <= MOST_WORDS
    page = words(answer.text)
    assert "Checkmate: you have won." in page
    assert "Nobody can mate faster from there." in page
    assert "Best moment: " in page


def test_a_game_goes_on_after_the_desk_was_closed_and_opened_again(coach: Browser) -> None:
    path = str(coach.client.get(f"{BOX}?seed=3&uci=c1g5").url).removeprefix(coach.desk.address)
    again = browser_of(desk_of(coach.desk.book or pytest.fail("no book")))
    assert "Your moves: 1 of 16." in again.get(path)
    assert again.client.get(f"{path}&uci=a1b2").status_code == 200


def test_the_board_is_turned_where_the_student_has_black(coach: Browser) -> None:
    assert 'data-orientation="black"' in coach.get("/play/hold-the-pawn/1?seed=1")
    assert 'data-orientation="white"' in coach.get(f"{BOX}?seed=1")


def test_the_script_is_given_the_game_alone(coach: Browser) -> None:
    answer = coach.client.get(f"{BOX}?seed=1&uci=c1c5", headers={"x-part": "yes"})
    assert answer.text.strip().startswith('<div id="game"')
    refused = coach.client.get(f"{BOX}?seed=1&uci=c1c9", headers={"x-part": "yes"})
    assert (refused.status_code, refused.text) == (
        422,
        "'c1c9' is no legal move here. Move one of your own men.",
    )


def test_afterwards_the_slip_is_shown_with_its_board(coach: Browser) -> None:
    game = played(practice_of(SYLLABUS, "rook-box", 1, 1), perfect_until(4))
    page = coach.get(address(game))
    assert to_do(page) == "Look at your first slip, then play again."
    assert page.count('class="board"') == 3  # where it ended, for browsers without a script, and two moments
    assert "First slip: " in page
    assert "Two arrows" in page


def test_again_is_the_mirrored_position_and_the_same_is_the_same(coach: Browser) -> None:
    page = coach.get(address(won()))
    again, same = (urlsplit(link(page, name)) for name in ("Again", "From the same position"))
    assert (again.path, same.path) == (BOX, BOX)
    assert parse_qs(again.query)["turned"] == ["yes"]
    assert "turned" not in parse_qs(same.query)
    assert "moves" not in parse_qs(same.query)
    coach.get(f"{again.path}?{again.query}")


def test_who_wants_to_stop_is_told_how_it_went_so_far(coach: Browser) -> None:
    page = coach.get(link(coach.get(f"{BOX}?seed=1&uci=c1c5"), "Stop here"))
    assert "The game stops here." in page
    assert "How it went" in page


def test_a_game_is_kept_for_a_student_once(coach: Browser, foxes: Book) -> None:
    game = won()
    form = {"touch": "0123456789abcdef", "seed": "3", "moves": ".".join(game.moves), "student": "1"}
    assert 'name="student"' in coach.get(address(game))
    page = coach.send(BOX, form)
    coach.send(BOX, form)
    (kept,) = kept_in(foxes)
    assert (kept.student, kept.card, kept.moves, str(kept.on)) == (
        "Ana",
        "PLAY-QUEEN-BOX-1",
        game.moves,
        "2026-09-10",
    )
    assert "Kept for Ana, Thu 10 Sept 2026." in words(page.text)
    assert 'name="student"' not in page.text


def test_nothing_is_kept_unless_it_is_asked_for(coach: Browser, foxes: Book) -> None:
    before = foxes.path.read_bytes()
    assert "Kept for" not in coach.get(f"{address(won())}&kept=1")
    coach.post(BOX, status=422, seed="3", moves=".".join(won().moves), student="")
    coach.post(BOX, status=422, seed="3", moves="", stop="yes", student="1")
    assert kept_in(foxes) == []
    assert foxes.path.read_bytes() == before


def test_where_there_is_no_club_one_can_play_too(newcomer: Browser) -> None:
    page = newcomer.get(address(won()))
    assert "Checkmate" in page
    assert 'name="student"' not in page


@pytest.mark.parametrize(
    "path",
    [
        "/play/no-such-unit/1",
        "/play/mate-in-one/1",
        "/play/queen-box/0",
        "/play/queen-box/3",
        f"{BOX}?seed=x",
        f"{BOX}?seed=²",
        f"{BOX}?seed=99999999999",
        f"{BOX}?seed=1&moves=c1c9",
        f"{BOX}?seed=1&moves={'a1a2.' * 2000}",
        f"{BOX}?seed=1&move=Kh8",
        f"{address(won())}&uci=a1a2",
        f"{address(won())}&kept=99",
    ],
)
def test_what_cannot_be_is_refused_in_words(coach: Browser, path: str) -> None:
    assert "Not done" in coach.get(path, status=422)


def test_a_tablet_does_not_play(helper: Browser) -> None:
    helper.get(f"{BOX}?seed=1", status=403)


def test_a_link_leads_to_the_board_that_it_was_made_for(coach: Browser) -> None:
    key = coach.desk.sessions.new_link(Role.COACH, coach.desk.now(), page=BOX)
    fresh = browser_of(coach.desk, None)
    assert fresh.client.get(f"/enter/{key}").url.path == BOX
