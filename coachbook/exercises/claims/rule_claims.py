"""The claim that a rule of a method decides, and all that only the method can tell of a move."""

import chess
import numpy as np

from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.method.border import attacker, choose, fits, from_board, move_of
from coachbook.method.methods import find_method
from coachbook.method.rules import Method, choose_all
from coachbook.model.claims import Claim, MethodRule, ShrinkOrKing
from coachbook.model.worksheet import AnswerForm, Fact


def _decides(board: chess.Board, claim: MethodRule) -> bool:
    method = find_method(claim.method)
    return method is not None and said_by(method, board) == (claim.rule, claim.moves)


def said_by(method: Method, board: chess.Board) -> tuple[str, frozenset[str]] | None:
    """The rule that decides, and the moves that it leaves (UCI); None where the method says nothing."""
    chosen = choose(board, method) if fits(board, method) else None
    if chosen is None or chosen.rule is None:
        return None
    return chosen.rule.code, frozenset(move.uci() for move in chosen.moves)


def _rules(claim: MethodRule) -> tuple[str, ...]:
    method = find_method(claim.method)
    return tuple(rule.code for rule in method.rules) if method else ()


METHOD_RULE = ClaimCheck[MethodRule](
    holds=_decides,
    answers={
        AnswerForm.MOVES: lambda claim: claim.moves,
        AnswerForm.CHOICE: lambda claim: frozenset({claim.rule}),
    },
    options=_rules,
)


def card_of(claim: Claim | None) -> dict[int, str]:
    """The rules on the card of a claim's method, by their numbers; empty if it has none."""
    method = find_method(claim.method) if isinstance(claim, MethodRule) else None
    return {method.number_of(rule): rule.code for rule in method.told} if method else {}


_SHRINK = {
    "smaller_queen_box": True,
    "rook_shrinks_box": True,
    "king_to_meeting_square": False,
    "king_to_rook": False,
    "king_to_lone_king": False,
}
"""Whether a rule makes the box smaller; with the others it can't be."""


def _shrinks(scene: Scene) -> bool | None:
    match scene.claim:
        case MethodRule(rule=rule):
            return _SHRINK.get(rule)
        case ShrinkOrKing(shrinks=shrinks):
            return shrinks
    return None


def _is_followed(scene: Scene, fact: Fact) -> bool:
    """Whether the method, that of the claim if there is one, leaves the move with which the plan begins."""
    claim, plan, method = scene.claim, scene.exercise.solution.plan, scene.method
    if method is None or plan is None or (isinstance(claim, MethodRule) and claim.method != fact):
        return False
    _, moves = said_by(method, scene.board) or ("", frozenset[str]())
    return scene.board.parse_san(plan.steps[0].move).uci() in moves


def _rule(scene: Scene) -> str | None:
    """The rule by which the method leaves the move of this step."""
    rule, moves = (said_by(scene.method, scene.board) if scene.method else None) or ("", frozenset[str]())
    return rule if scene.move is not None and scene.move.uci() in moves else None


def _as_method_tells(name: str) -> FactCheck:
    """The check of a fact that the method states of its move."""

    def check(scene: Scene, fact: Fact) -> bool:
        method, board = scene.method, scene.board
        if method is None or not fits(board, method):
            return False
        before = from_board(board)
        moves = choose_all(method, before).moves
        rows = [
            row for row in range(len(moves.of)) if move_of(moves, before, row, attacker(board)) == scene.move
        ]
        told = [method.tell(before, moves.after.take(np.array([row]))) for row in rows]
        return any(saying.fact(name) == fact for saying in told)

    return check


_TOLD = (
    *("steps_to_meeting", "kings_apart", "rows_was", "rows_now"),
    *("runs", "picture", "pawn_steps", "steps_to_key_square", "steps_to_front", "face_to_face"),
    "bridge",
)

RULE_FACTS: dict[str, FactCheck] = {
    "shrinks": just(_shrinks),
    "rule_moves": just(lambda scene: len(scene.claim.moves) if isinstance(scene.claim, MethodRule) else None),
    "method": _is_followed,
    "rule": just(_rule),
    **{name: _as_method_tells(name) for name in _TOLD},
}
