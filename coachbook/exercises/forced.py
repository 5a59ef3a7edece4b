"""What a side can force within a few moves, as a reason for a win or a draw that a child can play through.

Found with the tables: of the side that forces it only the moves are tried that keep what it has. The verifier
tries all moves of both sides (see `claims.forced_facts`).
"""

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, field

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.board_facts import worth
from coachbook.exercises.solution_lines import faces

Forced = tuple[str, str, str]
"""The side ("white" or "black"), the code of what it can force, and in how many of its moves at most; in 0
where its king stands already in the corner that draws."""

_Reached = Callable[[chess.Board, chess.Color], bool]


@dataclass(frozen=True, slots=True)
class _Goal:
    """What is `reached`, judged of the board after a move of either side, in `most` moves of its side. A goal
    of `pawns` needs a pawn that has no more steps to go than there are moves left, one that `takes` a man;
    `last` are the moves that can end it, where not every move can. In a goal of a `corner` the side's king is
    to stand in one where a pawn of the other side may queen."""

    reached: _Reached
    most: int
    pawns: bool = False
    takes: bool = False
    last: Callable[[chess.Board], Iterable[chess.Move]] | None = None
    corner: bool = False

    def suits(self, board: chess.Board, side: chess.Color) -> bool:
        """Whether there are men for it."""
        others = board.occupied_co[not side] & ~board.kings
        return bool(others) if self.takes else not self.pawns or bool(board.pieces(chess.PAWN, side))

    def fewest(self, board: chess.Board, side: chess.Color) -> int:
        """Moves that a pawn, or for a corner the king, needs at least."""
        if self.pawns:
            return _fewest_steps(board, side)
        return _steps_to_corner(board, side) if self.corner else 0


@dataclass(frozen=True, slots=True)
class Found:
    """What a side can force, and the moves that begin it; () where the other side is to move, or it is so
    already."""

    forced: Forced
    begins: tuple[chess.Move, ...] = ()


def find_forced(board: chess.Board) -> Found | None:
    """What the winner, or in a draw the side with less, can force soonest; None for nothing.

    Goals that need as many moves are told in the order of their list. The board has a move to make.
    """
    result = probe(board).result
    if result is not Result.DRAW:
        return _soonest(board, board.turn == (result is Result.WIN), _WON)
    return next(filter(None, (_soonest(board, side, _DRAWN) for side in holding_sides(board))), None)


def stands_in_corner(board: chess.Board) -> Found | None:
    """Of a draw, that the king of a side that holds it stands already where the pawns would queen."""
    if probe(board).result is not Result.DRAW:
        return None
    found = ((side, code) for side in holding_sides(board) for code in _STANDS if _stands(board, side, code))
    return next((Found((chess.COLOR_NAMES[side], code, "0")) for side, code in found), None)


def _stands(board: chess.Board, side: chess.Color, code: str) -> bool:
    return code in _STANDS and _DRAWN[code].reached(board, side)


def holding_sides(board: chess.Board) -> tuple[chess.Color, ...]:
    """The side that holds a draw: the one with less, or either, Black first, where both have the same."""
    white, black = (worth(board, side) for side in chess.COLORS)
    return (chess.BLACK, chess.WHITE) if white == black else (white < black,)


def _soonest(board: chess.Board, side: chess.Color, goals: dict[str, _Goal]) -> Found | None:
    least = Result.WIN if goals is _WON else Result.DRAW
    tree = _Tree(side, least)
    searches = {
        code: _Search(side, goal, tree)
        for code, goal in goals.items()
        if goal.suits(board, side) and not _stands(board, side, code)
    }
    for most in range(1, max(goal.most for goal in goals.values()) + 1):
        for code, search in searches.items():
            if search.is_worth_trying(board, most) and search.forces(board, most):
                return Found((chess.COLOR_NAMES[side], code, str(most)), search.begins(board, most))
    return None


_Place = tuple[int, ...]
"""All that tells a position from another, as numbers."""


def _place(board: chess.Board) -> _Place:
    white, black = board.occupied_co[chess.WHITE], board.occupied_co[chess.BLACK]
    men = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    return board.turn, board.ep_square or 0, white, black, *men


def _slowness(board: chess.Board, move: chess.Move) -> tuple[bool, bool, int]:
    """The less, the sooner a move may settle something: a capture, a pawn's move, a step towards a pawn."""
    pawn = board.pawns.bit_length() - 1
    away = chess.square_distance(move.to_square, pawn) if board.pawns else 0
    is_capture = bool(board.occupied & chess.BB_SQUARES[move.to_square])
    return not is_capture, not board.pawns & chess.BB_SQUARES[move.from_square], away


@dataclass(frozen=True, slots=True)
class _Tree:
    """Moves of a side that are worth `least` to it or more, and all of the other's; each worked out once."""

    side: chess.Color
    least: Result
    moves: dict[_Place, list[chess.Move]] = field(default_factory=dict)
    known: dict[tuple[_Place, chess.Move], chess.Board | None] = field(default_factory=dict)

    def after_each(
        self, board: chess.Board, tried: Collection[chess.Move] | None = None
    ) -> Iterator[chess.Board]:
        """The boards after these moves, or after those of them that are to be tried, one by one."""
        place = _place(board)
        for move in self._moves(board, place) if tried is None else tried:
            after = self.after(board, place, move)
            if after is not None:
                yield after

    def _moves(self, board: chess.Board, place: _Place) -> list[chess.Move]:
        if place not in self.moves:
            self.moves[place] = sorted(board.legal_moves, key=lambda move: _slowness(board, move))
        return self.moves[place]

    def after(self, board: chess.Board, place: _Place, move: chess.Move) -> chess.Board | None:
        """The board after a move; None after one of the side's that is worth too little."""
        step = place, move
        if step not in self.known:
            after = after_move(board, move)
            kept = board.turn != self.side or -probe(after).result >= self.least
            self.known[step] = after if kept else None
        return self.known[step]


@dataclass(frozen=True, slots=True)
class _Search:
    """A search in a tree for a goal of its side; `known` are the positions that were looked at already."""

    side: chess.Color
    goal: _Goal
    tree: _Tree
    known: dict[tuple[_Place, int], bool] = field(default_factory=dict)

    def is_worth_trying(self, board: chess.Board, most: int) -> bool:
        """Not too many moves to tell a child, and of a pawn's way at most one besides its own steps."""
        is_straight = not self.goal.pawns or most <= self.goal.fewest(board, self.side) + 1
        return most <= self.goal.most and is_straight

    def begins(self, board: chess.Board, left: int) -> tuple[chess.Move, ...]:
        """The side's moves with which it reaches it in so many; () for the other side to move."""
        place, moves = _place(board), board.legal_moves if board.turn == self.side else ()
        after_each = ((move, self.tree.after(board, place, move)) for move in moves)
        return tuple(
            move for move, after in after_each if after is not None and self._leads_on(after, left - 1)
        )

    def _leads_on(self, after: chess.Board, left: int) -> bool:
        return self.goal.reached(after, self.side) or self.forces(after, left)

    def forces(self, board: chess.Board, left: int) -> bool:
        """Whether the side reaches it in so many of its moves, whatever the other side does."""
        if not left or self.goal.fewest(board, self.side) > left:
            return False
        asked = _place(board), left
        if asked not in self.known:
            self.known[asked] = (
                self._wins(board, left) if board.turn == self.side else self._holds(board, left)
            )
        return self.known[asked]

    def _wins(self, board: chess.Board, left: int) -> bool:
        tried = self._tried(board, left)
        if any(self.goal.reached(after, self.side) for after in self.tree.after_each(board, tried)):
            return True
        return left > 1 and any(self.forces(after, left - 1) for after in self.tree.after_each(board, tried))

    def _tried(self, board: chess.Board, left: int) -> Collection[chess.Move] | None:
        """Its moves that are not too slow, or may at least end it if there is no other left; None for all."""
        if self.goal.fewest(board, self.side) == left:
            return [*board.generate_legal_moves(board.pawns if self.goal.pawns else board.kings)]
        return [*self.goal.last(board)] if self.goal.last is not None and left == 1 else None

    def _holds(self, board: chess.Board, left: int) -> bool:
        return any(board.legal_moves) and all(
            self._leads_on(after, left) for after in self.tree.after_each(board)
        )


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


def _checks(board: chess.Board) -> Iterator[chess.Move]:
    return filter(board.gives_check, board.legal_moves)


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


_WON = {
    "mate": _Goal(_is_mate, 2, last=_checks),
    "cut_off": _Goal(_cuts_off, 1),
    "last_man": _Goal(_took_last_man, 2, takes=True, last=_changing_men),
    "queen": _Goal(_won_with_queen, 5, pawns=True),
    "key_square": _Goal(_on_key_square, 2),
    "blocked": _Goal(_blocks_pawn_or_loses_it, 3, takes=True, last=_changing_men),
}
_DRAWN = {
    "bare": _Goal(_is_bare, 2, last=_changing_men),
    "in_front": _Goal(_is_in_front, 2),
    "in_front_or_faces": _Goal(_faces_or_is_in_front, 2),
    "corner": _Goal(_is_in_corner, 3, corner=True),
    "wrong_bishop": _Goal(_from_wrong_bishop, 3, corner=True),
    "over": _Goal(_is_over, 2),
    "queen": _Goal(_made_queen, 4, pawns=True),
    "escort": _Goal(_escorts, 2),
    "pawn_costs": _Goal(_pawn_costs, 4, pawns=True),
}
_STANDS = ("corner", "wrong_bishop")
"""What is reason enough where it is so already: nobody can drive this king away for good."""
