"""The next three moves: the card leaves one each time, along the longest defence, which is printed.

Asked of the queen's box, the rook's box, the two major pieces, and of king and pawn.

Difficulty: 50, for each move is found by the rules; 10 more for each time that another rule decides
than before; 2 more for each move of a piece that spoils the win (up to 20); 10 less if the last is mate.
"""

from dataclasses import dataclass
from itertools import pairwise

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import after_move, best_moves, keeping_moves
from coachbook.exercises.board_facts import arrow, spoiling_moves
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.rule_choices import rule_choices
from coachbook.exercises.solution_lines import next_step
from coachbook.method.border import choose, find_ending, fits
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.loose import by_its_card
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method, Rule
from coachbook.method.two_majors import TWO_MAJORS
from coachbook.model.claims import MethodLine
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Solution
from coachbook.wording.exercises import say

_METHODS = {
    ending: by_its_card(method)
    for method in (QUEEN_BOX, ROOK_BOX, TWO_MAJORS, KING_AND_PAWN)
    for ending in method.endings
}
"""As their cards tell them: where a card leaves just one move, it is the one that the exact words mean."""
_MOVES = 3


@dataclass(frozen=True, slots=True)
class _Turn:
    """A position, the one move that the method leaves there, its rule, and the reply (none to the last)."""

    board: chess.Board
    move: chess.Move
    rule: Rule
    reply: chess.Move | None = None


def _candidates(survey: Survey) -> NDArray[np.intp]:
    """Where the method leaves one move, and does not reach its aim with it."""
    method = _METHODS.get(survey.space.material.white)
    if method is None or survey.space.material.black:
        return survey.cells(survey.space.empty())
    looked_at = rule_choices(survey, method)
    won = survey.values[survey.side][tuple(looked_at.cells.T)] > 0
    found: NDArray[np.intp] = looked_at.cells[won & looked_at.has_one_move() & (looked_at.choice.rule > 0)]
    return found


def _turns(board: chess.Board, method: Method, left: int = _MOVES) -> tuple[_Turn, ...]:
    """So many turns of White along the longest defences; () if the card leaves not just one move each
    time, or one that throws the win away, where it is not proven. Of several defences, the first by name
    that gives such a line."""
    chosen = choose(board, method) if fits(board, method) else None
    if chosen is None or chosen.rule is None or len(chosen.moves) != 1:
        return ()
    (move,) = chosen.moves
    if move not in keeping_moves(board):
        return ()
    if left == 1:
        return (_Turn(board, move, chosen.rule),)
    after = after_move(board, move)
    for reply in sorted(best_moves(after), key=after.san):
        if rest := _turns(after_move(after, reply), method, left - 1):
            return (_Turn(board, move, chosen.rule, reply), *rest)
    return ()


def _draft(board: chess.Board) -> Draft | None:
    method = _METHODS[find_ending(board) or ""]
    turns = _turns(board, method)
    if not turns:
        return None
    steps = tuple(_step(turn, method) for turn in turns)
    line = [move for turn in turns for move in (turn.move, turn.reply) if move]
    return Draft(
        task=say("task_next_moves"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.LINE,
            tuple(step.move for step in steps),
            wrong=Slip.AGAINST_RULE,
            missed=Slip.LINE_UNFINISHED,
            replies=tuple(step.reply for step in steps[:-1]),
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(turns[0].move),)),
            text=say("one_move_each_time"),
            plan=Plan(Position(board.fen()), say("by_method", method=method.name), steps),
            watch_for=(say("again_from_the_top"),),
        ),
        claims=(MethodLine(method.name, tuple(move.uci() for move in line)),),
        difficulty=_difficulty(turns),
    )


def _step(turn: _Turn, method: Method) -> PlanStep:
    (step,) = next_step(turn.board, method).steps
    reply = after_move(turn.board, turn.move).san(turn.reply) if turn.reply else ""
    return PlanStep(step.move, step.rule, step.achieved, reply)


def _difficulty(turns: tuple[_Turn, ...]) -> int:
    rules = [turn.rule for turn in turns]
    changes = sum(rule is not before for before, rule in pairwise(rules))
    pieces = [turn.board.occupied_co[chess.WHITE] & ~turn.board.kings for turn in turns]
    spoiling = sum(
        len(spoiling_moves(turn.board, piece))
        for turn, mask in zip(turns, pieces, strict=True)
        for piece in chess.SquareSet(mask)
    )
    ends = after_move(turns[-1].board, turns[-1].move).is_checkmate()
    return clamp(50 + 10 * changes + min(20, 2 * spoiling) - 10 * ends)


KIND = Kind("the next three moves", _candidates, _draft, reads_card=True)
