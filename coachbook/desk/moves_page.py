"""The legal moves of a position, as the board's script asks for them."""

from dataclasses import asdict

from starlette.responses import JSONResponse, Response

from coachbook.desk.asked import Asked, Page
from coachbook.model.settings import ClubSettings
from coachbook.workflows.board_moves import legal_moves


def moves(asked: Asked) -> Response:
    """All legal moves, and how the game has ended if there is no more to play."""
    found = legal_moves(asked.query.get("fen", ""), ways_of_club(asked).men)
    return JSONResponse(
        {
            "fen": found.fen,
            "turn": "white" if found.white_to_move else "black",
            "moves": [asdict(move) for move in found.moves],
            "end": found.end,
        }
    )


def ways_of_club(asked: Asked) -> ClubSettings:
    """The club's own ways; the usual ones before there is a club."""
    return asked.book().settings if asked.desk.has_book else ClubSettings()


PAGES = (Page("/moves", moves, for_helpers=True, for_boards=True),)
