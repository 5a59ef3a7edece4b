"""Written plans: for each step the move, why, what it achieved, and the reply."""

from collections.abc import Callable, Sequence
from functools import lru_cache

import chess
import numpy as np

from coachbook.endgame.probe import probe
from coachbook.errors import CoachbookError
from coachbook.method.border import attacker, check_fits, find_ending, from_board
from coachbook.method.graph import (
    REPEATED,
    STALEMATE,
    Graph,
    TooManyPositionsError,
    Turn,
    best_try,
    explore,
    held_end,
    look_at,
    name_of,
)
from coachbook.method.moves import Aim
from coachbook.method.rules import Method
from coachbook.method.stages import Course, Staged, check_fits_stages, staged
from coachbook.method.starts import canonical
from coachbook.model.position import Position
from coachbook.model.worksheet import Fact, Plan, PlanStep, Saying
from coachbook.wording.exercises import said_again, say


def find_length(board: chess.Board, method: Method) -> int | None:
    """The most moves that `method` takes from here (0 for a draw), or None where it can fail.

    Worked out anew for this position, with all that can follow from it: the allowance of a
    play-out, and the licence to print a plan. None too where there is no move to make. Raises
    CoachbookError if the method doesn't fit.
    """
    check_fits(board, method)
    try:
        return _length(*_graph_from(board, method))
    except TooManyPositionsError:
        return None


def written_plan(board: chess.Board, method: Method, defence: Sequence[str] = ()) -> Plan:
    """The method's plan from `board` to its aim, for either colour as attacker.

    The other side replies with the moves of `defence` (UCI), after that with what holds out
    longest (against a draw: tries on until nothing new can happen). Between tied moves, and
    between equally long replies, the first in UCI order is taken. Raises CoachbookError where the
    method doesn't fit or isn't proven from here, or for an illegal reply.
    """
    length = find_length(board, method)
    if length is None:
        raise CoachbookError(
            f"'{method.title}' is not sure to work from '{board.fen()}'.", "Show a computed line instead."
        )
    graph, _ = _graph_from(board, method)
    steps = _steps(board.copy(stack=False), method, graph, list(defence))
    return Plan(Position(board.fen()), _source(method, length), steps)


def _source(method: Method, most: int) -> Saying:
    """What is proven from here, and that the moves shown are only one way in which it can go."""
    if method.aim is Aim.DRAW:
        return say("proven_draw", method=method.name)
    return say("proven", method=method.name, goal=method.aim.name.lower(), at_most=most)


def _graph_from(board: chess.Board, method: Method) -> tuple[Graph, int]:
    start = canonical(from_board(board))
    graph = _graph(method, find_ending(board) or "", int(start[0]))
    return graph, int(graph.find(start)[0])


@lru_cache(maxsize=2)
def _graph(method: Method, ending: str, start: int) -> Graph:
    return explore(method, ending, np.array([start]), most=method.most)


def _length(graph: Graph, start: int) -> int | None:
    works = graph.length[start] >= 0 and graph.rule[start] >= 0
    return int(graph.length[start]) if works else None


def _steps(board: chess.Board, method: Method, graph: Graph, defence: list[str]) -> tuple[PlanStep, ...]:
    white = attacker(board)
    steps: list[PlanStep] = []
    seen = frozenset[int]()
    end: dict[str, Fact] = {}
    before = from_board(board)
    while not end:
        turn = look_at(method, graph, before)
        seen |= {name_of(turn.before)}
        own = min(range(len(turn.moves.of)), key=lambda row: _seen_by(white, turn.move(row)).uci())
        move, rule = _seen_by(white, turn.move(own)), say("rule", rule=method.rules[turn.rule].code)
        san = board.san(move)
        board.push(move)
        reply = _reply(board, method, turn, own, seen, defence)
        if reply is None:
            return (*steps, PlanStep(san, rule, _last(method, turn, own)))
        answer = board.san(reply)
        board.push(reply)
        before = turn.after(_row_of(turn, own, _seen_by(white, reply)))
        if method.aim is Aim.DRAW and not defence:
            end = _ENDS[held_end(before, seen)]
        achieved = method.tell(turn.before, turn.moves.after.take(np.array([own])))
        steps.append(PlanStep(san, rule, said_again(achieved, **end), answer))
    return tuple(steps)


_ENDS: dict[str, dict[str, Fact]] = {"": {}, STALEMATE: {"end": "stalemate"}, REPEATED: {"end": "again"}}


def _last(method: Method, turn: Turn, own: int) -> Saying:
    """What a move achieved after which there is nothing to reply."""
    if method.aim is Aim.DRAW:
        return say("pawn_taken" if turn.reached[own] else "stalemate")
    return say(_REACHED[method.aim])


_REACHED = {Aim.MATE: "mate", Aim.QUEEN: "safe_queen", Aim.QUEEN_OR_ROOK: "queen_or_rook"}


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


def _row_of(turn: Turn, own: int, reply: chess.Move) -> int:
    """The row of a reply to the move in row `own`."""
    rows = np.flatnonzero(turn.replies.of == own)
    return next(int(row) for row in rows if turn.reply(int(row)) == reply)


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


Rank = tuple[int, int]
"""How long a position takes: moves to the stage's goal, then moves to mate."""
_MATED: Rank = (0, 0)


def staged_plan(board: chess.Board, course: Course) -> Plan:
    """A line from `board` to mate, for either colour as attacker, each stage in the fewest moves.

    Between moves that are as quick, the one with the shorter mate is taken, then the first in UCI
    order; the lone king holds out longest in the same sense. Raises CoachbookError if the course
    does not fit the board, or the position is not won.
    """
    check_fits_stages(board, course)
    steps: list[PlanStep] = []
    whole, now = staged(course), board.copy(stack=False)
    while not now.is_checkmate():
        steps.append(_step(now, whole))
    return Plan(Position(board.fen()), say("in_stages"), tuple(steps))


def _step(board: chess.Board, whole: Staged) -> PlanStep:
    """Play one move and his reply on the board, and write them down."""
    number = whole.number(whole.forcing.cell(board))
    rule = say("stage", number=number + 1, stage=whole.course.stages[number].code)
    move, left = _move(board, whole, number)
    san = board.san(move)
    board.push(move)
    if board.is_checkmate():
        return PlanStep(san, rule, say("mate"))
    reply, _ = _first(board, lambda after: _negative(_after_reply(after, whole, number)))
    answer = board.san(reply)
    board.push(reply)
    return PlanStep(san, rule, say("goal_in", left=left), answer)


def _move(board: chess.Board, whole: Staged, number: int) -> tuple[chess.Move, int]:
    """The attacker's move in this stage, and how many more the stage then needs."""
    move, (left, _) = _first(board, lambda after: _after_move(after, whole, number))
    return move, left


def _first(board: chess.Board, rank: Callable[[chess.Board], Rank]) -> tuple[chess.Move, Rank]:
    """The move with the least rank of the position after it, and that rank; among equals the first by UCI."""
    ranked = [(move, _after(board, move, rank)) for move in sorted(board.legal_moves, key=chess.Move.uci)]
    return min(ranked, key=lambda pair: pair[1])


def _after(board: chess.Board, move: chess.Move, rank: Callable[[chess.Board], Rank]) -> Rank:
    board.push(move)
    found = rank(board)
    board.pop()
    return found


def _after_move(board: chess.Board, whole: Staged, number: int) -> Rank:
    """How long it takes from here, lone king to move: his longest reply."""
    if board.is_checkmate():
        return _MATED
    replies = [
        _after(board, reply, lambda after: _after_reply(after, whole, number)) for reply in board.legal_moves
    ]
    return max(replies, default=_LOST)


def _after_reply(board: chess.Board, whole: Staged, number: int) -> Rank:
    """How long it takes from here, attacker to move."""
    if len(board.piece_map()) < len(whole.course.pieces) + 2:
        return _LOST
    left = int(whole.moves(number)[whole.forcing.cell(board)])
    mate = probe(board).moves
    return _LOST if left < 0 or mate is None else (left, mate)


def _negative(rank: Rank) -> Rank:
    return -rank[0], -rank[1]


_LOST: Rank = (127, 127)
"""The win, or the stage, is gone: worse than anything else."""
