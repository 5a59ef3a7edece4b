"""The figures of proofs that come with coachbook are those of proofs run now."""

from dataclasses import replace
from random import Random

import chess
import pytest

from coachbook.errors import CoachbookError
from coachbook.method.border import choose, fits
from coachbook.method.methods import find_method
from coachbook.method.proof import fingerprint
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.teaching_order import method_names
from coachbook.method.written_plan import find_length
from coachbook.workflows.endings import most_moves_to_mate, proof_line, run_proofs, shipped_proofs


def silent(*_: object) -> None:
    pass


@pytest.mark.parametrize(
    "name",
    [
        pytest.param(name, marks=pytest.mark.long if name == "bridge" else pytest.mark.full)
        for name in method_names()
    ],
)
def test_the_shipped_proof_of_a_method_is_the_proof_run_now(name: str) -> None:
    assert run_proofs(name, silent) == shipped_proofs(name)


@pytest.mark.parametrize("name", method_names())
def test_every_method_has_its_shipped_proof_of_the_rules_as_they_are(name: str) -> None:
    method = find_method(name)
    assert method is not None
    assert {proof.ending for proof in shipped_proofs(name)} == set(method.endings)
    for proof in shipped_proofs(name):
        assert proof.fingerprint == fingerprint(method, proof.ending)


@pytest.mark.parametrize(
    ("fen", "name", "length", "most"),
    [
        ("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", "queen-box", 13, 13),
        ("8/5k2/8/3KP3/8/8/8/8 w - - 0 1", "king-and-pawn", 6, 6 + 16),
        ("8/8/2k5/8/8/2K1P3/8/8 w - - 0 1", "king-and-pawn", None, None),
        ("8/4k3/4P3/4K3/8/8/8/8 b - - 0 1", "hold-king-and-pawn", 0, None),
        ("8/8/4k3/8/3Q4/8/8/K7 w - - 0 1", "rook-box", None, None),
    ],
)
def test_the_most_moves_to_mate_go_on_after_a_pawn_has_queened(
    fen: str, name: str, length: int | None, most: int | None
) -> None:
    board, method = chess.Board(fen), find_method(name)
    assert method is not None
    assert (find_length(board, method) if fits(board, method) else None) == length
    assert most_moves_to_mate(board, method) == most


def test_what_comes_after_a_safe_queen_is_mated_within_the_moves_that_are_told() -> None:
    """One game for each reply: a king and pawn by its method, the queen by hers, replies by chance."""
    method, board = find_method("king-and-pawn"), chess.Board("8/5k2/8/3KP3/8/8/8/8 w - - 0 1")
    assert method is not None
    most = most_moves_to_mate(board, method)
    assert most is not None
    for seed in range(20):
        chance, now, used = Random(seed), board.copy(stack=False), 0  # noqa: S311 - invented replies
        while not now.is_game_over():
            by = method if now.pawns else QUEEN_BOX
            now.push(chance.choice(choose(now, by).moves))
            used += 1
            if not now.is_game_over():
                now.push(chance.choice(list(now.legal_moves)))
        assert now.is_checkmate()
        assert used <= most


def test_best_play_stands_beside_the_proof() -> None:
    """Longest mates: K. Kryukov's published table; the means were computed by two programs."""
    (queen,), (rook,) = shipped_proofs("queen-box"), shipped_proofs("rook-box")
    assert queen.optimum and rook.optimum
    assert (queen.optimum.longest, rook.optimum.longest) == (10, 16)
    assert (round(queen.optimum.mean, 3), round(rook.optimum.mean, 3)) == (5.617, 9.865)


def test_a_lesson_prints_the_figures_in_a_line() -> None:
    assert "every one of 144,508 positions" in proof_line("queen-box")
    assert proof_line("") == ""


def test_a_share_is_told_where_a_method_is_not_proven_everywhere(monkeypatch: pytest.MonkeyPatch) -> None:
    (queen,) = shipped_proofs("queen-box")
    partly = replace(queen, proven=queen.positions - 1)
    monkeypatch.setattr("coachbook.workflows.endings._shipped", lambda: (partly,))
    assert "proven from 144,507 of 144,508" in proof_line("queen-box")


def test_an_unknown_method_is_told_with_those_that_there_are() -> None:
    with pytest.raises(CoachbookError, match=r"no method 'queens-box'.*queen-box"):
        run_proofs("queens-box", silent)
