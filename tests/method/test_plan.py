import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.method.border import choose
from coachbook.method.methods import find_method
from coachbook.method.moves import Aim
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rules import Method
from coachbook.method.teaching_order import method_names
from coachbook.method.two_majors import TWO_MAJORS
from coachbook.method.written_plan import find_length, written_plan
from coachbook.model.worksheet import Plan
from coachbook.wording.exercises import say
from tests.method.broken import LAZY_QUEEN
from tests.method.plain import legal_boards

METHODS = [m for name in method_names() if (m := find_method(name)) and m.aim is Aim.MATE]
cases = st.sampled_from([(method, ending) for method in METHODS for ending in method.endings])


# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def _replay(plan: Plan, method: Method) -> chess.Board:
    board = chess.Board(plan.start.fen)
    for step in plan.steps:
        chosen = choose(board, method)
        move = board.parse_san(step.move)
        assert move in chosen.moves
        assert chosen.rule is not None
        assert step.rule == say("rule", rule=chosen.rule.code)
        board.push(move)
        if step.reply:
            board.push_san(step.reply)
    return board


@FEW
@given(cases, st.booleans(), st.data())
def test_a_plan_follows_the_rules_to_mate_for_either_colour(
    case: tuple[Method, str],
    mirrored: bool,
    data: st.DataObject,
) -> None:
    method, ending = case
    board = data.draw(legal_boards(ending))
    board = board.mirror() if mirrored else board
    plan = written_plan(board, method)
    assert plan.start.fen == board.fen()
    assert _replay(plan, method).is_checkmate()
    assert plan.steps[-1].achieved == say("mate")
    assert all(step.achieved.words for step in plan.steps)
    length = find_length(board, method)
    assert length is not None
    assert len(plan.steps) <= length


@FEW
@given(legal_boards("Q"), st.integers(0))
def test_a_plan_answers_the_defence_it_is_given(board: chess.Board, pick: int) -> None:
    move = board.parse_san(written_plan(board, QUEEN_BOX).steps[0].move)
    after = board.copy(stack=False)
    after.push(move)
    replies = sorted(after.legal_moves, key=chess.Move.uci)
    if not replies:
        return
    reply = replies[pick % len(replies)]
    plan = written_plan(board, QUEEN_BOX, [reply.uci()])
    assert after.parse_san(plan.steps[0].reply) == reply
    assert _replay(plan, QUEEN_BOX).is_checkmate()


@pytest.mark.parametrize("reply", ["e5a1", "nonsense"])
def test_an_illegal_reply_is_refused(reply: str) -> None:
    board = chess.Board("8/8/8/3k4/8/8/1K6/6Q1 w - - 0 1")
    with pytest.raises(CoachbookError, match="not a legal reply"):
        written_plan(board, QUEEN_BOX, [reply])


def test_no_plan_is_written_from_where_the_method_fails() -> None:
    board = chess.Board("8/8/8/3k4/8/8/1K6/6Q1 w - - 0 1")
    assert find_length(board, LAZY_QUEEN) is None
    with pytest.raises(CoachbookError, match="not sure to work"):
        written_plan(board, LAZY_QUEEN)


def test_a_plan_says_what_each_move_achieved() -> None:
    board = chess.Board("8/8/8/3k4/8/8/1K6/6Q1 w - - 0 1")
    first = written_plan(board, QUEEN_BOX).steps[0]
    assert (first.move, first.rule.words, first.achieved.words) == (
        "Qe3",
        "make the box smaller",
        "box 42 → 20",
    )


def test_a_fence_is_told_by_the_rows_that_it_leaves() -> None:
    board = chess.Board("8/8/8/3k4/8/8/5K2/R6R w - - 0 1")
    steps = written_plan(board, TWO_MAJORS).steps
    assert [step.achieved.words for step in steps[:2]] == [
        "a fence: 4 ranks or files left",
        "he had 4: now 3 ranks or files left, check",
    ]
