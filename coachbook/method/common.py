"""What several methods look at, and the rules that all of them share."""

from coachbook.method.bitboards import KING, Mask, Numbers, files_plus_ranks, king_steps, on
from coachbook.method.positions import Positions, can_be_taken, is_mate, is_stalemate
from coachbook.method.rules import Look, Rule


def kings_apart(positions: Positions) -> Numbers:
    """King steps between the kings. Shape (n,)."""
    return king_steps(positions.king, positions.lone)


def kings_files_and_ranks_apart(positions: Positions) -> Numbers:
    """Files plus ranks between the kings. Shape (n,)."""
    return files_plus_ranks(positions.king, positions.lone)


def guarded(positions: Positions) -> Mask:
    """The king stands next to his piece. Shape (n,)."""
    return on(KING[positions.king], positions.piece)


def _spoils_it(look: Look) -> Mask:
    return look.then(is_stalemate) | look.then(can_be_taken)


MATE = Rule("mate", "Give mate if you can.", lambda look: look.then(is_mate))


def never_spoil(piece: str) -> Rule:
    """The safety rule of a method that mates with `piece`."""
    return Rule(
        "stay safe",
        f"Never leave him without a move, unless it is mate, and never leave {piece} where he can take it.",
        _spoils_it,
    )
