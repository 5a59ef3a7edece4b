"""King, rook and pawn against king and rook: building a bridge.

The pawn stands on its seventh rank, its king before it, and his king is cut off by the rook's file. Proven
from every position that the picture shows (`bridge_sights.is_bridge`), any tie allowed, against every
defence: longest 11 moves, mean 6.18.

Beyond the picture they often fail: with his king on the seventh rank and the rook not yet on the fourth from
40 of 100 positions; with other numbers of files between pawn and rook in many, too.
"""

import numpy as np
from numpy.typing import NDArray

from coachbook.method.bridge_sights import (
    ENDING,
    FOURTH,
    answers,
    at_home,
    beside_pawn_file,
    bridge_starts,
    from_fifth_rank,
    from_queening_square,
    from_rook,
    is_guarded,
    is_near_its_end,
    is_ready,
    is_sheltered,
    just_below,
    reached,
    rook_behind_pawn,
    rook_from_his_king,
    spoils,
)
from coachbook.method.his_rook import is_checked, rook_is_gone
from coachbook.method.moves import Aim, Side
from coachbook.method.positions import FILE, RANK, Mask, Numbers, Positions, in_check
from coachbook.method.rules import Look, Method, Rule, least, most
from coachbook.model.worksheet import Saying
from coachbook.wording.exercises import say


def _rook_rank(positions: Positions) -> Numbers:
    return RANK[positions.piece]


def _rook_file(positions: Positions) -> Numbers:
    return FILE[positions.piece]


def _rook_moves(look: Look) -> Mask:
    found: Mask = look.moves.man == 1
    return found


def _on_its_file(look: Look) -> Mask:
    found: Mask = _rook_moves(look) & (look.now(_rook_file) == look.then(_rook_file))
    return found


def _answers(look: Look) -> Mask:
    return answers(look.before, look.moves)


def _takes_not(look: Look) -> Mask:
    return ~look.then(rook_is_gone)


def _puts_between(look: Look) -> Mask:
    return look.piece_moves & _takes_not(look)


def _to_fourth_rank(look: Look) -> Mask:
    was, rank = look.now(_rook_rank), look.then(_rook_rank)
    down: Mask = (rank == FOURTH) | ((was > FOURTH) & (rank < FOURTH))
    return _on_its_file(look) & look.now(at_home) & down


def _out_and_quiet(look: Look) -> Mask:
    return ~look.now(at_home) & ~look.now(is_checked)


def _below_king(look: Look) -> Mask:
    return look.then(just_below) & (~look.now(just_below) | look.then(is_guarded))


def _checks_beside_king(look: Look) -> Mask:
    return _on_its_file(look) & look.then(in_check) & look.then(is_guarded)


def _rook_beside_king(look: Look) -> Mask:
    suits = _below_king(look) | _checks_beside_king(look)
    return _rook_moves(look) & _out_and_quiet(look) & look.now(rook_behind_pawn) & suits


def _checks_only(look: Look) -> Mask:
    return ~_below_king(look)


def _leaves_its_file(look: Look) -> Mask:
    return ~_on_its_file(look)


def _king_beside_pawn_file(look: Look) -> Mask:
    return look.king_moves & look.then(beside_pawn_file)


def _to_fifth_rank_or_back(look: Look) -> NDArray[np.int8]:
    back = _out_and_quiet(look)
    return np.where(back, look.then(from_queening_square), look.then(from_fifth_rank))


def _tell(before: Positions, after: Positions) -> Saying:
    if (rook_is_gone(after) & ~rook_is_gone(before))[0]:
        return say("does", takes="rook")
    if RANK[after.pawn][0] == RANK.max():
        return say("does", becomes="queen")
    if is_checked(before)[0] and (before.king == after.king)[0]:
        return say("bridge_stands")
    if is_sheltered(after)[0]:
        return say("sheltered")
    return say("ready") if is_ready(after)[0] else say("on_the_way")


BRIDGE = Method(
    name="bridge",
    endings=(ENDING,),
    plays=Side.ATTACKER,
    aim=Aim.QUEEN_OR_ROOK,
    goal=reached,
    starts=bridge_starts,
    never=Rule("safe_bridge", lambda look: look.then(spoils)),
    rules=(
        Rule("queen_or_rook", lambda look: look.then(reached)),
        Rule("answer_check", _answers, (_takes_not, _puts_between), (_takes_not, _puts_between)),
        Rule(
            "ready_to_queen",
            lambda look: look.then(is_ready),
            (least(from_queening_square),),
        ),
        Rule("rook_to_fourth", _to_fourth_rank, (most(_rook_rank),), (most(_rook_rank),)),
        Rule(
            "rook_beside_king",
            _rook_beside_king,
            (_checks_only, _leaves_its_file, most(rook_from_his_king)),
            (_checks_only,),
        ),
        Rule(
            "king_to_fifth",
            _king_beside_pawn_file,
            (_to_fifth_rank_or_back, least(from_rook)),
            (_to_fifth_rank_or_back,),
        ),
    ),
    tell=_tell,
    within=is_near_its_end,
    most=8_000,
)
