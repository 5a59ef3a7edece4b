"""Find the mistake: White is winning, plays on well, and then one move throws the win away.

Asked where White has a pawn, and Black his king alone; with five men wherever White wins. Up to the
mistake both sides play as well as can be, after it both as one who draws would; it is a check, a push or a
step of the king that looks natural. All is decided by the position, so that the same one is asked about in
the same way again.

Difficulty: 40; 8 more for each move before the mistake, which may be suspected too; 10 more if it is a step
of the king, where pushes are suspected first; 10 more if more than one move would have kept the win.
"""

import random
from dataclasses import dataclass

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import Result, after_move, best_moves, keeping_moves, probe
from coachbook.endgame.space import WHITE
from coachbook.exercises.board_facts import arrow
from coachbook.exercises.generate import derived_seed
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.solution_lines import purpose, sensible_move
from coachbook.model.claims import LineMistake
from coachbook.model.facts import Slip
from coachbook.model.position import Marks, Position
from coachbook.model.worksheet import NOTHING, Answer, AnswerForm, Plan, PlanStep, Saying, Solution
from coachbook.wording.exercises import say

_LOOKED_AT = 50_000
_LAST_RANK = 7
_FEWEST, _MOST = 3, 5
"""How many moves White makes in the line, at least one of them after the mistake."""


@dataclass(frozen=True, slots=True)
class _Slip:
    """A mistake: the moves of both sides that lead to it, the position, and the move."""

    before: tuple[chess.Move, ...]
    board: chess.Board
    move: chess.Move

    @property
    def number(self) -> int:
        """Which of White's moves it is."""
        return len(self.before) // 2 + 1


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if "P" not in survey.space.material.white or survey.space.material.black:
        return survey.cells(survey.space.empty())
    return survey.cells(survey.where(lambda values: values > 0), _LOOKED_AT)


def _draft(board: chess.Board) -> Draft | None:
    chance = random.Random(derived_seed(0, "find_mistake", board.fen()))  # noqa: S311 - no secret
    slips = _slips(board, chance)
    lines = ((slip, _played_on(slip, chance)) for slip in chance.sample(slips, len(slips)))
    slip, line = next(((slip, line) for slip, line in lines if line), (None, ()))
    if slip is None:
        return None
    number = slip.number
    pairs = _pairs(board, line)
    return Draft(
        task=say("task_find_mistake"),
        task_marks=Marks(),
        answer=Answer(AnswerForm.CHOICE, (pairs[number - 1],), options=pairs, wrong=Slip.MISJUDGED),
        solution=_solution(board, slip, number),
        claims=(LineMistake(pairs, number),),
        difficulty=_difficulty(slip, number),
    )


def _slips(board: chess.Board, chance: random.Random) -> list[_Slip]:
    """A mistake in each position of a line of best play in which there is one, none after the fourth move."""
    now, line, found = board, tuple[chess.Move, ...](), list[_Slip]()
    while len(line) < 2 * (_MOST - 1):
        tempting = _tempting(now)
        if tempting:
            found.append(_Slip(line, now, chance.choice(tempting)))
        for _ in chess.COLORS:
            quiet = [move for move in best_moves(now) if not move.promotion and not now.is_capture(move)]
            if not quiet:
                return found
            move = chance.choice(sorted(quiet, key=chess.Move.uci))
            line, now = (*line, move), after_move(now, move)
    return found


def _tempting(board: chess.Board) -> list[chess.Move]:
    """Moves that throw the win away and look good: checks, pushes, steps of the king to a pawn or up the
    board beside one. None that stalemates, promotes, or lets a man be taken."""
    good = (move for move in board.legal_moves if not move.promotion and _looks_good(board, move))
    return [move for move in good if _throws_win_away(after_move(board, move))]


def _throws_win_away(after: chess.Board) -> bool:
    """Whether it is a draw, no stalemate, and nothing can be taken."""
    if probe(after).result is not Result.DRAW or after.is_stalemate():
        return False
    return not any(after.generate_legal_captures())


def _looks_good(board: chess.Board, move: chess.Move) -> bool:
    man = board.piece_type_at(move.from_square)
    if man == chess.KING:
        return any(_is_natural(move, pawn) for pawn in board.pieces(chess.PAWN, board.turn))
    return man == chess.PAWN or board.gives_check(move)


def _is_natural(step: chess.Move, pawn: chess.Square) -> bool:
    """Whether the king comes nearer to its pawn, or goes up the board, not to the last rank, next to the
    pawn's file or on it."""
    was, now = step.from_square, step.to_square
    beside = abs(chess.square_file(now) - chess.square_file(pawn)) <= 1
    ahead = chess.square_rank(was) < chess.square_rank(now) < _LAST_RANK
    return chess.square_distance(now, pawn) < chess.square_distance(was, pawn) or (beside and ahead)


def _played_on(slip: _Slip, chance: random.Random) -> tuple[chess.Move, ...]:
    """The line with the mistake, of a length that chance decides; () if it can't go on long enough."""
    line = (*slip.before, slip.move)
    line += _drawn_on(after_move(slip.board, slip.move), 2 * _MOST - len(line))
    fewest, most = max(_FEWEST, slip.number + 1), len(line) // 2
    return line[: 2 * chance.randint(fewest, most)] if most >= fewest else ()


def _drawn_on(board: chess.Board, plies: int) -> tuple[chess.Move, ...]:
    """At most so many moves of both sides from a drawn position, none after one that takes a man, nor a
    promotion."""
    now, seen, line = board, frozenset({board.epd()}), list[chess.Move]()
    while len(line) < plies and any(now.legal_moves):
        move = sensible_move(now, seen).move
        if move.promotion:
            break
        line.append(move)
        if now.is_capture(move):
            break
        now = after_move(now, move)
        seen |= {now.epd()}
    return tuple(line)


def _pairs(board: chess.Board, line: tuple[chess.Move, ...]) -> tuple[str, ...]:
    """The line as it is printed, such as "2. Kd5 Ke7"."""
    now, sans = board.copy(stack=False), []
    for move in line:
        sans.append(now.san(move))
        now.push(move)
    return tuple(f"{at // 2 + 1}. {sans[at]} {sans[at + 1]}" for at in range(0, len(sans), 2))


def _solution(board: chess.Board, slip: _Slip, number: int) -> Solution:
    """The line up to the mistake, and the quickest win in its place."""
    better = min(best_moves(slip.board), key=slip.board.san)
    thrown_by, kept = slip.board.san(slip.move), keeping_moves(slip.board)
    steps, now = [], board
    for move, reply in zip(slip.before[::2], slip.before[1::2], strict=True):
        after = after_move(now, move)
        steps.append(PlanStep(now.san(move), say("still_wins"), _does(now, move), after.san(reply)))
        now = after_move(after, reply)
    instead = say("instead_of", thrown_by=thrown_by)
    steps.append(PlanStep(now.san(better), instead, _does(now, better)))
    first = board.parse_san(steps[0].move)
    return Solution(
        marks=Marks(arrows=(arrow(first),)),
        text=say(
            "win_thrown",
            thrown_at=number,
            thrown_by=thrown_by,
            better=slip.board.san(better),
            only_better=len(kept) == 1,
        ),
        plan=Plan(Position(board.fen()), say("computed"), tuple(steps)),
        watch_for=(say("mistake_tempts", tempts_by=_temptation(slip)),),
    )


def _does(board: chess.Board, move: chess.Move) -> Saying:
    told = purpose(board, move)
    return say("does", **told) if told else NOTHING


def _temptation(slip: _Slip) -> str:
    if slip.board.gives_check(slip.move):
        return "check"
    return "push" if slip.board.piece_type_at(slip.move.from_square) == chess.PAWN else "step"


def _difficulty(slip: _Slip, number: int) -> int:
    king = slip.board.piece_type_at(slip.move.from_square) == chess.KING
    several = len(keeping_moves(slip.board)) > 1
    return clamp(40 + 8 * (number - 1) + 10 * king + 10 * several)


KIND = Kind("find the mistake", _candidates, _draft, large=((WHITE, True),))
