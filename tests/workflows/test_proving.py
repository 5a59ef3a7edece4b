"""The figures of proofs that come with coachbook are those of proofs run now."""

from dataclasses import replace

import pytest

from coachbook.errors import CoachbookError
from coachbook.method.proof import fingerprint
from coachbook.method.registry import find_method, method_names
from coachbook.workflows.proving import proof_line, run_proofs, shipped_proofs

THREE_MEN = ("queen-box", "rook-box")


def silent(*_: object) -> None:
    pass


@pytest.mark.parametrize("name", THREE_MEN)
def test_the_shipped_proof_of_a_three_man_method_is_the_proof_run_now(name: str) -> None:
    assert run_proofs(name, silent) == shipped_proofs(name)


@pytest.mark.full
@pytest.mark.parametrize("name", sorted(set(method_names()) - set(THREE_MEN)))
def test_the_shipped_proof_of_any_other_method_is_the_proof_run_now(name: str) -> None:
    assert run_proofs(name, silent) == shipped_proofs(name)


@pytest.mark.parametrize("name", method_names())
def test_every_method_has_its_shipped_proof_of_the_rules_as_they_are(name: str) -> None:
    method = find_method(name)
    assert method is not None
    assert {proof.ending for proof in shipped_proofs(name)} == set(method.endings)
    for proof in shipped_proofs(name):
        assert proof.fingerprint == fingerprint(method, proof.ending)


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
    monkeypatch.setattr("coachbook.workflows.proving._shipped", lambda: (partly,))
    assert "proven from 144,507 of 144,508" in proof_line("queen-box")


def test_an_unknown_method_is_told_with_those_that_there_are() -> None:
    with pytest.raises(CoachbookError, match=r"no method 'queens-box'.*queen-box"):
        run_proofs("queens-box", silent)
