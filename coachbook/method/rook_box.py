"""The rook's box: mate with king and rook.

The box is the *region* (see box.py), which behind a rook equals the walls unless her king is in
the way. Proven from every position, any tie allowed: longest 37 moves, mean 18.75 (optimum 16 and
9.87).
"""

from coachbook.method.box import region_size
from coachbook.method.moves import Aim, Side
from coachbook.method.positions import (
    Mask,
    Numbers,
    Positions,
    files_plus_ranks,
    in_check,
    is_mate,
    king_steps,
)
from coachbook.method.rules import (
    MATE,
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


def safe_rook(positions: Positions) -> Mask:
    """The rook is guarded or not next to the lone king, and her king is at least as near to her."""
    return _out_of_reach(positions) & (steps_home(positions) <= _steps_from_lone_king(positions))


def _out_of_reach(positions: Positions) -> Mask:
    """The rook is guarded, or not next to the lone king."""
    return positions.see(guarded) | (_steps_from_lone_king(positions) > 1)


def steps_home(positions: Positions) -> Numbers:
    """King steps from the rook to her king. Shape (n,)."""
    return king_steps(positions.king, positions.piece)


def _files_and_ranks_home(positions: Positions) -> Numbers:
    return files_plus_ranks(positions.king, positions.piece)


def _steps_from_lone_king(positions: Positions) -> Numbers:
    return king_steps(positions.lone, positions.piece)


def _makes_box_smaller(look: Look) -> Mask:
    return look.piece_moves & look.then(safe_rook) & (look.then(region_size) < look.now(region_size))


def _any_king_move(look: Look) -> Mask:
    return look.king_moves & look.then(safe_rook)


def _king_comes_nearer(look: Look) -> Mask:
    before, after = look.now(kings_apart), look.then(kings_apart)
    closer = look.then(kings_files_and_ranks_apart) < look.now(kings_files_and_ranks_apart)
    nearer: Mask = (after < before) | ((after == before) & closer)
    return _any_king_move(look) & nearer


def _box_grows(look: Look) -> Mask:
    grows: Mask = look.then(region_size) > look.now(region_size)
    return grows


def _comes_back(look: Look) -> Mask:
    """The king comes nearer to the rook, which can't be taken; the box does not grow."""
    nearer = look.then(steps_home) < look.now(steps_home)
    found: Mask = look.king_moves & look.then(_out_of_reach) & nearer & ~_box_grows(look)
    return found


def _steps(look: Look) -> Mask:
    return _any_king_move(look) | _comes_back(look)


def _waits(look: Look) -> Mask:
    return look.piece_moves & look.then(guarded) & ~_box_grows(look)


def _rook_move(look: Look) -> Mask:
    return look.piece_moves


_NEAREST = (least(kings_apart), least(kings_files_and_ranks_apart))


def _tell(before: Positions, after: Positions) -> Saying:
    if (before.king == after.king)[0]:
        old, new = int(region_size(before)[0]), int(region_size(after)[0])
        return say("box_by_room", room_was=old, room_now=new, **gives_check(after))
    apart = int(kings_apart(after)[0])
    face = apart == 2 and int(kings_files_and_ranks_apart(after)[0]) == 2
    facing: dict[str, Fact] = {"faces": True} if face else {}
    return say("kings_apart", kings_apart=apart, **facing)


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
            "smaller_rook_box",
            _makes_box_smaller,
            (least(region_size),),
            (least(region_size),),
        ),
        Rule(
            "king_nearer",
            _king_comes_nearer,
            _NEAREST,
        ),
        Rule(
            "rook_waits",
            _waits,
            (most(_steps_from_lone_king),),
        ),
        Rule("king_steps", _steps, (_box_grows,), (_box_grows,)),
        Rule(
            "rook_home",
            _rook_move,
            (least(steps_home), most(in_check), least(_files_and_ranks_home)),
            (least(steps_home),),
        ),
    ),
    tell=_tell,
)
