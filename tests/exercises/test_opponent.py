"""coachbook's own side of a play-out: exact by outside tables, and as hard to beat as can be."""

import random
from collections.abc import Iterator

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.endgame.probe import Result, after_move, judge_moves, probe
from coachbook.exercises.opponent import hardest_replies, reply
from tests.judges.published import Published
from tests.shipped import UNITS

STARTS = [play_out.fen for unit in UNITS for play_out in unit.play_outs]


def kept(board: chess.Board) -> int:
    """How many of the moves keep the result, counted here once more."""
    judged = judge_moves(board)
    best = max((each.outcome.result for each in judged), default=Result.DRAW)
    return sum(each.outcome.result is best for each in judged)


def played(fen: str, seed: int, plies: int) -> chess.Board:
    """A play-out in which the student moves by chance."""
    board, chance = chess.Board(fen), random.Random(seed)  # noqa: S311 - no secret
    student = board.turn
    for _ in range(plies):
        if board.is_game_over(claim_draw=False):
            break
        if board.turn == student:
            board.push(chance.choice(sorted(board.legal_moves, key=chess.Move.uci)))
        else:
            board.push(reply(board, seed))
    return board


@given(st.sampled_from(STARTS), st.integers(0, 2**32), st.integers(1, 30))
def test_each_reply_is_one_of_the_best_and_leaves_the_fewest_right_answers(
    fen: str, seed: int, plies: int
) -> None:
    board = played(fen, seed, plies)
    best = judge_moves(board)[:1]
    for first in best:
        replies = [each for each in judge_moves(board) if each.outcome == first.outcome]
        fewest = min(kept(after_move(board, each.move)) for each in replies)
        chosen = reply(board, seed)
        assert chosen in {each.move for each in replies}
        assert kept(after_move(board, chosen)) == fewest


@given(st.sampled_from(STARTS), st.integers(0, 2**32))
def test_the_same_seed_plays_the_same_game(fen: str, seed: int) -> None:
    assert played(fen, seed, 20) == played(fen, seed, 20)


def test_neighbours_with_one_card_meet_different_games() -> None:
    fen = next(fen for fen in STARTS if len(hardest_replies(played(fen, 1, 1))) > 1)
    board = played(fen, 1, 1)
    assert len({reply(board, seed) for seed in range(40)}) == len(hardest_replies(board))


def test_it_presses_a_student_who_is_to_hold_a_draw() -> None:
    """King and pawn against king: of the moves that draw it takes one that only one answer holds."""
    board = chess.Board("8/8/3k4/8/3PK3/8/8/8 w - - 0 1")
    assert probe(board).result is Result.DRAW
    assert kept(after_move(board, reply(board, 1))) == min(
        kept(after_move(board, each.move))
        for each in judge_moves(board)
        if each.outcome.result is Result.DRAW
    )


def test_where_the_game_is_over_there_is_no_reply() -> None:
    with pytest.raises(ValueError, match="No move"):
        reply(chess.Board("k7/1Q6/1K6/8/8/8/8/8 b - - 0 1"), 1)


@pytest.mark.full
def test_replies_are_optimal_by_published_tables(published: Published) -> None:
    check_replies(published, 4_000)


@pytest.mark.long
def test_twenty_thousand_replies_are_optimal_by_published_tables(published: Published) -> None:
    check_replies(published, 20_000)


def check_replies(published: Published, count: int) -> None:
    """The result is as good as can be by Syzygy; and where the student still wins, the mate is as far off
    as can be: by Gaviota where it has the ending, three men, and by our own tables elsewhere."""
    chance, asked = random.Random(7), 0  # noqa: S311 - no secret
    while asked < count:
        for board, move in replies_of(chance.choice(STARTS), chance):
            asked += 1
            chosen = after_move(board, move)
            others = [after_move(board, each) for each in board.legal_moves]
            assert published.result(chosen) == min(map(published.result, others))
            if published.result(chosen) == 1:
                assert mates_in(published, chosen) == max(mates_in(published, each) for each in others)


def replies_of(fen: str, chance: random.Random) -> Iterator[tuple[chess.Board, chess.Move]]:
    """The replies in a game against a student who moves by chance, each with the position before it."""
    board, seed = chess.Board(fen), chance.getrandbits(32)
    for _ in range(30):
        if board.is_game_over(claim_draw=False):
            return
        board.push(chance.choice(sorted(board.legal_moves, key=chess.Move.uci)))
        if board.is_game_over(claim_draw=False):
            return
        move = reply(board, seed)
        yield board.copy(stack=False), move
        board.push(move)


def mates_in(published: Published, board: chess.Board) -> int:
    """In how many moves the student mates; everything else is lost for him."""
    if chess.popcount(board.occupied) <= 3:
        return published.mates_in(board)
    return probe(board).moves or 0
