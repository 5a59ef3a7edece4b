"""Claims about where one piece belongs: a queen that attacks two men, a bishop's corners, the rank or file
for a rook, a man that is still to be placed. Each is tried on a board, with the rules of chess alone."""

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import BishopCorners, ForkSquares, PlacingSquares, RightBishop, RookPlace
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Fact


def _forks(board: chess.Board, queen: chess.Square) -> frozenset[int]:
    """Where White's queen gives check and attacks a rook that nothing can save."""
    if board.piece_map().get(queen) != chess.Piece(chess.QUEEN, chess.WHITE):
        return frozenset()
    moves = (move for move in board.legal_moves if move.from_square == queen)
    return frozenset(move.to_square for move in moves if _wins_rook(board, move))


def _wins_rook(board: chess.Board, move: chess.Move) -> bool:
    after = after_move(board, move)
    rooks = after.pieces(chess.ROOK, chess.BLACK)
    if not rooks & after.attacks(move.to_square) or move.to_square not in after.checkers():
        return False
    replies = list(after.legal_moves)
    return bool(replies) and all(_falls(after_move(after, reply)) for reply in replies)


def _falls(board: chess.Board) -> bool:
    """Whether White, to move, can take the rook and keeps the queen: nothing takes back or is stalemated."""
    for move in board.generate_legal_captures():
        then = after_move(board, move)
        taken_back = any(then.is_capture(reply) for reply in then.legal_moves)
        if then.queens and not then.rooks and not taken_back and not then.is_stalemate():
            return True
    return False


FORK_SQUARES = ClaimCheck[ForkSquares](
    holds=lambda board, claim: bool(claim.squares) and claim.squares == _forks(board, claim.piece),
    answers={
        AnswerForm.SQUARES: lambda claim: names_of(claim.squares),
        AnswerForm.MOVES: lambda claim: frozenset(
            chess.Move(claim.piece, square).uci() for square in claim.squares
        ),
    },
    all_asked=True,
    outlined=lambda claim: claim.squares,
)


def _is_fork(scene: Scene) -> bool:
    return scene.move is not None and _wins_rook(scene.board, scene.move)


FORK_FACTS: dict[str, FactCheck] = {"forks": just(_is_fork)}


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


_LINES = (*(f"rank_{rank}" for rank in range(1, 9)), *(f"file_{file}" for file in chess.FILE_NAMES))
"""Their codes, in the order in which they are offered."""
_OFFERED = 4


def _belongs(board: chess.Board, claim: RookPlace) -> bool:
    """Whether of all moves those of the one rook to the line, and no others, keep a win or a draw; and the
    rook can go to each of the other lines that are offered, and keeps nothing there."""
    rooks, worth = board.pieces(chess.ROOK, board.turn), probe(board).result
    places = [line for line in _LINES if line in claim.offered]
    if len(rooks) != 1 or worth is Result.LOSS or tuple(places) != claim.offered or len(places) != _OFFERED:
        return False
    keeping = {move for move in board.legal_moves if -probe(after_move(board, move)).result == worth}
    there = {line: _going_to(board, rooks, line) for line in places}
    others = [moves for line, moves in there.items() if line != claim.line]
    return there.get(claim.line) == keeping and all(moves and not moves & keeping for moves in others)


def _going_to(board: chess.Board, rooks: chess.SquareSet, line: str) -> set[chess.Move]:
    return {
        move for move in board.legal_moves if move.from_square in rooks and move.to_square in squares(line)
    }


def squares(line: str) -> frozenset[int]:
    """Those of a rank or a file; none for a code that is none."""
    kind, _, name = line.partition("_")
    if line not in _LINES:
        return frozenset()
    if kind == "rank":
        return frozenset(chess.SquareSet(chess.BB_RANKS[int(name) - 1]))
    return frozenset(chess.SquareSet(chess.BB_FILES[chess.FILE_NAMES.index(name)]))


ROOK_PLACE = ClaimCheck[RookPlace](
    holds=_belongs,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({claim.line})},
    options=lambda claim: claim.offered,
    shaded=lambda claim: squares(claim.line),
    outlined=lambda claim: squares(claim.line),
)


def _spoiling(scene: Scene) -> int | None:
    """How many moves do not go there; of the claim that none of them keeps anything."""
    if not isinstance(scene.claim, RookPlace):
        return None
    board = scene.answer_board
    right = _going_to(board, board.pieces(chess.ROOK, board.turn), scene.claim.line)
    return board.legal_moves.count() - len(right)


ROOK_FACTS: dict[str, FactCheck] = {
    "rook_line": just(lambda scene: scene.claim.line if isinstance(scene.claim, RookPlace) else None),
    "spoiling": just(_spoiling),
}


_OTHER_END = {"mate": "stalemate", "stalemate": "mate"}


def _are_all(board: chess.Board, claim: PlacingSquares) -> bool:
    """Whether these are the squares. A student might also name one on which it looks like it, though such a
    position can't arise: where there is one, the claim does not hold."""
    found = _ending_in(board, claim.man, claim.goal)
    can_arise = all(_with(board, claim.man, square).is_valid() for square in found)
    return bool(found) and found == claim.squares and can_arise


def _ending_in(board: chess.Board, man: str, goal: str) -> frozenset[int]:
    """Where a white man of this name ends the game so, Black to move; none for a name that is none."""
    if board.turn != chess.BLACK or man not in chess.PIECE_NAMES:
        return frozenset()
    ends = chess.Board.is_checkmate if goal == "mate" else chess.Board.is_stalemate
    free = chess.SquareSet(~board.occupied)
    return frozenset(square for square in free if ends(_with(board, man, square)))


def _with(board: chess.Board, man: str, square: chess.Square) -> chess.Board:
    placed = board.copy(stack=False)
    placed.set_piece_at(square, chess.Piece(chess.PIECE_NAMES.index(man), chess.WHITE))
    return placed


PLACING_SQUARES = ClaimCheck[PlacingSquares](
    holds=_are_all,
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    signs=lambda _, claim: dict.fromkeys(claim.squares, Sign.TICK),
)


def _goal(scene: Scene) -> str | None:
    return scene.claim.goal if isinstance(scene.claim, PlacingSquares) else None


def _ends_otherwise(scene: Scene, fact: Fact) -> bool:
    """Whether these are all the squares on which the man would end the game in the other way."""
    if not isinstance(scene.claim, PlacingSquares) or not isinstance(fact, tuple):
        return False
    found = _ending_in(scene.board, scene.claim.man, _OTHER_END[scene.claim.goal])
    return sorted(fact) == sorted(names_of(found))


PLACING_FACTS: dict[str, FactCheck] = {
    "placed_for": just(_goal),
    "other_end": just(lambda scene: _OTHER_END.get(_goal(scene) or "")),
    "ends_otherwise_on": _ends_otherwise,
}
