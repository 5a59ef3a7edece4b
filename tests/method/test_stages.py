"""Two bishops, and bishop and knight, in stages: what is forced, from how many positions, how quickly."""

import chess
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.border import from_board
from coachbook.method.methods import COURSES, course_for
from coachbook.method.stages import Course, Staged, staged
from coachbook.method.written_plan import _move, staged_plan
from coachbook.wording.exercises import say
from tests.method.plain import legal_boards

IDS = [course.name for course in COURSES]

# The longest mates (19, 33): K. Kryukov's table, as in the EPD file that comes with `chess`. The counts
# of won positions are those of the tables; stages and lengths are what the proof itself finds.
PROVEN = {
    "two-bishops": (312_951, 19, [(248_451, 4), (61_296, 11), (3_204, 13)]),
    "bishop-and-knight": (1_352_913, 33, [(1_304_267, 22), (46_162, 16), (2_484, 10)]),
}


@pytest.mark.parametrize("course", COURSES, ids=IDS)
def test_every_stage_can_be_forced_from_every_won_position(course: Course) -> None:
    won, optimum, stages = PROVEN[course.name]
    figures = staged(course).figures
    assert [(stage.positions, stage.longest) for stage in figures.stages] == stages
    assert [stage.failing for stage in figures.stages] == [0, 0, 0]
    assert sum(stage.positions for stage in figures.stages) == won
    assert figures.optimum == optimum
    assert figures.longest == sum(longest for _, longest in stages)


@pytest.mark.parametrize("course", COURSES, ids=IDS)
def test_a_course_ends_in_mate_and_has_words_for_each_stage(course: Course) -> None:
    assert [stage.keeps is None for stage in course.stages] == [False] * (len(course.stages) - 1) + [True]
    assert all(stage.name and stage.goal.endswith(".") for stage in course.stages)


def won_boards() -> st.SearchStrategy[tuple[Course, chess.Board]]:
    """A course and a won board of its ending, White to move; bishops on both colours."""
    return st.sampled_from(COURSES).flatmap(
        lambda course: (
            legal_boards(course.pieces)
            .filter(lambda board: probe(board).result is Result.WIN)
            .map(lambda board: (course, board))
        )
    )


def _stage(board: chess.Board, course: Course) -> int:
    """The number of the stage to work on, from 0."""
    whole = staged(course)
    return whole.number(whole.forcing.cell(board))


def _needs(board: chess.Board, whole: Staged, number: int) -> int | None:
    """Moves to the goal of a stage, None where it can't be forced or a piece is gone: as is written down."""
    if len(board.piece_map()) < 4:
        return None
    found = int(whole.moves(number)[whole.forcing.cell(board)])
    return None if found < 0 else found


def _worked_out(board: chess.Board, whole: Staged, number: int) -> int | None:
    """The same from the moves of the `chess` package: one more than the best move's longest reply."""
    best: list[int] = []
    for move in list(board.legal_moves):
        board.push(move)
        after = []
        for reply in list(board.legal_moves):
            board.push(reply)
            after.append(_needs(board, whole, number))
            board.pop()
        known = [needs for needs in after if needs is not None]
        if board.is_checkmate():
            best.append(1)
        elif after and len(known) == len(after):
            best.append(1 + max(known))
        board.pop()
    return min(best, default=None)


@settings(max_examples=40)
@given(won_boards())
def test_the_number_of_moves_is_one_more_than_after_the_best_move_and_any_reply(
    case: tuple[Course, chess.Board],
) -> None:
    course, board = case
    whole = staged(course)
    number = whole.number(whole.forcing.cell(board))
    needs = _needs(board, whole, number)
    assert needs is not None
    assert needs > 0
    assert _worked_out(board, whole, number) == needs


@settings(max_examples=20)
@given(won_boards(), st.booleans())
def test_a_plan_goes_from_goal_to_goal_to_mate_for_either_colour(
    case: tuple[Course, chess.Board], mirrored: bool
) -> None:
    course, board = case
    board = board.mirror() if mirrored else board
    plan = staged_plan(board, course)
    assert (plan.start.fen, plan.source) == (board.fen(), say("in_stages"))
    assert len(plan.steps) <= staged(course).figures.longest
    last = 0
    for step in plan.steps:
        number = _stage(board, course) + 1
        assert step.rule.words == f"stage {number}: {course.stages[number - 1].name}"
        assert number >= last
        last = number
        board.push_san(step.move)
        if step.reply:
            board.push_san(step.reply)
    assert board.is_checkmate()
    assert plan.steps[-1].achieved == say("mate")


@settings(max_examples=20)
@given(won_boards())
def test_what_is_kept_for_good_holds_each_time_it_is_the_attackers_move(
    case: tuple[Course, chess.Board],
) -> None:
    course, board = case
    for step in staged_plan(board, course).steps:
        number = _stage(board, course)
        keeps = course.stages[number - 1].keeps if number else None
        assert keeps is None or keeps(from_board(board))[0]
        board.push_san(step.move)
        if step.reply:
            board.push_san(step.reply)


@settings(max_examples=20)
@given(won_boards(), st.data())
def test_no_defence_holds_out_longer_than_a_stage_says(
    case: tuple[Course, chess.Board], data: st.DataObject
) -> None:
    course, board = case
    whole, moves = staged(course), 0
    while True:
        best, _ = _move(board, whole, _stage(board, course))  # the first of a plan from here
        board.push(best)
        moves += 1
        if board.is_checkmate():
            break
        board.push(data.draw(st.sampled_from(sorted(board.legal_moves, key=chess.Move.uci))))
    assert moves <= staged(course).figures.longest


@pytest.mark.parametrize("course", COURSES, ids=IDS)
def test_the_longest_first_stage_is_as_long_as_it_says(course: Course) -> None:
    whole = staged(course)
    moves = whole.moves(0)
    row, *others, lone = np.argwhere(moves == moves.max())[0]
    board = chess.Board(None)
    squares = (whole.forcing.space.kings[row], lone, *others)
    for letter, square in zip("Kk" + course.pieces, squares, strict=True):
        board.set_piece_at(int(square), chess.Piece.from_symbol(letter))
    steps = [step for step in staged_plan(board, course).steps if step.rule.fact("number") == 1]
    assert len(steps) == whole.figures.stages[0].longest


# Common practice, no source: bishops on one colour don't win; nor does one piece when the other is lost.
@pytest.mark.parametrize(
    "fen", ["8/8/8/4k3/8/8/8/K1B1B3 w - - 0 1", "2N5/2k5/2B5/8/8/8/3K4/8 w - - 0 1"], ids=["colour", "fork"]
)
def test_no_stage_where_there_is_no_win(fen: str) -> None:
    board = chess.Board(fen)
    course = course_for(board)
    assert course is not None
    with pytest.raises(CoachbookError, match="not won"):
        staged_plan(board, course)


@pytest.mark.parametrize(
    "fen",
    ["8/8/8/4k3/8/8/8/K1B2B2 b - - 0 1", "8/8/8/4k3/8/8/8/K1B2R2 w - - 0 1", "8/8/8/8/8/8/8/K7 w - - 0 1"],
)
def test_a_course_refuses_other_boards(fen: str) -> None:
    board = chess.Board(fen)
    assert course_for(board) is None
    for course in COURSES:
        with pytest.raises(CoachbookError, match="does not fit"):
            staged_plan(board, course)
