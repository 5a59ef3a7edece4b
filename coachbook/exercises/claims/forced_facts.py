"""The fact `forced`: what a side can force, and in how many moves, tried with all moves of both sides.

Who wins is asked of the tables where a line ends, and where it need not go on: what ends in a win is never
forced from a position that is not won.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import chess

from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.claims.claim_check import FactCheck, Scene, seen_by
from coachbook.exercises.claims.move_claims import face
from coachbook.model.worksheet import Fact

_PARTS = 3
_KING_AND_PAWN = 2
_NUMBERS = ("0", "1", "2", "3", "4", "5")
_Ends = Callable[[chess.Board, chess.Color], bool]


def _is_forced(scene: Scene, fact: Fact) -> bool:
    """Whether this side forces it in so many of its moves, and in no fewer; a goal of the winner where
    somebody wins, else one of a side that holds."""
    if not isinstance(fact, tuple) or len(fact) != _PARTS:
        return False
    name, goal, number = fact
    board = scene.board
    if name not in chess.COLOR_NAMES or number not in _NUMBERS or not any(board.legal_moves):
        return False
    side, winner = name == "white", _winner(board)
    ends = (_DRAWN if winner is None else _WON).get(goal)
    if ends is None or winner not in (None, side):
        return False
    tries = _Tries(side, goal, ends)
    if goal == "last_man" and _bare_king(board, not side):
        return False
    if goal in _STANDS and ends(board, side):
        return number == "0"
    return tries.forces(board, int(number)) and not tries.forces(board, int(number) - 1)


@dataclass(frozen=True, slots=True)
class _Tries:
    """All lines to an end that one side wants; `known` are the positions that were tried already.

    No line is tried in which all pawns, where one is to queen, or the king, where he is to stand in a corner,
    have too far to go; nor a last move that changes no men, where they are to become few.
    """

    side: chess.Color
    goal: str
    ends: _Ends
    known: dict[tuple[int | None, ...], bool] = field(default_factory=dict)

    def forces(self, board: chess.Board, moves: int) -> bool:
        """Whether one of the side's moves, or else each move of the other, leads on to the end."""
        if moves == 0 or not self._is_near(board, moves) or not self._is_won(board):
            return False
        key = board.turn, board.ep_square, *_men(board), moves
        if key not in self.known:
            own = board.turn == self.side
            led = (self._leads_on(after_move(board, move), moves - own) for move in self._moves(board, moves))
            self.known[key] = any(led) if own else any(board.legal_moves) and all(led)
        return self.known[key]

    def _leads_on(self, board: chess.Board, moves: int) -> bool:
        return self.ends(board, self.side) or self.forces(board, moves)

    def _is_won(self, board: chess.Board) -> bool:
        """Whether the side still wins where it must, asked after its own moves."""
        return self.ends is not _WON.get(self.goal) or board.turn == self.side or _winner(board) is self.side

    def _moves(self, board: chess.Board, moves: int) -> Iterable[chess.Move]:
        if self.goal == "queen" and board.turn == self.side and min(self._steps_left(board)) == moves:
            return board.generate_legal_moves(board.pawns)  # a pawn that waits once comes too late
        if moves > 1 or board.turn != self.side or self.goal not in _BY_TAKING:
            return board.legal_moves
        others, own = board.occupied_co[not self.side], board.occupied_co[self.side]
        passing = chess.BB_SQUARES[board.ep_square] if board.ep_square is not None else chess.BB_EMPTY
        return board.generate_legal_moves(own, others | passing | chess.BB_BACKRANKS)

    def _is_near(self, board: chess.Board, moves: int) -> bool:
        if self.goal in _STANDS:
            file, rank = _king(board, self.side, not self.side)
            return 7 - rank <= moves and min(file, 7 - file) <= moves
        if self.goal not in _OF_A_PAWN:
            return True
        return any(steps <= moves for steps in self._steps_left(board))

    def _steps_left(self, board: chess.Board) -> list[int]:
        """The moves that each of its pawns needs to the last rank, two steps at once counted as one."""
        home = 7 if self.side else 0
        return [min(abs(home - pawn // 8), 5) for pawn in board.pieces(chess.PAWN, self.side)]


def _men(board: chess.Board) -> tuple[int, ...]:
    """Who stands where."""
    kinds = (board.pawns, board.knights, board.bishops, board.rooks, board.queens, board.kings)
    return board.occupied_co[chess.WHITE], *kinds


def _winner(board: chess.Board) -> chess.Color | None:
    result = probe(board).result
    return None if result is Result.DRAW else board.turn == (result is Result.WIN)


def _bare_king(board: chess.Board, side: chess.Color) -> bool:
    return board.occupied_co[side].bit_count() == 1


def _mated(board: chess.Board, side: chess.Color) -> bool:
    return board.turn != side and board.is_checkmate()


def _last_man_taken(board: chess.Board, side: chess.Color) -> bool:
    return board.turn != side and _bare_king(board, not side) and _winner(board) is side


def _queen_stays(board: chess.Board, side: chess.Color) -> bool:
    """The side has a queen; the other side, to move, has a move, but none that takes her."""
    queens = board.pieces(chess.QUEEN, side)
    if board.turn == side or not queens:
        return False
    moves = [move.to_square for move in board.legal_moves]
    return bool(moves) and not queens.intersection(moves)


def _queen_wins(board: chess.Board, side: chess.Color) -> bool:
    return _queen_stays(board, side) and _winner(board) is side


def _lone_pawn(board: chess.Board, side: chess.Color) -> tuple[int, int] | None:
    """File and rank, seen from its side and counted from 0, of a pawn that is the side's only man."""
    pawns = board.pieces(chess.PAWN, side)
    if len(pawns) != 1 or board.occupied_co[side].bit_count() != _KING_AND_PAWN:
        return None
    return seen_by(pawns.pop(), side)


def _king(board: chess.Board, king: chess.Color, side: chess.Color) -> tuple[int, int]:
    """File and rank of the king of `king`, as `side` sees them."""
    return seen_by(board.king(king) or 0, side)


def _key_square(board: chess.Board, side: chess.Color) -> bool:
    """The king stands on a key square of its only man, a pawn not on the edge, and wins."""
    pawn = _lone_pawn(board, side)
    if pawn is None or board.turn == side or pawn[0] in (0, 7):
        return False
    file, rank = _king(board, side, side)
    ranks = [pawn[1] + 2] if pawn[1] < 4 else [pawn[1] + 1, pawn[1] + 2]
    return file - pawn[0] in (-1, 0, 1) and rank in ranks and _winner(board) is side


def _in_front(board: chess.Board, side: chess.Color) -> bool:
    """The king stands right in front of the other side's only man, a pawn two steps or more from home."""
    pawn = _lone_pawn(board, not side)
    return pawn is not None and pawn[1] < 6 and _king(board, side, not side) == (pawn[0], pawn[1] + 1)


def _rook_between(board: chess.Board, side: chess.Color) -> bool:
    """Seen from the other side, whose only man is a pawn: its king stands on a lower rank than the rook, the
    rook on a lower one than the pawn; the rook's own king stands on another, he can't take the rook, and
    loses."""
    pawn = _lone_pawn(board, not side)
    rooks = [seen_by(square, not side)[1] for square in board.pieces(chess.ROOK, side)]
    if pawn is None or board.turn == side or len(rooks) != 1:
        return False
    takes = any(board.piece_type_at(move.to_square) == chess.ROOK for move in board.legal_moves)
    apart = (
        _king(board, not side, not side)[1] < rooks[0] < pawn[1]
        and _king(board, side, not side)[1] != rooks[0]
    )
    return apart and not takes and _winner(board) is side


def _in_front_or_opposed(board: chess.Board, side: chess.Color) -> bool:
    """In front of the pawn, or, a bare king against a pawn that is on no edge, with the opposition: two steps
    apart on one line, the other side to move."""
    pawn = _lone_pawn(board, not side)
    if pawn is None or pawn[0] in (0, 7) or not _bare_king(board, side):
        return _in_front(board, side)
    opposed = face(board.king(side), board.king(not side)) and board.turn != side and _winner(board) is None
    return opposed or _in_front(board, side)


def _pawns_corner(board: chess.Board, side: chess.Color, others: tuple[chess.PieceType, ...]) -> bool:
    """The king stands on the last square of the one edge where the other side's pawns stand; apart from
    them it has just these others. It is a draw."""
    men = [(square, man.piece_type) for square, man in board.piece_map().items() if man.color != side]
    pawns = [seen_by(square, not side)[0] for square, man in men if man == chess.PAWN]
    left = tuple(man for _, man in men if man not in (chess.PAWN, chess.KING))
    file, rank = _king(board, side, not side)
    edge = file in (0, 7) and rank == 7 and bool(pawns) and {*pawns} == {file}
    return edge and left == others and _winner(board) is None


def _corner(board: chess.Board, side: chess.Color) -> bool:
    return _pawns_corner(board, side, ())


def _wrong_bishop(board: chess.Board, side: chess.Color) -> bool:
    """The same, and the other side has a bishop on squares of another colour than the corner's."""
    bishops = [sum(divmod(square, 8)) % 2 for square in board.pieces(chess.BISHOP, not side)]
    corner = sum(divmod(board.king(side) or 0, 8)) % 2
    return corner not in bishops and _pawns_corner(board, side, (chess.BISHOP,))


def _too_few(board: chess.Board, _: chess.Color) -> bool:
    """Kings alone, or with one bishop or knight, or bishops on squares of one colour."""
    return board.is_insufficient_material()


def _game_over(board: chess.Board, side: chess.Color) -> bool:
    return _too_few(board, side) or (not any(board.legal_moves) and not board.is_check())


def _queen_or_too_few(board: chess.Board, side: chess.Color) -> bool:
    return _too_few(board, side) or _queen_stays(board, side)


def _escorted(board: chess.Board, side: chess.Color) -> bool:
    """The king stands beside its only pawn, and the king of a rook's side is farther from the pawn's last
    square than the pawn. It is a draw."""
    pawn = _lone_pawn(board, side)
    if pawn is None or board.turn == side or not board.pieces(chess.ROOK, not side):
        return False
    own, other = _king(board, side, side), _king(board, not side, side)
    beside = max(abs(own[0] - pawn[0]), abs(own[1] - pawn[1])) == 1
    return beside and max(abs(other[0] - pawn[0]), 7 - other[1]) > 7 - pawn[1] and _winner(board) is None


def _blocked(board: chess.Board, side: chess.Color) -> bool:
    """The other king stands right before its only pawn, which is one step from queening, this side is to move
    and wins; or the pawn has been taken."""
    pawn = _lone_pawn(board, not side)
    stands = pawn is not None and pawn[1] == 6 and _king(board, not side, not side) == (pawn[0], 7)
    return _last_man_taken(board, side) or (stands and board.turn == side and _winner(board) is side)


_WON: dict[str, _Ends] = {
    "mate": _mated,
    "cut_off": _rook_between,
    "last_man": _last_man_taken,
    "queen": _queen_wins,
    "key_square": _key_square,
    "blocked": _blocked,
}
_DRAWN: dict[str, _Ends] = {
    "bare": _too_few,
    "in_front": _in_front,
    "in_front_or_faces": _in_front_or_opposed,
    "corner": _corner,
    "wrong_bishop": _wrong_bishop,
    "over": _game_over,
    "queen": _queen_stays,
    "escort": _escorted,
    "pawn_costs": _queen_or_too_few,
}
_STANDS = ("corner", "wrong_bishop")
"""What may be so already."""
_OF_A_PAWN = ("queen", "pawn_costs")
_BY_TAKING = ("last_man", "blocked", "bare")
"""What a side's own move brings about only by changing the men that are on the board."""
FORCED_FACTS: dict[str, FactCheck] = {"forced": _is_forced}
