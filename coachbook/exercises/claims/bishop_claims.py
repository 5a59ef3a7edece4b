"""Claims about the corners to which a bishop can go, which is found by walking it over an empty board."""

import chess

from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import BishopCorners, RightBishop
from coachbook.model.worksheet import AnswerForm

_CORNERS = frozenset({chess.A1, chess.H1, chess.A8, chess.H8})


def _reaches(start: chess.Square) -> frozenset[int]:
    """All squares to which a bishop can ever go, its own among them."""
    reached, new = {start}, [start]
    while new:
        alone = chess.Board(None)
        square = new.pop()
        alone.set_piece_at(square, chess.Piece(chess.BISHOP, chess.WHITE))
        further = set(alone.attacks(square)) - reached
        reached |= further
        new += further
    return frozenset(reached)


def _is_white(board: chess.Board, square: chess.Square, man: chess.PieceType) -> bool:
    return board.piece_map().get(square) == chess.Piece(man, chess.WHITE)


def _corner(pawn: chess.Square) -> chess.Square | None:
    """The corner to which a white pawn runs, if it is one on the edge."""
    ahead = (q for q in _CORNERS if q > pawn and chess.square_file(q) == chess.square_file(pawn))
    return next(ahead, None)


def _is_right(board: chess.Board, claim: RightBishop) -> bool:
    corner = _corner(claim.pawn)
    there = _is_white(board, claim.piece, chess.BISHOP) and _is_white(board, claim.pawn, chess.PAWN)
    return there and corner is not None and claim.right == (corner in _reaches(claim.piece))


RIGHT_BISHOP = ClaimCheck[RightBishop](
    holds=_is_right,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({"right" if claim.right else "wrong"})},
    options=lambda _: ("right", "wrong"),
    outlined=lambda claim: frozenset(corner for corner in (_corner(claim.pawn),) if corner is not None),
)
BISHOP_CORNERS = ClaimCheck[BishopCorners](
    holds=lambda board, claim: (
        _is_white(board, claim.piece, chess.BISHOP) and claim.squares == _CORNERS & _reaches(claim.piece)
    ),
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    all_asked=True,
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.squares,
)


def _pawn_corner(scene: Scene) -> chess.Square | None:
    return _corner(scene.claim.pawn) if isinstance(scene.claim, RightBishop) else None


def _named(square: chess.Square | None) -> str | None:
    return None if square is None else chess.square_name(square)


def _colour(square: chess.Square | None) -> str | None:
    """Counted from a1, which is dark: every step to the side or up changes the colour."""
    if square is None:
        return None
    return ("dark", "light")[(chess.square_file(square) + chess.square_rank(square)) % 2]


def _bishop(scene: Scene) -> chess.Square | None:
    return scene.claim.piece if isinstance(scene.claim, BishopCorners) else None


BISHOP_FACTS: dict[str, FactCheck] = {
    "pawn_corner": just(lambda scene: _named(_pawn_corner(scene))),
    "corner_colour": just(lambda scene: _colour(_pawn_corner(scene))),
    "bishop_colour": just(lambda scene: _colour(_bishop(scene))),
    "right_bishop": just(lambda scene: scene.claim.right if isinstance(scene.claim, RightBishop) else None),
}
