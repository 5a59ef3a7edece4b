"""All types of claims and all facts, and what a claim says of the answer."""

from typing import Any

import chess

from coachbook.exercises.claims.box_claims import (
    BOX_FACTS,
    BOX_WALLS,
    REGION_IS,
    SHRINK_OR_KING,
    SMALLEST_BOX,
    WALLS_ARE,
)
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just
from coachbook.exercises.claims.forced_facts import FORCED_FACTS
from coachbook.exercises.claims.line_claims import (
    LINE_FACTS,
    LINE_MISTAKE,
    METHOD_LINE,
    RULE_ENDING,
    WAITING_MOVES,
)
from coachbook.exercises.claims.move_claims import (
    ALL_MATES,
    ALL_STALEMATES,
    FASTEST_MATES,
    KEEPING_MOVES,
    MOVE_FACTS,
    TAKES_OPPOSITION,
)
from coachbook.exercises.claims.piece_claims import (
    BISHOP_CORNERS,
    BISHOP_FACTS,
    FORK_FACTS,
    FORK_SQUARES,
    PLACING_FACTS,
    PLACING_SQUARES,
    RIGHT_BISHOP,
    ROOK_FACTS,
    ROOK_PLACE,
)
from coachbook.exercises.claims.race_claims import PAWN_RACE, RACE_FACTS
from coachbook.exercises.claims.result_claims import (
    ENOUGH_TO_MATE,
    FINAL_STATUS,
    MATE_IN,
    NEW_QUEEN,
    RESULT_FACTS,
    RESULT_IS,
    WINNING_FACTS,
)
from coachbook.exercises.claims.rule_claims import METHOD_RULE, RULE_FACTS
from coachbook.exercises.claims.square_claims import (
    KEY_SQUARES,
    SQUARE_CORNERS,
    SQUARE_FACTS,
    SQUARE_OF_PAWN,
    THROWING_SQUARES,
)
from coachbook.exercises.claims.step_facts import LURE_FACTS, STEP_FACTS
from coachbook.exercises.claims.verdict_claims import REASON_IS
from coachbook.model.claims import Claim, PlacingSquares
from coachbook.model.worksheet import AnswerForm, Exercise, Fact

_CHECKS: dict[str, ClaimCheck[Any]] = {
    "all_mates": ALL_MATES,
    "all_stalemates": ALL_STALEMATES,
    "walls_are": WALLS_ARE,
    "region_is": REGION_IS,
    "mate_in": MATE_IN,
    "fastest_mates": FASTEST_MATES,
    "keeping_moves": KEEPING_MOVES,
    "result_is": RESULT_IS,
    "final_status": FINAL_STATUS,
    "throwing_squares": THROWING_SQUARES,
    "smallest_box": SMALLEST_BOX,
    "square_of_pawn": SQUARE_OF_PAWN,
    "key_squares": KEY_SQUARES,
    "takes_opposition": TAKES_OPPOSITION,
    "method_rule": METHOD_RULE,
    "shrink_or_king": SHRINK_OR_KING,
    "reason_is": REASON_IS,
    "placing_squares": PLACING_SQUARES,
    "pawn_race": PAWN_RACE,
    "method_line": METHOD_LINE,
    "line_mistake": LINE_MISTAKE,
    "rule_ending": RULE_ENDING,
    "waiting_moves": WAITING_MOVES,
    "square_corners": SQUARE_CORNERS,
    "box_walls": BOX_WALLS,
    "fork_squares": FORK_SQUARES,
    "right_bishop": RIGHT_BISHOP,
    "bishop_corners": BISHOP_CORNERS,
    "new_queen": NEW_QUEEN,
    "enough_to_mate": ENOUGH_TO_MATE,
    "rook_place": ROOK_PLACE,
}
"""By the tags of the claims."""


def check_of(claim: Claim) -> ClaimCheck[Any]:
    """What there is to know of a claim's type."""
    return _CHECKS[claim.claim]


def answer_claim(exercise: Exercise) -> Claim | None:
    """The claim on which the answer rests: the first that says anything of an answer of its form."""
    form = exercise.answer.form
    return next((claim for claim in exercise.claims if form in check_of(claim).answers), None)


def right_answer(claim: Claim, form: AnswerForm) -> frozenset[str] | None:
    """What is right by this claim, moves in UCI; None if the claim says nothing of an answer of this form."""
    answer = check_of(claim).answers.get(form)
    return answer(claim) if answer else None


def _man(scene: Scene, fact: Fact) -> bool:
    """Whether it is the man of which the claim is; of any other claim, whether White has such a man."""
    if isinstance(scene.claim, PlacingSquares):
        return fact == scene.claim.man
    square = getattr(scene.claim, "piece", getattr(scene.claim, "pawn", None))
    men = [man for man in scene.board.piece_map().values() if man.color and man.piece_type != chess.KING]
    if square is not None:
        men = [man for man in (scene.board.piece_at(square),) if man is not None]
    return fact in {chess.piece_name(man.piece_type) for man in men}


FACTS: dict[str, FactCheck] = {
    **MOVE_FACTS,
    **RESULT_FACTS,
    **BOX_FACTS,
    **SQUARE_FACTS,
    **RULE_FACTS,
    **STEP_FACTS,
    **PLACING_FACTS,
    **RACE_FACTS,
    **FORCED_FACTS,
    **LURE_FACTS,
    **LINE_FACTS,
    **FORK_FACTS,
    **BISHOP_FACTS,
    **WINNING_FACTS,
    **ROOK_FACTS,
    "asks": just(lambda scene: scene.claim.claim if scene.claim else None),
    "form": just(lambda scene: scene.exercise.answer.form.value),
    "man": _man,
}
"""What a sentence may state, by name, each with its check."""
