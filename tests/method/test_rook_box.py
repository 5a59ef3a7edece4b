"""The rook's box keeps its word: counted over everything that can come up, any tie allowed.

Since the proof starts from every position with White to move, these are all that can come up. The counts are
found here by the method itself, with the rules of `naive_methods` held against it in `test_loose` and
`tests/exercises/test_truth.py`; positions that differ only by turning or mirroring count once.
"""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.typing import NDArray

from coachbook.method.box import region, region_size
from coachbook.method.moves import Moves, attacker_moves, lone_king_moves
from coachbook.method.positions import Feature, Mask, Positions, can_be_taken, is_stalemate
from coachbook.method.rook_box import ROOK_BOX, kings_face, on_edge, steps_home
from coachbook.method.rules import Look, choose_all, guarded, kings_apart
from coachbook.method.starts import decode

CODES = [rule.code for rule in ROOK_BOX.rules]


@dataclass(frozen=True, eq=False)
class Played:
    """All positions, the method's moves in them, and for each move the code of its rule."""

    positions: Positions
    moves: Moves
    rule: NDArray[np.str_]

    def by(self, code: str) -> Mask:
        found: Mask = self.rule == code
        return found

    def now(self, feature: Feature[Mask]) -> Mask:
        return self.positions.see(feature)[self.moves.of]

    @property
    def by_king(self) -> Mask:
        kings: Mask = self.moves.man == 0
        return kings

    @property
    def grows(self) -> Mask:
        grown: Mask = self.moves.after.see(region_size) > self.positions.see(region_size)[self.moves.of]
        return grown

    def count(self, moves: Mask) -> int:
        """In how many positions the method may make one of these moves."""
        return len(np.unique(self.moves.of[moves]))


@pytest.fixture(scope="module")
def played() -> Played:
    positions = decode("R", ROOK_BOX.starts("R"))
    choice = choose_all(ROOK_BOX, positions)
    return Played(positions, choice.moves, np.array(CODES)[choice.rule[choice.moves.of]])


def _has(positions: Positions, look: Look, allowed: Mask) -> Mask:
    """Whether each position has such a move."""
    there: Mask = np.bincount(look.moves.of[allowed], minlength=len(positions)) > 0
    return there


def _safe(positions: Positions) -> Look:
    look = Look(positions, attacker_moves(positions))
    return look.only(~look.then(is_stalemate) & ~look.then(can_be_taken))


def test_the_king_never_steps_on_the_edge_from_inside_the_board(played: Played) -> None:
    on_it = played.by_king & played.moves.after.see(on_edge)
    assert played.count(on_it) == 94
    assert played.now(on_edge)[on_it].all()


def test_along_the_edge_the_king_walks_only_where_no_step_by_which_he_comes_leaves_it(played: Played) -> None:
    """Such a step keeps the box, or guards the rook face to face, and is as near to it as the lone king."""
    on_it = played.by_king & played.moves.after.see(on_edge)
    assert {*played.rule[on_it]} == {"king_to_lone_king"}
    look = _safe(played.positions)
    rule = ROOK_BOX.rules[CODES.index("king_to_lone_king")]
    leaves = _has(played.positions, look, rule.allows(look) & ~look.then(on_edge))
    assert not leaves[played.moves.of[on_it]].any()


def test_the_king_lets_the_box_grow_only_where_he_guards_the_rook_face_to_face(played: Played) -> None:
    grown = played.by_king & played.grows
    after = played.moves.after
    assert (after.see(kings_face) & after.see(guarded))[grown].all()
    assert {*played.rule[grown]} == {"king_to_lone_king"}
    assert played.count(grown) == 34


def test_the_rook_lets_the_box_grow_only_where_it_cannot_come_nearer_to_its_king_without(
    played: Played,
) -> None:
    grown = ~played.by_king & played.grows
    assert {*played.rule[grown]} == {"rook_to_king"}
    look = _safe(played.positions)
    nearer = look.then(steps_home) < look.now(steps_home)
    keeps = look.then(region_size) <= look.now(region_size)
    could = _has(played.positions, look, look.piece_moves & nearer & keeps)
    assert not could[played.moves.of[grown]].any()
    assert played.count(grown) == 739
    of = np.unique(played.moves.of[grown])
    attacked, kept = played.positions.see(can_be_taken)[of], _has(played.positions, look, keeps)[of]
    assert np.count_nonzero(attacked) == 632
    assert np.count_nonzero(~kept) == 429


def test_no_wait_follows_a_wait_whatever_he_replies(played: Played) -> None:
    waits = played.by("rook_keeps_box")
    assert played.count(waits) == 50
    replies = lone_king_moves(played.moves.after.take(waits)).after
    assert len(replies) == 444
    assert CODES.index("rook_keeps_box") not in choose_all(ROOK_BOX, replies).rule


def test_a_wait_leaves_every_square_of_the_box_as_it_is_and_the_kings_two_steps_apart(
    played: Played,
) -> None:
    waits = played.by("rook_keeps_box")
    after = played.moves.after
    assert (after.see(region) == played.positions.see(region)[played.moves.of])[waits].all()
    assert (after.see(kings_apart)[waits] == 2).all()


def test_of_all_moves_three_in_a_hundred_let_the_box_grow(played: Played) -> None:
    assert len(played.moves.of) == 27_802
    assert np.count_nonzero(played.grows) == 806
