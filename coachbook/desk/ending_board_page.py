"""The board: an ending is set up on it, and then it tells who wins, what each move is worth, and the
plan. The script of any board asks here for the legal moves."""

from collections.abc import Sequence
from dataclasses import asdict
from urllib.parse import urlencode

from starlette.responses import JSONResponse, Response

from coachbook.desk.advice import in_words
from coachbook.desk.asked import Asked, Page, goto, ways_of_club
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import part, shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.position import Position
from coachbook.workflows.board_moves import legal_moves, position_after
from coachbook.workflows.ending_board import PlanOnBoard, is_ready, on_board, plan_on_board
from coachbook.workflows.endings import get_tables_ready

_TO_BEGIN_WITH = "4k3/8/8/8/8/8/8/3QK3 w - - 0 1"


def show(asked: Asked) -> Response:
    """A position, and what is true of it, hidden until somebody asks; without a position, where to set one
    up. The address may also have a move that was made in writing, or the `step` of a plan."""
    fen, ways = asked.query.get("fen", "").strip(), ways_of_club(asked)
    if not fen:
        return set_up(asked)
    if asked.query.get("move"):
        return goto(_address(position_after(fen, asked.query["move"], ways.letters or None)))
    if not is_ready(fen):
        return solve_first(asked, fen, "/board", _address(fen))
    plan = _plan(asked, fen, ways.men) if "step" in asked.query else None
    view = on_board(plan.position.fen if plan is not None else fen, ways.men, in_words)
    values = (view, plan, _steps(fen, asked, plan))
    if asked.is_part:
        return Response(part("ending_looked.html", "looked", *values), media_type="text/html")
    return shown(asked, "ending_board.html", view=view, plan=plan, paths=values[2])


def set_up(asked: Asked) -> Response:
    """Where a position is set up."""
    fen = asked.query.get("fen", "").strip() or _TO_BEGIN_WITH
    examples = [(unit.title, unit.demonstration) for unit in asked.syllabus.units]
    return shown(asked, "set_up.html", position=Position(fen), examples=examples)


def _plan(asked: Asked, fen: str, men: str) -> PlanOnBoard:
    step = asked.query["step"]
    if not step.isdecimal() or len(step) > 4:
        raise CoachbookError("The plan has no such move.", "Go to its beginning.")
    return plan_on_board(fen, men, int(step), _replied(asked))


def _replied(asked: Asked) -> list[str]:
    return [each for each in asked.query.get("replies", "").split(",") if each]


def solve_first(asked: Asked, fen: str, back: str, path: str) -> Response:
    """Show how far the tables of the ending are in which a position is; then the page at `path`. `back` is
    the page before it."""

    def solve(progress: Progress) -> str:
        get_tables_ready(fen, progress)
        return path

    return at_work(asked, "Solving this ending", back, solve)


def _steps(fen: str, asked: Asked, plan: PlanOnBoard | None) -> dict[str, str]:
    """The addresses that the page leads to: "begin", and of a plan "back", "on", and each reply by its
    squares; "" where there is none."""
    paths = {"begin": _address(fen, 0), "back": "", "on": ""}
    if plan is None:
        return paths
    replied = _replied(asked)
    if plan.at:
        paths["back"] = _address(fen, plan.at - 1, replied)
    if plan.at < plan.of:
        paths["on"] = _address(fen, plan.at + 1, replied)
    chosen = {each.uci: (*plan.replied, each.uci) for each in plan.replies}
    return paths | {uci: _address(fen, plan.at + 1, given) for uci, given in chosen.items()}


def _address(fen: str, step: int | None = None, replied: Sequence[str] = ()) -> str:
    asked_for = {"fen": fen} if step is None else {"fen": fen, "step": str(step)}
    return f"/board?{urlencode(asked_for | ({'replies': ','.join(replied)} if replied else {}))}"


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


PAGES = (
    Page("/board", show),
    Page("/board/set-up", set_up),
    Page("/moves", moves, for_helpers=True, for_boards=True),
)
