"""Written plans in stages: exact lines from goal to goal. No rules are claimed; the lines are computed."""

from collections.abc import Callable

import chess

from coachbook.endgame.probe import probe
from coachbook.method.stages import Course, Staged, check_fits, staged
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position

SOURCE = "one computed line, in stages each of which can be forced; other defences are possible"

Rank = tuple[int, int]
"""How long a position takes: moves to the stage's goal, then moves to mate."""
_MATED: Rank = (0, 0)


def staged_plan(board: chess.Board, course: Course) -> Plan:
    """A line from `board` to mate, for either colour as attacker, each stage in the fewest moves.

    Between moves that are as quick, the one with the shorter mate is taken, then the first in UCI
    order; the lone king holds out longest in the same sense. Raises CoachbookError if the course
    does not fit the board, or the position is not won.
    """
    check_fits(board, course)
    steps: list[PlanStep] = []
    whole, now = staged(course), board.copy(stack=False)
    while not now.is_checkmate():
        steps.append(_step(now, whole))
    return Plan(Position(board.fen()), SOURCE, tuple(steps))


def quickest_move(board: chess.Board, course: Course) -> chess.Move:
    """The attacker's first move in `staged_plan`. Raises CoachbookError as that does."""
    check_fits(board, course)
    whole = staged(course)
    return _move(board.copy(stack=False), whole, whole.number(whole.forcing.cell(board)))[0]


def _step(board: chess.Board, whole: Staged) -> PlanStep:
    """Play one move and his reply on the board, and write them down."""
    number = whole.number(whole.forcing.cell(board))
    rule = f"stage {number + 1}: {whole.course.stages[number].name}"
    move, left = _move(board, whole, number)
    san = board.san(move)
    board.push(move)
    if board.is_checkmate():
        return PlanStep(san, rule, "mate")
    reply, _ = _first(board, lambda after: _negative(_after_reply(after, whole, number)))
    answer = board.san(reply)
    board.push(reply)
    return PlanStep(san, rule, _in_words(left), answer)


def _move(board: chess.Board, whole: Staged, number: int) -> tuple[chess.Move, int]:
    """The attacker's move in this stage, and how many more the stage then needs."""
    move, (left, _) = _first(board, lambda after: _after_move(after, whole, number))
    return move, left


def _in_words(left: int) -> str:
    if left == 0:
        return "goal reached"
    return f"at most {left} more {'move' if left == 1 else 'moves'} in this stage"


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
