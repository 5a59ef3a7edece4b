"""Written plans: for each step the move, the rule that chose it, what it achieved, and the reply."""

from collections.abc import Sequence

import chess
import numpy as np

from coachbook.errors import CoachbookError
from coachbook.method.border import attacker, check_fits, find_ending, from_board
from coachbook.method.graph import Graph, explore
from coachbook.method.holding import STALEMATE, TAKEN, best_try, held_end, name_of
from coachbook.method.lines import Turn, look_at
from coachbook.method.rules import Method
from coachbook.method.sides import Aim
from coachbook.method.symmetry import canonical
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position


def find_length(board: chess.Board, method: Method) -> int | None:
    """The most moves that `method` takes from here (0 for a draw), or None where it can fail.

    Worked out anew for this position, with all that can follow from it: the allowance of a
    play-out, and the licence to print a plan. None too where there is no move to make. Raises
    CoachbookError if the method doesn't fit.
    """
    check_fits(board, method)
    return _length(*_graph_from(board, method))


def written_plan(board: chess.Board, method: Method, defence: Sequence[str] = ()) -> Plan:
    """The method's plan from `board` to its aim, for either colour as attacker.

    The other side replies with the moves of `defence` (UCI), after that with what holds out
    longest (against a draw: tries on until nothing new can happen). Between tied moves, and
    between equally long replies, the first in UCI order is taken. Raises CoachbookError where the
    method doesn't fit or isn't proven from here, or for an illegal reply.
    """
    check_fits(board, method)
    graph, start = _graph_from(board, method)
    length = _length(graph, start)
    if length is None:
        raise CoachbookError(
            f"'{method.title}' is not sure to work from '{board.fen()}'.", "Show a computed line instead."
        )
    steps = _steps(board.copy(stack=False), method, graph, list(defence))
    return Plan(Position(board.fen()), _source(method, length), steps)


def _source(method: Method, most: int) -> str:
    """What is proven from here, and that the moves shown are only one way in which it can go."""
    proven = "proven from here against every try"
    if method.aim is not Aim.DRAW:
        moves = "1 move" if most == 1 else f"{most} moves"
        proven = f"proven from here against every defence: {method.aim} in at most {moves}"
    return f"{method.title}, {proven}; one line of it is shown"


def _graph_from(board: chess.Board, method: Method) -> tuple[Graph, int]:
    starts = canonical(from_board(board))
    graph = explore(method, find_ending(board) or "", starts)
    return graph, int(graph.find(starts)[0])


def _length(graph: Graph, start: int) -> int | None:
    works = graph.length[start] >= 0 and graph.rule[start] >= 0
    return int(graph.length[start]) if works else None


def _steps(board: chess.Board, method: Method, graph: Graph, defence: list[str]) -> tuple[PlanStep, ...]:
    white = attacker(board)
    steps: list[PlanStep] = []
    seen = frozenset[int]()
    end = ""
    while not end:
        turn = look_at(method, graph, from_board(board))
        seen |= {name_of(turn.before)}
        own = min(range(len(turn.moves.of)), key=lambda row: _seen_by(white, turn.move(row)).uci())
        move, name = _seen_by(white, turn.move(own)), method.rules[turn.rule].name
        san = board.san(move)
        board.push(move)
        reply = _reply(board, method, turn, own, seen, defence)
        if reply is None:
            return (*steps, PlanStep(san, name, _last(method, turn, own)))
        answer = board.san(reply)
        board.push(reply)
        if method.aim is Aim.DRAW and not defence:
            end = held_end(from_board(board), seen)
        achieved = method.tell(turn.before, turn.moves.after.take(np.array([own])))
        steps.append(PlanStep(san, name, achieved, answer))
    return (*steps[:-1], _ended(steps[-1], end))


def _last(method: Method, turn: Turn, own: int) -> str:
    """What a move achieved after which there is nothing to reply."""
    if method.aim is not Aim.DRAW:
        return method.aim.value
    return TAKEN if turn.reached[own] else STALEMATE


def _ended(step: PlanStep, end: str) -> PlanStep:
    return PlanStep(step.move, step.rule, f"{step.achieved}; then {end}: a draw", step.reply)


def _reply(
    board: chess.Board, method: Method, turn: Turn, own: int, seen: frozenset[int], defence: list[str]
) -> chess.Move | None:
    """The next move of `defence`, taken off it, or else the most stubborn reply; None if there is none."""
    rows = np.flatnonzero(turn.replies.of == own)
    if not len(rows):
        return None
    if defence:
        return _given(board, defence.pop(0))
    white = attacker(board)
    if method.aim is Aim.DRAW:
        row = best_try(turn, own, seen)
        return None if row is None else _seen_by(white, turn.reply(row))
    longest = rows[turn.lengths[rows] == turn.lengths[rows].max()]
    return min((_seen_by(white, turn.reply(int(row))) for row in longest), key=chess.Move.uci)


def _given(board: chess.Board, text: str) -> chess.Move:
    try:
        move = board.parse_uci(text)
    except ValueError as error:
        raise CoachbookError(
            f"'{text}' is not a legal reply in '{board.fen()}'.", "Write the squares, such as e5d6."
        ) from error
    if move.promotion not in (None, chess.QUEEN):
        raise CoachbookError(f"'{text}' makes no queen, and no method answers that.", "Make a queen.")
    return move


def _seen_by(white: chess.Color, move: chess.Move) -> chess.Move:
    """A move of the attacker-is-White look on the board where the attacker plays `white`."""
    if white == chess.WHITE:
        return move
    return chess.Move(
        chess.square_mirror(move.from_square), chess.square_mirror(move.to_square), move.promotion
    )
