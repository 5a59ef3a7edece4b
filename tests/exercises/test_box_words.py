"""The printed words decide what is right about the box: the task and the definitions, nothing else."""

import chess
import pytest

from coachbook.endgame.symmetry import symmetry_key
from coachbook.exercises.claims.known_claims import check_of
from coachbook.exercises.generate import supply
from coachbook.model.claims import ShrinkOrKing, SmallestBox
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises.answers import answered
from tests.exercises.literal_box import box_of, right_by_words
from tests.exercises.literal_box_key import is_key_true, is_step_true
from tests.exercises.samples import USES, Use, sample
from tests.judges.published import Published

BOX_KINDS = ("box_size", "smallest_box", "shrink_or_king", "next_rule", "no_go_squares")
BOX_USES = tuple(use for use in USES if use.use.kind in BOX_KINDS)
SMALLEST = "Make the smallest safe box with the {}. Leave him two squares or more."
SHRINK_OR_STEP = "Make the smallest safe box with the {}. If it can't shrink, step nearer."
MOST_ARROWS = 4

each_use = pytest.mark.parametrize("use", BOX_USES, ids=str)


def check_words(exercise: Exercise, published: Published) -> None:
    """What is right by the words is accepted, and nothing else; and what the key says is so."""
    board = chess.Board(exercise.position.fen)
    right = right_by_words(board.fen(), exercise.task.words)
    assert right
    assert answered(exercise) == right
    if exercise.answer.form is AnswerForm.MOVES:
        assert right <= published.keeping(board)
        assert len(exercise.solution.marks.arrows) <= MOST_ARROWS
    if len(board.piece_map()) == len("Kk") + 1:
        _check_key(exercise, board, right)


def _check_key(exercise: Exercise, board: chess.Board, right: set[str]) -> None:
    man, solution = "queen" if board.queens else "rook", exercise.solution
    assert is_key_true(board, man, right, solution.text.words), solution.text.words
    for step in solution.plan.steps if solution.plan else ():
        assert is_step_true(board, man, step.move, step.achieved.words), (board.fen(), step)
    shaded = {chess.square_name(square) for square in solution.marks.shaded}
    assert shaded == (box_of(board, man) if exercise.kind == "box_size" else set())


@each_use
def test_what_is_right_by_the_words_is_right_in_marking(use: Use, published: Published) -> None:
    for exercise in sample(use, 12):
        check_words(exercise, published)


@pytest.mark.long
@each_use
def test_what_is_right_by_the_words_is_right_in_marking_on_many_sheets(
    use: Use, published: Published
) -> None:
    for exercise in sample(use, 500, seed=3):
        check_words(exercise, published)


@pytest.mark.parametrize(
    ("fen", "task", "right"),
    [
        ("8/8/8/8/5k1K/6R1/8/8 w - - 0 1", SHRINK_OR_STEP, {"Rd3"}),
        ("8/2R5/8/6K1/k7/8/8/8 w - - 0 1", SHRINK_OR_STEP, {"Rb7"}),
        ("k7/8/8/1Q6/8/8/8/1K6 w - - 0 1", SHRINK_OR_STEP, {"Ka2", "Kb2", "Kc2"}),
        ("8/4R3/6K1/8/7k/8/8/8 w - - 0 1", SMALLEST, {"Re3"}),
        ("8/7k/8/8/8/8/4R3/1K6 w - - 0 1", SMALLEST, {"Rg2", "Re6"}),
    ],
)
def test_of_a_position_all_moves_are_right_that_the_words_allow(fen: str, task: str, right: set[str]) -> None:
    board = chess.Board(fen)
    (piece,) = chess.SquareSet((board.queens | board.rooks) & ~board.kings)
    found = right_by_words(fen, task.format("queen" if board.queens else "rook"))
    assert {board.san(chess.Move.from_uci(move)) for move in found} == right
    shrinks = not any(san.startswith("K") for san in right)
    claim = ShrinkOrKing(piece, shrinks, frozenset(found))
    assert check_of(claim).holds(board, claim)


@pytest.mark.parametrize(
    ("fen", "is_offered"),
    [
        ("8/8/8/8/5k1K/6R1/8/8 w - - 0 1", False),  # the method keeps the king near and plays Rg5
        ("8/2R5/8/6K1/k7/8/8/8 w - - 0 1", False),  # the method brings the king, though Rb7 is smaller
        ("k7/8/8/1Q6/8/8/8/1K6 w - - 0 1", False),  # a step to b2 is right, and on the queen's wall
        ("3k4/5Q2/8/K7/8/8/8/8 w - - 0 1", True),
    ],
)
def test_only_positions_are_offered_in_which_method_and_words_agree(fen: str, is_offered: bool) -> None:
    board = chess.Board(fen)
    found = supply("shrink_or_king", "KQK" if board.queens else "KRK")
    keys = {symmetry_key(found.survey.board(cell)) for cell in found.cells}
    assert (symmetry_key(board) in keys) == is_offered


def test_the_printed_box_is_the_same_wherever_white_s_king_stands() -> None:
    """Here he stands in the wall that the queen makes on d2. On sheets of before that was no box at all."""
    board = chess.Board("8/8/8/8/2k5/8/2K2Q2/8 w - - 0 1")
    assert right_by_words(board.fen(), SMALLEST.format("queen")) == {"f2d2"}
    for measure, squares, moves in (("rectangle", 18, {"f2d2"}), ("walls", 20, {"f2f5", "f2e3"})):
        claim = SmallestBox(chess.F2, measure, squares, frozenset(moves))
        assert check_of(claim).holds(board, claim)


@pytest.mark.parametrize("piece", [chess.B1, chess.A8, chess.H5])
def test_a_box_is_only_that_of_a_queen_or_a_rook(piece: int) -> None:
    board = chess.Board("k7/8/8/1Q6/8/8/8/1K6 w - - 0 1")
    steps = frozenset({"b1a2", "b1b2", "b1c2"})
    claim = ShrinkOrKing(chess.B5, shrinks=False, moves=steps)
    assert check_of(claim).holds(board, claim)
    other = ShrinkOrKing(piece, shrinks=False, moves=steps)
    assert not check_of(other).holds(board, other)
