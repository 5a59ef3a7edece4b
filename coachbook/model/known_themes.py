"""Themes: which of a kind's positions belong to a unit, in words that a coach writes in a level file.

What a theme may be told, and what it means, stands here; which positions that are, in `exercises.themes`.
"""

import re
import tomllib
from dataclasses import dataclass

ThemeValue = str | int | bool
Themes = tuple[tuple[str, ThemeValue], ...]
"""Names of themes, each with its value, in the order of THEMES; a position must suit them all."""

_YES = "True"
_FILES = r"[a-h]{1,8}"
_RANKS = r"[2-7](-[2-7])?"
_A_PAWN = ("a pawn", "P")
_FOUR_MEN = ("four men at most", "^.{1,4}$")
PICTURES = (
    "cut off",
    "bridge",
    "third rank",
    "checks",
    "passive rook",
    "pushed early",
    "rook's pawn",
)
"""Of king, rook and pawn against king and rook; the verdicts that each is about stand in
`method.rook_verdicts`."""
_A_PICTURE = "|".join(PICTURES)


@dataclass(frozen=True, slots=True)
class Theme:
    """What a level file may say under `name`: `expected` in words, a `pattern` that all of the value fits,
    what it means, and an example as it is written there.

    It is for endings in whose names (such as "KBPK") the pattern `endings` is found: those with `men`.
    """

    name: str
    expected: str
    pattern: str
    meaning: str
    example: str
    men: str = ""
    endings: str = ""

    def fits(self, value: object) -> bool:
        """Whether this is a value of the theme's own type that it may have."""
        example = tomllib.loads(f"value = {self.example}")["value"]
        return type(value) is type(example) and re.fullmatch(self.pattern, str(value)) is not None


THEMES = (
    Theme(
        "pawn_files",
        "letters of files, such as ah",
        _FILES,
        "Every pawn stands on one of these files, or on the same file seen in a mirror (a is h).",
        '"ah"',
        *_A_PAWN,
    ),
    Theme(
        "pawn_ranks",
        "a rank from 2 to 7, or two with a hyphen, such as 2-5",
        _RANKS,
        "Every pawn stands on one of these ranks, from its own side; on 7 it is one step from the end.",
        '"2-5"',
        *_A_PAWN,
    ),
    Theme(
        "pawns_free",
        "true",
        _YES,
        "No pawn has one of the other side ahead of it on its own file or the next.",
        "true",
        *_A_PAWN,
    ),
    Theme(
        "pawns_blocked",
        "true",
        _YES,
        "Every pawn has one of the other side right ahead of it, so that neither can go on.",
        "true",
        *_A_PAWN,
    ),
    Theme("to_move", "white or black", "white|black", "This side is to move.", '"black"'),
    Theme("result", "win or draw", "win|draw", "With best play White wins, or it is a draw.", '"draw"'),
    Theme(
        "kept_by",
        "king move, pawn move or piece move",
        "(king|pawn|piece) move",
        "Who is to move keeps a win or a draw, and only by such a move.",
        '"king move"',
        *_FOUR_MEN,
    ),
    Theme(
        "king_in_front",
        "true",
        _YES,
        "The pawn's own king stands on a rank ahead of the pawn.",
        "true",
        *_A_PAWN,
    ),
    Theme(
        "lone_king_in_front",
        "true",
        _YES,
        "The king without the pawn stands on the pawn's file, ahead of it.",
        "true",
        *_A_PAWN,
    ),
    Theme(
        "lone_king_near_pawn",
        "a whole number from 1 to 7",
        "[1-7]",
        "The king without the pawn is at most so many steps from the pawn.",
        "2",
        *_A_PAWN,
    ),
    Theme(
        "lone_king_far_from_pawn",
        "a whole number from 1 to 7",
        "[1-7]",
        "The king without the pawn is at least so many steps from the pawn.",
        "3",
        *_A_PAWN,
    ),
    Theme(
        "king_near_pawn",
        "a whole number from 1 to 7",
        "[1-7]",
        "The pawn's own king is at most so many steps from the pawn.",
        "1",
        *_A_PAWN,
    ),
    Theme(
        "king_far_from_pawn",
        "a whole number from 1 to 7",
        "[1-7]",
        "The pawn's own king is at least so many steps from the pawn.",
        "4",
        *_A_PAWN,
    ),
    Theme(
        "lone_king_near_piece",
        "a whole number from 1 to 7",
        "[1-7]",
        "The king without the piece is at most so many steps from it.",
        "1",
        "a piece on one side",
        "[QRBN]",
    ),
    Theme(
        "kings_near_queening",
        "a whole number from 1 to 7",
        "[1-7]",
        "Both kings are at most so many steps from the square where the pawn queens.",
        "3",
        *_A_PAWN,
    ),
    Theme("lone_king_on_edge", "true", _YES, "Black's king stands on the edge of the board.", "true"),
    Theme(
        "kings_within",
        "a whole number from 2 to 7",
        "[2-7]",
        "The kings are at most so many steps apart.",
        "3",
    ),
    Theme(
        "kings_apart",
        "a whole number from 2 to 7",
        "[2-7]",
        "The kings are at least so many steps apart.",
        "4",
    ),
    Theme(
        "bishop",
        "right or wrong",
        "right|wrong",
        "The pawn stands on the edge, and the bishop can guard the corner where it queens, or can't.",
        '"wrong"',
        "a bishop and a pawn on one side",
        "B[^K]*P",
    ),
    Theme(
        "box_at_most",
        "a whole number from 1 to 49",
        "[1-9]|[1-4][0-9]",
        "The box that the queen or the rook makes has at most so many squares.",
        "12",
        "a queen or a rook alone against a king",
        "^K[QR]K$",
    ),
    Theme(
        "only_rule",
        "the short name of a rule, as on its card",
        ".+",
        "This rule of the unit's method decides.",
        '"bring the king"',
        "a king alone on one side",
        "[^K]K$",
    ),
    Theme(
        "answer_is",
        "king move, pawn move or piece move",
        "(king|pawn|piece) move",
        "Every right answer is a move of the king, of a pawn, or of another piece.",
        '"king move"',
    ),
    Theme(
        "decided_by",
        "square, key square, opposition, corner or cut off",
        "square|key square|opposition|corner|cut off",
        "So says the key: the pawn's square, a key square, the opposition, the corner of an edge pawn, or a"
        " rook that cuts a king off from its pawn.",
        '"opposition"',
    ),
    Theme(
        "picture",
        f"one or more of: {', '.join(PICTURES)}",
        f"({_A_PICTURE})(, ({_A_PICTURE}))*",
        "So says the key, of the position or of what the right move leads to: a picture of rook and pawn"
        " against rook, on either wing, with nothing attacked but the pawn.",
        '"third rank"',
        "king, rook and pawn against king and rook",
        "^KRPKR$",
    ),
)
