"""The claim `reason_is`: each verdict's sentence read square by square on a board.

Files and ranks are counted from 0 as the side sees them that has the pawn alone, or the queen against it;
a queen's pawn to stop is brought to files a to d. The result is asked of the tables, too: a verdict on queen
and pawn has a few exceptions, and so has one on rook and pawn, which is read in `rook_verdict_claims`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Self

import chess

from coachbook.endgame.probe import Result, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, seen_by
from coachbook.exercises.claims.rook_verdict_claims import OF_ROOK, RookAndPawn
from coachbook.model.because import Because, Verdict
from coachbook.model.claims import ReasonIs

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class _Pawn:
    """King and pawn against the `lone` king, whose `turn` it may be."""

    king: Place
    pawn: Place
    lone: Place
    turn: bool

    @classmethod
    def seen(cls, board: chess.Board, strong: chess.Color) -> Self | None:
        """What is seen on the board; None for another ending."""
        pawns = board.pieces(chess.PAWN, strong)
        if len(board.piece_map()) != 3 or not pawns:
            return None
        kings = (board.king(strong), board.king(not strong))
        own, lone, pawn = (seen_by(square or 0, strong) for square in (*kings, pawns.pop()))
        return cls(own, pawn, lone, board.turn != strong)

    @property
    def is_rooks(self) -> bool:
        return self.pawn[0] in (0, 7)

    @property
    def home(self) -> Place:
        return self.pawn[0], 7

    @property
    def steps(self) -> int:
        """To go for the pawn; from its first square it may go two."""
        return 7 - max(self.pawn[1], 2)

    @property
    def lead(self) -> int:
        """Ranks that its king is ahead of the pawn."""
        return self.king[1] - self.pawn[1]

    @property
    def is_close(self) -> bool:
        """No rook's pawn, its king on its file or the next."""
        return not self.is_rooks and abs(self.king[0] - self.pawn[0]) <= 1

    @property
    def is_nearer(self) -> bool:
        """Its king is no farther from the pawn than the lone king."""
        return _steps(self.king, self.pawn) <= _steps(self.lone, self.pawn)

    @property
    def in_the_way(self) -> bool:
        return self.king[0] == self.pawn[0] and self.lead > 0

    @property
    def comes_too_late(self) -> bool:
        """Its king is two steps or more farther from the pawn, and from each square ahead of it, than the
        lone king is from the pawn."""
        way = [(self.pawn[0], rank) for rank in range(self.pawn[1], 8)]
        return min(_steps(self.king, square) for square in way) >= _steps(self.lone, self.pawn) + 2

    @property
    def can_be_taken(self) -> bool:
        return _steps(self.lone, self.pawn) == 1 < _steps(self.king, self.pawn)

    @property
    def on_key_square(self) -> bool:
        return self.is_close and self.lead in ((1, 2) if self.pawn[1] >= 4 else (2,))

    @property
    def faces(self) -> bool:
        """The lone king two ranks straight ahead of the king, which is one rank ahead of the pawn."""
        return self.is_close and self.lead == 1 and self.lone == (self.king[0], self.king[1] + 2)

    @property
    def is_even(self) -> bool:
        """An even number of files and of ranks from king to king."""
        return all((one - other) % 2 == 0 for one, other in zip(self.king, self.lone, strict=True))

    @property
    def can_stop(self) -> bool:
        """Whether the lone king can step on the queening square."""
        return _steps(self.lone, self.home) == 1 < _steps(self.king, self.home)

    def is_before(self, ranks: int) -> bool:
        """The lone king so many ranks straight ahead of the pawn."""
        return self.lone == (self.pawn[0], self.pawn[1] + ranks)


def _steps(one: Place, other: Place) -> int:
    """King steps between two squares."""
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))


_OF_PAWN: dict[Because, tuple[bool, Callable[[_Pawn], bool]]] = {
    Because.KEY_SQUARE_TO_MOVE: (True, lambda p: not p.turn and p.on_key_square),
    Because.KEY_SQUARE: (True, lambda p: p.turn and p.on_key_square and not p.can_be_taken),
    Because.OUTSIDE_SQUARE_TO_MOVE: (
        True,
        lambda p: not p.turn and _steps(p.lone, p.home) > p.steps and not p.in_the_way,
    ),
    Because.OUTSIDE_SQUARE: (
        True,
        lambda p: p.turn and _steps(p.lone, p.home) > p.steps + 1 and not p.can_be_taken and not p.in_the_way,
    ),
    Because.PAWN_FALLS: (False, lambda p: p.turn and p.can_be_taken),
    Because.INSIDE_SQUARE_TO_MOVE: (
        False,
        lambda p: not p.turn and _steps(p.lone, p.home) <= p.steps and p.comes_too_late,
    ),
    Because.INSIDE_SQUARE: (
        False,
        lambda p: p.turn and _steps(p.lone, p.home) <= p.steps + 1 and p.comes_too_late,
    ),
    Because.ROOK_PAWN_CORNER: (False, lambda p: p.is_rooks and _steps(p.lone, p.home) <= 1),
    Because.BEFORE_ROOK_PAWN: (
        False,
        lambda p: p.is_rooks and p.lone[0] == p.pawn[0] and p.lone[1] > p.pawn[1],
    ),
    Because.SHUT_IN: (
        False,
        lambda p: p.is_rooks and p.in_the_way and p.lone[1] == p.king[1] and abs(p.lone[0] - p.king[0]) == 2,
    ),
    Because.RIGHT_BEFORE: (False, lambda p: p.is_before(1) and p.pawn[1] < 6),
    Because.TWO_BEFORE: (False, lambda p: p.turn and p.is_before(2)),
    Because.TWO_BEFORE_TO_MOVE: (False, lambda p: not p.turn and p.is_before(2) and p.pawn[1] < 5),
    Because.OPPOSITION: (True, lambda p: p.turn and p.faces),
    Because.OPPOSITION_TO_MOVE: (False, lambda p: not p.turn and p.faces and p.pawn[1] < 4),
    Because.ROOK_PAWN_KEY_SQUARE: (
        True,
        lambda p: (
            p.turn and p.is_rooks and abs(p.king[0] - p.pawn[0]) == 1 and p.king[1] in (6, 7) and p.is_nearer
        ),
    ),
    Because.FAR_AHEAD: (True, lambda p: p.turn and p.is_close and p.lead >= 2 and p.is_nearer),
    Because.AHEAD_WITH_OPPOSITION: (
        True,
        lambda p: p.turn and p.is_close and p.lead >= 1 and p.lone[1] >= p.king[1] and p.is_even,
    ),
    Because.SHIELD: (True, lambda p: p.turn and p.is_close and p.lead == 1 and p.lone[1] <= p.pawn[1] + 2),
    Because.SIDE_BY_SIDE: (
        True,
        lambda p: p.turn and p.is_close and p.lead == 0 and p.pawn[1] == 5 and p.is_even,
    ),
    Because.LAST_STEP: (
        True,
        lambda p: (
            p.turn and not p.is_rooks and p.pawn[1] == 6 and _steps(p.king, p.pawn) == 1 and not p.can_stop
        ),
    ),
}
"""Whether the pawn wins by it, and where its sentence is true."""


@dataclass(frozen=True, slots=True)
class _Queen:
    """A queen, to move, against a pawn on a2, b2, c2 or d2 and its king (`other`), by name."""

    king: str
    queen: str
    pawn: str
    other: str

    @classmethod
    def seen(cls, board: chess.Board, strong: chess.Color, *, mirrored: bool) -> Self | None:
        """What is seen on the board; None for another ending, or where the pawn gives check."""
        queens, pawns = board.pieces(chess.QUEEN, strong), board.pieces(chess.PAWN, not strong)
        known = len(board.piece_map()) == 4 and queens and pawns and board.turn == strong
        if not known or board.is_check():
            return None
        men = (board.king(strong) or 0, queens.pop(), pawns.pop(), board.king(not strong) or 0)
        places = [seen_by(square, strong) for square in men]
        named = [f"{'abcdefgh'[7 - file if mirrored else file]}{rank + 1}" for file, rank in places]
        return cls(*named) if named[2] in ("a2", "b2", "c2", "d2") else None

    def is_pawn_on(self, *files: str) -> bool:
        return self.pawn[0] in files

    def reaches_c1(self) -> bool:
        """Whether nothing stands between the queen and c1, nor there."""
        men = {chess.parse_square(man) for man in (self.king, self.pawn, self.other)}
        start = chess.parse_square(self.queen)
        on_line = bool(chess.SquareSet.ray(start, chess.C1)) and start != chess.C1
        return (
            on_line and chess.C1 not in men and not men.intersection(chess.SquareSet.between(start, chess.C1))
        )

    def kings_in_line(self) -> bool:
        return bool(chess.SquareSet.ray(chess.parse_square(self.king), chess.parse_square(self.other)))

    def king_between(self) -> bool:
        """The queen's own king stands between her and the other king."""
        line = chess.SquareSet.between(chess.parse_square(self.queen), chess.parse_square(self.other))
        return chess.parse_square(self.king) in line


def _squares(files: str, ranks: str) -> set[str]:
    return {file + rank for file in files for rank in ranks}


_ROOK_NEAR = _squares("abcde", "12345") - {"e5"}
_ROOK_CORNER_NEAR = _squares("abcdef", "123456") - {"f6"}
_SHORT_NEAR = _squares("abcde", "3") | _squares("abc", "4") | _squares("de", "2") | _squares("cde", "1")
_LONG_NEAR = _squares("abcdefg", "1234") | _squares("abc", "5")
_FAR = _squares("abcdefgh", "678") | _squares("gh", "12345") | {"e5", "f5"}
_LONG_FAR = _squares("abcdefgh", "78")


def _far_from(one: str, other: str) -> int:
    return chess.square_distance(chess.parse_square(one), chess.parse_square(other))


_OF_QUEEN: dict[Because, tuple[bool, Callable[[_Queen], bool]]] = {
    Because.FAR_FROM_PAWN: (True, lambda q: _far_from(q.other, q.pawn) >= 3),
    Because.CORNER_CHECK: (
        True,
        lambda q: q.is_pawn_on("a", "c") and q.other == "a1" and q.reaches_c1(),
    ),
    Because.MIDDLE_PAWN: (True, lambda q: q.is_pawn_on("b", "d") and not q.kings_in_line()),
    Because.MIDDLE_PAWN_IN_LINE: (True, lambda q: q.is_pawn_on("b", "d") and q.kings_in_line()),
    Because.ROOK_PAWN_NEAR: (True, lambda q: q.is_pawn_on("a") and q.king in _ROOK_NEAR),
    Because.ROOK_PAWN_FAR: (
        False,
        lambda q: (
            q.is_pawn_on("a")
            and q.other in ("b1", "b2")
            and q.king not in _ROOK_NEAR
            and not q.king_between()
        ),
    ),
    Because.ROOK_PAWN_CORNER_NEAR: (
        True,
        lambda q: q.is_pawn_on("a") and q.other == "a1" and q.king in _ROOK_CORNER_NEAR and q.queen[0] != "b",
    ),
    Because.ROOK_PAWN_CORNER_FAR: (
        False,
        lambda q: (
            q.is_pawn_on("a")
            and q.other == "a1"
            and q.king not in _ROOK_CORNER_NEAR
            and q.queen[0] != "b"
            and not q.reaches_c1()
        ),
    ),
    Because.BISHOP_PAWN_SHORT_NEAR: (
        True,
        lambda q: q.is_pawn_on("c") and q.other in ("a1", "b1", "a2", "b2") and q.king in _SHORT_NEAR,
    ),
    Because.BISHOP_PAWN_LONG_NEAR: (
        True,
        lambda q: q.is_pawn_on("c") and q.other in ("c1", "d1", "e1", "d2", "e2") and q.king in _LONG_NEAR,
    ),
    Because.BISHOP_PAWN_SHORT_FAR: (
        False,
        lambda q: q.is_pawn_on("c") and q.other in ("b1", "b2") and q.king in _FAR,
    ),
    Because.BISHOP_PAWN_CORNER_FAR: (
        False,
        lambda q: q.is_pawn_on("c") and q.other == "a1" and q.king in _FAR and not q.reaches_c1(),
    ),
    Because.BISHOP_PAWN_LONG_FAR: (
        False,
        lambda q: q.is_pawn_on("c") and q.other in ("c1", "d1", "d2") and q.king in _LONG_FAR,
    ),
}
"""Whether the queen wins by it, and where its sentence is true."""


def is_true(board: chess.Board, reason: Verdict) -> bool:
    """Whether a verdict's sentence is true of a board, and the result is the one for which it stands."""
    if reason.because in _OF_PAWN:
        won, says = _OF_PAWN[reason.because]
        pawn = _Pawn.seen(board, reason.white)
        true = pawn is not None and not reason.mirrored and says(pawn)
    elif reason.because in OF_ROOK:
        won, of_rook = OF_ROOK[reason.because]
        rook = RookAndPawn.seen(board, reason.white)
        true = rook is not None and not reason.mirrored and of_rook(rook)
    else:
        won, of_queen = _OF_QUEEN[reason.because]
        queen = _Queen.seen(board, reason.white, mirrored=reason.mirrored)
        true = queen is not None and of_queen(queen)
    return true and _result(board, reason.white) is (Result.WIN if won else Result.DRAW)


def _result(board: chess.Board, side: chess.Color) -> Result:
    result = probe(board).result
    return result if board.turn == side else Result(-result)


def _is_why(board: chess.Board, claim: ReasonIs) -> bool:
    """Of the board, or of what the move leads to."""
    after = board.copy(stack=False)
    if claim.after:
        if claim.after not in {move.uci() for move in board.legal_moves}:
            return False
        after.push_uci(claim.after)
    return is_true(after, claim.reason)


REASON_IS = ClaimCheck[ReasonIs](holds=_is_why, is_played=False)
