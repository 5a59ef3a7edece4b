"""What a side can force, as goals: when each is reached, and what it needs at least.

The verifier has checks of its own for the same ends (see `claims.forced_facts`).
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.solution_lines import faces

_Reached = Callable[[chess.Board, chess.Color], bool]


@dataclass(frozen=True, slots=True)
class Goal:
    """What is `reached`, judged of the board after a move of either side, in `most` moves of its side. A goal
    of `pawns` needs a pawn that has no more steps to go than there are moves left, one that `takes` a man;
    `last` are the moves that can end it, where not every move can. In a goal of a `corner` the side's king is
    to stand in one where a pawn of the other side may queen. Of a goal that the tables count (`counted`) they
    say in how many moves it is forced. `meets` is a man that the other side must have from the start."""

    reached: _Reached
    most: int
    pawns: bool = False
    takes: bool = False
    last: Callable[[chess.Board], Iterable[chess.Move]] | None = None
    corner: bool = False
    counted: bool = False
    meets: chess.PieceType | None = None

    def suits(self, board: chess.Board, side: chess.Color) -> bool:
        """Whether there are men for it."""
        if self.meets is not None and not board.pieces(self.meets, not side):
            return False
        others = board.occupied_co[not side] & ~board.kings
        return bool(others) if self.takes else not self.pawns or bool(board.pieces(chess.PAWN, side))

    def fewest(self, board: chess.Board, side: chess.Color) -> int:
        """Moves that a pawn, or for a corner the king, needs at least; for mate, just as many."""
        if self.counted:
            return probe(board).moves or 0
        if self.pawns:
            return _fewest_steps(board, side)
        return _steps_to_corner(board, side) if self.corner else 0


def _fewest_steps(board: chess.Board, side: chess.Color) -> int:
    """Moves that a pawn of the side needs to queen, two steps from its first square counted as one."""
    ranks = (chess.square_rank(pawn) for pawn in board.pieces(chess.PAWN, side))
    return min((7 - max(rank if side else 7 - rank, 2) for rank in ranks), default=8)


def _steps_to_corner(board: chess.Board, side: chess.Color) -> int:
    """Steps that the side's king needs to the nearest corner where a pawn of the other side may queen."""
    king = board.king(side) or 0
    rank = chess.square_rank(king) if side else 7 - chess.square_rank(king)
    return max(rank, min(chess.square_file(king), 7 - chess.square_file(king)))


def _changing_men(board: chess.Board) -> Iterator[chess.Move]:
    yield from board.generate_legal_captures()
    for move in board.generate_legal_moves(board.pawns, chess.BB_BACKRANKS):
        if not board.is_capture(move):
            yield move


def _is_mate(board: chess.Board, side: chess.Color) -> bool:
    return board.turn != side and board.is_checkmate()


def _took_last_man(board: chess.Board, side: chess.Color) -> bool:
    """The other side has only its king left, to move, and is lost."""
    theirs = board.occupied_co[not side]
    return board.turn != side and theirs == theirs & board.kings and probe(board).result is Result.LOSS


def _made_queen(board: chess.Board, side: chess.Color) -> bool:
    """The side has a queen that can't be taken; it wins with her, or else it is a draw."""
    if board.turn == side or not board.pieces(chess.QUEEN, side) or not any(board.legal_moves):
        return False
    return not any(board.piece_type_at(move.to_square) == chess.QUEEN for move in board.legal_moves)


def _won_with_queen(board: chess.Board, side: chess.Color) -> bool:
    return _made_queen(board, side) and probe(board).result is Result.LOSS


def _on_key_square(board: chess.Board, side: chess.Color) -> bool:
    """The king of the side's only man, a pawn on no edge, stands on a key square, and the pawn is safe."""
    pawn = _only_pawn(board, side)
    if pawn is None or board.turn == side or chess.square_file(pawn) in (0, 7):
        return False
    king = board.king(side) or 0
    up = (chess.square_rank(king) - chess.square_rank(pawn)) * (1 if side else -1)
    rank = chess.square_rank(pawn) if side else 7 - chess.square_rank(pawn)
    near = abs(chess.square_file(king) - chess.square_file(pawn)) <= 1
    return near and (up == 2 or (up == 1 and rank >= 4)) and probe(board).result is Result.LOSS


def _is_in_front(board: chess.Board, side: chess.Color) -> bool:
    """The king stands right before the only man of the other side, a pawn two steps or more from home."""
    pawn = _only_pawn(board, not side)
    if pawn is None:
        return False
    rank = chess.square_rank(pawn) if not side else 7 - chess.square_rank(pawn)
    return rank <= 5 and board.king(side) == pawn + (-8 if side else 8)


def _is_in_corner(board: chess.Board, side: chess.Color) -> bool:
    """The king stands where all the men of the other side, pawns on one edge, would queen."""
    men = board.occupied_co[not side] & ~board.kings
    return men == men & board.pawns and _in_pawns_corner(board, side)


def _from_wrong_bishop(board: chess.Board, side: chess.Color) -> bool:
    """The king stands where the pawn on the edge would queen, and the bishop never guards this corner."""
    corner = chess.BB_SQUARES[board.king(side) or 0]
    colour = next(colour for colour in (chess.BB_LIGHT_SQUARES, chess.BB_DARK_SQUARES) if colour & corner)
    return bool(board.bishops) and not board.bishops & colour and _in_pawns_corner(board, side)


def _in_pawns_corner(board: chess.Board, side: chess.Color) -> bool:
    king, pawns = board.king(side) or 0, board.pieces(chess.PAWN, not side)
    corner = king in ((chess.A1, chess.H1) if side else (chess.A8, chess.H8))
    beside = all(chess.square_file(pawn) == chess.square_file(king) for pawn in pawns)
    return corner and bool(pawns) and beside and probe(board).result is Result.DRAW


def _escorts(board: chess.Board, side: chess.Color) -> bool:
    """The king stands beside its only pawn, to whose queening square the other king has farther to go."""
    pawn = _only_pawn(board, side)
    if pawn is None or not board.rooks or board.turn == side:
        return False
    goal = chess.square(chess.square_file(pawn), 7 if side else 0)
    near = chess.square_distance(board.king(side) or 0, pawn) == 1
    far = chess.square_distance(board.king(not side) or 0, goal) > chess.square_distance(pawn, goal)
    return near and far and probe(board).result is Result.DRAW


def _blocks_pawn_or_loses_it(board: chess.Board, side: chess.Color) -> bool:
    """The other king stands where its only man, a pawn, would queen next; or the pawn is taken."""
    if _took_last_man(board, side):
        return True
    pawn = _only_pawn(board, not side)
    if pawn is None or board.turn != side:
        return False
    goal = chess.square(chess.square_file(pawn), 0 if side else 7)
    blocked = board.king(not side) == goal and chess.square_distance(pawn, goal) == 1
    return blocked and probe(board).result is Result.WIN


def _cuts_off(board: chess.Board, side: chess.Color) -> bool:
    """The rook stands, where the king can't take it, on a rank between the other king and its only pawn, and
    its own king not on this rank: behind him it would be open."""
    pawn, rooks = _only_pawn(board, not side), board.pieces(chess.ROOK, side)
    if pawn is None or board.turn == side or len(rooks) != 1:
        return False
    rook, king = rooks.pop(), board.king(not side) or 0
    ranks = [chess.square_rank(square) for square in (king, rook, pawn)]
    between = ranks == sorted(set(ranks), reverse=side)
    shut = chess.square_rank(board.king(side) or 0) != chess.square_rank(rook)
    taken = any(move.to_square == rook for move in board.legal_moves)
    return between and shut and not taken and probe(board).result is Result.LOSS


def can_cut_off(board: chess.Board) -> bool:
    """Whether a move of the side's rook cuts the other king off."""
    pawn, king = _only_pawn(board, not board.turn), board.king(not board.turn)
    if pawn is None or king is None:
        return False
    low, high = sorted(map(chess.square_rank, (pawn, king)))
    between = [
        rank for rank in range(low + 1, high) if rank != chess.square_rank(board.king(board.turn) or 0)
    ]
    goals = sum(chess.BB_RANKS[rank] for rank in between)
    moves = board.generate_legal_moves(board.rooks, goals)
    return any(_cuts_off(after_move(board, move), board.turn) for move in moves)


def _faces_or_is_in_front(board: chess.Board, side: chess.Color) -> bool:
    """The king stands right before the pawn (see above), or, alone against a pawn on no edge, it takes the
    opposition."""
    if _is_in_front(board, side):
        return True
    pawn, alone = (
        _only_pawn(board, not side),
        board.occupied_co[side] == board.kings & board.occupied_co[side],
    )
    if pawn is None or not alone or chess.square_file(pawn) in (0, 7):
        return False
    facing = board.turn != side and faces(board.king(side) or 0, board.king(not side))
    return facing and probe(board).result is Result.DRAW


def _only_pawn(board: chess.Board, side: chess.Color) -> chess.Square | None:
    men = board.occupied_co[side] & ~board.kings
    return men.bit_length() - 1 if men and men == men & board.pawns and not men & (men - 1) else None


def _is_bare(board: chess.Board, _: chess.Color) -> bool:
    return board.is_insufficient_material()


def _is_over(board: chess.Board, _: chess.Color) -> bool:
    return board.is_stalemate() or board.is_insufficient_material()


def _pawn_costs(board: chess.Board, side: chess.Color) -> bool:
    return board.is_insufficient_material() or _made_queen(board, side)


WON = {
    "mate": Goal(_is_mate, 2, counted=True),
    "cut_off": Goal(_cuts_off, 1, meets=chess.PAWN),
    "last_man": Goal(_took_last_man, 2, takes=True, last=_changing_men),
    "queen": Goal(_won_with_queen, 5, pawns=True),
    "key_square": Goal(_on_key_square, 2),
    "blocked": Goal(_blocks_pawn_or_loses_it, 3, takes=True, last=_changing_men, meets=chess.PAWN),
}
DRAWN = {
    "bare": Goal(_is_bare, 2, last=_changing_men),
    "in_front": Goal(_is_in_front, 2, meets=chess.PAWN),
    "in_front_or_faces": Goal(_faces_or_is_in_front, 2, meets=chess.PAWN),
    "corner": Goal(_is_in_corner, 3, corner=True, meets=chess.PAWN),
    "wrong_bishop": Goal(_from_wrong_bishop, 3, corner=True, meets=chess.BISHOP),
    "over": Goal(_is_over, 2),
    "queen": Goal(_made_queen, 4, pawns=True),
    "escort": Goal(_escorts, 2),
    "pawn_costs": Goal(_pawn_costs, 4, pawns=True),
}
STANDS = ("corner", "wrong_bishop")
"""What is reason enough where it is so already: nobody can drive this king away for good."""
