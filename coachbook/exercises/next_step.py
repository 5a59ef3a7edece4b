"""Plans of one move: what a method does next, or what the tables say."""

import chess
import numpy as np

from coachbook.method.border import from_board, move_of
from coachbook.method.rules import Method, choose_all
from coachbook.model.exercise import Plan, PlanStep
from coachbook.model.position import Position


def next_step(board: chess.Board, method: Method) -> Plan:
    """A plan of one move: the first, by name, that the method leaves; White is the attacker."""
    before = from_board(board)
    choice = choose_all(method, before)
    moves = [move_of(choice.moves, before, row, chess.WHITE) for row in range(len(choice.moves.of))]
    row = min(range(len(moves)), key=lambda row: board.san(moves[row]))
    told = method.tell(before, choice.moves.after.take(np.array([row])))
    step = PlanStep(board.san(moves[row]), method.rules[choice.rule[0]].name, told)
    return Plan(Position(board.fen()), method.title, (step,))


def one_move(board: chess.Board, san: str, rule: str, achieved: str) -> Plan:
    """A plan of one move that the tables gave."""
    return Plan(Position(board.fen()), "computed line", (PlanStep(san, rule, achieved),))
