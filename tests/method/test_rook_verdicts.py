"""What the verdicts on rook and pawn against rook say, held against the tables and against Syzygy's."""

import random
from collections.abc import Iterator

import chess
import pytest

from coachbook.endgame.material import parse_material
from coachbook.endgame.tables import Tables
from coachbook.exercises.claims.rook_verdict_claims import OF_ROOK, RookAndPawn
from coachbook.method.moves import Side
from coachbook.method.rook_sights import from_board
from coachbook.method.rook_verdicts import PICTURES, VERDICTS, Verdict, find_verdicts, is_pictured
from coachbook.model.because import Because
from tests.endgame.positions import positions
from tests.judges.published import Published
from tests.method.rook_verdict_proof import Counts, boards_of, count_all, positions_of

BY_CODE = {verdict.because: verdict for verdict in VERDICTS}
YOU, HE = Side.ATTACKER, Side.LONE_KING
EACH = pytest.mark.parametrize("verdict", VERDICTS, ids=lambda verdict: str(verdict.because))
# Counted by the proof itself, mirror images too. What the other side wins are the exceptions: there a double
# attack wins the rook.
COUNTED = {
    (Because.CUT_OFF_FAR, YOU): Counts(1_017_992, 0, 0),
    (Because.CUT_OFF_HIS_MOVE, HE): Counts(503_456, 0, 0),
    (Because.CHECKS_FROM_THE_FRONT, HE): Counts(0, 1_360, 20),
    (Because.BRIDGE, YOU): Counts(140_180, 0, 0),
    (Because.THIRD_RANK, YOU): Counts(0, 389_032, 0),
    (Because.THIRD_RANK, HE): Counts(0, 383_398, 5_634),
    (Because.PUSHED_EARLY, YOU): Counts(0, 240_034, 0),
    (Because.PUSHED_EARLY, HE): Counts(0, 234_372, 5_662),
    (Because.CHECKS_FROM_BEHIND, HE): Counts(0, 145_956, 432),
    (Because.CHECKS_FROM_THE_SIDE, HE): Counts(0, 37_888, 568),
    (Because.PASSIVE_ROOK_HOLDS, YOU): Counts(0, 64_556, 0),
    (Because.PASSIVE_ROOK_HOLDS, HE): Counts(0, 63_080, 1_476),
    (Because.PASSIVE_ROOK_LOSES, YOU): Counts(3_240, 0, 0),
    (Because.SHUT_IN_HE_IS_FAR, YOU): Counts(86_212, 0, 0),
    (Because.SHUT_IN_HE_IS_NEAR, YOU): Counts(0, 1_466, 0),
    (Because.ROOK_BEFORE_ITS_PAWN, YOU): Counts(0, 802, 0),
    (Because.ROOK_BEFORE_ITS_PAWN, HE): Counts(0, 802, 0),
}


def test_every_verdict_is_counted_here_and_read_by_its_words() -> None:
    assert set(COUNTED) == {(each.because, side) for each in VERDICTS for side in each.to_move}
    assert {code: won for code, (won, _) in OF_ROOK.items()} == {v.because: v.won for v in VERDICTS}


@EACH
def test_of_all_that_was_counted_none_is_against_the_verdict(verdict: Verdict) -> None:
    for side in verdict.to_move:
        counts = COUNTED[verdict.because, side]
        against = counts.drawn + counts.rook_wins if verdict.won else counts.pawn_wins
        assert against == 0 < counts.pawn_wins + counts.drawn


@pytest.mark.long
def test_a_verdict_is_right_in_every_position_but_those_in_which_a_rook_is_lost(five_men: Tables) -> None:
    assert five_men.folder is not None
    assert count_all(five_men.folder) == {(code.value, side): told for (code, side), told in COUNTED.items()}


@pytest.mark.long
@EACH
def test_syzygy_says_the_same_in_every_position_of_a_verdict(
    verdict: Verdict, of_five_men: Published
) -> None:
    for rows in positions_of(verdict):
        for side in verdict.to_move:
            for board in boards_of(rows, side):
                wins = of_five_men.result(board) * (1 if side is YOU else -1) > 0
                assert wins == verdict.won, board.fen()


@EACH
def test_a_verdict_applies_just_where_its_words_say_so(verdict: Verdict) -> None:
    boards = some_of(verdict)
    assert all(verdict.because in {each.because for each in find_verdicts(board)} for board in boards)
    chance = random.Random(verdict.because)  # noqa: S311 - for positions, not for secrets
    for board in (changed for each in boards for changed in changes(each, chance)):
        found = {each.because for each in find_verdicts(board)}
        assert found == codes(board), board.fen()
        assert found == {each.because for each in find_verdicts(board.mirror())}


def codes(board: chess.Board) -> set[Because]:
    """The verdicts whose sentences hold on a board, read by the verifier square by square."""
    seen = RookAndPawn.seen(board, bool(board.pieces(chess.PAWN, chess.WHITE)))
    return {code for code, (_, says) in OF_ROOK.items() if seen is not None and says(seen)}


def some_of(verdict: Verdict) -> list[chess.Board]:
    """Ten boards to which a verdict applies, spread over one place of pawn and king."""
    rows = next(positions_of(verdict))
    boards = list(boards_of(rows, verdict.to_move[0]))
    return boards[:: -(-len(boards) // 10)]


def changes(board: chess.Board, chance: random.Random) -> Iterator[chess.Board]:
    """The board, the same with the other side to move, and each with one man somewhere else."""
    for turn in chess.COLORS:
        now = board.copy(stack=False)
        now.turn = turn
        yield now
        for square, man in board.piece_map().items():
            moved = now.copy(stack=False)
            moved.remove_piece_at(square)
            free = set(chess.SQUARES if man.piece_type != chess.PAWN else range(8, 56)) - set(now.piece_map())
            moved.set_piece_at(chance.choice(sorted(free)), man)
            if moved.is_valid():
                yield moved


def test_in_positions_by_chance_verdicts_apply_just_where_their_words_say_so() -> None:
    for board in positions(parse_material("KRPKR"), 2_000, seed=31):
        assert {each.because for each in find_verdicts(board)} == codes(board), board.fen()


def test_another_ending_has_none() -> None:
    board = chess.Board("8/8/8/4k3/8/8/3PR3/3K4 w - - 0 1")
    assert from_board(board) is None
    assert find_verdicts(board) == ()


def test_each_verdict_belongs_to_one_picture() -> None:
    pictured = [because for told in PICTURES.values() for because in told]
    assert sorted(pictured) == sorted(each.because for each in VERDICTS)


@EACH
def test_a_picture_is_where_one_of_its_verdicts_says_who_wins(verdict: Verdict) -> None:
    (picture,) = [name for name, told in PICTURES.items() if verdict.because in told]
    rows = next(positions_of(verdict))
    for side in Side:
        told = any(BY_CODE[other].to_move.count(side) for other in PICTURES[picture])
        shown = is_pictured(rows, side, [picture])
        assert shown.all() if side in verdict.to_move else told or not shown.any()
        assert not is_pictured(rows, side, []).any()
