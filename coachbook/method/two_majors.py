"""Two major pieces against a lone king: a fence, and the next row taken from behind it.

Everything here is seen in two directions, along the ranks and along the files; the direction in
which a move does best counts. "Row" means a rank in the first and a file in the second, "lane" the
other way round. Proven from every position, any tie allowed: two rooks longest 14 moves, queen
and rook 11 (optimum 7 and 6).
"""

import numpy as np
from numpy.typing import NDArray

from coachbook.method.box import has_two_squares, region_size
from coachbook.method.moves import Aim, Side
from coachbook.method.positions import FILE, RANK, Mask, Numbers, Positions, Squares, is_mate
from coachbook.method.rules import MATE, Look, Method, Rule, gives_check, least, most, never_spoil
from coachbook.method.starts import legal_codes
from coachbook.model.worksheet import Fact, Saying
from coachbook.wording.exercises import say

Key16 = NDArray[np.int16]

NO_FENCE = 8
"""Rows left to the lone king when no piece's row lies between the kings: all of them."""


def _rows_behind(fence: int, other: int, king: int, lone: int) -> int:
    """Rows left to the lone king behind a piece on row `fence`; the other piece is on row `other`."""
    if not min(king, lone) < fence < max(king, lone):
        return NO_FENCE
    side = 1 if lone > fence else -1
    rows = 7 - fence if side > 0 else fence
    # A check on the first row behind the fence drives him off it: that row is gone too.
    return rows - 1 if other == lone == fence + side else rows


_ROWS_BEHIND = np.array(
    [
        [
            [[_rows_behind(fence, other, king, lone) for lone in range(8)] for king in range(8)]
            for other in range(8)
        ]
        for fence in range(8)
    ],
    dtype=np.int8,
)


def _rows_left(positions: Positions, row: Squares) -> Numbers:
    first, second = (row[man] for man in positions.others)
    king, lone = row[positions.king], row[positions.lone]
    rows: Numbers = np.minimum(
        _ROWS_BEHIND[first, second, king, lone], _ROWS_BEHIND[second, first, king, lone]
    )
    return rows


def rows_left(positions: Positions) -> Numbers:
    """Rows left to the lone king behind the best fence; NO_FENCE without one. Shape (n,)."""
    return np.minimum(_rows_left(positions, RANK), _rows_left(positions, FILE))


def _in_the_way(positions: Positions, row: Squares, lane: Squares) -> Numbers:
    """How often own men stand in each other's way, 0 to 3. Shape (n,).

    Counted are both pieces on one lane, and each piece that has its king on its row, or on its
    lane between it and the lone king's row.
    """
    king_row, lone_row = row[positions.king], row[positions.lone]
    found: Numbers = (lane[positions.others[0]] == lane[positions.others[1]]).astype(np.int8)
    for man in positions.others:
        between = (np.minimum(row[man], lone_row) < king_row) & (king_row < np.maximum(row[man], lone_row))
        found += (row[man] == king_row) | ((lane[man] == lane[positions.king]) & between)
    return found


def _too_near(positions: Positions, lane: Squares) -> Key16:
    """How far the rooks fall short of standing aside from the lone king, then the queen. Shape (n,)."""
    first, second = (7 - np.abs(lane[man] - lane[positions.lone]) for man in positions.others)
    weight = 1 if positions.pieces == "RR" else 8
    short: Key16 = second.astype(np.int16) * weight + first
    return short


def fence(positions: Positions) -> Key16:
    """One number for rule "build the fence", smaller is better, of the better direction. Shape (n,).

    Rows left count first, then men in the way, then how near the pieces stand: no number can
    outweigh the one before it.
    """
    directions = [
        (_rows_left(positions, row).astype(np.int16) * 4 + _in_the_way(positions, row, lane)) * 64
        + _too_near(positions, lane)
        for row, lane in ((RANK, FILE), (FILE, RANK))
    ]
    better: Key16 = np.minimum(*directions)
    return better


def _leaves_two_squares(look: Look) -> Mask:
    return look.piece_moves & look.then(has_two_squares)


def _any_move(look: Look) -> Mask:
    return np.ones(len(look), dtype=np.bool_)


def _tell(before: Positions, after: Positions) -> Saying:
    rows: dict[str, Fact] = {
        name: left
        for name, left in (("rows_was", int(rows_left(before)[0])), ("rows_now", int(rows_left(after)[0])))
        if left != NO_FENCE
    }
    return say("rows", **rows, **gives_check(after))


_BEST_FENCE = (least(fence), most(region_size))

TWO_MAJORS = Method(
    name="two-majors",
    endings=("RR", "QR"),
    plays=Side.ATTACKER,
    aim=Aim.MATE,
    goal=is_mate,
    starts=legal_codes,
    never=never_spoil("safe_piece"),
    rules=(
        MATE,
        Rule(
            "fence",
            _leaves_two_squares,
            _BEST_FENCE,
            (least(rows_left),),
        ),
        Rule(
            "make_do",
            _any_move,
            _BEST_FENCE,
        ),
    ),
    tell=_tell,
)
