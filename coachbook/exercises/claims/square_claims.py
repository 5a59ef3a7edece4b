"""Claims about squares: where a piece must not go, those of a pawn, and whether a king catches it."""

from collections.abc import Iterator
from functools import cache, lru_cache

import chess

from coachbook.endgame.probe import Result, after_move, judge_moves, probe
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import KeySquares, RightBishop, SquareCorners, SquareOfPawn, ThrowingSquares
from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Fact


def _thrown(board: chess.Board, piece: chess.Square) -> frozenset[int]:
    """Where a piece can go so that a won position is won no more."""
    if probe(board).result is not Result.WIN:
        return frozenset()
    return frozenset(
        judged.move.to_square
        for judged in judge_moves(board)
        if judged.move.from_square == piece and judged.outcome.result is not Result.WIN
    )


def _is_pawn(board: chess.Board, square: chess.Square) -> bool:
    return board.piece_at(square) == chess.Piece(chess.PAWN, chess.WHITE)


def _decides(board: chess.Board, claim: SquareOfPawn) -> bool:
    """Whether the rule of the square says it, the tables say the same, and the pawn is caught by force, or
    gets through by force."""
    told = claim.squares, claim.reached
    if not _is_pawn(board, claim.pawn) or told != _square_of(board, claim.pawn):
        return False
    drawn = probe(board).result is Result.DRAW
    return drawn == claim.reached and (is_caught(board) if drawn else gets_through(board))


def _square_of(board: chess.Board, pawn: chess.Square) -> tuple[frozenset[int], bool]:
    """The squares from which he is as near to the queening square's rank and file as the pawn; and
    whether Black's king, to move, is in them after his move.

    Common practice, no source; a pawn on its first square is counted as on the next.
    """
    left = 7 - max(chess.square_rank(pawn), 2)
    goal = chess.square(chess.square_file(pawn), 7)
    square = frozenset(q for q in chess.SQUARES if chess.square_distance(q, goal) <= left)
    lone = board.king(chess.BLACK)
    steps = {move.to_square for move in board.legal_moves if move.from_square == lone}
    return square, board.turn == chess.BLACK and not square.isdisjoint(steps)


def _on_his_side(board: chess.Board, pawn: chess.Square) -> frozenset[int]:
    """The pawn's square as far as it lies on the lone king's side of its file; none where he stands on the
    file, or where it is cut off by the edge of the board."""
    lone = board.king(chess.BLACK)
    if lone is None or not _is_pawn(board, pawn) or chess.square_file(lone) == chess.square_file(pawn):
        return frozenset()
    is_right = chess.square_file(lone) > chess.square_file(pawn)
    square, _ = _square_of(board, pawn)
    half = {
        q
        for q in square
        if chess.square_file(q) == chess.square_file(pawn)
        or (chess.square_file(q) > chess.square_file(pawn)) == is_right
    }
    sides = {len({of(q) for q in half}) for of in (chess.square_file, chess.square_rank)}
    return frozenset(half) if len(sides) == 1 else frozenset()


def _corners(area: frozenset[int]) -> frozenset[int]:
    """The squares of a larger square that touch just three others of it."""
    return frozenset(q for q in area if sum(chess.square_distance(q, other) == 1 for other in area) == 3)


@cache
def _key_squares(pawn: chess.Square) -> frozenset[int]:
    """Common practice, no source; each is checked against the tables: with White's king there and
    White to move, White wins wherever the lone king stands; with a rook's pawn, wherever he stands on
    the two last ranks (elsewhere he may go for the pawn). Empty if that should fail."""
    file, rank = chess.square_file(pawn), chess.square_rank(pawn)
    if file in (0, 7):
        beside = 1 if file == 0 else 6
        squares = {chess.square(beside, 6), chess.square(beside, 7)}
    else:
        ranks = {rank + 2} if rank < 4 else {rank + 1, rank + 2} & set(range(8))
        squares = {chess.square(f, r) for f in (file - 1, file, file + 1) for r in ranks}
    return frozenset(squares) if all(_wins_with_king_on(pawn, square) for square in squares) else frozenset()


def _wins_with_king_on(pawn: chess.Square, king: chess.Square) -> bool:
    rook_pawn = chess.square_file(pawn) in (0, 7)
    for lone in chess.SquareSet(chess.BB_RANK_7 | chess.BB_RANK_8 if rook_pawn else chess.BB_ALL):
        if lone in (pawn, king):
            continue
        board = chess.Board(None)
        for square, symbol in ((pawn, "P"), (king, "K"), (lone, "k")):
            board.set_piece_at(square, chess.Piece.from_symbol(symbol))
        if board.is_valid() and probe(board).result is not Result.WIN:
            return False
    return True


THROWING_SQUARES = ClaimCheck[ThrowingSquares](
    holds=lambda board, claim: claim.squares == _thrown(board, claim.piece),
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    all_asked=True,
    signs=lambda _, claim: dict.fromkeys(claim.squares, Sign.CROSS),
)
SQUARE_OF_PAWN = ClaimCheck[SquareOfPawn](
    holds=_decides,
    answers={AnswerForm.CHOICE: lambda claim: frozenset({"yes" if claim.reached else "no"})},
    options=lambda _: ("yes", "no"),
    outlined=lambda claim: claim.squares,
)
KEY_SQUARES = ClaimCheck[KeySquares](
    holds=lambda board, claim: _is_pawn(board, claim.pawn) and claim.squares == _key_squares(claim.pawn),
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    all_asked=True,
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.squares,
)

SQUARE_CORNERS = ClaimCheck[SquareCorners](
    holds=lambda board, claim: (
        bool(claim.area)
        and claim.area == _on_his_side(board, claim.pawn)
        and claim.squares == _corners(claim.area)
    ),
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    all_asked=True,
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.area,
)


def _inside(scene: Scene) -> bool | None:
    square = scene.claim.squares if isinstance(scene.claim, SquareOfPawn) else None
    return None if square is None else scene.board.king(chess.BLACK) in square


def _pawn(scene: Scene) -> chess.Square | None:
    claim = scene.claim
    return claim.pawn if isinstance(claim, SquareOfPawn | KeySquares | SquareCorners | RightBishop) else None


def _on_edge(scene: Scene) -> bool | None:
    pawn = _pawn(scene)
    return None if pawn is None else chess.square_file(pawn) in (0, 7)


def _from_fifth(scene: Scene) -> bool | None:
    pawn = _pawn(scene)
    return None if pawn is None else chess.square_rank(pawn) >= 4


def _into_square(scene: Scene) -> bool:
    """Whether the step of a plan leads into the square of the pawn."""
    squares = scene.claim.squares if isinstance(scene.claim, SquareOfPawn) else frozenset()
    return scene.move is not None and scene.move.to_square in squares


def _at_home(scene: Scene) -> bool | None:
    pawn = _pawn(scene)
    return None if pawn is None else chess.square_rank(pawn) == 1


def _counted_from(scene: Scene) -> str | None:
    """Where the pawn's square begins on its file."""
    if not isinstance(scene.claim, SquareCorners):
        return None
    return chess.square_name(min(q for q in scene.claim.area if q % 8 == scene.claim.pawn % 8))


def _steps_to_go(scene: Scene) -> int | None:
    """How many times the pawn goes one step to its last rank, from where its square begins."""
    start = _counted_from(scene)
    return None if start is None else 8 - int(start[1])


def _stalemating(scene: Scene) -> tuple[str, ...] | None:
    """The squares of the answer, as far as the piece stalemates there, in order of their numbers."""
    if not isinstance(scene.claim, ThrowingSquares):
        return None
    found = []
    for square in sorted(scene.claim.squares):
        after = scene.board.copy(stack=False)
        after.push(chess.Move(scene.claim.piece, square))
        if after.is_stalemate():
            found.append(chess.square_name(square))
    return tuple(found)


def _are_stalemating(scene: Scene, fact: Fact) -> bool:
    """In any order."""
    squares = _stalemating(scene)
    return squares is not None and isinstance(fact, tuple) and sorted(fact) == sorted(squares)


def _taken_on(scene: Scene) -> int | None:
    if not isinstance(scene.claim, ThrowingSquares):
        return None
    return len(scene.claim.squares) - len(_stalemating(scene) or ())


SQUARE_FACTS: dict[str, FactCheck] = {
    "caught": just(lambda scene: scene.claim.reached if isinstance(scene.claim, SquareOfPawn) else None),
    "inside": just(_inside),
    "pawn_at_home": just(_at_home),
    "into_square": just(_into_square),
    "edge_pawn": just(_on_edge),
    "from_fifth": just(_from_fifth),
    "counted_from": just(_counted_from),
    "steps_to_go": just(_steps_to_go),
    "stalemate_on": _are_stalemating,
    "taken_on": just(_taken_on),
}


_MOST = 9
"""Moves of Black's king: more than any catch takes in which the pawn's own king is far away."""


def is_caught(board: chess.Board) -> bool:
    """Black, to move, can force the capture of White's pawn, or of what it becomes at once, whatever
    White does with pawn and king."""
    return any(_catches(board.epd(), most) for most in range(1, _MOST + 1))


def gets_through(board: chess.Board) -> bool:
    """Black is to move, and White can force a new queen that is not taken at once and does not stalemate."""
    return _passes(board.epd(), _MOST)


@lru_cache(maxsize=200_000)
def _catches(epd: str, left: int) -> bool:
    board = chess.Board(epd)
    if any(map(board.is_capture, board.legal_moves)):
        return True
    return left > 1 and any(_leaves_a_catch(after, left - 1) for after in _tried(board))


def _leaves_a_catch(board: chess.Board, left: int) -> bool:
    """Whether White has a move, and each of them leads to a catch."""
    if not any(board.legal_moves):
        return False
    return all(
        any(map(after.is_capture, after.legal_moves))
        if after.peek().promotion
        else _catches(after.epd(), left)
        for after in _tried(board)
    )


@lru_cache(maxsize=200_000)
def _passes(epd: str, left: int) -> bool:
    board = chess.Board(epd)
    if not any(board.legal_moves) or any(map(board.is_capture, board.legal_moves)):
        return False
    return all(any(_is_safe(then, left) for then in _tried(after)) for after in _tried(board))


def _is_safe(board: chess.Board, left: int) -> bool:
    """Whether White's last move made a queen that stays, or leads to one."""
    if board.peek().promotion:
        made_queen = board.peek().promotion == chess.QUEEN
        return made_queen and not board.is_stalemate() and not any(map(board.is_capture, board.legal_moves))
    return left > 1 and _passes(board.epd(), left - 1)


def _tried(board: chess.Board) -> Iterator[chess.Board]:
    """The boards after each move, those first that go on with the pawn or come nearer to it."""
    (pawn,) = board.pieces(chess.PAWN, chess.WHITE)
    goal = chess.square(chess.square_file(pawn), 7)
    for move in sorted(board.legal_moves, key=lambda move: _haste(move, pawn, goal)):
        yield after_move(board, move)


def _haste(move: chess.Move, pawn: chess.Square, goal: chess.Square) -> tuple[bool, int]:
    near = chess.square_distance(move.to_square, pawn) + chess.square_distance(move.to_square, goal)
    return move.from_square != pawn, -move.to_square if move.from_square == pawn else near
