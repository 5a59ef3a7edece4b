"""Win-or-draw and only-move items give the reason, where a verdict tells; the verifier checks it."""

from dataclasses import replace

import chess
import pytest

from coachbook.errors import CoachbookError
from coachbook.exercises.claims.verdict_claims import is_true
from coachbook.exercises.kinds import find_kind
from coachbook.exercises.verify import check_exercise
from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs
from coachbook.model.worksheet import Exercise
from coachbook.workflows.own_positions import offers, read_positions
from tests.exercises.mutations import mutants
from tests.exercises.reasons_read import has_reason
from tests.exercises.samples import USES, Use, sample

# Own positions: an item, and why it is won or drawn.
WIN_OR_DRAW = {
    "8/8/3k4/8/3K4/8/3P4/8 w - - 0 1": Because.KEY_SQUARE_TO_MOVE,
    "7k/8/8/8/8/8/P7/K7 w - - 0 1": Because.OUTSIDE_SQUARE_TO_MOVE,
    "k7/8/8/8/8/8/P7/K7 w - - 0 1": Because.ROOK_PAWN_CORNER,
    "8/8/8/3k4/8/3K4/3P4/8 w - - 0 1": Because.OPPOSITION_TO_MOVE,
    "7K/8/7Q/8/8/8/p7/1k6 w - - 0 1": Because.ROOK_PAWN_FAR,
    "8/8/7Q/3K4/8/8/p7/1k6 w - - 0 1": Because.ROOK_PAWN_NEAR,
}
ONLY_MOVE = {
    "8/6k1/8/7K/5P2/8/8/8 w - - 0 1": ("Kg5", Because.OPPOSITION),
    "8/3k4/8/2K5/8/4P3/8/8 w - - 0 1": ("Kd5", Because.KEY_SQUARE),
    "8/5k2/8/8/5K2/5P2/8/8 b - - 0 1": ("Kf6", Because.OPPOSITION_TO_MOVE),
    "2k5/P7/8/8/8/8/8/4K3 b - - 0 1": ("Kb7", Because.ROOK_PAWN_CORNER),
}
ASKED = [use for use in USES if use.use.kind in ("win_or_draw", "only_move")]
TOLD = [use for use in ASKED if {"KPK", "KQKP"} & {*use.unit.endings}]


def asked(kind: str, fen: str) -> Exercise:
    (own,) = read_positions(fen)
    (made,) = [offer.exercise for offer in offers(own, "opposition") if offer.kind == kind]
    assert made is not None
    return made


def reasons(exercise: Exercise) -> list[ReasonIs]:
    return [claim for claim in exercise.claims if isinstance(claim, ReasonIs)]


@pytest.mark.parametrize(("fen", "because"), WIN_OR_DRAW.items())
def test_a_win_or_draw_item_gives_the_reason(fen: str, because: Because) -> None:
    assert [claim.reason.because for claim in reasons(asked("win_or_draw", fen))] == [because]


@pytest.mark.parametrize(
    "fen",
    [
        "8/8/8/8/4k3/1P6/8/K7 w - - 0 1",
        "4Q3/8/2K5/8/8/8/2p2k2/8 w - - 0 1",  # an exception: his king is far, and yet it is a draw
    ],
)
def test_where_no_verdict_tells_it_is_told_what_can_be_forced_or_nothing_is_asked(fen: str) -> None:
    (own,) = read_positions(fen)
    (offer,) = [offer for offer in offers(own, "opposition") if offer.kind == "win_or_draw"]
    assert offer.exercise is None or has_reason(offer.exercise)
    assert offer.exercise is None or not reasons(offer.exercise)


def test_with_king_and_pawn_nothing_is_asked_for_which_there_is_no_reason() -> None:
    assert find_kind("win_or_draw").draft(chess.Board("8/8/8/8/4k3/1P6/8/K7 w - - 0 1")) is None


@pytest.mark.parametrize(("fen", "told"), ONLY_MOVE.items())
def test_an_only_move_item_gives_the_reason_of_the_position_after_it(
    fen: str, told: tuple[str, Because]
) -> None:
    exercise = asked("only_move", fen)
    move, because = told
    assert exercise.answer.accepted == (move,)
    uci = chess.Board(fen).parse_san(move).uci()
    assert reasons(exercise) == [ReasonIs(Verdict(because, white=True), uci)]


@pytest.mark.parametrize("use", [use for use in TOLD if use.use.kind == "win_or_draw"], ids=str)
def test_items_of_units_with_verdicts_give_reasons(use: Use) -> None:
    assert any(reasons(exercise) for exercise in sample(use, 8))


@pytest.mark.parametrize("use", TOLD, ids=str)
def test_another_verdict_is_refused_unless_it_holds_there_too(use: Use) -> None:
    for exercise in filter(reasons, sample(use, 8)):
        (claim,) = reasons(exercise)
        board = chess.Board(exercise.position.fen)
        if claim.after:
            board.push_uci(claim.after)
        for because in set(Because):
            other = replace(claim, reason=replace(claim.reason, because=because))
            changed = replace(exercise, claims=(exercise.claims[0], other))
            if is_true(board, other.reason):
                check_exercise(changed)
            else:
                with pytest.raises(CoachbookError, match=r"ReasonIs.* does not hold"):
                    check_exercise(changed)


@pytest.mark.parametrize(
    "exercise", [asked("win_or_draw", next(iter(WIN_OR_DRAW))), asked("only_move", next(iter(ONLY_MOVE)))]
)
def test_whatever_is_made_wrong_of_an_item_with_a_reason_is_refused(exercise: Exercise) -> None:
    for _, mutant in mutants(exercise):
        with pytest.raises(CoachbookError):
            check_exercise(mutant)


def test_two_reasons_or_one_of_a_wrong_move_are_refused() -> None:
    exercise = asked("only_move", "2k5/P7/8/8/8/8/8/4K3 b - - 0 1")
    keeping, reason = exercise.claims
    with pytest.raises(CoachbookError, match="more than one reason"):
        check_exercise(replace(exercise, claims=(keeping, reason, reason)))
    lost = ReasonIs(Verdict(Because.OUTSIDE_SQUARE_TO_MOVE, white=True), "c8c7")
    with pytest.raises(CoachbookError, match="reason is one of another move"):
        check_exercise(replace(exercise, claims=(keeping, lost)))


def test_an_item_made_before_there_were_reasons_still_stands_up() -> None:
    for exercise in (
        asked("win_or_draw", next(iter(WIN_OR_DRAW))),
        asked("only_move", next(iter(ONLY_MOVE))),
    ):
        check_exercise(replace(exercise, claims=exercise.claims[:1]))
