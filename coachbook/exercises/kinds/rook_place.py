"""Where the rook belongs: the one rank or file to which its moves keep the win, or for the defender the draw.

Asked where only moves of the side's one rook keep it, all that go to this rank or file and no others. Nothing
is taken, it is not yet mate, and a verdict, or something that can be forced within a few moves, says why. Of
the ranks and files that are offered with it each is one to which the rook can go, and where it keeps nothing.

Difficulty: 20, 1 more for each rook move that spoils it (up to 14), 10 more if the rook stays on its rank or
file, 10 more if a move that spoils it gives check; 5 less if a right one does.
"""

import random
from collections.abc import Callable

import chess
import numpy as np
from numpy.typing import NDArray

from coachbook.endgame.census import Survey
from coachbook.endgame.probe import JudgedMove, Outcome, Result, after_move, judge_moves, probe
from coachbook.endgame.space import BLACK, WHITE
from coachbook.exercises.board_facts import arrow, reasons, side_name
from coachbook.exercises.forced import find_forced
from coachbook.exercises.generate import derived_seed
from coachbook.exercises.kind import Draft, Kind, clamp
from coachbook.exercises.lures import lures
from coachbook.exercises.solution_lines import one_move
from coachbook.model.claims import RookPlace
from coachbook.model.facts import Slip
from coachbook.model.position import Marks
from coachbook.model.worksheet import Answer, AnswerForm, Solution
from coachbook.wording.exercises import say

_MOST = 20_000
_OFFERED = 4
_MATE = Outcome(Result.WIN, 1)
_Lines = dict[str, list[JudgedMove]]
"""Moves of the rook by the code of each rank and file to which they go, such as "rank_6" and "file_a"."""


def _candidates(survey: Survey) -> NDArray[np.intp]:
    if [man.letter for man in survey.space.men_of(survey.side)].count("R") != 1:
        return survey.cells(survey.space.empty())
    kept: Callable[[NDArray[np.int8]], NDArray[np.bool_]] = (
        (lambda values: values > 0) if survey.side == WHITE else (lambda values: values == 0)
    )
    return survey.cells(survey.where(kept) & survey.kept_by("R"), _MOST)


def _draft(board: chess.Board) -> Draft | None:
    if _another_man_keeps_it(board):
        return None
    judged = judge_moves(board)
    place = _place(board, judged)
    if place is None:
        return None
    line, right, others = place
    only = right[0].move if len(right) == 1 else None
    told = reasons(board) or (reasons(board, only) if only else ())
    found = None if told else find_forced(board)
    if not told and found is None:
        return None
    begins = (each for each in right if found and each.move in found.begins)
    best = next(begins, right[0])
    result = "win" if best.outcome.result is Result.WIN else "draw"
    chance = random.Random(derived_seed(0, "rook_place", board.fen()))  # noqa: S311 - no secret
    offered = tuple(sorted((line, *chance.sample(sorted(others), _OFFERED - 1)), key=_in_order))
    forced = {"forced": found.forced} if found else {}
    return Draft(
        task=say("task_rook_place", side=side_name(board.turn), result=result),
        task_marks=Marks(),
        answer=Answer(
            AnswerForm.CHOICE,
            (line,),
            options=offered,
            wrong=Slip.WIN_NOT_SEEN if result == "win" else Slip.DRAW_NOT_SEEN,
        ),
        solution=Solution(
            marks=Marks(shaded=_squares(line), outlined=_squares(line), arrows=(arrow(best.move),)),
            text=say(
                "rook_belongs", rook_line=line, spoiling=len(judged) - len(right), result=result, **forced
            ),
            plan=one_move(board, best, say("only_move" if only else "good_move")),
            watch_for=lures(board, judged),
        ),
        claims=(RookPlace(line, offered), *told),
        difficulty=_difficulty(board, judged, right),
    )


def _another_man_keeps_it(board: chess.Board) -> bool:
    """Whether some move of the king or a pawn keeps the result."""
    best = probe(board).result
    others = board.generate_legal_moves(~board.rooks)
    return any(probe(after_move(board, move)).result + best == 0 for move in others)


def _place(
    board: chess.Board, judged: tuple[JudgedMove, ...]
) -> tuple[str, list[JudgedMove], list[str]] | None:
    """The one rank or file where the rook belongs, its moves there, and the others that it can go to in vain;
    None where there is no such, or too few others."""
    right = [each for each in judged if each.outcome.result == judged[0].outcome.result]
    rooks = board.pieces(chess.ROOK, board.turn)
    quiet = all(each.move.from_square in rooks and not board.is_capture(each.move) for each in right)
    if len(rooks) != 1 or not quiet or judged[0].outcome.result is Result.LOSS or judged[0].outcome == _MATE:
        return None
    lines = _lines([each for each in judged if each.move.from_square in rooks])
    belongs = [line for line, moves in lines.items() if moves == right]
    in_vain = [line for line, moves in lines.items() if not any(each in right for each in moves)]
    if len(belongs) != 1 or len(in_vain) < _OFFERED - 1:
        return None
    return belongs[0], right, in_vain


def _lines(moves: list[JudgedMove]) -> _Lines:
    found: _Lines = {}
    for each in moves:
        rank, file = chess.square_rank(each.move.to_square), chess.square_file(each.move.to_square)
        for line in (f"rank_{rank + 1}", f"file_{chess.FILE_NAMES[file]}"):
            found.setdefault(line, []).append(each)
    return found


def _in_order(line: str) -> tuple[bool, str]:
    """Ranks before files."""
    return line.startswith("file"), line


def _squares(line: str) -> tuple[chess.Square, ...]:
    return tuple(square for square in chess.SQUARES if line[-1] in chess.square_name(square))


def _difficulty(board: chess.Board, judged: tuple[JudgedMove, ...], right: list[JudgedMove]) -> int:
    rook = right[0].move.from_square
    spoiling = [each.move for each in judged if each not in right and each.move.from_square == rook]
    checks = [any(map(board.gives_check, moves)) for moves in (spoiling, [each.move for each in right])]
    stays = len(right) > 1
    return clamp(20 + min(14, len(spoiling)) + 10 * stays + 10 * checks[0] - 5 * checks[1])


_CASES = ((WHITE, True), (BLACK, False))

KIND = Kind("where the rook belongs", _candidates, _draft, sides=(WHITE, BLACK), large=_CASES, leads_to=True)
