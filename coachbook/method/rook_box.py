"""The rook's box: mate with king and rook.

The box is the *region* (see box.py), which behind a rook equals the walls unless her king is in
the way. Proven from every position, any tie allowed: longest 34 moves, mean 18.17 (optimum 16 and
9.87). The king never steps on the edge from inside the board, and never lets the box grow but where he
comes face to face beside the rook; no wait follows a wait (`tests/method/test_rook_box.py` counts all
that can come up).
"""

import numpy as np

from coachbook.method.box import region, region_size
from coachbook.method.moves import Aim, Side
from coachbook.method.positions import (
    FILE,
    RANK,
    Mask,
    Numbers,
    Positions,
    files_plus_ranks,
    is_mate,
    king_steps,
)
from coachbook.method.rules import (
    MATE,
    Key,
    Look,
    Method,
    Rule,
    gives_check,
    guarded,
    kings_apart,
    kings_files_and_ranks_apart,
    least,
    most,
    never_spoil,
)
from coachbook.method.starts import legal_codes
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.exercises import say

_CLOSE = 2
"""King steps between the kings, who never stand side by side."""
_NEAR = 2
"""King steps from the rook to her king, at most, where she makes the box smaller: he guards her in time."""


def steps_home(positions: Positions) -> Numbers:
    """King steps from the rook to her king. Shape (n,)."""
    return king_steps(positions.king, positions.piece)


def _files_and_ranks_home(positions: Positions) -> Numbers:
    return files_plus_ranks(positions.king, positions.piece)


def _is_as_near_as_he(positions: Positions) -> Mask:
    """Her king needs no more steps to the rook than the lone king."""
    near: Mask = steps_home(positions) <= king_steps(positions.lone, positions.piece)
    return near


def kings_face(positions: Positions) -> Mask:
    """One square lies between the kings, on a file or a rank. Shape (n,)."""
    face: Mask = (kings_apart(positions) == 2) & (kings_files_and_ranks_apart(positions) == 2)
    return face


def steps_to_edge(positions: Positions) -> Numbers:
    """King steps from her king to the nearest edge of the board; 0 on it. Shape (n,)."""
    file, rank = FILE[positions.king], RANK[positions.king]
    to_edge: Numbers = np.minimum(np.minimum(file, 7 - file), np.minimum(rank, 7 - rank))
    return to_edge


def on_edge(positions: Positions) -> Mask:
    """Her king stands on the edge. Shape (n,)."""
    there: Mask = positions.see(steps_to_edge) == 0
    return there


def _wall_between_kings(positions: Positions) -> Mask:
    """The rook's file or rank lies between the kings."""
    king, lone, rook = positions.king, positions.lone, positions.piece
    sides = [np.sign(line[king] - line[rook]) * np.sign(line[lone] - line[rook]) for line in (FILE, RANK)]
    between: Mask = np.minimum(*sides) < 0
    return between


def _box_grows(look: Look) -> Mask:
    grows: Mask = look.then(region_size) > look.now(region_size)
    return grows


def _makes_box_smaller(look: Look) -> Mask:
    smaller = look.then(region_size) < look.now(region_size)
    found: Mask = look.piece_moves & (look.then(steps_home) <= _NEAR) & smaller
    return found


def _comes_home(look: Look) -> Mask:
    closer: Mask = look.then(steps_home) < look.now(steps_home)
    return closer


def _king_comes_to_rook(look: Look) -> Mask:
    return look.king_moves & _comes_home(look) & ~_box_grows(look) & ~look.then(on_edge)


def _waits(look: Look) -> Mask:
    stands_well = (look.now(kings_apart) == _CLOSE) & ~look.now(on_edge)
    found: Mask = look.piece_moves & stands_well & (look.then(region) == look.now(region))
    return found


def _king_comes_nearer(look: Look) -> Mask:
    faces_as_guard = look.then(kings_face) & look.then(guarded)
    return look.king_moves & look.then(_is_as_near_as_he) & (faces_as_guard | ~_box_grows(look))


def _comes_no_nearer(look: Look) -> Mask:
    """The kings come no nearer to each other: not fewer steps, nor as many with fewer files and ranks."""
    before, after = look.now(kings_apart), look.then(kings_apart)
    closer = look.then(kings_files_and_ranks_apart) < look.now(kings_files_and_ranks_apart)
    nearer: Mask = (after < before) | ((after == before) & closer)
    return ~nearer


def _rook_move(look: Look) -> Mask:
    return look.piece_moves


def _not_home(look: Look) -> Mask:
    return ~_comes_home(look)


_HOME: tuple[Key, ...] = (_not_home, _box_grows)


def _tell(before: Positions, after: Positions) -> Saying:
    if (before.king == after.king)[0]:
        old, new = int(region_size(before)[0]), int(region_size(after)[0])
        return say("box_by_room", room_was=old, room_now=new, **gives_check(after))
    facing: dict[str, Fact] = {"faces": True} if kings_face(after)[0] else {}
    return say("kings_apart", kings_apart=int(kings_apart(after)[0]), **facing)


ROOK_BOX = Method(
    name="rook-box",
    endings=("R",),
    plays=Side.ATTACKER,
    aim=Aim.MATE,
    goal=is_mate,
    starts=legal_codes,
    never=never_spoil("safe_rook"),
    rules=(
        MATE,
        Rule(
            "rook_shrinks_box",
            _makes_box_smaller,
            (least(region_size),),
            (least(region_size),),
        ),
        Rule(
            "rook_keeps_box",
            _waits,
        ),
        Rule(
            "king_to_rook",
            _king_comes_to_rook,
            (most(steps_to_edge),),
        ),
        Rule(
            "king_to_lone_king",
            _king_comes_nearer,
            (least(on_edge), least(kings_apart), least(kings_files_and_ranks_apart)),
            (_comes_no_nearer,),
        ),
        Rule(
            "rook_to_king",
            _rook_move,
            (*_HOME, most(_wall_between_kings), least(_files_and_ranks_home)),
            _HOME,
        ),
    ),
    tell=_tell,
)
