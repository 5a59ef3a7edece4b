"""An ending on a board that is moved on: what it is worth, and a plan stepped through, with its marks."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import chess

from coachbook.endgame.material import UnknownEndingError
from coachbook.endgame.probe import after_move
from coachbook.errors import CoachbookError, InWords
from coachbook.method.border import find_ending
from coachbook.method.verdicts import find_reason
from coachbook.model.position import Arrow, Marks, Position
from coachbook.paper.text import notated
from coachbook.wording.counting import capitalised
from coachbook.wording.reasons import why
from coachbook.wording.sentences import (
    ending_in_words,
    marks_in_words,
    over_in_words,
    side_in_words,
    to_move_in_words,
)
from coachbook.workflows.board_moves import read_position
from coachbook.workflows.endings import look_at_position, method_named, outcome_in_words, tables_are_ready
from coachbook.workflows.method_marks import marks_after
from coachbook.workflows.written_plans import PositionPlan, plan_for


@dataclass(frozen=True, slots=True)
class MoveWorth:
    """A legal move as the club writes it, what it is worth in words, and the position after it."""

    told: str
    worth: str
    fen: str


@dataclass(frozen=True, slots=True)
class PositionOnBoard:
    """A position and the truth about it in words, `moves` best first.

    Where the tables don't know it, `unknown` says so, and there is nothing else but its `title`. `is_over`
    says that there is no move to play. `reason` is why it is won or drawn, "" where no verdict tells; `line`
    the shortest one to mate, "" of a draw.
    """

    position: Position
    title: str
    unknown: str = ""
    is_over: bool = False
    verdict: str = ""
    reason: str = ""
    moves: tuple[MoveWorth, ...] = ()
    line: str = ""


@dataclass(frozen=True, slots=True)
class PlannedReply:
    """A legal reply as the club writes it and in UCI, and whether it is the one that the plan shows."""

    told: str
    uci: str
    is_planned: bool


@dataclass(frozen=True, slots=True)
class PlanOnBoard:
    """A plan after `at` of its `of` half moves, with the sentences to read with it (`told`).

    `number` counts the plan's own moves. While one is to be made, `coming` is it in UCI, and `words` say why;
    after it `coming` is "", and `words` say what it did. `legend` says what the marks mean. `reply` is what
    `replier` ("Black") answers; `replies` are all from which one may choose, none of a computed line, which
    meets only one. `replied` are the replies so far, in UCI.
    """

    told: tuple[str, ...]
    at: int
    of: int
    position: Position
    marks: Marks
    legend: str
    number: int
    move: str
    coming: str
    words: str
    replier: str
    reply: str
    replies: tuple[PlannedReply, ...]
    replied: tuple[str, ...]


def is_ready(fen: str) -> bool:
    """Whether the tables have this position's ending at hand, or don't know it. Raises CoachbookError for a
    position that cannot arise."""
    return tables_are_ready(read_position(fen))


def on_board(fen: str, men: str, in_words: InWords) -> PositionOnBoard:
    """What a position is worth, its moves written with these signs for the men (see `PaperOptions`), and what
    can be done where that is not known, in words of the front end. Raises CoachbookError for a position that
    cannot arise."""
    board = read_position(fen)
    position = Position(board.fen())
    try:
        found = look_at_position(board.fen())
    except UnknownEndingError as error:
        return PositionOnBoard(position, to_move_in_words(white=board.turn), error.told(in_words))
    title = ending_in_words(found.material.in_words, white_to_move=board.turn)
    if not found.moves:
        over = over_in_words(white_to_move=found.white_to_move, in_check=found.in_check)
        return PositionOnBoard(position, title, is_over=True, verdict=over)
    reason = find_reason(board)
    return PositionOnBoard(
        position,
        title,
        verdict=f"{capitalised(outcome_in_words(found.outcome, white_to_move=board.turn))}.",
        reason=why(reason) if reason is not None else "",
        moves=tuple(
            MoveWorth(
                notated(judged.san, men),
                outcome_in_words(judged.outcome, white_to_move=board.turn),
                after_move(board, judged.move).fen(),
            )
            for judged in found.moves
        ),
        line=notated(found.line, men),
    )


def plan_on_board(fen: str, men: str, at: int, replied: Sequence[str] = ()) -> PlanOnBoard:
    """The plan from a position after `at` half moves, against these replies (UCI) and then the longest
    defence. Raises CoachbookError where there is no plan, for an illegal reply, or if the plan is shorter."""
    found = _plan(fen, tuple(replied))
    steps = found.plan.steps
    line = [move for step in steps for move in (step.move, step.reply) if move]
    if not 0 <= at <= len(line):
        raise CoachbookError("The plan has no such move.", "Go to its beginning.")
    board, played = _play(found, line[:at])
    goes_on, number = at < len(line), min(at // 2, len(steps) - 1)
    coming = board.parse_san(line[at]) if goes_on and at % 2 == 0 else None
    step, is_answered = steps[number], goes_on and coming is None
    marks = _marks(found, board, coming)
    told = (*found.preface, f"{capitalised(found.plan.source.words)}.")
    return PlanOnBoard(
        told=tuple(notated(sentence, men) for sentence in told),
        at=at,
        of=len(line),
        position=Position(board.fen()),
        marks=marks,
        legend=_legend(found.method, board, marks),
        number=number + 1,
        move=notated(step.move, men),
        coming=coming.uci() if coming is not None else "",
        words=notated((step.rule if coming is not None else step.achieved_besides).words, men),
        replier=side_in_words(white=not read_position(fen).turn),
        reply=notated(step.reply, men) if is_answered else "",
        replies=_replies(board, step.reply, men) if is_answered and found.method else (),
        replied=tuple(played[1::2]),
    )


@lru_cache(maxsize=32)
def _plan(fen: str, replied: tuple[str, ...]) -> PositionPlan:
    """Kept, because it is stepped through: to prove it anew at each step would take most of the time."""
    return plan_for(fen, None, replied)


def _play(found: PositionPlan, line: Sequence[str]) -> tuple[chess.Board, list[str]]:
    """The board after some moves of a plan, and these in UCI."""
    board = chess.Board(found.plan.start.fen)
    return board, [board.push_san(san).uci() for san in line]


def _marks(found: PositionPlan, board: chess.Board, coming: chess.Move | None) -> Marks:
    """What the method's rules look at after the move that comes, and its arrow."""
    after = after_move(board, coming) if coming is not None else board
    marks = marks_after(method_named(found.method), after) if found.method else Marks()
    return replace(marks, arrows=(Arrow(coming.from_square, coming.to_square),)) if coming else marks


def _legend(method: str, board: chess.Board, marks: Marks) -> str:
    outlined, shaded = bool(marks.outlined), bool(marks.shaded)
    return marks_in_words(method, find_ending(board) or "", outlined=outlined, shaded=shaded)


def _replies(board: chess.Board, planned: str, men: str) -> tuple[PlannedReply, ...]:
    """All that a method answers: of promotions those to a queen."""
    legal = [move for move in board.legal_moves if move.promotion in (None, chess.QUEEN)]
    told = sorted((board.san(move), move.uci()) for move in legal)
    return tuple(PlannedReply(notated(san, men), uci, san == planned) for san, uci in told)
