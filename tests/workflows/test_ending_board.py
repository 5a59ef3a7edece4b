"""An ending on the board: the tables' own words, and a plan that shows at each step where it stands."""

from itertools import pairwise

import chess
import pytest

from coachbook.desk.advice import in_words
from coachbook.endgame.probe import judge_moves
from coachbook.errors import CoachbookError
from coachbook.model.position import Arrow, Marks
from coachbook.workflows.ending_board import PlanOnBoard, is_ready, on_board, plan_on_board
from coachbook.workflows.written_plans import plan_for

LETTERS = "KQRBN"
QUEEN = "8/8/8/4k3/8/8/2Q5/K7 w - - 0 1"
QUEEN_FOR_BLACK = "k7/2q5/8/8/4K3/8/8/8 b - - 0 1"
HELD = "8/4k3/4P3/4K3/8/8/8/8 b - - 0 1"
BISHOPS = "8/8/8/4k3/8/3BBK2/8/8 w - - 0 1"
LOST = "8/8/8/4k3/8/8/2Q5/K7 b - - 0 1"
MATED = "k7/1Q6/1K6/8/8/8/8/8 b - - 0 1"


def whole(fen: str, *replied: str) -> list[PlanOnBoard]:
    """A plan at each of its half moves."""
    first = plan_on_board(fen, LETTERS, 0, replied)
    return [plan_on_board(fen, LETTERS, at, replied) for at in range(first.of + 1)]


def test_each_move_has_what_it_is_worth_and_leads_where_it_says() -> None:
    found = on_board(QUEEN, "♔♕♖♗♘", in_words)
    assert (found.title, found.verdict) == (
        "King and queen against king, White to move",
        "White mates in 9.",
    )
    assert found.line.startswith("1. ♔b2 ♔d5 2. ♔c3")
    board, judged = chess.Board(QUEEN), judge_moves(chess.Board(QUEEN))
    assert len(found.moves) == len(judged)
    for shown, move in zip(found.moves, judged, strict=True):
        worth = f"White mates in {move.outcome.moves}" if move.outcome.moves else "draw"
        after = board.copy(stack=False)
        after.push(move.move)
        assert (shown.worth, shown.fen) == (worth, after.fen())


def test_a_verdict_says_why() -> None:
    found = on_board(HELD, LETTERS, in_words)
    assert found.verdict == "Draw."
    assert found.reason.startswith("Why: Black's king stands right in front of the pawn")
    assert found.line == ""


@pytest.mark.parametrize(
    ("fen", "verdict"),
    [(MATED, "Checkmate: White has won."), ("k7/2Q5/1K6/8/8/8/8/8 b - - 0 1", "Stalemate: a draw.")],
)
def test_where_there_is_no_move_the_end_is_told(fen: str, verdict: str) -> None:
    found = on_board(fen, LETTERS, in_words)
    assert (found.is_over, found.verdict, found.moves) == (True, verdict, ())


@pytest.mark.parametrize(
    ("fen", "told"),
    [
        (chess.STARTING_FEN, "The tables know no castling."),
        (chess.STARTING_FEN.replace("KQkq", "-"), "This ending has 32 men; the tables go up to 5."),
        ("4k3/8/8/8/8/8/8/4K2R w K - 0 1", "The tables know no castling."),
    ],
)
def test_what_the_tables_do_not_know_is_said_and_is_not_waited_for(fen: str, told: str) -> None:
    found = on_board(fen, LETTERS, in_words)
    assert told in found.unknown
    assert found.title == "White to move"
    assert (found.verdict, found.moves) == ("", ())


def test_an_ending_of_many_men_is_not_solved_first() -> None:
    assert is_ready(chess.STARTING_FEN)
    assert is_ready(QUEEN)


@pytest.mark.parametrize(
    "fen", ["", "nonsense", "8/8/8/8/8/8/8/8 w - - 0 1", "8/8/8/4k3/4K3/8/8/8 w - - 0 1"]
)
def test_what_is_no_position_is_refused(fen: str) -> None:
    for ask in (is_ready, lambda asked: on_board(asked, LETTERS, in_words)):
        with pytest.raises(CoachbookError):
            ask(fen)


@pytest.mark.parametrize("fen", [QUEEN, QUEEN_FOR_BLACK, HELD, BISHOPS, LOST])
def test_the_steps_of_a_plan_are_its_moves_one_after_the_other(fen: str) -> None:
    steps, board = whole(fen), chess.Board(fen)
    for before, after in pairwise(steps):
        assert before.position.fen == board.fen()
        board.push_san(before.move if before.coming else before.reply)
        assert after.position.fen == board.fen()
    assert [step.at for step in steps] == list(range(len(steps)))
    assert (steps[-1].coming, steps[-1].reply, steps[-1].replies) == ("", "", ())
    assert {step.of for step in steps} == {len(steps) - 1}
    assert max(step.number for step in steps) == len(plan_for(fen).plan.steps)


def test_a_move_that_comes_has_its_arrow_and_its_rule_and_then_what_it_did() -> None:
    before, after, *_ = whole(QUEEN)
    assert before.marks.arrows == (Arrow(chess.C2, chess.C4),)
    assert (before.move, before.coming, before.words) == ("Qc4", "c2c4", "make the box smaller")
    assert after.marks.arrows == ()
    assert (after.coming, after.words, after.reply) == ("", "box 30 → 20", "Kd6")
    assert before.told[0].startswith(
        "The queen's box, proven from here against every defence: mate in at most 15"
    )


def test_the_box_is_drawn_as_it_is_after_the_move_and_named() -> None:
    before, after, *_ = whole(QUEEN)
    box = {chess.square(file, rank) for file in range(3, 8) for rank in range(4, 8)}
    assert set(before.marks.outlined) == set(after.marks.outlined) == box
    assert after.marks.shaded == (chess.F6,)
    assert after.legend == "Outlined: the queen's box. Shaded: the meeting square."


def test_for_black_the_marks_are_those_of_the_same_position_turned() -> None:
    for white, black in zip(whole(QUEEN), whole(QUEEN_FOR_BLACK), strict=True):
        for part in ("outlined", "shaded"):
            turned = {chess.square_mirror(square) for square in getattr(white.marks, part)}
            assert set(getattr(black.marks, part)) == turned


def test_the_legend_names_nothing_that_is_not_marked() -> None:
    for step in whole("8/8/8/4k3/8/3K4/4P3/8 w - - 0 1"):
        assert ("Outlined" in step.legend) == bool(step.marks.outlined)
        assert ("Shaded" in step.legend) == bool(step.marks.shaded)
    assert step.marks == Marks()  # the pawn is a queen


def test_the_fence_is_shaded_where_two_rooks_drive_the_king() -> None:
    _, after, *_ = whole("8/8/8/4k3/7R/R7/8/4K3 w - - 0 1")
    assert after.legend == "Shaded: the fence between the kings."
    assert set(after.marks.shaded) == set(chess.SquareSet(chess.BB_RANK_4))


def test_every_legal_reply_may_be_chosen_and_the_plan_meets_it() -> None:
    _, asked, *_ = whole(QUEEN)
    board = chess.Board(asked.position.fen)
    assert {each.uci for each in asked.replies} == {move.uci() for move in board.legal_moves}
    assert [each.told for each in asked.replies if each.is_planned] == [asked.reply]
    for each in asked.replies:
        met = plan_on_board(QUEEN, LETTERS, 2, (*asked.replied, each.uci))
        after = board.copy(stack=False)
        after.push_uci(each.uci)
        assert met.position.fen == after.fen()
        assert met.replied == (each.uci,)
        assert met.coming


def test_a_computed_line_meets_one_reply_alone() -> None:
    first, asked, *_ = whole(BISHOPS)
    assert first.told[-1].startswith("One computed line")
    assert asked.reply
    assert (asked.replies, asked.marks, asked.legend) == ((), Marks(), "")


@pytest.mark.parametrize(
    ("at", "replied"), [(-1, ()), (999, ()), (0, ("a1a2",)), (0, ("nonsense",)), (0, ("e5d6",) * 40)]
)
def test_no_step_is_made_up(at: int, replied: tuple[str, ...]) -> None:
    with pytest.raises(CoachbookError):
        plan_on_board(QUEEN, LETTERS, at, replied)


def test_a_position_that_is_over_has_no_plan() -> None:
    with pytest.raises(CoachbookError):
        plan_on_board(MATED, LETTERS, 0)
