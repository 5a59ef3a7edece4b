"""Claims about the lone king's box, which is worked out on a board square by square.

Two notions, as in `coachbook.method.box`, but written anew: they must not share mistakes. By *walls* it is
the *rectangle* behind a queen or rook; the *room* (there: region) is all that he could walk to. What a sheet
calls the queen's box is the rectangle, and the rook's the room (`coachbook.wording.definitions`).
"""

from collections.abc import Callable, Iterator

import chess

from coachbook.endgame.probe import after_move
from coachbook.exercises.claims.claim_check import ClaimCheck, FactCheck, Scene, just, names_of
from coachbook.model.claims import BoxWalls, RegionIs, ShrinkOrKing, SmallestBox, WallsAre
from coachbook.model.worksheet import AnswerForm

_NO_BOX = 64


def _box_of(board: chess.Board, piece: chess.Square) -> frozenset[int] | None:
    """The rectangle on the lone king's side of White's queen or rook, if he can't leave it or take her."""
    lone = board.king(chess.BLACK)
    if lone is None or not chess.BB_SQUARES[piece] & _majors(board):
        return None
    box = _rectangle(piece, lone)
    guarded = board.is_attacked_by(chess.WHITE, piece)
    if not box or not walks_to(board) <= box or (chess.square_distance(lone, piece) == 1 and not guarded):
        return None
    return box


def walks_to(board: chess.Board) -> frozenset[int]:
    """Where he could walk, step by step, if White stood still and could not be taken.

    His own square counts unless he is in check on it.
    """
    lone = board.king(chess.BLACK)
    if lone is None:
        return frozenset()
    without = board.copy(stack=False)
    without.remove_piece_at(lone)
    men = chess.SquareSet(without.occupied_co[chess.WHITE])
    attacked = {square for man in men for square in without.attacks(man)}
    reached, new = {lone}, [lone]
    while new:
        for square in chess.SquareSet(chess.BB_KING_ATTACKS[new.pop()]):
            if square not in reached and square not in men and square not in attacked:
                reached.add(square)
                new.append(square)
    return frozenset(reached - attacked)


def _moves_to_smallest_box(
    board: chess.Board, piece: chess.Square, measure: str
) -> tuple[int, frozenset[str]]:
    """The size of the smallest box that a good move of the piece makes, and the moves that make it.

    Good: he can't take her, it is no stalemate, and he keeps two squares or more. (64, none) if no
    good move makes the box smaller than it is.
    """
    sizes: dict[str, int] = {}
    for move, after in _safe_moves(board):
        if move.from_square == piece:
            sizes[move.uci()] = _size(after, move.to_square, measure)
    smallest = min(sizes.values(), default=_NO_BOX)
    if smallest >= _size(board, piece, measure):
        return _NO_BOX, frozenset()
    return smallest, frozenset(move for move, size in sizes.items() if size == smallest)


def _safe_moves(board: chess.Board) -> Iterator[tuple[chess.Move, chess.Board]]:
    """The moves after which nothing of White's can be taken, it is no stalemate, and he keeps two squares or
    more; each with the board after it."""
    for move in board.legal_moves:
        after = after_move(board, move)
        taken = any(after.is_capture(reply) for reply in after.legal_moves)
        if not taken and not after.is_stalemate() and len(walks_to(after)) > 1:
            yield move, after


def _box_or_king(board: chess.Board, piece: chess.Square) -> tuple[bool, frozenset[str]] | None:
    """Whether a safe move of White's queen or rook makes the box smaller; and the moves that make it the
    smallest, or else the king's that bring him nearer. None where no such piece stands there."""
    if not chess.BB_SQUARES[piece] & _majors(board):
        return None
    measure = "rectangle" if board.piece_type_at(piece) == chess.QUEEN else "region"
    _, shrinking = _moves_to_smallest_box(board, piece, measure)
    return bool(shrinking), shrinking or _king_moves_nearer(board)


def _king_moves_nearer(board: chess.Board) -> frozenset[str]:
    """The safe king's moves after which he needs fewer steps to the lone king."""
    king, lone = board.king(chess.WHITE), board.king(chess.BLACK)
    if king is None or lone is None:
        return frozenset()
    apart = chess.square_distance(king, lone)
    return frozenset(
        move.uci()
        for move, _ in _safe_moves(board)
        if move.from_square == king and chess.square_distance(move.to_square, lone) < apart
    )


def _size(board: chess.Board, piece: chess.Square, measure: str) -> int:
    if measure == "region":
        return len(walks_to(board))
    lone, king = board.king(chess.BLACK), board.king(chess.WHITE)
    if lone is None or king is None:
        return _NO_BOX
    box = _rectangle(piece, lone)
    is_open = measure == "walls" and _breaks(piece, king, lone)
    return len(box) if box and not is_open else _NO_BOX


def _rectangle(piece: chess.Square, lone: chess.Square) -> frozenset[int]:
    file, rank = chess.square_file(piece), chess.square_rank(piece)
    lone_file, lone_rank = chess.square_file(lone), chess.square_rank(lone)
    if lone_file == file or lone_rank == rank:
        return frozenset()
    files = range(file) if lone_file < file else range(file + 1, 8)
    ranks = range(rank) if lone_rank < rank else range(rank + 1, 8)
    return frozenset(chess.square(f, r) for f in files for r in ranks)


def _breaks(piece: chess.Square, king: chess.Square, lone: chess.Square) -> bool:
    """Her own king stands on a wall of the box, with more than one wall square behind him."""
    if chess.square_file(king) == chess.square_file(piece):
        at, own, his = (chess.square_rank(q) for q in (piece, king, lone))
    elif chess.square_rank(king) == chess.square_rank(piece):
        at, own, his = (chess.square_file(q) for q in (piece, king, lone))
    else:
        return False
    behind = own if own < at else 7 - own
    return (own < at) == (his < at) and behind > 1


def _walls_of(board: chess.Board, piece: chess.Square, box: frozenset[int]) -> frozenset[int]:
    """The square of the piece and those of its rank and file that touch the box; none where White's king
    stands on one or keeps the piece from seeing one."""
    lines = chess.BB_FILES[chess.square_file(piece)] | chess.BB_RANKS[chess.square_rank(piece)]
    walls = {
        square
        for square in chess.SquareSet(lines)
        if any(chess.square_distance(square, inside) == 1 for inside in box)
    }
    unbroken = walls <= {piece, *board.attacks(piece)} and board.king(chess.WHITE) not in walls
    return frozenset(walls) if unbroken else frozenset()


def _majors(board: chess.Board) -> int:
    return (board.queens | board.rooks) & board.occupied_co[chess.WHITE]


WALLS_ARE = ClaimCheck[WallsAre](
    holds=lambda board, claim: claim.squares == _box_of(board, claim.piece),
    answers={AnswerForm.NUMBER: lambda claim: frozenset({str(len(claim.squares))})},
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.squares,
)
REGION_IS = ClaimCheck[RegionIs](
    holds=lambda board, claim: claim.squares == walks_to(board),
    answers={AnswerForm.NUMBER: lambda claim: frozenset({str(len(claim.squares))})},
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.squares,
)
SMALLEST_BOX = ClaimCheck[SmallestBox](
    holds=lambda board, claim: (
        (claim.squares, claim.moves) == _moves_to_smallest_box(board, claim.piece, claim.measure)
    ),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
)
SHRINK_OR_KING = ClaimCheck[ShrinkOrKing](
    holds=lambda board, claim: (claim.shrinks, claim.moves) == _box_or_king(board, claim.piece),
    answers={AnswerForm.MOVES: lambda claim: claim.moves},
)

BOX_WALLS = ClaimCheck[BoxWalls](
    holds=lambda board, claim: (
        claim.box == _box_of(board, claim.piece) and claim.squares == _walls_of(board, claim.piece, claim.box)
    ),
    answers={AnswerForm.SQUARES: lambda claim: names_of(claim.squares)},
    all_asked=True,
    shaded=lambda claim: claim.squares,
    outlined=lambda claim: claim.box,
)


def _squares(scene: Scene) -> int | None:
    """How many squares the box has of which the exercise is."""
    match scene.claim:
        case WallsAre(squares=squares) | RegionIs(squares=squares):
            return len(squares)
        case SmallestBox(squares=count):
            return count
    return None


def _right_moves(scene: Scene) -> int | None:
    """How many moves are right where it is about the box."""
    match scene.claim:
        case SmallestBox(moves=moves) | ShrinkOrKing(moves=moves):
            return len(moves)
    return None


def _side(scene: Scene, of: Callable[[int], int]) -> int | None:
    """How many files, or ranks, the box has."""
    match scene.claim:
        case WallsAre(squares=box) | RegionIs(squares=box) | BoxWalls(box=box):
            return len(set(map(of, box)))
    return None


def _walls(board: chess.Board) -> int | None:
    """The size of the box by walls behind the one queen or rook; None where there is none."""
    majors = chess.SquareSet(_majors(board))
    size = _size(board, majors.pop(), "walls") if len(majors) == 1 else _NO_BOX
    return None if size == _NO_BOX else size


def _room(board: chess.Board) -> int:
    return len(walks_to(board))


BOX_FACTS: dict[str, FactCheck] = {
    "squares": just(_squares),
    "right_moves": just(_right_moves),
    "files": just(lambda scene: _side(scene, chess.square_file)),
    "ranks": just(lambda scene: _side(scene, chess.square_rank)),
    "walls_was": just(lambda scene: _walls(scene.board)),
    "walls_now": just(lambda scene: _walls(scene.after)),
    "room_was": just(lambda scene: _room(scene.board)),
    "room_now": just(lambda scene: _room(scene.after)),
    "two_left": just(lambda scene: _room(scene.after) == 2),
}
