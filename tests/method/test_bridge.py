"""Building a bridge: proven from its whole picture, and told in words that a second program follows."""

from collections.abc import Iterator
from dataclasses import replace
from random import Random

import chess
import numpy as np
import pytest

from coachbook.endgame.probe import Result, probe
from coachbook.errors import CoachbookError
from coachbook.method.border import choose, from_board, move_of, to_board
from coachbook.method.bridge import BRIDGE
from coachbook.method.graph import Graph, explore
from coachbook.method.proof import Proof, prove
from coachbook.method.rules import choose_all
from coachbook.method.starts import canonical, decode
from coachbook.method.written_plan import find_length, written_plan
from coachbook.wording.exercises import say
from coachbook.workflows.endings import most_moves_to_mate, poster_line, proof_line, shipped_proofs
from tests.judges.moves import after
from tests.method.naive_bridge import decide, follows, is_reached, longest_way, picture

LONGEST = 11
STARTS = BRIDGE.starts("RPr")
# Common practice, no source: the king comes out after the rook went to its fourth rank.
TAUGHT = chess.Board("3K2k1/3P4/8/8/8/8/2r5/5R2 w - - 0 1")


@pytest.fixture
def proof() -> Proof:
    """As it came with coachbook; the long run compares it with the proof run anew (`test_proving`)."""
    (shipped,) = shipped_proofs(BRIDGE.name)
    return shipped


@pytest.fixture(scope="module")
def graph() -> Graph:
    """What comes up from every 25th position of the picture."""
    return explore(BRIDGE, "RPr", STARTS[::25])


def test_from_every_position_of_the_picture_it_wins_whatever_he_does(proof: Proof) -> None:
    assert (proof.positions, proof.up_to_symmetry, proof.proven) == (8_780, 4_390, 8_780)
    assert (proof.longest, round(proof.mean, 2)) == (LONGEST, 6.18)
    assert proof.counter_line is None
    assert sum(count for _, count in proof.rule_counts) == proof.positions


@pytest.mark.long
def test_its_longest_line_is_played_by_the_words_alone_and_nothing_takes_longer(proof: Proof) -> None:
    fen, moves = proof.hardest.fen, proof.hardest.moves
    assert follows(fen, moves)
    assert len(moves) == 2 * LONGEST - 1
    assert longest_way(chess.Board(fen), {}) == LONGEST


def test_the_picture_is_what_its_words_say() -> None:
    starts = {to_board(decode("RPr", STARTS[[row]]), 0).board_fen() for row in range(0, 4390, 7)}
    assert all(picture(chess.Board(f"{fen} w - - 0 1")) for fen in starts)
    chance, shown = Random(5), 0  # noqa: S311 - invented positions
    codes = set(STARTS.tolist())
    for board in _near_the_picture(chance, 3000):
        is_shown = picture(board)
        shown += is_shown
        assert (_code(board) in codes) == is_shown, board.fen()
    assert shown > 30


def _near_the_picture(chance: Random, count: int) -> Iterator[chess.Board]:
    """Legal boards with pawn and king as in the picture, White to move, the rest by chance."""
    while count:
        file = chance.randrange(8)
        lone = chance.choice([chance.randrange(64), chance.randrange(48, 64)])
        men = {
            file + 56: "K",
            file + 48: "P",
            lone: "k",
            chance.randrange(64): "R",
            chance.randrange(64): "r",
        }
        board = chess.Board(None)
        for square, letter in men.items():
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        if len(board.piece_map()) == 5 and board.is_valid():
            count -= 1
            yield board


def _code(board: chess.Board) -> int:
    return int(canonical(from_board(board))[0])


@pytest.mark.full
def test_a_follower_of_the_words_alone_makes_the_same_moves(graph: Graph) -> None:
    positions = decode("RPr", np.random.default_rng(3).choice(graph.codes, 700))
    choice = choose_all(BRIDGE, positions)
    decided = set()
    for row in range(len(positions)):
        board = to_board(positions, row)
        rows = np.flatnonzero(choice.moves.of == row)
        moves = {move_of(choice.moves, positions, int(each), chess.WHITE).uci() for each in rows}
        assert decide(board) == (BRIDGE.rules[choice.rule[row]].code, moves), board.fen()
        decided.add(choice.rule[row])
    assert decided == set(range(len(BRIDGE.rules)))


@pytest.mark.full
@pytest.mark.parametrize(
    "games", [pytest.param(120, id="some"), pytest.param(4000, id="thousands", marks=pytest.mark.long)]
)
def test_games_by_the_words_alone_against_replies_by_chance_are_won_in_time(games: int) -> None:
    chance, starts = Random(games), STARTS  # noqa: S311 - invented replies
    for _ in range(games):
        board = to_board(decode("RPr", starts[[chance.randrange(len(starts))]]), 0)
        used = 0
        while True:
            board = after(board, chess.Move.from_uci(chance.choice(sorted(decide(board)[1]))))
            used += 1
            if is_reached(board):
                break
            board = after(board, chance.choice(list(board.legal_moves)))
        assert used <= LONGEST


def test_a_king_that_stays_at_home_is_caught_by_the_proof() -> None:
    at_home = replace(BRIDGE, rules=BRIDGE.rules[:-1], starts=lambda _: STARTS[::100])
    proof = prove(at_home, "RPr")
    assert 0 < proof.proven < proof.positions
    assert proof.counter_line is not None
    board = chess.Board(proof.counter_line.fen)
    for text in proof.counter_line.moves:
        board.push_uci(text)
    assert board.is_valid()


def test_a_check_that_stalemates_whoever_takes_the_rook_is_not_walked_into() -> None:
    board = chess.Board("k2K4/1R1P4/r7/8/8/8/8/8 w - - 0 1")
    trap = after(after(board, chess.Move.from_uci("d8c7")), chess.Move.from_uci("a6c6"))
    assert after(trap, chess.Move.from_uci("c7c6")).is_stalemate()
    assert chess.Move.from_uci("d8c7") not in choose(board, BRIDGE).moves
    assert find_length(board, BRIDGE) is not None


@pytest.mark.long
@pytest.mark.usefixtures("five_men")
def test_all_that_comes_up_and_all_that_is_reached_is_won_by_the_tables() -> None:
    """So is a queen that is called safe: none is lost to a check through the king."""
    graph = explore(BRIDGE, "RPr", STARTS)
    positions = decode("RPr", graph.codes)
    moves = choose_all(BRIDGE, positions).moves
    ends = moves.after.take(moves.after.see(BRIDGE.goal))
    for row in range(len(positions)):
        assert probe(to_board(positions, row)).result is Result.WIN
    for row in range(len(ends)):
        assert probe(_with_queen(to_board(ends, row, attacker_moves=False))).result is Result.LOSS


def _with_queen(board: chess.Board) -> chess.Board:
    for square in board.pieces(chess.PAWN, chess.WHITE) & chess.SquareSet(chess.BB_RANK_8):
        board.set_piece_at(square, chess.Piece.from_symbol("Q"))
    return board


@pytest.mark.parametrize("board", [TAUGHT, TAUGHT.mirror(), TAUGHT.transform(chess.flip_horizontal)])
def test_a_plan_is_played_to_the_end_for_either_colour_and_either_wing(board: chess.Board) -> None:
    plan, now = written_plan(board, BRIDGE), board.copy(stack=False)
    for step in plan.steps:
        now.push_san(step.move)
        if step.reply:
            now.push_san(step.reply)
    assert is_reached(now if board.turn else now.mirror())
    assert plan.steps[-1].achieved == say("queen_or_rook")
    length = find_length(board, BRIDGE)
    assert length is not None
    assert len(plan.steps) <= length


def test_the_bridge_is_built_and_where_he_swaps_rooks_the_pawn_queens_all_the_same() -> None:
    defence = ["g8g7", "c2e2", "e2d2", "d2e2", "e2d2", "d2d4", "g7f7"]
    plan = written_plan(TAUGHT, BRIDGE, defence)
    assert [step.move for step in plan.steps[:7]] == ["Rf4", "Ke7", "Kd6", "Ke6", "Kd5", "Rd4", "Kxd4"]
    assert plan.steps[5].achieved == say("bridge_stands")
    assert plan.steps[-1].move.startswith("d8=Q")


def test_rook_for_pawn_is_taken_at_once() -> None:
    board = chess.Board("3K2k1/3P4/8/8/8/8/3r4/5R2 w - - 0 1")
    plan = written_plan(board, BRIDGE, ["d2d7"])
    assert [step.move for step in plan.steps] == ["Rf4", "Kxd7"]


def test_where_he_is_nearer_the_rules_are_not_claimed_to_win() -> None:
    """His king one rank further down, and in two steps at the rook."""
    board = chess.Board("3K4/3P2k1/8/8/8/8/r7/5R2 w - - 0 1")
    assert not picture(board)
    assert find_length(board, BRIDGE) is None
    with pytest.raises(CoachbookError, match="not sure to work"):
        written_plan(board, BRIDGE)


def test_it_is_not_said_to_be_proven_from_more_than_its_picture(proof: Proof) -> None:
    told = "every one of the 8,780 positions of its picture"
    assert proof.in_words == f"proven from {told}, a safe queen or a rook more in at most {LONGEST} moves"
    assert told in proof_line("bridge")
    assert "every position of its picture" in poster_line("bridge")
    assert most_moves_to_mate(TAUGHT, BRIDGE) is None


def test_what_is_chosen_names_its_rule() -> None:
    chosen = choose(TAUGHT, BRIDGE)
    assert chosen.rule is not None
    assert chosen.rule.code == "rook_to_fourth"
    assert [TAUGHT.san(move) for move in chosen.moves] == ["Rf4"]
