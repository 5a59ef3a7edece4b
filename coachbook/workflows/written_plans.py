"""Written plans from a position: a proven method's where there is one, else a computed line."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import Outcome, Result, probe, shortest_line
from coachbook.errors import CoachbookError
from coachbook.exercises.notation import NoMove, read_moves
from coachbook.exercises.solution_lines import drawing_steps
from coachbook.method.border import check_fits, find_ending, fits
from coachbook.method.methods import course_for, methods_for
from coachbook.method.moves import Aim
from coachbook.method.rules import Method
from coachbook.method.verdicts import find_reason
from coachbook.method.written_plan import find_length, staged_plan, written_plan
from coachbook.model.because import Verdict
from coachbook.model.position import Position, check_names_side
from coachbook.model.worksheet import NOTHING, Plan, PlanStep
from coachbook.wording.exercises import say
from coachbook.workflows.endings import method_named, shipped_proofs


def method_or_computed(board: chess.Board, method: Method | None) -> Plan:
    """The method's plan where it is proven from here, else a computed line, labelled so."""
    if method is not None and fits(board, method) and find_length(board, method) is not None:
        return written_plan(board, method)
    return computed_plan(board)


def computed_plan(board: chess.Board) -> Plan:
    """One line as a plan: best play of both sides to mate, in stages where the ending is taught in stages; of
    a draw a few moves that keep it. Raises CoachbookError if the game is over."""
    if not any(board.legal_moves):
        raise CoachbookError(f"In '{board.fen()}' the game is over.", "Give a position with a move to play.")
    result, course = probe(board).result, course_for(board)
    if result is Result.DRAW:
        return Plan(Position(board.fen()), say("keeps_draw"), drawing_steps(board))
    if course is not None and result is Result.WIN:
        return staged_plan(board, course)
    return Plan(Position(board.fen()), say("best_play"), _steps_to_mate(board, result))


def read_board(fen: str) -> chess.Board:
    """A legal position that the tables know, with the side to move. Raises CoachbookError if the text is
    none."""
    check_names_side(fen)
    try:
        board = chess.Board(fen)
    except ValueError as error:
        raise CoachbookError(f"'{fen}' is not a position in FEN ({error}).", "Copy it again.") from error
    probe(board)
    if not board.is_valid():
        raise CoachbookError(f"'{fen}' is not a position that can arise.", "Check who is to move.")
    return board


def _steps_to_mate(board: chess.Board, result: Result) -> tuple[PlanStep, ...]:
    rule = say("quickest_win" if result is Result.WIN else "longest_defence")
    now, line = board.copy(stack=False), list(shortest_line(board))
    steps = []
    for index in range(0, len(line), 2):
        sans = []
        for move in line[index : index + 2]:
            sans.append(now.san(move))
            now.push(move)
        reply = sans[1] if len(sans) > 1 else ""
        steps.append(PlanStep(sans[0], rule, say("mate") if now.is_checkmate() else NOTHING, reply))
    return tuple(steps)


@dataclass(frozen=True, slots=True)
class PositionPlan:
    """A plan with what may be claimed of it.

    `outcome` is the position's, for the side to move. `method` is the name of the method whose plan it
    is, "" of a computed line; `proven` says whether that plan is proven from here against everything,
    and `at_most` in how many moves (None of a draw, or of a line). `preface` are sentences to read first,
    `reason` is why the position is won or drawn (None where no verdict tells).
    """

    plan: Plan
    outcome: Outcome
    method: str
    proven: bool
    at_most: int | None
    preface: tuple[str, ...]
    reason: Verdict | None


def plan_for(fen: str, name: str | None = None, defence: Sequence[str] = ()) -> PositionPlan:
    """The plan from a position, by the method named or else the first that is proven from here.

    `defence` are the other side's replies as a person writes them; after them it plays what holds
    out longest. Where no method is proven from here the plan is a computed line and says so.
    Raises CoachbookError for a bad position, a method that does not fit, or an illegal reply.
    """
    board = read_board(fen)
    methods = methods_for(board)
    if name is not None:
        methods = (method_named(name),)
        check_fits(board, methods[0])
    outcome, reason = probe(board), find_reason(board)
    for method in methods:
        length = find_length(board, method)
        if length is not None:
            plan = _met(board, method, defence)
            preface = _of_draw(board, method) if method.aim is Aim.DRAW else ()
            return PositionPlan(plan, outcome, method.name, True, length or None, preface, reason)
    if defence:
        raise CoachbookError("Only a method's plan can meet a given defence.", "Leave the defence out.")
    preface = _preface(board, outcome, methods)
    return PositionPlan(computed_plan(board), outcome, "", False, None, preface, reason)


def _preface(board: chess.Board, outcome: Outcome, methods: Sequence[Method]) -> tuple[str, ...]:
    """What a computed line needs to be read with: the result, and why there is no method's plan."""
    if outcome.result is Result.DRAW:
        why = _unproven(board, [method for method in methods if method.aim is Aim.DRAW])
        return ("This position is a draw: there is no plan that wins it.", *why)
    if outcome.result is Result.LOSS:
        loser, winner = ("White", "Black") if board.turn else ("Black", "White")
        moves = "1 move" if outcome.moves == 1 else f"{outcome.moves} moves"
        return (f"{loser} is lost: {winner} mates in at most {moves}, and no plan changes that.",)
    return _unproven(board, methods)


def _of_draw(board: chess.Board, method: Method) -> tuple[str, ...]:
    side = "White" if board.turn else "Black"
    return (f"This position is a draw, and {side} holds it by '{method.title}'.",)


def _unproven(board: chess.Board, methods: Sequence[Method]) -> tuple[str, ...]:
    """From how many positions the methods that fit are proven, and that this is not one of them."""
    sentences = [
        f"'{method.title}' is {proof.in_words}; this position is not one of them."
        for method in methods
        for proof in shipped_proofs(method.name)
        if proof.ending == find_ending(board)
    ]
    if sentences or course_for(board) is not None or probe(board).result is Result.DRAW:
        return tuple(sentences)
    return ("No method is proven for this position.",)


def _met(board: chess.Board, method: Method, defence: Sequence[str]) -> Plan:
    """The method's plan against these replies. Squares say the same on any board, so that nothing need be
    played along to read them."""
    if not all(map(_SQUARES.fullmatch, defence)):
        return written_plan(board, method, _replies(board, method, defence))
    plan = written_plan(board, method, defence)
    met = sum(bool(step.reply) for step in plan.steps)
    if len(defence) > met:
        raise _ends_before(defence[met])
    return plan


def _ends_before(reply: str) -> CoachbookError:
    return CoachbookError(f"The plan ends before the reply '{reply}'.", "Give fewer replies.")


_SQUARES = re.compile("[a-h][1-8][a-h][1-8]q?")


def _replies(board: chess.Board, method: Method, defence: Sequence[str]) -> list[str]:
    """The replies in UCI, each read on the board on which it is played."""
    found: list[str] = []
    for text in defence:
        steps = written_plan(board, method, found).steps
        now = board.copy(stack=False)
        for step in steps[: len(found)]:
            now.push_san(step.move)
            now.push_san(step.reply)
        if len(found) >= len(steps) or not steps[len(found)].reply:
            raise _ends_before(text)
        now.push_san(steps[len(found)].move)
        (reply, *more) = read_moves(now, text) or (NoMove.UNREADABLE,)
        if more or isinstance(reply, NoMove):
            raise CoachbookError(
                f"'{text}' is no legal reply to {steps[len(found)].move}.", "Write it like Kd5."
            )
        found.append(reply.uci())
    return found
