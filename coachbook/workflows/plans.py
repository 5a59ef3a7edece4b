"""Written plans from a position: a proven method's where there is one, else a computed line."""

import chess

from coachbook.endgame.probe import Result, probe, shortest_line
from coachbook.errors import CoachbookError
from coachbook.exercises.drawing_line import drawing_steps
from coachbook.method.border import fits
from coachbook.method.courses import course_for
from coachbook.method.plan import find_length, written_plan
from coachbook.method.rules import Method
from coachbook.method.staged_plan import staged_plan
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position, check_side_told

_BEST_PLAY = "one computed line of best play; other defences are possible"
_DRAWING = "one computed line in which each move keeps the draw; other moves are possible"


def method_or_computed(board: chess.Board, method: Method | None) -> Plan:
    """The method's plan where it is proven from here, else a computed line, labelled so."""
    if method is not None and fits(board, method) and find_length(board, method) is not None:
        return written_plan(board, method)
    return computed_plan(board)


def computed_plan(board: chess.Board) -> Plan:
    """One line as a plan: best play of both sides to mate, in stages where the ending is taught in stages;
    of a draw a few moves that keep it. Raises CoachbookError."""
    if not any(board.legal_moves):
        raise CoachbookError(f"In '{board.fen()}' the game is over.", "Give a position with a move to play.")
    result, course = probe(board).result, course_for(board)
    if result is Result.DRAW:
        return Plan(Position(board.fen()), _DRAWING, drawing_steps(board))
    if course is not None and result is Result.WIN:
        return staged_plan(board, course)
    return Plan(Position(board.fen()), _BEST_PLAY, _steps_to_mate(board, result))


def read_board(fen: str) -> chess.Board:
    """A legal position that the tables know, of which the side to move is told. Raises CoachbookError."""
    check_side_told(fen)
    try:
        board = chess.Board(fen)
    except ValueError as error:
        raise CoachbookError(f"'{fen}' is not a position in FEN ({error}).", "Copy it again.") from error
    probe(board)
    if not board.is_valid():
        raise CoachbookError(f"'{fen}' is not a position that can arise.", "Check who is to move.")
    return board


def _steps_to_mate(board: chess.Board, result: Result) -> tuple[PlanStep, ...]:
    rule = "the quickest win" if result is Result.WIN else "the longest defence"
    now, line = board.copy(stack=False), list(shortest_line(board))
    steps = []
    for index in range(0, len(line), 2):
        sans = []
        for move in line[index : index + 2]:
            sans.append(now.san(move))
            now.push(move)
        reply = sans[1] if len(sans) > 1 else ""
        steps.append(PlanStep(sans[0], rule, "mate" if now.is_checkmate() else "", reply))
    return tuple(steps)
