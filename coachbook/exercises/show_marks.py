"""What is marked on the board with a move of a demonstration: the move, and the squares that its sentence
speaks of."""

from collections.abc import Callable

import chess

from coachbook.errors import CoachbookError
from coachbook.exercises.board_facts import arrow, key_squares, square_of_pawn
from coachbook.exercises.show_claims import Moment, pawn_of
from coachbook.method.border import attacker, from_board
from coachbook.method.box import region, walls
from coachbook.model.position import Marks
from coachbook.model.shown_claims import ShownClaim, claims_in, read_claim

_Squares = tuple[chess.Square, ...]


def marks_of(words: str, moment: Moment) -> Marks:
    """Of a move and what is said with it, whose claims are true."""
    claims = [claim for text in claims_in(words) if (claim := read_claim(text)) is not None]
    return Marks(
        shaded=_squares(claims, moment, _SHADED),
        outlined=_squares(claims, moment, _OUTLINED),
        arrows=(arrow(moment.move),),
    )


def _squares(claims: list[ShownClaim], moment: Moment, of: dict[str, Callable[..., _Squares]]) -> _Squares:
    told = [of[claim.form](moment, *claim.given) for claim in claims if claim.form in of]
    return tuple(sorted({square for squares in told for square in squares}))


def _box(moment: Moment, *_: str) -> _Squares:
    """The lone king's box after the move."""
    board = moment.after
    try:
        positions = from_board(board)
    except CoachbookError:
        return ()
    inside = chess.SquareSet(int(positions.see(region if positions.pieces == "R" else walls)[0]))
    return tuple(inside if attacker(board) == chess.WHITE else inside.mirror())


def _of_pawn(squares: Callable[[chess.Square], _Squares], moment: Moment) -> _Squares:
    found = pawn_of(moment.after)
    if found is None:
        return ()
    pawn, side = found
    return tuple(square if side else chess.square_mirror(square) for square in squares(pawn))


def _between_kings(moment: Moment) -> _Squares:
    kings = [moment.after.king(side) or 0 for side in chess.COLORS]
    return tuple(chess.SquareSet(chess.between(*kings)))


def _named(_: Moment, __: str, squares: str) -> _Squares:
    return tuple(map(chess.parse_square, squares.split()))


_SHADED: dict[str, Callable[..., _Squares]] = {
    "opposition": _between_kings,
    "key square": lambda moment: _of_pawn(key_squares, moment),
    "MAN guards SQUARES": _named,
}
_OUTLINED: dict[str, Callable[..., _Squares]] = {
    "box N to N": _box,
    "box N": _box,
    "inside the square": lambda moment: _of_pawn(square_of_pawn, moment),
    "outside the square": lambda moment: _of_pawn(square_of_pawn, moment),
}
