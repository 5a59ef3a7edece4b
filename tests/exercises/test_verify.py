"""The verifier refuses whatever is wrong with an exercise, and says what."""

from dataclasses import replace

import chess
import pytest

from coachbook.endgame.symmetry import symmetry_key
from coachbook.errors import CoachbookError
from coachbook.exercises.verify import check_exercise
from coachbook.model.claims import Claim, RegionIs, WallsAre
from coachbook.model.position import Position
from coachbook.model.worksheet import Exercise
from tests.exercises.mutations import moved, mutants
from tests.exercises.samples import FIRST_USES, Use, first_use, sample
from tests.exercises.truth import check
from tests.judges import box
from tests.judges.published import Published

BOX = sample(first_use("box_size"), 1)[0]
BEHIND_D5 = {file + rank for file in "efgh" for rank in "678"}
BELOW_D5 = {file + rank for file in "efgh" for rank in "1234"}

each_use = pytest.mark.parametrize("use", FIRST_USES, ids=str)


def fault(exercise: Exercise) -> str:
    """What the verifier says, or "" when it is content."""
    try:
        check_exercise(exercise)
    except CoachbookError as error:
        return error.message
    return ""


@each_use
def test_whatever_is_made_wrong_is_refused_with_a_reason(use: Use) -> None:
    for exercise in sample(use, 1):
        faults = [(what, fault(mutant)) for what, mutant in mutants(exercise)]
        assert [what for what, found in faults if not found] == []
        assert all(found.startswith(f"The exercise {exercise.kind} in '") for _, found in faults)
        assert len({found.partition(" is wrong: ")[2] for _, found in faults} - {""}) >= 12
        assert len(faults) > 100


@each_use
def test_a_man_elsewhere_is_refused_unless_the_answer_is_true_there_too(
    use: Use, published: Published
) -> None:
    for exercise in sample(use, 1):
        for _, elsewhere in list(moved(exercise))[::4]:
            if not fault(elsewhere):
                check(elsewhere, published)


def _with_claims(fen: str, *claims: Claim) -> Exercise:
    board = chess.Board(fen)
    return replace(BOX, position=Position(fen), key=symmetry_key(board), claims=claims)


@pytest.mark.parametrize(
    ("fen", "piece", "box"),
    [
        ("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", "a1", {"e5"}),  # the king makes no box
        ("8/8/8/8/k1K1Q3/8/8/8 w - - 0 1", "e4", set()),  # he stands on a wall
        ("8/8/4k3/3R4/8/8/8/K7 w - - 0 1", "d5", BEHIND_D5),  # he can take the rook
        ("8/8/8/3R1K2/8/5k2/8/8 w - - 0 1", "d5", BELOW_D5),  # he can go round the king
    ],
)
def test_a_box_that_does_not_shut_him_in_is_refused(fen: str, piece: str, box: set[str]) -> None:
    claim = WallsAre(chess.parse_square(piece), frozenset(map(chess.parse_square, box)))
    assert "the claim WallsAre" in fault(_with_claims(fen, claim))


def test_two_boxes_that_differ_are_refused() -> None:
    """Behind a queen he can't reach all of the box by walls: both claims are true, one is printed."""
    fen = "8/8/8/5k2/3Q4/8/8/K7 w - - 0 1"
    walls, region = box.walls(chess.Board(fen)), box.region(chess.Board(fen))
    claims = (
        WallsAre(chess.D4, frozenset(map(chess.parse_square, walls))),
        RegionIs(frozenset(map(chess.parse_square, region))),
    )
    exercise = _with_claims(fen, *claims)
    exercise = replace(exercise, answer=replace(exercise.answer, accepted=(str(len(walls)),)))
    assert walls > region
    assert "claims" in fault(exercise)
