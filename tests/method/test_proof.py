import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachbook.errors import CoachbookError
from coachbook.method.proof import Proof, fingerprint, prove
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.method.rules import Method
from coachbook.method.two_majors import TWO_MAJORS
from tests.method.broken import ANY_MOVE, CARELESS_QUEEN, LAZY_QUEEN, ONLY_STALEMATES, UNSURE_ROOK
from tests.method.plain import follows, legal_boards, play

# Source of the counts of positions: this project's list of published check values ("computed here
# by two separate programs"); the lengths are what the proofs themselves find.
PROVEN = [
    (QUEEN_BOX, "Q", 144_508, 18_081, 16),
    (ROOK_BOX, "R", 175_168, 21_959, 34),
    # Millions of positions take more than all other tests of the methods: every day games are played.
    pytest.param(TWO_MAJORS, "RR", 4_162_592, 520_702, 14, marks=pytest.mark.long),
    pytest.param(TWO_MAJORS, "QR", 6_911_296, 864_052, 11, marks=pytest.mark.long),
]


@pytest.fixture(scope="module")
def queen_proof() -> Proof:
    return prove(QUEEN_BOX, "Q")


@pytest.mark.parametrize(("method", "ending", "positions", "up_to_symmetry", "longest"), PROVEN)
def test_the_method_mates_from_every_position_whatever_he_does(
    method: Method, ending: str, positions: int, up_to_symmetry: int, longest: int
) -> None:
    proof = prove(method, ending)
    assert (proof.positions, proof.up_to_symmetry) == (positions, up_to_symmetry)
    assert proof.proven == proof.positions
    assert proof.longest == longest
    assert proof.counter_line is None
    assert sum(count for _, count in proof.rule_counts) == proof.positions
    assert follows(proof.hardest, method) == "mate"
    assert len(proof.hardest.moves) == 2 * longest - 1


@pytest.mark.parametrize(
    ("method", "ending"),
    [(CARELESS_QUEEN, "Q"), (LAZY_QUEEN, "Q"), (ONLY_STALEMATES, "Q"), (ANY_MOVE, "Q"), (UNSURE_ROOK, "R")],
)
def test_a_broken_rule_list_is_caught_with_a_line_that_the_chess_package_confirms(
    method: Method, ending: str
) -> None:
    proof = prove(method, ending)
    assert proof.share < 1
    assert proof.counter_line is not None
    assert follows(proof.counter_line, method) == proof.counter_line.end


def test_a_proof_says_how_many_positions_each_rule_decides(queen_proof: Proof) -> None:
    counts = dict(queen_proof.rule_counts)
    assert counts["mate"] == 8 * 306  # 306 positions up to symmetry have a mate in one: check values


def test_progress_is_told_up_to_the_last_position() -> None:
    told: list[tuple[int, int]] = []
    prove(QUEEN_BOX, "Q", progress=lambda done, total: told.append((done, total)))
    assert told[-1] == (18_081, 18_081)


def test_a_fingerprint_changes_with_the_rules() -> None:
    assert fingerprint(QUEEN_BOX, "Q") == fingerprint(QUEEN_BOX, "Q")
    assert fingerprint(QUEEN_BOX, "Q") != fingerprint(LAZY_QUEEN, "Q")


def test_a_method_is_proven_only_for_its_own_endings() -> None:
    with pytest.raises(CoachbookError, match="not made for KRK"):
        prove(QUEEN_BOX, "R")


@given(board=legal_boards("Q"), pick=st.integers(0, 99), reply=st.integers(0, 9_999))
def test_games_played_out_by_the_chess_package_end_as_proven(
    queen_proof: Proof, board: chess.Board, pick: int, reply: int
) -> None:
    boards = list(play(QUEEN_BOX, board, pick, reply))
    assert boards[-1].is_checkmate()
    assert len(boards) <= queen_proof.longest


@given(board=legal_boards("R"), pick=st.integers(0, 99), reply=st.integers(0, 9_999))
def test_rook_games_too(board: chess.Board, pick: int, reply: int) -> None:
    boards = list(play(ROOK_BOX, board, pick, reply))
    assert boards[-1].is_checkmate()
    assert len(boards) <= 34


@given(board=legal_boards("RR") | legal_boards("QR"), pick=st.integers(0, 99), reply=st.integers(0, 9_999))
def test_games_with_two_major_pieces_too(board: chess.Board, pick: int, reply: int) -> None:
    boards = list(play(TWO_MAJORS, board, pick, reply))
    assert boards[-1].is_checkmate()
    assert len(boards) <= 14
