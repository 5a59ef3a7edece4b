"""The wall: all boards of the evening, live and small; and one of them at large, to step in."""

from datetime import date
from secrets import randbelow

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto, ways_of_club
from coachbook.desk.reach import GAME
from coachbook.desk.shown import part, shown
from coachbook.errors import CoachbookError
from coachbook.workflows.evening_view import nearest_evening
from coachbook.workflows.playing_at_boards import (
    GAMES,
    Seat,
    choices,
    give_another,
    seat_of,
    stop_game,
    take_move_back,
)
from coachbook.workflows.wall import large_board, wall


def show(asked: Asked) -> Response:
    """All boards."""
    on = evening_of_boards(asked)
    boards = wall(asked.book(), asked.syllabus, on, asked.desk.now())
    if asked.is_part:
        return Response(part("wall_boards.html", "wall", boards, about_wall(on)), media_type="text/html")
    return shown(asked, "wall.html", on=on, boards=boards, about=about_wall(on))


def show_one(asked: Asked) -> Response:
    """One board at large, with what the coach can do there."""
    on, number = evening_of_boards(asked), asked.number("game")
    found = large_board(asked.book(), asked.syllabus, on, number, asked.desk.now(), ways_of_club(asked).men)
    own = choices(asked.book(), asked.syllabus, on, found.board.student)
    units = [each for each in asked.syllabus.units if each.play_outs]
    values = {"found": found, "own": own, "units": units, "here": _path(number), "watched": f"{GAME}{number}"}
    if asked.is_part:
        return Response(part("wall_boards.html", "large", values), media_type="text/html")
    return shown(asked, "wall_board.html", values=values)


def take_back(asked: Asked) -> Response:
    """The student's last move is taken back, with the reply to it."""
    on, number = evening_of_boards(asked), asked.number("game")
    return _changed(asked, take_move_back(asked.book(), asked.syllabus, on, number, asked.desk.now()))


def stop(asked: Asked) -> Response:
    """The game ends where it is."""
    on, number = evening_of_boards(asked), asked.number("game")
    seat = stop_game(asked.book(), asked.syllabus, on, number, asked.desk.now())
    answer = _changed(asked, seat)
    return answer if seat.game.moves else goto("/wall")


def another(asked: Asked) -> Response:
    """Another position for the student; the board goes on with it by itself."""
    on, number = evening_of_boards(asked), asked.number("game")
    unit, _, play_out = asked.text("card").rpartition(".")
    if not (play_out.isascii() and play_out.isdecimal()):
        raise CoachbookError("No position is chosen.", "Choose one.")
    new, now = randbelow(GAMES), asked.desk.now()
    given = give_another(asked.book(), asked.syllabus, on, number, unit, int(play_out[:3]), new, now)
    ring(asked, seat_of(asked.book(), asked.syllabus, on, number))
    return goto(_path(given))


def about_wall(on: date) -> str:
    """What the wall of an evening is about, for `Live`."""
    return f"wall.{on}"


def ring(asked: Asked, seat: Seat) -> None:
    """Tell the wall, and whoever looks at a game, that it has changed."""
    for about in (about_wall(seat.game.on), f"{GAME}{seat.game.number}"):
        asked.desk.live.ring(about, asked.session.number, state_of(seat))


def state_of(seat: Seat) -> str:
    """What a board compares, to know whether it shows the game as it is."""
    return f"{len(seat.game.moves)}{'.' if seat.practice.is_over else ''}"


def _changed(asked: Asked, seat: Seat) -> Response:
    ring(asked, seat)
    return goto(_path(seat.game.number))


def _path(number: int) -> str:
    return f"/wall/{number}"


def evening_of_boards(asked: Asked) -> date:
    """The evening that a board is for; for the coach the nearest. Raises CoachbookError if there is none."""
    on = asked.session.on or nearest_evening(asked.book(), asked.today)
    if on is None:
        raise CoachbookError("There is no evening yet.", "Plan a term first.")
    return on


_BOARD = "/wall/{game:int}"

PAGES = (
    Page("/wall", show),
    Page(_BOARD, show_one),
    Page(f"{_BOARD}/back", take_back, "POST"),
    Page(f"{_BOARD}/stop", stop, "POST"),
    Page(f"{_BOARD}/another", another, "POST"),
)
