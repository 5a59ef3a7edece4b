"""King and pawn: what both rule lists promise, proven, and played out by the chess package."""

import chess
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.border import choose, fits
from coachbook.method.hold_king_and_pawn import HOLD_KING_AND_PAWN
from coachbook.method.king_and_pawn import KING_AND_PAWN
from coachbook.method.proof import RankShare, prove
from coachbook.method.rules import Method
from coachbook.method.written_plan import find_length, written_plan
from coachbook.model.worksheet import Plan
from coachbook.wording.exercises import say
from tests.method.broken import CARELESS_PAWN, HASTY_PAWN, RUNAWAY_KING, SLANTING_KING
from tests.method.plain import follows, legal_boards

DEMONSTRATION = chess.Board("3k4/8/8/8/8/8/3P4/3K4 w - - 0 1")
HOLDING = chess.Board("8/4k3/4P3/4K3/8/8/8/8 b - - 0 1")

# Each of these examples plays, or tries, many moves: a law that is broken shows in a few dozen.
FEW = settings(max_examples=30)


def test_the_attacker_gets_a_safe_queen_from_99_in_100_won_positions_whatever_he_does() -> None:
    proof = prove(KING_AND_PAWN, "P")
    assert (proof.positions, proof.proven) == (124_960, 123_772)
    assert proof.longest == 25
    assert proof.by_rank == (
        RankShare(2, 18_174, 17_654),
        RankShare(3, 17_258, 16_834),
        RankShare(4, 18_848, 18_730),
        RankShare(5, 20_956, 20_914),
        RankShare(6, 23_664, 23_586),
        RankShare(7, 26_060, 26_054),
    )
    assert proof.in_words == "proven from 123,772 of 124,960 won positions, a safe queen in at most 25 moves"
    assert follows(proof.hardest, KING_AND_PAWN) == "a safe queen"
    assert len(proof.hardest.moves) == 2 * 25 - 1


def test_the_defender_holds_from_97_in_100_drawn_positions_whatever_is_tried() -> None:
    proof = prove(HOLD_KING_AND_PAWN, "P")
    assert (proof.positions, proof.proven) == (70_402, 68_582)
    assert proof.by_rank == (
        RankShare(2, 16_124, 15_202),
        RankShare(3, 16_326, 15_648),
        RankShare(4, 14_006, 13_832),
        RankShare(5, 11_232, 11_220),
        RankShare(6, 7_872, 7_838),
        RankShare(7, 4_842, 4_842),
    )
    assert proof.in_words == "proven from 68,582 of 70,402 drawn positions in which there is a move to make"
    assert follows(proof.hardest, HOLD_KING_AND_PAWN) == proof.hardest.end == "stalemate"


@pytest.mark.parametrize("method", [KING_AND_PAWN, HOLD_KING_AND_PAWN])
def test_where_a_list_fails_a_line_is_shown_that_the_chess_package_confirms(method: Method) -> None:
    line = prove(method, "P").counter_line
    assert line is not None
    assert follows(line, method) == line.end


@pytest.mark.parametrize(
    ("method", "share"),
    [(HASTY_PAWN, 0.85), (CARELESS_PAWN, 0.95), (SLANTING_KING, 0.85), (RUNAWAY_KING, 0.5)],
)
def test_a_broken_list_works_from_less_and_is_caught_with_a_line(method: Method, share: float) -> None:
    proof = prove(method, "P")
    assert proof.share < share
    assert proof.counter_line is not None
    assert follows(proof.counter_line, method) == proof.counter_line.end


attacked = legal_boards("P", chess.WHITE).map(lambda board: (board, KING_AND_PAWN))
defended = legal_boards("P", chess.BLACK).map(lambda board: (board, HOLD_KING_AND_PAWN))


@FEW
@given(attacked | defended, st.booleans())
def test_a_plan_is_written_just_from_where_the_method_is_proven(
    case: tuple[chess.Board, Method], mirrored: bool
) -> None:
    board, method = case
    board = board.mirror() if mirrored else board
    if find_length(board, method) is None:
        with pytest.raises(CoachbookError, match="not sure to work"):
            written_plan(board, method)
        return
    assert probe(board).result is (Result.WIN if method is KING_AND_PAWN else Result.DRAW)
    plan = written_plan(board, method)
    assert plan.start.fen == board.fen()
    end = _replayed(plan, method)
    assert all(step.achieved.words for step in plan.steps)
    if method is KING_AND_PAWN:
        assert plan.steps[-1].achieved.words == "a safe queen"
        assert end.is_checkmate() or probe(end).result is Result.LOSS
    else:
        assert end.is_stalemate() or probe(end).result is Result.DRAW


@FEW
@given(attacked | defended, st.lists(st.integers(0, 9), max_size=30))
def test_whatever_is_replied_the_aim_is_reached(case: tuple[chess.Board, Method], picks: list[int]) -> None:
    """Any tied move, any reply, on a board of the chess package, as far as `picks` go."""
    board, method = case
    assume(find_length(board, method) is not None)
    mover = board.turn
    for number, pick in enumerate(picks):
        moves = sorted(choose(board, method).moves, key=chess.Move.uci) if fits(board, method) else []
        if not moves:
            break
        board.push(moves[pick % len(moves)])
        replies = sorted(board.legal_moves, key=chess.Move.uci)
        if not replies or chess.popcount(board.occupied) == 2:
            break
        board.push(replies[(pick + number) % len(replies)])
    outcome = probe(board).result if not board.is_game_over() else None
    if method is HOLD_KING_AND_PAWN:
        assert outcome in (None, Result.DRAW)
        assert not board.is_checkmate()
    else:
        assert outcome is (Result.WIN if board.turn == mover else Result.LOSS) or board.is_checkmate()


def test_the_plan_of_the_demonstration_ends_with_a_queen() -> None:
    steps = written_plan(DEMONSTRATION, KING_AND_PAWN).steps
    assert (steps[0].move, steps[0].rule.words) == ("Kc2", "walk to a key square")
    assert (steps[-1].move, steps[-1].achieved.words) == ("d8=Q", "a safe queen")


def test_straight_back_then_face_to_face_then_stalemate() -> None:
    plan = written_plan(HOLDING, HOLD_KING_AND_PAWN)
    assert [step.move for step in plan.steps] == ["Ke8", "Kf8", "Ke8"]
    assert plan.steps[-1].achieved.words == "right in front of the pawn; then stalemate: a draw"
    assert "every try" in plan.source.words


def test_the_pawn_is_taken_where_it_is_left() -> None:
    plan = written_plan(HOLDING, HOLD_KING_AND_PAWN, ["e5d6", "e6e7", "d6d5"])
    assert (plan.steps[-1].move, plan.steps[-1].achieved.words) == ("Kxe7", "the pawn is taken")


def test_a_queen_that_can_be_taken_is_taken() -> None:
    board = chess.Board("8/4P1k1/8/8/8/8/8/K7 b - - 0 1")
    plan = written_plan(board, HOLD_KING_AND_PAWN)
    assert [step.move for step in plan.steps] == ["Kf7", "Kxe8"]
    assert (plan.steps[0].reply, plan.steps[1].achieved.words) == ("e8=Q+", "the pawn is taken")


def test_a_reply_that_makes_no_queen_is_refused() -> None:
    board = chess.Board("8/4P1k1/8/8/8/8/8/K7 b - - 0 1")
    with pytest.raises(CoachbookError, match="no queen"):
        written_plan(board, HOLD_KING_AND_PAWN, ["e7e8n"])


def test_where_there_is_no_move_there_is_no_plan() -> None:
    assert find_length(chess.Board("4k3/4P3/4K3/8/8/8/8/8 b - - 0 1"), HOLD_KING_AND_PAWN) is None


def test_the_side_whose_method_it_is_must_be_to_move() -> None:
    with pytest.raises(CoachbookError, match="does not fit"):
        written_plan(HOLDING, KING_AND_PAWN)
    with pytest.raises(CoachbookError, match=r"does not fit.*lone king to move"):
        written_plan(DEMONSTRATION, HOLD_KING_AND_PAWN)


def _replayed(plan: Plan, method: Method) -> chess.Board:
    board = chess.Board(plan.start.fen)
    for step in plan.steps:
        chosen = choose(board, method) if fits(board, method) else None
        move = board.parse_san(step.move)
        if chosen is not None:
            assert move in chosen.moves
            assert chosen.rule is not None and step.rule == say("rule", rule=chosen.rule.code)
        board.push(move)
        if step.reply:
            board.push_san(step.reply)
    return board
