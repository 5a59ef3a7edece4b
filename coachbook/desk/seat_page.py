"""A tablet as a board: whose turn it is to sit down, what to play out, and the game against coachbook.

Each page says in one line what to do now. A move is in the book before the board shows the reply; sent again
after a break, it does not count again.
"""

from datetime import date
from secrets import randbelow

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.ending_board_page import solve_first
from coachbook.desk.reach import GAME
from coachbook.desk.shown import part, shown
from coachbook.desk.wall_page import evening_of_boards, ring, state_of
from coachbook.wording.practice_words import not_made
from coachbook.workflows.ending_board import is_ready
from coachbook.workflows.playing_at_boards import (
    GAMES,
    Seat,
    choices,
    game_after,
    make_move,
    play_again,
    player,
    players,
    seat_of,
    sit_down,
)
from coachbook.workflows.practice import game_view, read_move


def names(asked: Asked) -> Response:
    """Who may sit down."""
    return shown(asked, "seat_names.html", players=players(asked.book(), evening_of_boards(asked)))


def cards(asked: Asked) -> Response:
    """What a student may play out."""
    on, student = evening_of_boards(asked), asked.number("student")
    own = player(asked.book(), on, student)
    return shown(
        asked, "seat_cards.html", player=own, choices=choices(asked.book(), asked.syllabus, on, student)
    )


def begin(asked: Asked) -> Response:
    """A game from a play-out: the one that goes on, or a new one."""
    on, student = evening_of_boards(asked), asked.number("student")
    own = player(asked.book(), on, student)
    unit, play_out, new = str(asked.values["unit"]), asked.number("play_out"), randbelow(GAMES)
    number = sit_down(asked.book(), asked.syllabus, on, own.id, unit, play_out, new, asked.desk.now())
    return _begun(asked, on, number)


def again(asked: Asked) -> Response:
    """The next game after one that is over."""
    on, new = evening_of_boards(asked), randbelow(GAMES)
    game, is_same = asked.number("game"), asked.text("which") == "same"
    number = play_again(asked.book(), asked.syllabus, on, game, new, asked.desk.now(), is_same=is_same)
    return _begun(asked, on, number)


def show(asked: Asked) -> Response:
    """The game where it is."""
    seat = seat_of(asked.book(), asked.syllabus, evening_of_boards(asked), asked.number("game"))
    fen = seat.practice.play_out.fen
    if not is_ready(fen) and asked.is_coach:
        return solve_first(asked, fen, "/seat", asked.path)
    return _game(asked, seat)


def move(asked: Asked) -> Response:
    """The student's move, and coachbook's reply: by the board (`uci`), or in writing (`move`)."""
    on, number = evening_of_boards(asked), asked.number("game")
    uci, at = asked.text("uci"), asked.number("at")
    if not uci:
        seat = seat_of(asked.book(), asked.syllabus, on, number)
        uci = read_move(seat.practice, asked.text("move"), asked.book().letters or None)
    seat = make_move(asked.book(), asked.syllabus, on, number, at, uci, asked.desk.now())
    ring(asked, seat)
    is_other = seat.game.moves[at : at + 1] != (uci,)
    return _game(asked, seat, not_made() if is_other else "") if asked.is_part else goto(path_of_game(number))


def path_of_game(number: int) -> str:
    """The address of a game."""
    return f"/seat/game/{number}"


def _begun(asked: Asked, on: date, number: int) -> Response:
    ring(asked, seat_of(asked.book(), asked.syllabus, on, number))
    return goto(path_of_game(number))


def _game(asked: Asked, seat: Seat, told: str = "") -> Response:
    game, book = seat.game, asked.book()
    after = game_after(book, asked.syllabus, seat) if seat.game.stopped else None
    values = {
        "student": game.student_id,
        "view": game_view(seat.practice, book.settings.men, seat.judged),
        "at": len(game.moves),
        "state": state_of(seat),
        "told": told,
        "here": path_of_game(game.number),
        "watched": f"{GAME}{game.number}",
        "next": path_of_game(after) if after is not None else "",
    }
    if asked.is_part:
        return Response(part("seat_game.html", "game", values), media_type="text/html")
    return shown(asked, "seat.html", player=player(book, game.on, game.student_id), values=values)


_GAME = "/seat/game/{game:int}"

PAGES = (
    Page("/seat", names, for_boards=True),
    Page("/seat/{student:int}", cards, for_boards=True),
    Page("/seat/{student:int}/{unit}/{play_out:int}", begin, "POST", for_boards=True),
    Page(_GAME, show, for_boards=True),
    Page(f"{_GAME}/move", move, "POST", for_boards=True),
    Page(f"{_GAME}/again", again, "POST", for_boards=True),
)
