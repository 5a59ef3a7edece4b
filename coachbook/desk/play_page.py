"""Practice at one board: a unit's position played out against coachbook, and what is said of it afterwards.

The whole game stands in the page's address: it goes on where it was after a reload, and after the desk was
closed and opened again.
"""

from collections.abc import Mapping
from secrets import randbelow
from urllib.parse import urlencode

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto, ways_of_club
from coachbook.desk.ending_board_page import solve_first
from coachbook.desk.shown import part, shown
from coachbook.errors import CoachbookError
from coachbook.workflows.ending_board import is_ready
from coachbook.workflows.endings import check_built
from coachbook.workflows.practice import (
    LONGEST,
    Practice,
    another,
    game_view,
    keep_practice,
    kept_for,
    moved,
    practice_of,
    read_move,
    same_again,
    who_may_keep,
)

_SEEDS = 10**9
_MOST_SIGNS = 6 * LONGEST
_BETWEEN = "."


def show(asked: Asked) -> Response:
    """The game where it is. The address may also have the student's next move: as the board's script tells it
    (`uci`), or in writing (`move`)."""
    begun = _practice(asked, {})
    check_built(begun.unit.endings)
    if "seed" not in asked.query:
        return goto(address(same_again(begun, randbelow(_SEEDS))))
    if not is_ready(begun.play_out.fen):
        path = f"{asked.path}?{urlencode(asked.query)}"
        return solve_first(asked, begun.play_out.fen, f"/syllabus/{begun.unit.code}", path)
    game, ways = _practice(asked, asked.query), ways_of_club(asked)
    uci, written = asked.query.get("uci", ""), asked.query.get("move", "")
    if uci or written:
        return goto(address(moved(game, uci or read_move(game, written, ways.letters or None))))
    values = {
        "view": game_view(game, ways.men),
        "unit": game.unit,
        "here": address(game),
        "again": address(another(game, randbelow(_SEEDS))),
        "same": address(same_again(game, randbelow(_SEEDS))),
        "fields": list(_fields(game).items()),
        "kept": _kept(asked, game),
        "groups": who_may_keep(asked.book(), asked.today) if game.is_over and asked.desk.has_book else (),
        "today": asked.today,
    }
    if asked.is_part:
        return Response(part("game.html", "game", values), media_type="text/html")
    return shown(asked, "play.html", values=values)


def keep(asked: Asked) -> Response:
    """Log the game for a student, today."""
    game = _practice(asked, {name: asked.text(name) for name in ("seed", "turned", "moves", "stop")})
    student = asked.number("student")
    keep_practice(asked.book(), asked.touch(), student, game, asked.today)
    return goto(f"{address(game)}&kept={student}")


def address(game: Practice) -> str:
    """Where a game is, with all of its moves."""
    return f"/play/{game.unit.code}/{game.number}?{urlencode(_fields(game))}"


def _fields(game: Practice) -> dict[str, str]:
    fields = {"seed": str(game.seed), "turned": "yes" if game.mirrored else ""}
    fields |= {"moves": _BETWEEN.join(game.moves), "stop": "yes" if game.stopped else ""}
    return {name: value for name, value in fields.items() if value}


def _practice(asked: Asked, given: Mapping[str, str]) -> Practice:
    seed, moves = given.get("seed", "0"), given.get("moves", "")
    is_seed = seed.isascii() and seed.isdecimal() and len(seed) < len(str(_SEEDS))
    if not is_seed or len(moves) > _MOST_SIGNS:
        raise CoachbookError("There is no such game.", "Begin another on the page of a unit.")
    return practice_of(
        asked.syllabus,
        str(asked.values["unit"]),
        asked.number("number"),
        int(seed),
        mirrored=given.get("turned") == "yes",
        moves=[each for each in moves.split(_BETWEEN) if each],
        stopped=given.get("stop") == "yes",
    )


def _kept(asked: Asked, game: Practice) -> str:
    """For whom the game was kept just now; "" if it was not."""
    student = asked.query.get("kept", "")
    is_number = student.isascii() and student.isdecimal() and len(student) < 10
    if not is_number or not asked.desk.has_book:
        return ""
    return kept_for(asked.book(), int(student), game, asked.today)


_PLAY = "/play/{unit}/{number:int}"

PAGES = (Page(_PLAY, show), Page(_PLAY, keep, "POST"))
