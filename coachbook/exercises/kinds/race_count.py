"""Both pawns run: how many moves each of them needs, and who queens first.

Pawns at least two files apart, which neither king could stop with all its moves. Pushing is right for both
sides to the end, and the tables say what the race says: a draw where the second queen comes right after
the first and that one gives no check; else the first queen wins.

Difficulty: 30, and 5 for each move of the longer run after the second; 8 more where a pawn may go two
steps, 8 where the counts are equal (then it matters who moves), 8 where the second queen comes right
after the first.
"""

from dataclasses import dataclass
from itertools import pairwise, zip_longest

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, probe
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, side_name, thinned
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import purpose
from coachbook.method.positions import king_steps
from coachbook.model.claims import PawnRace
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import Answer, AnswerForm, Plan, PlanStep, Saying, Solution
from coachbook.wording.exercises import say

_APART = 2
"""Files between pawns that can't meet; and a king no farther from a pawn could take it at once."""
_LOOKED_AT = 200_000
"""Positions, spread evenly over all of them."""
_SHORTEST, _MOST = 2, 20_000
"""A pawn that queens at once runs no race; so many positions of each result are more than any club uses."""

Squares = NDArray[np.intp]


def _candidates(survey: Survey) -> Squares:
    """As many draws as wins (but one at least: a coach's own)."""
    if survey.space.material.name != "KPKP":
        return survey.cells(survey.space.empty())
    cells = survey.cells(survey.legal, _LOOKED_AT)
    king, white, black, lone = survey.space.kings[cells[:, 0]], cells[:, 1], cells[:, 2], cells[:, 3]
    up, down = 7 - np.maximum(white // 8, 2), np.minimum(black // 8, 5)
    fits = (np.minimum(up, down) >= _SHORTEST) & (np.abs(white % 8 - black % 8) >= _APART)
    fits &= _is_free(white, 56 + white % 8, up + (survey.side == BLACK), king, lone)
    fits &= _is_free(black, black % 8, down + (survey.side == WHITE), lone, king)
    own, others = (up, down) if survey.side == WHITE else (down, up)
    cells, own, others = cells[fits], own[fits], others[fits]
    values = survey.values[survey.side][tuple(cells.T)]
    wins = cells[np.where(own <= others, values > 0, values < 0)]
    draws = cells[(values == 0) & np.isin(own - others, (0, 1))]
    share = max(1, min(_MOST, len(wins), len(draws)))
    return np.concatenate([thinned(part, share) for part in (wins, draws)])


def _is_free(pawn: Squares, goal: Squares, moves: Squares, own: Squares, other: Squares) -> NDArray[np.bool_]:
    """Whether the other king is more than so many moves from the goal of a pawn and not beside the pawn,
    and its own king is not in its way."""
    outside = (king_steps(other, goal) > moves) & (king_steps(other, pawn) > _APART)
    ahead = (own % 8 == goal % 8) & (king_steps(own, goal) < king_steps(pawn, goal))
    free: NDArray[np.bool_] = outside & ~ahead
    return free


@dataclass(frozen=True, slots=True)
class _Race:
    """The moves that White's and Black's pawns need, who queens first, and how many moves the other pawn
    then still needs."""

    white: int
    black: int
    first: chess.Color
    still_needs: int


def _draft(board: chess.Board) -> Draft | None:
    race = _race(board)
    boards = _pushed(board, race)
    queened, results = boards[-1], [probe(each).result for each in boards]
    both = race.still_needs == 1 and not queened.is_check()
    if both:
        queened = _pushed_once(queened)
        if queened.was_into_check():  # the first queen had pinned the pawn
            return None
        results.append(probe(queened).result)
    wanted = Result.DRAW if both else Result.LOSS
    if results[len(boards) - 1] is not wanted or any(one != -other for one, other in pairwise(results)):
        return None
    home = any(chess.square_rank(pawn) in (1, 6) for pawn in _pawns(board).values())
    even = race.white == race.black
    first = side_name(race.first)
    return Draft(
        task=say("task_race_count"),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.RACE,
            (f"{race.white} {race.black} {first}",),
            wrong=Slip.MISCOUNTED_MOVES,
            missed=Slip.MISJUDGED,
        ),
        solution=Solution(
            marks=Marks(arrows=(arrow(queened.move_stack[0]),)),
            text=_told(race, both=both, check=boards[-1].is_check()),
            plan=_plan(board, queened.move_stack),
            watch_for=tuple(say(code) for code in (*["double_step"] * home, *["equal_counts"] * even)),
        ),
        claims=(PawnRace(race.white, race.black, first),),
        difficulty=clamp(
            30 + 5 * (max(race.white, race.black) - _SHORTEST) + 8 * (home + even + (race.still_needs == 1))
        ),
    )


def _pawns(board: chess.Board) -> dict[chess.Color, chess.Square]:
    """The pawn of each side that has one."""
    return {side: pawn for side in chess.COLORS for pawn in board.pieces(chess.PAWN, side)}


def _race(board: chess.Board) -> _Race:
    pawns = _pawns(board)
    white = 7 - max(chess.square_rank(pawns[chess.WHITE]), 2)
    black = min(chess.square_rank(pawns[chess.BLACK]), 5)
    own, other = (white, black) if board.turn else (black, white)
    if own <= other:
        return _Race(white, black, board.turn, other - own + 1)
    return _Race(white, black, not board.turn, own - other)


def _pushed(board: chess.Board, race: _Race) -> list[chess.Board]:
    """The positions from the board to the first queen."""
    moves = race.white if race.first else race.black
    boards = [board.copy(stack=False)]
    for _ in range(2 * moves - (race.first == board.turn)):
        boards.append(_pushed_once(boards[-1]))
    return boards


def _pushed_once(board: chess.Board) -> chess.Board:
    """The board after the longest push of the side to move."""
    pawn, ahead = _pawns(board)[board.turn], 8 if board.turn else -8
    home = chess.square_rank(pawn) == (1 if board.turn else 6)
    end = pawn + ahead * (1 + home)
    after = board.copy()
    after.push(chess.Move(pawn, end, chess.QUEEN if chess.square_rank(end) in (0, 7) else None))
    return after


def _plan(board: chess.Board, moves: list[chess.Move]) -> Plan:
    """The race, each side pushing in turn."""
    now, steps = board.copy(stack=False), []
    for move, reply in zip_longest(moves[::2], moves[1::2]):
        told, san = purpose(now, move), now.san_and_push(move)
        steps.append(
            PlanStep(san, say("push"), say("does", **told), now.san_and_push(reply) if reply else "")
        )
    return Plan(Position(board.fen()), say("computed"), tuple(steps))


def _told(race: _Race, *, both: bool, check: bool) -> Saying:
    first, second = side_name(race.first), side_name(not race.first)
    if both:
        return say("race_drawn", queens_first=first, queens_second=second)
    if race.still_needs == 1 and check:
        return say("race_won_with_check", queens_first=first)
    return say("race_won", queens_first=first, queens_second=second, still_needs=race.still_needs)


KIND = Kind("both pawns run: count", _candidates, _draft, sides=(WHITE, BLACK))
