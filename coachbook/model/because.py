"""The verdicts that tell why a position of king and pawn, of queen against a pawn, or of rook and pawn
against rook is won or drawn."""

from dataclasses import dataclass
from enum import StrEnum


class Because(StrEnum):
    """The verdict that decides. Its sentence stands in `wording.reasons`, where it holds in `method`.

    First those of a king against king and pawn: where it matters who is to move, it is the lone
    king, or after `_TO_MOVE` the side with the pawn. Then those of queen against a pawn one step
    from queening, with the queen's side to move, and those of rook and pawn against rook.
    """

    KEY_SQUARE_TO_MOVE = "key_square_to_move"
    KEY_SQUARE = "key_square"
    OUTSIDE_SQUARE_TO_MOVE = "outside_square_to_move"
    OUTSIDE_SQUARE = "outside_square"
    PAWN_FALLS = "pawn_falls"
    INSIDE_SQUARE_TO_MOVE = "inside_square_to_move"
    INSIDE_SQUARE = "inside_square"
    ROOK_PAWN_CORNER = "rook_pawn_corner"
    BEFORE_ROOK_PAWN = "before_rook_pawn"
    SHUT_IN = "shut_in"
    RIGHT_BEFORE = "right_before"
    TWO_BEFORE = "two_before"
    TWO_BEFORE_TO_MOVE = "two_before_to_move"
    OPPOSITION = "opposition"
    OPPOSITION_TO_MOVE = "opposition_to_move"
    ROOK_PAWN_KEY_SQUARE = "rook_pawn_key_square"
    FAR_AHEAD = "far_ahead"
    AHEAD_WITH_OPPOSITION = "ahead_with_opposition"
    SHIELD = "shield"
    SIDE_BY_SIDE = "side_by_side"
    LAST_STEP = "last_step"

    FAR_FROM_PAWN = "far_from_pawn"
    CORNER_CHECK = "corner_check"
    MIDDLE_PAWN = "middle_pawn"
    MIDDLE_PAWN_IN_LINE = "middle_pawn_in_line"
    ROOK_PAWN_NEAR = "rook_pawn_near"
    ROOK_PAWN_FAR = "rook_pawn_far"
    ROOK_PAWN_CORNER_NEAR = "rook_pawn_corner_near"
    ROOK_PAWN_CORNER_FAR = "rook_pawn_corner_far"
    BISHOP_PAWN_SHORT_NEAR = "bishop_pawn_short_near"
    BISHOP_PAWN_LONG_NEAR = "bishop_pawn_long_near"
    BISHOP_PAWN_SHORT_FAR = "bishop_pawn_short_far"
    BISHOP_PAWN_CORNER_FAR = "bishop_pawn_corner_far"
    BISHOP_PAWN_LONG_FAR = "bishop_pawn_long_far"

    CUT_OFF_FAR = "cut_off_far"
    CUT_OFF_HIS_MOVE = "cut_off_his_move"
    CHECKS_FROM_THE_FRONT = "checks_from_the_front"
    BRIDGE = "bridge"
    THIRD_RANK = "third_rank"
    PUSHED_EARLY = "pushed_early"
    CHECKS_FROM_BEHIND = "checks_from_behind"
    CHECKS_FROM_THE_SIDE = "checks_from_the_side"
    PASSIVE_ROOK_HOLDS = "passive_rook_holds"
    PASSIVE_ROOK_LOSES = "passive_rook_loses"
    SHUT_IN_HE_IS_FAR = "shut_in_he_is_far"
    SHUT_IN_HE_IS_NEAR = "shut_in_he_is_near"
    ROOK_BEFORE_ITS_PAWN = "rook_before_its_pawn"


@dataclass(frozen=True, slots=True)
class Verdict:
    """A verdict on one position.

    `white` says whether White is the stronger side: with the only pawn, or with the queen against
    it; `mirrored` whether a queen's pawn to stop stands on files e to h, so that the squares which
    the sentence names are mirrored.
    """

    because: Because
    white: bool
    mirrored: bool = False
