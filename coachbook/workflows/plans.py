"""Written plans from any position: a proven method where there is one, else a computed line."""

from collections.abc import Sequence

import chess

from coachbook.endgame.probe import Result, judge_moves, probe, shortest_line
from coachbook.errors import CoachbookError
from coachbook.exercises.notation import NoMove, read_moves
from coachbook.method.border import check_fits, fits
from coachbook.method.courses import course_for
from coachbook.method.plan import find_length, written_plan
from coachbook.method.registry import methods_for
from coachbook.method.rules import Method
from coachbook.method.staged_plan import staged_plan
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position
from coachbook.workflows.proving import method_named


def plan_for(fen: str, name: str | None = None, defence: Sequence[str] = ()) -> Plan:
    """The plan from a position, by the method named or else the first that is proven from here.

    `defence` are the other side's replies as a person writes them; after them it plays what holds
    out longest. Where no method is proven from here the plan is a computed line and says so.
    Raises CoachbookError for a bad position, a method that does not fit, or an illegal reply.
    """
    board = read_board(fen)
    if name is None:
        method = next((each for each in methods_for(board) if find_length(board, each) is not None), None)
    else:
        method = method_named(name)
        check_fits(board, method)
        method = method if find_length(board, method) is not None else None
    if method is None:
        if defence:
            raise CoachbookError("Only a method's plan can meet a given defence.", "Leave the defence out.")
        return computed_plan(board)
    return written_plan(board, method, _replies(board, method, defence))


def method_or_computed(board: chess.Board, method: Method | None) -> Plan:
    """The method's plan where it is proven from here, else a computed line, labelled so."""
    if method is not None and fits(board, method) and find_length(board, method) is not None:
        return written_plan(board, method)
    return computed_plan(board)


def computed_plan(board: chess.Board) -> Plan:
    """Best play of both sides to mate as a plan, in stages where the ending is taught in stages; of a
    draw the best move only. Raises CoachbookError."""
    course = course_for(board)
    if course is not None and probe(board).result is Result.WIN:
        return staged_plan(board, course)
    line = list(shortest_line(board)) or [judged.move for judged in judge_moves(board)[:1]]
    if not line:
        raise CoachbookError(f"In '{board.fen()}' the game is over.", "Give a position with a move to play.")
    now = board.copy(stack=False)
    steps = []
    for index in range(0, len(line), 2):
        sans = []
        for move in line[index : index + 2]:
            sans.append(now.san(move))
            now.push(move)
        reply = sans[1] if len(sans) > 1 else ""
        steps.append(PlanStep(sans[0], "best play", "mate" if now.is_checkmate() else "", reply))
    return Plan(Position(board.fen()), "computed line, best play of both sides", tuple(steps))


def read_board(fen: str) -> chess.Board:
    """A legal position that the tables know. Raises CoachbookError."""
    try:
        board = chess.Board(fen)
    except ValueError as error:
        raise CoachbookError(f"'{fen}' is not a position in FEN ({error}).", "Copy it again.") from error
    probe(board)
    if not board.is_valid():
        raise CoachbookError(f"'{fen}' is not a position that can arise.", "Check who is to move.")
    return board


def _replies(board: chess.Board, method: Method, defence: Sequence[str]) -> list[str]:
    """The replies in UCI, each read on the board on which it is played."""
    found: list[str] = []
    for text in defence:
        steps = written_plan(board, method, found).steps
        now = board.copy(stack=False)
        for step in steps[: len(found)]:
            now.push_san(step.move)
            now.push_san(step.reply)
        if len(found) >= len(steps) or not steps[len(found)].reply:
            raise CoachbookError(f"The plan is at its end before '{text}'.", "Give fewer replies.")
        now.push_san(steps[len(found)].move)
        (reply, *more) = read_moves(now, text) or (NoMove.UNREADABLE,)
        if more or isinstance(reply, NoMove):
            raise CoachbookError(
                f"'{text}' is no legal reply to {steps[len(found)].move}.", "Write it like Kd5."
            )
        found.append(reply.uci())
    return found
