"""King, rook and pawn against king and rook: who wins, by verdicts that the tables bear out.

Each is about calm positions (nobody in check, no rook attacked), seen with the pawn's side as White ("you"),
and says whose move it may be. Those that say "won" hold without exception; those that say "not won" too, but
that in a few positions he even wins your rook by a double attack: there the tables say otherwise, and nothing
is said. All are counted over every position of the ending in tests (tests/method/test_rook_verdicts.py). The
pictures are the trade's own, common practice, no source; their exact wording was found here.
"""

from collections.abc import Collection
from dataclasses import dataclass
from itertools import product

import chess
import numpy as np

from coachbook.method.moves import Side
from coachbook.method.positions import FILE, RANK, Mask, king_steps
from coachbook.method.rook_sights import (
    FIFTH,
    FOURTH,
    LAST,
    SEVENTH,
    SIXTH,
    RookEnding,
    Sight,
    cuts_off_by,
    files_away,
    from_board,
    is_before_the_pawn,
    is_calm,
    is_on_rank,
    is_set_up,
    on_the_edge,
    plane,
    rows_of_plane,
    side_of,
    touches_the_pawn,
    with_pawn,
)
from coachbook.model.because import Because


@dataclass(frozen=True, slots=True, eq=False)
class Verdict:
    """Whenever it `applies` in a calm position, the pawn wins (`won`) or does not; `because` stands for its
    sentence. `to_move` is whose move it may be."""

    because: Because
    to_move: tuple[Side, ...]
    won: bool
    applies: Sight


def find_verdicts(board: chess.Board) -> tuple[Verdict, ...]:
    """The verdicts that apply to a board; none for another ending, and none where it is not calm."""
    position = from_board(board)
    if position is None or not is_calm(position)[0]:
        return ()
    to_move = Side.ATTACKER if board.turn == with_pawn(board) else Side.LONE_KING
    return tuple(each for each in VERDICTS if to_move in each.to_move and each.applies(position)[0])


def _cut_off_far(p: RookEnding) -> Mask:
    is_ahead = touches_the_pawn(p) & (RANK[p.king] >= RANK[p.pawn])
    return (cuts_off_by(p) >= 2) & is_ahead & is_on_rank(p, FOURTH, SIXTH) & ~on_the_edge(p)


def _cut_off_his_move(p: RookEnding) -> Mask:
    """Nobody but the pawn may stand on your king's rank: along it he gives checks, or attacks your rook."""
    alone = (RANK[p.rook] != RANK[p.king]) & (RANK[p.his_king] != RANK[p.king])
    told: Mask = _cut_off_far(p) & alone & is_on_rank(p, FIFTH, SIXTH)
    return told


def _checks_from_the_front(p: RookEnding) -> Mask:
    """His king stands right behind the wall, on his fourth or third rank."""
    is_near = (cuts_off_by(p) == 1) & (abs(files_away(p.rook, p.his_king)) == 1)
    is_level = (RANK[p.his_king] == FIFTH) | (RANK[p.his_king] == SIXTH)
    before = (RANK[p.his_rook] == LAST) & (files_away(p.pawn, p.his_rook) == 0)
    near = touches_the_pawn(p) & ~on_the_edge(p)
    told: Mask = is_near & is_level & before & near & is_on_rank(p, 1, FOURTH)
    return told


def _bridge(p: RookEnding) -> Mask:
    """The pawn, on no edge, one step from queening, its king on the queening square, and his king cut off."""
    near = is_on_rank(p, SEVENTH, SEVENTH) & (p.king == p.queening)
    told: Mask = near & ~on_the_edge(p) & (cuts_off_by(p) >= 1)
    return told


def _third_rank(p: RookEnding) -> Mask:
    """His king is on the pawn's file, and his rook two files or more away from it."""
    guards = (RANK[p.his_rook] == SIXTH) & (abs(files_away(p.pawn, p.his_rook)) >= 2)
    told: Mask = is_before_the_pawn(p, 0) & guards & is_on_rank(p, 1, FIFTH) & (RANK[p.king] < SIXTH)
    return told


def _pushed_early(p: RookEnding) -> Mask:
    behind = RANK[p.his_rook] <= 1
    return is_before_the_pawn(p, 0) & behind & is_on_rank(p, SIXTH, SIXTH) & (RANK[p.king] < SIXTH)


def _checks_from_behind(p: RookEnding) -> Mask:
    behind = RANK[p.his_rook] <= 2
    told: Mask = is_before_the_pawn(p) & behind & is_on_rank(p, SIXTH, SIXTH) & (RANK[p.king] == SIXTH)
    return told


def _checks_from_the_side(p: RookEnding) -> Mask:
    """Of the two sides of the pawn his king has the short one, his rook the other."""
    his_king = (abs(files_away(p.pawn, p.his_king)) == 1) & (RANK[p.his_king] >= RANK[p.pawn])
    his_rook = (abs(files_away(p.pawn, p.his_rook)) >= 3) & (side_of(p, p.his_king, p.his_rook) == -1)
    yours = touches_the_pawn(p) & (side_of(p, p.king, p.his_rook) >= 0)
    blocks = (files_away(p.pawn, p.rook) == 0) | (RANK[p.rook] == SEVENTH)
    told: Mask = his_king & his_rook & yours & ~blocks & is_on_rank(p, SIXTH, SEVENTH) & ~on_the_edge(p)
    return told


def _sits_before(p: RookEnding, files: int) -> Mask:
    """His king is on the last rank before the pawn, and so is his rook."""
    told: Mask = is_before_the_pawn(p, files) & (RANK[p.his_king] == LAST) & (RANK[p.his_rook] == LAST)
    return told


def _passive_rook_holds(p: RookEnding) -> Mask:
    is_far = abs(files_away(p.pawn, p.his_rook)) >= 3
    knights_pawn = (FILE[p.pawn] % 5 == 1) & is_on_rank(p, FOURTH, SIXTH)
    told: Mask = _sits_before(p, 0) & is_far & (knights_pawn | (on_the_edge(p) & is_on_rank(p, SIXTH, SIXTH)))
    return told


def _passive_rook_loses(p: RookEnding) -> Mask:
    """Your king stands beside the pawn, and his rook is on the other side."""
    beside = (abs(files_away(p.pawn, p.king)) == 1) & (RANK[p.king] == SIXTH)
    middle = (FILE[p.pawn] >= 2) & (FILE[p.pawn] <= 5) & is_on_rank(p, SIXTH, SIXTH)
    told: Mask = _sits_before(p, 1) & beside & middle & (side_of(p, p.king, p.his_rook) == -1)
    return told


def _shut_in(p: RookEnding) -> Mask:
    """Your king stands right before its pawn on the edge."""
    told: Mask = on_the_edge(p) & (files_away(p.pawn, p.king) == 0) & (RANK[p.king] == RANK[p.pawn] + 1)
    return told


def _shut_in_he_is_far(p: RookEnding) -> Mask:
    return _shut_in(p) & is_on_rank(p, SEVENTH, SEVENTH) & (abs(files_away(p.pawn, p.his_king)) >= 5)


def _shut_in_he_is_near(p: RookEnding) -> Mask:
    near = (abs(files_away(p.pawn, p.his_king)) == 2) & (RANK[p.his_king] >= SEVENTH)
    wall = abs(files_away(p.pawn, p.his_rook)) == 1
    told: Mask = _shut_in(p) & is_on_rank(p, SIXTH, SEVENTH) & near & wall
    return told


def _rook_before_its_pawn(p: RookEnding) -> Mask:
    """His king is on one of the two last squares of the seventh rank on the other side, his rook behind."""
    before = on_the_edge(p) & is_on_rank(p, SEVENTH, SEVENTH) & (p.rook == p.queening)
    his_rook = (files_away(p.pawn, p.his_rook) == 0) & (RANK[p.his_rook] < SEVENTH)
    his_king = (abs(files_away(p.pawn, p.his_king)) >= 6) & (RANK[p.his_king] == SEVENTH)
    told: Mask = before & his_rook & his_king & (king_steps(p.king, p.pawn) >= 3)
    return told


_YOU, _HE = (Side.ATTACKER,), (Side.LONE_KING,)
_EITHER = (Side.ATTACKER, Side.LONE_KING)

VERDICTS = (
    Verdict(Because.CUT_OFF_FAR, _YOU, True, _cut_off_far),
    Verdict(Because.CUT_OFF_HIS_MOVE, _HE, True, _cut_off_his_move),
    Verdict(Because.CHECKS_FROM_THE_FRONT, _HE, False, _checks_from_the_front),
    Verdict(Because.BRIDGE, _YOU, True, _bridge),
    Verdict(Because.THIRD_RANK, _EITHER, False, _third_rank),
    Verdict(Because.PUSHED_EARLY, _EITHER, False, _pushed_early),
    Verdict(Because.CHECKS_FROM_BEHIND, _HE, False, _checks_from_behind),
    Verdict(Because.CHECKS_FROM_THE_SIDE, _HE, False, _checks_from_the_side),
    Verdict(Because.PASSIVE_ROOK_HOLDS, _EITHER, False, _passive_rook_holds),
    Verdict(Because.PASSIVE_ROOK_LOSES, _YOU, True, _passive_rook_loses),
    Verdict(Because.SHUT_IN_HE_IS_FAR, _YOU, True, _shut_in_he_is_far),
    Verdict(Because.SHUT_IN_HE_IS_NEAR, _YOU, False, _shut_in_he_is_near),
    Verdict(Because.ROOK_BEFORE_ITS_PAWN, _EITHER, False, _rook_before_its_pawn),
)
"""All of them; where several hold, the first is said."""

PICTURES: dict[str, tuple[Because, ...]] = {
    "cut off": (Because.CUT_OFF_FAR, Because.CUT_OFF_HIS_MOVE, Because.CHECKS_FROM_THE_FRONT),
    "bridge": (Because.BRIDGE,),
    "third rank": (Because.THIRD_RANK,),
    "checks": (Because.CHECKS_FROM_BEHIND, Because.CHECKS_FROM_THE_SIDE),
    "passive rook": (Because.PASSIVE_ROOK_HOLDS, Because.PASSIVE_ROOK_LOSES),
    "pushed early": (Because.PUSHED_EARLY,),
    "rook's pawn": (Because.SHUT_IN_HE_IS_FAR, Because.SHUT_IN_HE_IS_NEAR, Because.ROOK_BEFORE_ITS_PAWN),
}
"""The verdicts that each picture is about, by the names that a level file calls the pictures by."""


def pictured_by(pictures: Collection[str]) -> set[Because]:
    """The verdicts that pictures are about."""
    return {because for name in pictures for because in PICTURES[name]}


def is_pictured(p: RookEnding, to_move: Side, pictures: Collection[str]) -> Mask:
    """Where a verdict that one of the pictures is about says who wins."""
    told = pictured_by(pictures)
    found = np.zeros(np.broadcast_shapes(*(man.shape for man in p.men)), dtype=np.bool_)
    for verdict in VERDICTS:
        if verdict.because in told and to_move in verdict.to_move:
            found |= verdict.applies(p)
    return found & is_calm(p) if found.any() else found


def every_pictured(to_move: Side, pictures: Collection[str]) -> RookEnding:
    """All positions, the pawn on files a to d, where `is_pictured`; one row each. Shape (n,) each."""
    pawns = (file + 8 * rank for rank in range(1, LAST) for file in range(4))
    parts = [
        rows_of_plane(king, pawn, is_pictured(plane(king, pawn), to_move, pictures))
        for pawn, king in product(pawns, range(64))
    ]
    joined = RookEnding(*map(np.concatenate, zip(*(part.men for part in parts), strict=True)))
    return joined.take(is_set_up(joined))
