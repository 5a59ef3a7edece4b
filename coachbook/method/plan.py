"""Written plans: for each step the move, the rule that chose it, what it achieved, and his reply."""

from collections.abc import Sequence

import chess
import numpy as np

from coachbook.errors import CoachbookError
from coachbook.method.border import attacker, check_fits, find_ending, from_board
from coachbook.method.graph import ENDLESS, Graph, explore
from coachbook.method.lines import Turn, look_at
from coachbook.method.rules import Method
from coachbook.method.symmetry import canonical
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position


def find_length(board: chess.Board, method: Method) -> int | None:
    """The most moves that `method` takes from here, or None where it can fail.

    Worked out anew for this position, with all that can follow from it: the allowance of a
    play-out, and the licence to print a plan. Raises CoachbookError if the method doesn't fit.
    """
    check_fits(board, method)
    graph, start = _graph_from(board, method)
    length = int(graph.length[start])
    return None if length == ENDLESS else length


def written_plan(board: chess.Board, method: Method, defence: Sequence[str] = ()) -> Plan:
    """The method's plan from `board` to mate, for either colour as attacker.

    The lone king replies with the moves of `defence` (UCI), after that with what holds out
    longest. Between tied moves, and between equally long replies, the first in UCI order is taken.
    Raises CoachbookError where the method doesn't fit or isn't proven from here, or for an
    illegal reply.
    """
    check_fits(board, method)
    graph, start = _graph_from(board, method)
    if graph.length[start] == ENDLESS:
        raise CoachbookError(
            f"'{method.title}' is not sure to win from '{board.fen()}'.", "Show a computed line instead."
        )
    steps = _steps(board.copy(stack=False), method, graph, list(defence))
    source = f"{method.title}, proven from here against every defence"
    return Plan(Position(board.fen()), source, steps)


def _graph_from(board: chess.Board, method: Method) -> tuple[Graph, int]:
    starts = canonical(from_board(board))
    graph = explore(method, find_ending(board) or "", starts)
    return graph, int(graph.find(starts)[0])


def _steps(board: chess.Board, method: Method, graph: Graph, defence: list[str]) -> tuple[PlanStep, ...]:
    white = attacker(board)
    steps: list[PlanStep] = []
    while True:
        turn = look_at(method, graph, from_board(board))
        own = min(range(len(turn.moves.of)), key=lambda row: _seen_by(white, turn.move(row)).uci())
        move = _seen_by(white, turn.move(own))
        rule = method.rules[turn.rule]
        san = board.san(move)
        board.push(move)
        if board.is_checkmate():
            return (*steps, PlanStep(san, rule.name, "mate"))
        achieved = method.tell(turn.before, turn.moves.after.take(np.array([own])))
        reply = _reply(board, turn, own, white, defence)
        steps.append(PlanStep(san, rule.name, achieved, board.san(reply)))
        board.push(reply)


def _reply(board: chess.Board, turn: Turn, own: int, white: chess.Color, defence: list[str]) -> chess.Move:
    """The next move of `defence`, taken off it, or else the reply that holds out longest."""
    if defence:
        return _given(board, defence.pop(0))
    rows = np.flatnonzero(turn.replies.of == own)
    longest = rows[turn.lengths[rows] == turn.lengths[rows].max()]
    return min((_seen_by(white, turn.reply(int(row))) for row in longest), key=chess.Move.uci)


def _given(board: chess.Board, text: str) -> chess.Move:
    try:
        return board.parse_uci(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text}' is not a legal reply in '{board.fen()}'.", "Write the squares, such as e5d6."
        ) from error


def _seen_by(white: chess.Color, move: chess.Move) -> chess.Move:
    """A move of the attacker-is-White look on the board where the attacker plays `white`."""
    if white == chess.WHITE:
        return move
    return chess.Move(
        chess.square_mirror(move.from_square), chess.square_mirror(move.to_square), move.promotion
    )
