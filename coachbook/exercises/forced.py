"""What a side can force within a few moves, as a reason for a win or a draw that a child can play through.

Found with the tables: of the side that forces it only the moves are tried that keep what it has. The verifier
tries all moves of both sides (see `claims.forced_facts`).
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.board_facts import worth
from coachbook.exercises.forced_goals import DRAWN, STANDS, WON, Goal

Forced = tuple[str, str, str]
"""The side ("white" or "black"), the code of what it can force, and in how many of its moves at most; in 0
where its king stands already in the corner that draws."""


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
        return _soonest(board, board.turn == (result is Result.WIN), WON)
    return next(filter(None, (_soonest(board, side, DRAWN) for side in holding_sides(board))), None)


def stands_in_corner(board: chess.Board) -> Found | None:
    """Of a draw, that the king of a side that holds it stands already where the pawns would queen."""
    if probe(board).result is not Result.DRAW:
        return None
    found = ((side, code) for side in holding_sides(board) for code in STANDS if _stands(board, side, code))
    return next((Found((chess.COLOR_NAMES[side], code, "0")) for side, code in found), None)


def _stands(board: chess.Board, side: chess.Color, code: str) -> bool:
    return code in STANDS and DRAWN[code].reached(board, side)


def holding_sides(board: chess.Board) -> tuple[chess.Color, ...]:
    """The side that holds a draw: the one with less, or either, Black first, where both have the same.

    One bishop or knight is less than any pawn, for it can't win alone.
    """
    white, black = (0 if _is_one_minor(board, side) else worth(board, side) for side in chess.COLORS)
    return (chess.BLACK, chess.WHITE) if white == black else (white < black,)


def _is_one_minor(board: chess.Board, side: chess.Color) -> bool:
    """Whether a side has a bishop or a knight besides its king, against pawns alone."""
    own, other = (board.occupied_co[each] & ~board.kings for each in (side, not side))
    minors = board.bishops | board.knights
    return own.bit_count() == 1 and bool(own & minors) and bool(other) and other == other & board.pawns


def _soonest(board: chess.Board, side: chess.Color, goals: dict[str, Goal]) -> Found | None:
    least = Result.WIN if goals is WON else Result.DRAW
    tree = _Tree(side, least)
    searches = {
        code: _Search(side, goal, tree)
        for code, goal in goals.items()
        if goal.suits(board, side) and not _stands(board, side, code)
    }
    for most in range(1, _furthest(board, goals) + 1):
        for code, search in searches.items():
            if search.is_worth_trying(board, most) and search.forces(board, most):
                return Found((chess.COLOR_NAMES[side], code, str(most)), search.begins(board, most))
    return None


_MANY_MEN = 5
_FURTHEST_OF_MANY = 2


def _furthest(board: chess.Board, goals: dict[str, Goal]) -> int:
    """How many moves a search may look ahead: with many men, who can force something can mostly do so within
    two (measured), and to find nothing takes long."""
    most = max(goal.most for goal in goals.values())
    return min(most, _FURTHEST_OF_MANY) if board.occupied.bit_count() >= _MANY_MEN else most


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
    goal: Goal
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
        if self.goal.counted:
            return True
        asked = _place(board), left
        if asked not in self.known:
            self.known[asked] = (
                self._wins(board, left) if board.turn == self.side else self._holds(board, left)
            )
        return self.known[asked]

    def _wins(self, board: chess.Board, left: int) -> bool:
        tried = self._tried(board, left)
        ending = tried if tried is not None or self.goal.last is None else [*self.goal.last(board)]
        if any(self.goal.reached(after, self.side) for after in self.tree.after_each(board, ending)):
            return True
        return left > 1 and any(self.forces(after, left - 1) for after in self.tree.after_each(board, tried))

    def _tried(self, board: chess.Board, left: int) -> Collection[chess.Move] | None:
        """Its moves that are not too slow; None for all."""
        if self.goal.fewest(board, self.side) != left:
            return None
        return [*board.generate_legal_moves(board.pawns if self.goal.pawns else board.kings)]

    def _holds(self, board: chess.Board, left: int) -> bool:
        return any(board.legal_moves) and all(
            self._leads_on(after, left) for after in self.tree.after_each(board)
        )
