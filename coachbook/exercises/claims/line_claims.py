"""Claims about what a method plays, where a line throws the win away, how a rule ends, which moves wait."""

from collections.abc import Iterator

import chess

from coachbook.endgame.probe import Result, after_move, best_moves, keeping_moves, probe
from coachbook.exercises.claims.box_claims import walks_to
from coachbook.exercises.claims.claim_check import (
    ClaimCheck,
    FactCheck,
    Scene,
    just,
    moves_after_which,
    read_line_exactly,
)
from coachbook.exercises.claims.rule_claims import said_by
from coachbook.method.loose import by_its_card
from coachbook.method.methods import find_method
from coachbook.model.claims import LineMistake, MethodLine, RuleEnding, WaitingMoves
from coachbook.model.worksheet import AnswerForm

_FEWEST, _MOST = 3, 5
"""How many of its moves a line with a mistake has."""


def _is_played(board: chess.Board, claim: MethodLine) -> bool:
    method, now = find_method(claim.method), board.copy(stack=False)
    if method is None or len(claim.line) % 2 == 0:
        return False
    for ply, name in enumerate(claim.line):
        said = said_by(by_its_card(method), now) if ply % 2 == 0 else None
        if ply % 2 == 0 and (said is None or said[1] != {name}):
            return False
        if name not in {move.uci() for move in now.legal_moves}:
            return False
        now.push_uci(name)
    return True


METHOD_LINE = ClaimCheck[MethodLine](
    holds=_is_played,
    answers={AnswerForm.LINE: lambda claim: frozenset({" ".join(claim.line)})},
    all_asked=True,
)


def _along(board: chess.Board, claim: LineMistake) -> Iterator[tuple[chess.Board, chess.Move]]:
    """Each position of the line with the move made there, as far as it is legal and numbered right."""
    line = list[str]()
    for number, pair in enumerate(claim.pairs, start=1):
        count, *sans = pair.split(" ")
        if count != f"{number}." or len(sans) != 2:
            break
        line += sans
    return read_line_exactly(board, line)


def _is_thrown(board: chess.Board, claim: LineMistake) -> bool:
    """Whether the mistake alone changes what the position is worth; at least one pair follows it."""
    line = list(_along(board, claim))
    if len(line) != 2 * len(claim.pairs) or not _FEWEST <= len(claim.pairs) <= _MOST:
        return False
    worth = [probe(now).result * (1 if now.turn == board.turn else -1) for now, _ in line]
    thrown = 2 * claim.mistake - 1
    due = [Result.WIN] * thrown + [Result.DRAW] * (len(line) - thrown)
    last = after_move(*line[-1])
    return 0 < thrown < len(line) - 2 and worth == due and probe(last).result is Result.DRAW


LINE_MISTAKE = ClaimCheck[LineMistake](
    holds=_is_thrown,
    answers={AnswerForm.CHOICE: lambda claim: frozenset(claim.pairs[claim.mistake - 1 : claim.mistake])},
    options=lambda claim: claim.pairs,
)


def _is_its_end(board: chess.Board, claim: RuleEnding) -> bool:
    method = find_method(claim.method)
    said = said_by(method, board) if method else None
    ends = [f"{claim.rule}/end", f"{claim.rule}/other-1", f"{claim.rule}/other-2"]
    return said is not None and said[0] == claim.rule and sorted(claim.offered) == ends


RULE_ENDING = ClaimCheck[RuleEnding](
    holds=_is_its_end,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({f"{claim.rule}/end"})},
    options=lambda claim: claim.offered,
)


def _waiting(board: chess.Board) -> frozenset[str]:
    """The moves of the rook after which it can't be taken and he can walk to the same squares."""
    rooks, box = board.pieces(chess.ROOK, board.turn), walks_to(board)
    found = moves_after_which(
        board,
        lambda after: walks_to(after) == box and not any(map(after.is_capture, after.legal_moves)),
    )
    return frozenset(move for move in found if chess.parse_square(move[:2]) in rooks)


def _wait(board: chess.Board, claim: WaitingMoves) -> bool:
    if not board.turn or probe(board).result is not Result.WIN or not claim.moves:
        return False
    return claim.moves == _waiting(board) <= {move.uci() for move in keeping_moves(board)}


WAITING_MOVES = ClaimCheck[WaitingMoves](holds=_wait, answers={AnswerForm.MOVES: lambda claim: claim.moves})


def _mistake(scene: Scene) -> tuple[int, chess.Board, chess.Move] | None:
    """The number of the mistake, the position in which it is made, and the move."""
    claim = scene.claim
    if not isinstance(claim, LineMistake):
        return None
    return claim.mistake, *list(_along(scene.answer_board, claim))[2 * claim.mistake - 2]


def _thrown_at(scene: Scene) -> int | None:
    found = _mistake(scene)
    return found[0] if found else None


def _thrown_by(scene: Scene) -> str | None:
    found = _mistake(scene)
    return found[1].san(found[2]) if found else None


def _better(scene: Scene) -> str | None:
    """The quickest win in place of the mistake, of several the first by name."""
    found = _mistake(scene)
    return min(map(found[1].san, best_moves(found[1]))) if found else None


def _only_better(scene: Scene) -> bool | None:
    found = _mistake(scene)
    return len(keeping_moves(found[1])) == 1 if found else None


def _temptation(scene: Scene) -> str | None:
    """What is tempting in the mistake."""
    found = _mistake(scene)
    if found is None:
        return None
    _, board, move = found
    if board.gives_check(move):
        return "check"
    return {chess.PAWN: "push", chess.KING: "step"}.get(board.piece_type_at(move.from_square) or 0)


LINE_FACTS: dict[str, FactCheck] = {
    "thrown_at": just(_thrown_at),
    "thrown_by": just(_thrown_by),
    "better": just(_better),
    "only_better": just(_only_better),
    "tempts_by": just(_temptation),
    "decides": just(lambda scene: scene.claim.rule if isinstance(scene.claim, RuleEnding) else None),
    "waiting": just(lambda scene: len(scene.claim.moves) if isinstance(scene.claim, WaitingMoves) else None),
}
