"""The verdicts that tell why a position of king and pawn, or of queen against a pawn, is won or drawn."""

from dataclasses import dataclass
from enum import StrEnum


class Because(StrEnum):
    """The verdict that decides. Its sentence stands in `wording.reasons`, where it holds in `method`.

    First those of a king against king and pawn: where it matters who is to move, it is the lone
    king, or after `_TO_MOVE` the side with the pawn. Then those of queen against a pawn one step
    from queening, with the queen's side to move.
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


@dataclass(frozen=True, slots=True)
class Verdict:
    """A verdict on one position.

    `white` says whether White is the stronger side, with the pawn alone or with the queen against
    it; `mirrored` whether a queen's pawn to stop stands on files e to h, so that the squares which
    the sentence names are mirrored.
    """

    because: Because
    white: bool
    mirrored: bool = False
