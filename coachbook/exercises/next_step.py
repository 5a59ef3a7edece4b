"""Plans of one move: what a method does next, or what the tables say."""

import chess
import numpy as np

from coachbook.endgame.probe import JudgedMove, Result
from coachbook.exercises.purposes import purpose
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
    san = board.san(moves[row])
    mate = san.endswith("#")
    told = "it is mate" if mate else method.tell(before, choice.moves.after.take(np.array([row])))
    step = PlanStep(san, method.rules[choice.rule[0]].name, told)
    return Plan(Position(board.fen()), method.title, (step,))


def one_move(board: chess.Board, judged: JudgedMove, rule: str) -> Plan:
    """A plan of one move that the tables gave: what it is for, and what comes of it."""
    # "one of 2 moves that draw: it is a draw" would say it twice.
    result = "" if "draw" in rule or "no move wins" in rule else _result(board, judged)
    told = [words for words in (purpose(board, judged.move), result) if words]
    step = PlanStep(judged.san, rule, ", ".join(told))
    return Plan(Position(board.fen()), "computed line", (step,))


def _result(board: chess.Board, judged: JudgedMove) -> str:
    moves = judged.outcome.moves
    if moves is None:
        return "it is a draw"
    winner = "White" if board.turn == (judged.outcome.result is Result.WIN) else "Black"
    return "" if judged.san.endswith("#") else f"{winner} mates in {moves}"
