"""Statements about a position that make an answer key true.

A kind of exercise states them; the verifier, which knows no kind, checks them.
Moves are in UCI notation (d1d8), so that no claim depends on how SAN is written.
`claim` is the tag by which a stored claim is read back.
"""

from dataclasses import dataclass
from typing import Literal

from coachbook.model.because import Verdict


@dataclass(frozen=True, slots=True)
class AllMates:
    """These, and no others, are the moves that give mate at once."""

    moves: frozenset[str]
    claim: Literal["all_mates"] = "all_mates"


@dataclass(frozen=True, slots=True)
class AllStalemates:
    """These, and no others, are the moves that leave the other side stalemated."""

    moves: frozenset[str]
    claim: Literal["all_stalemates"] = "all_stalemates"


@dataclass(frozen=True, slots=True)
class WallsAre:
    """The lone king's box by walls (rank and file of the piece on `piece`) is `squares`."""

    piece: int
    squares: frozenset[int]
    claim: Literal["walls_are"] = "walls_are"


@dataclass(frozen=True, slots=True)
class RegionIs:
    """The squares that the lone king could reach if the other side stood still."""

    squares: frozenset[int]
    claim: Literal["region_is"] = "region_is"


@dataclass(frozen=True, slots=True)
class MateIn:
    """With best play the side to move mates in exactly `moves` moves."""

    moves: int
    claim: Literal["mate_in"] = "mate_in"


@dataclass(frozen=True, slots=True)
class FastestMates:
    """These, and no others, are the moves with which the side to move mates in `moves` moves."""

    moves: int
    first: frozenset[str]
    claim: Literal["fastest_mates"] = "fastest_mates"


@dataclass(frozen=True, slots=True)
class KeepingMoves:
    """These, and no others, are the moves that keep the win, or where there is none the draw."""

    moves: frozenset[str]
    claim: Literal["keeping_moves"] = "keeping_moves"


@dataclass(frozen=True, slots=True)
class ResultIs:
    """With best play White wins, or (`white_wins` false) it is a draw."""

    white_wins: bool
    claim: Literal["result_is"] = "result_is"


@dataclass(frozen=True, slots=True)
class FinalStatus:
    """The side to move is checkmated ("mate"), stalemated ("stalemate"), or has a move ("neither")."""

    status: str
    claim: Literal["final_status"] = "final_status"


@dataclass(frozen=True, slots=True)
class ThrowingSquares:
    """These, and no others, are the squares to which the piece can go and so throws the win away."""

    piece: int
    squares: frozenset[int]
    claim: Literal["throwing_squares"] = "throwing_squares"


@dataclass(frozen=True, slots=True)
class SmallestBox:
    """These, and no others, are the best of the piece's moves: of those that lose nothing, don't
    stalemate and leave the lone king two squares or more, the ones with the smallest box.

    `measure` is "region" (as of RegionIs) or "rectangle": what the piece's file and rank shut off, wherever
    White's king stands. Sheets of before have "walls", too: the same, but none where White's king stands on
    a wall with more than one wall square behind him. `squares` is the size of that box.
    """

    piece: int
    measure: str
    squares: int
    moves: frozenset[str]
    claim: Literal["smallest_box"] = "smallest_box"


@dataclass(frozen=True, slots=True)
class SquareOfPawn:
    """`squares` are the pawn's square. The lone king, to move, can step into it or stay in it, and so takes
    the pawn, or the new queen at once, by force; or (`reached` false) he can't, and White gets a queen."""

    pawn: int
    squares: frozenset[int]
    reached: bool
    claim: Literal["square_of_pawn"] = "square_of_pawn"


@dataclass(frozen=True, slots=True)
class KeySquares:
    """The key squares of the pawn: with White's king on one of them and White to move, White
    wins, wherever the lone king stands (a rook's pawn: if he stands on the two last ranks)."""

    pawn: int
    squares: frozenset[int]
    claim: Literal["key_squares"] = "key_squares"


@dataclass(frozen=True, slots=True)
class TakesOpposition:
    """These, and no others, are the moves after which the kings face each other on a rank or
    file with one square between them."""

    moves: frozenset[str]
    claim: Literal["takes_opposition"] = "takes_opposition"


@dataclass(frozen=True, slots=True)
class MethodRule:
    """In the method `method` the rule `rule` decides, and these are the moves that it leaves."""

    method: str
    rule: str
    moves: frozenset[str]
    claim: Literal["method_rule"] = "method_rule"


@dataclass(frozen=True, slots=True)
class ShrinkOrKing:
    """These, and no others, are the safe moves of the piece that make the smallest box; or (`shrinks` false)
    none makes it smaller than it is, and these are the safe king's moves after which fewer king steps lie
    between the two kings.

    After a safe move the piece can't be taken and the lone king keeps two squares or more. A queen's box is
    the rectangle, a rook's the region (see SmallestBox).
    """

    piece: int
    shrinks: bool
    moves: frozenset[str]
    claim: Literal["shrink_or_king"] = "shrink_or_king"


@dataclass(frozen=True, slots=True)
class ReasonIs:
    """Why it is won or drawn: `reason` holds, after the move `after` if there is one."""

    reason: Verdict
    after: str = ""
    claim: Literal["reason_is"] = "reason_is"


@dataclass(frozen=True, slots=True)
class PlacingSquares:
    """With one more white `man` (a name such as "queen") on any of these squares, and on no other,
    Black, to move, is in `goal`: "mate" or "stalemate". On every one of them it is a legal position."""

    man: str
    goal: str
    squares: frozenset[int]
    claim: Literal["placing_squares"] = "placing_squares"


@dataclass(frozen=True, slots=True)
class PawnRace:
    """If both sides only push, White's pawn queens in `white` of its moves, Black's in `black` of its
    own, and `first` ("white" or "black") is the side that queens first.

    No king can stop a pawn, and every push keeps the result. It is a draw if both queen one right after
    the other, the first of them without check; else `first` wins.
    """

    white: int
    black: int
    first: str
    claim: Literal["pawn_race"] = "pawn_race"


@dataclass(frozen=True, slots=True)
class MethodLine:
    """Along `line`, moves of both sides in turn from the side to move on, the card of the method `method`
    leaves each time just the move that its own side makes."""

    method: str
    line: tuple[str, ...]
    claim: Literal["method_line"] = "method_line"


@dataclass(frozen=True, slots=True)
class LineMistake:
    """`pairs` is a line from a won position, and its move number `mistake` (from 1) alone throws the win
    away.

    Each is a move and its reply as they are printed to choose from, such as "2. Kd5 Ke7" (SAN, not UCI).
    """

    pairs: tuple[str, ...]
    mistake: int
    claim: Literal["line_mistake"] = "line_mistake"


@dataclass(frozen=True, slots=True)
class RuleEnding:
    """In the method `method` the rule `rule` decides; `offered` are its ending and two that are not its own,
    as codes, in printed order."""

    method: str
    rule: str
    offered: tuple[str, ...]
    claim: Literal["rule_ending"] = "rule_ending"


@dataclass(frozen=True, slots=True)
class WaitingMoves:
    """These, and no others, are the rook's moves after which the lone king can't take it and can reach just
    the squares that he could reach before. Each keeps the win."""

    moves: frozenset[str]
    claim: Literal["waiting_moves"] = "waiting_moves"


@dataclass(frozen=True, slots=True)
class SquareCorners:
    """`area` is the pawn's square on the lone king's side of its file, all of it on the board, and
    `squares` are its four corners. A pawn on its first square counts as on the next."""

    pawn: int
    squares: frozenset[int]
    area: frozenset[int]
    claim: Literal["square_corners"] = "square_corners"


@dataclass(frozen=True, slots=True)
class BoxWalls:
    """`box` is the lone king's box by walls, and `squares` are its walls: the square of the piece on
    `piece` and the squares of its rank and file that touch the box. White's king breaks none of them."""

    piece: int
    squares: frozenset[int]
    box: frozenset[int]
    claim: Literal["box_walls"] = "box_walls"


@dataclass(frozen=True, slots=True)
class ForkSquares:
    """These, and no others, are the squares where the queen on `piece` gives check, attacks the rook and
    wins it: whatever the reply, the rook can be taken, and nothing takes back or is stalemated."""

    piece: int
    squares: frozenset[int]
    claim: Literal["fork_squares"] = "fork_squares"


@dataclass(frozen=True, slots=True)
class RightBishop:
    """The bishop on `piece` can (`right`), or can't, ever go to the corner where White's edge pawn on
    `pawn` becomes a queen."""

    piece: int
    pawn: int
    right: bool
    claim: Literal["right_bishop"] = "right_bishop"


@dataclass(frozen=True, slots=True)
class BishopCorners:
    """These, and no others, are the corners of the board to which the bishop on `piece` can ever go."""

    piece: int
    squares: frozenset[int]
    claim: Literal["bishop_corners"] = "bishop_corners"


@dataclass(frozen=True, slots=True)
class NewQueen:
    """White's pawn can go to its last rank, and there a queen wins (`wins`); or it is stalemate, and another
    piece wins."""

    wins: bool
    claim: Literal["new_queen"] = "new_queen"


@dataclass(frozen=True, slots=True)
class EnoughToMate:
    """White can force mate (`enough`); or it can't, for with the men that are left, once Black has taken the
    best that it can, no mate is possible at all."""

    enough: bool
    claim: Literal["enough_to_mate"] = "enough_to_mate"


@dataclass(frozen=True, slots=True)
class RookPlace:
    """The moves of the side's one rook that go to `line`, and no other moves, keep the win, or where there is
    none the draw. `line` is a rank or a file, such as "rank_6" or "file_a".

    `offered` are four of them in printed order, ranks first: `line`, and others to which the rook can go,
    where it keeps nothing.
    """

    line: str
    offered: tuple[str, ...]
    claim: Literal["rook_place"] = "rook_place"


Claim = (
    AllMates
    | AllStalemates
    | WallsAre
    | RegionIs
    | MateIn
    | FastestMates
    | KeepingMoves
    | ResultIs
    | FinalStatus
    | ThrowingSquares
    | SmallestBox
    | SquareOfPawn
    | KeySquares
    | TakesOpposition
    | MethodRule
    | ShrinkOrKing
    | ReasonIs
    | PlacingSquares
    | PawnRace
    | MethodLine
    | LineMistake
    | RuleEnding
    | WaitingMoves
    | SquareCorners
    | BoxWalls
    | ForkSquares
    | RightBishop
    | BishopCorners
    | NewQueen
    | EnoughToMate
    | RookPlace
)
