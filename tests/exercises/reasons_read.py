"""Reasons in keys, read as they are printed: what can be forced, and the wrong move that tempts.

Each sentence is tried out with all moves of both sides, and the published tables say who wins.
"""

import re
from collections.abc import Callable

import chess

from coachbook.model.worksheet import Exercise
from tests.judges import moves, pawn
from tests.judges.published import Published

Holds = Callable[[chess.Board, bool, Published], bool]
"""Whether something is so on a board, for a side (True: White)."""
_SIDES = {"White": True, "Black": False}
_FORCED = re.compile(r"Within (\d) moves? (.+?), whatever (White|Black) does\.")
_CUT_OFF = re.compile(
    r"(White|Black)'s rook can go to a rank between (White|Black)'s king and its pawn, and the king can't"
    r" cross it\."
)
_STANDS = re.compile(r"(White|Black)'s king stands (in the corner where the pawn would queen.*?)\. A draw")
_LURE = re.compile(r"Not (\S+): (?:(it is stalemate|it leaves nobody enough to mate)\.|(.+))")
_MET = re.compile(
    r"(?:after (?P<then>\S+)|(?P<reply>\S+) (?P<does>.+?),? and)"
    r" (?P<end>it is a draw|White wins|Black wins)\."
)


def check_reasons(exercise: Exercise, published: Published) -> None:
    """Fails where a sentence of the key is not true."""
    board = chess.Board(exercise.position.fen)
    for told in _FORCED.finditer(exercise.solution.text.words):
        number, what, other = told.groups()
        tries = _Tries(not _SIDES[other], _goal(what), published)
        assert tries.forces(board, int(number)), (board.fen(), told[0])
    for told in _CUT_OFF.finditer(exercise.solution.text.words):
        assert _SIDES[told[1]] is not _SIDES[told[2]]
        assert _Tries(_SIDES[told[1]], _cut_off, published).forces(board, 1), (board.fen(), told[0])
    for told in _STANDS.finditer(exercise.solution.text.words):
        side = _SIDES[told[1]]
        assert _in_corner(board, side, published), (board.fen(), told[0])
        assert published.result(board) == 0
        assert ("never guards" in told[2]) == bool(board.bishops), (board.fen(), told[0])
        assert not _on_colour_of(board, _king(board, side)), (board.fen(), told[0])
    for warning in exercise.solution.watch_for:
        if _LURE.fullmatch(warning.words):
            assert _is_met(board, warning.words, published), (board.fen(), warning.words)


def has_reason(exercise: Exercise) -> bool:
    """Whether the text says what can be forced, or that a king stands where it draws."""
    words = exercise.solution.text.words
    return any(pattern.search(words) for pattern in (_FORCED, _CUT_OFF, _STANDS))


class _Tries:
    """All lines of both sides; what was tried is remembered."""

    def __init__(self, side: bool, holds: Holds, published: Published) -> None:
        self.side, self.holds, self.published = side, holds, published
        self.known: dict[tuple[str, int], bool] = {}

    def forces(self, board: chess.Board, left: int) -> bool:
        if left == 0 or not any(board.legal_moves):
            return False
        if self.holds in (_a_queen, _a_queen_or_too_little) and self._too_far(board, left):
            return False
        key = board.epd(), left
        if key not in self.known:
            own = board.turn == self.side
            reached = (
                self.holds(then, self.side, self.published) or self.forces(then, left - own)
                for then in moves.after_each(board)
            )
            self.known[key] = any(reached) if own else all(reached)
        return self.known[key]

    def _too_far(self, board: chess.Board, left: int) -> bool:
        """Whether each pawn has more steps to go than there are moves; it may begin with two."""
        ranks = [int(chess.square_name(each)[1]) for each in board.pieces(chess.PAWN, self.side)]
        steps = [8 - rank if self.side else rank - 1 for rank in ranks]
        return all(each - (each == 6) > left for each in steps)


def _bare(board: chess.Board, side: bool) -> bool:
    return sum(man.color == side for man in board.piece_map().values()) == 1


def _wins(board: chess.Board, side: bool, published: Published) -> bool:
    return published.result(board) == (1 if board.turn == side else -1)


def _the_last_man(board: chess.Board, side: bool, published: Published) -> bool:
    return board.turn != side and _bare(board, not side) and _wins(board, side, published)


def _a_queen(board: chess.Board, side: bool, _: Published) -> bool:
    """A queen that no move of the other side, which has one, takes."""
    queens = set(board.pieces(chess.QUEEN, side))
    ends = {move.to_square for move in board.legal_moves}
    return board.turn != side and bool(queens) and bool(ends) and not queens & ends


def _too_little(board: chess.Board, _: bool, __: Published) -> bool:
    return board.is_insufficient_material()


def _a_queen_or_too_little(board: chess.Board, side: bool, published: Published) -> bool:
    return _a_queen(board, side, published) or _too_little(board, side, published)


def _pawns(board: chess.Board, side: bool) -> list[str]:
    return [chess.square_name(square) for square in board.pieces(chess.PAWN, side)]


def _king(board: chess.Board, side: bool) -> str:
    return chess.square_name(board.king(side) or 0)


def _ahead(at: str, ranks: int, side: bool) -> str:
    return f"{at[0]}{int(at[1]) + (ranks if side else -ranks)}"


def _on_key_square(board: chess.Board, side: bool, published: Published) -> bool:
    """Of a white pawn, if it still stands; it wins."""
    pawns = _pawns(board, side)
    return (
        side
        and board.turn != side
        and len(pawns) == 1
        and _king(board, side) in pawn.key_squares(*pawns)
        and _wins(board, side, published)
    )


def _right_in_front(board: chess.Board, side: bool, _: Published) -> bool:
    """Before the one pawn of the other side, which is not one step from its last rank."""
    (at, *more) = _pawns(board, not side) or [""]
    if not at or more or len(board.pieces(chess.KING, not side)) + 1 != _men(board, not side):
        return False
    return _king(board, side) == _ahead(at, 1, not side) and at[1] != ("2" if side else "7")


def _in_front_or_opposed(board: chess.Board, side: bool, published: Published) -> bool:
    """Or with the opposition: then the other side is to move, and it is a draw."""
    faces = pawn.face_each_other(board) and board.turn != side and published.result(board) == 0
    return faces or _right_in_front(board, side, published)


def _cut_off(board: chess.Board, side: bool, published: Published) -> bool:
    """The rook's rank has the other king on one side and its pawn on the other, wherever he goes next, and
    nobody on it where the rook would not see him; nobody takes the rook."""
    rooks, pawns = board.pieces(chess.ROOK, side), board.pieces(chess.PAWN, not side)
    if board.turn == side or len(rooks) != 1 or len(pawns) != 1:
        return False
    at, beyond = (chess.square_rank(next(iter(men))) for men in (rooks, pawns))
    steps = [move for move in board.legal_moves if board.piece_type_at(move.from_square) == chess.KING]
    ranks = {chess.square_rank(each) for each in (board.king(not side) or 0, *(m.to_square for m in steps))}
    seen = board.attacks(next(iter(rooks))) | rooks
    held = all((rank - at) * (beyond - at) < 0 for rank in ranks)
    held = held and all(chess.square(file, at) in seen for file in range(8))
    taken = any(move.to_square in rooks for move in board.legal_moves)
    return held and not taken and _wins(board, side, published)


def _men(board: chess.Board, side: bool) -> int:
    return sum(man.color == side for man in board.piece_map().values())


def _in_corner(board: chess.Board, side: bool, _: Published) -> bool:
    king, pawns = _king(board, side), _pawns(board, not side)
    return king[0] in "ah" and king[1] == ("1" if side else "8") and {at[0] for at in pawns} == {king[0]}


def _on_colour_of(board: chess.Board, corner: str) -> bool:
    """Whether a bishop stands on a square of the corner's colour, and so could guard it."""
    light = bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[chess.parse_square(corner)])
    return bool(board.bishops & (chess.BB_LIGHT_SQUARES if light else chess.BB_DARK_SQUARES))


def _next_to_pawn(board: chess.Board, side: bool, _: Published) -> bool:
    at = next(iter(_pawns(board, side)), "")
    if not at or board.turn == side or not board.rooks:
        return False
    home = chess.parse_square(f"{at[0]}{'8' if side else '1'}")
    square, kings = chess.parse_square(at), (board.king(side) or 0, board.king(not side) or 0)
    far = chess.square_distance(kings[1], home) > chess.square_distance(square, home)
    return far and chess.square_distance(kings[0], square) == 1


def _goal(what: str) -> Holds:
    for words, holds in _GOALS.items():
        if re.fullmatch(words, what):
            return holds
    raise AssertionError(f"what is '{what}'?")


def _blocked_or_lost(board: chess.Board, side: bool, published: Published) -> bool:
    """The other king on the square where its one pawn would queen next, and it loses; or the pawn is gone."""
    (at, *more) = _pawns(board, not side) or [""]
    if not at:
        return _the_last_man(board, side, published)
    alone = not more and _men(board, not side) == 2
    before = _king(board, not side) == _ahead(at, 1, not side) and at[1] == ("2" if side else "7")
    return alone and before and board.turn == side and _wins(board, side, published)


_GOALS: dict[str, Holds] = {
    r"\w+'s king has to step in front of its pawn, or \w+ loses the pawn": _blocked_or_lost,
    r"\w+ gives mate": lambda board, side, _: board.turn != side and moves.status(board) == "mate",
    r"\w+ takes \w+'s last man": _the_last_man,
    r"\w+ gets a queen that can't be taken": _a_queen,
    r"\w+'s king gets to a key square of the pawn": _on_key_square,
    r"\w+ has nothing left that can mate": _too_little,
    r"\w+'s king gets right in front of the pawn": _right_in_front,
    r"\w+'s king gets right in front of the pawn, or face to face with \w+'s king": _in_front_or_opposed,
    r"\w+'s king gets into the corner where the pawn would queen": _in_corner,
    r"\w+'s king gets into the corner where the pawn would queen, which the bishop never guards": (
        lambda board, side, published: (
            _in_corner(board, side, published) and not _on_colour_of(board, _king(board, side))
        )
    ),
    r"it is stalemate, or \w+ has nothing left that can mate": (
        lambda board, side, published: (
            moves.status(board) == "stalemate" or _too_little(board, side, published)
        )
    ),
    r"\w+'s king stands next to its pawn, and \w+'s king is farther from the queening square than the pawn": (
        _next_to_pawn
    ),
    r"\w+ gets a queen that can't be taken, or \w+ has nothing left that can mate": _a_queen_or_too_little,
}


def _is_met(board: chess.Board, words: str, published: Published) -> bool:
    """Whether the move spoils the result, and what comes back does what is said, with this end."""
    told = _LURE.fullmatch(words)
    assert told is not None, words
    wrong, ended, more = told.groups()
    after = moves.after(board, board.parse_san(wrong))
    if -published.result(after) >= published.result(board):
        return False
    if ended:
        return moves.status(after) == "stalemate" if "stale" in ended else after.is_insufficient_material()
    if stale := re.fullmatch(r"(\S+) is stalemate\.", more):
        return moves.status(moves.after(after, after.parse_san(stale[1]))) == "stalemate"
    met = _MET.fullmatch(more)
    assert met is not None, words
    reply = after.parse_san(met["then"] or met["reply"])
    then = moves.after(after, reply)
    winner = {"it is a draw": None, "White wins": True, "Black wins": False}[met["end"]]
    if (published.result(then) == 0) != (winner is None) or (
        winner is not None and not _wins(then, winner, published)
    ):
        return False
    return met["does"] is None or _is_done(after, then, reply, met["does"])


def _is_done(before: chess.Board, after: chess.Board, move: chess.Move, does: str) -> bool:
    king, side = after.king(before.turn) or 0, before.turn
    own, others = (set(after.pieces(chess.PAWN, each)) for each in (side, not side))
    man = does.rpartition(" ")[2]
    return {
        "mates": moves.status(after) == "mate",
        f"takes the {man}": chess.piece_name(before.piece_type_at(move.to_square) or chess.KING) == man,
        f"makes a {man}": bool(move.promotion) and chess.piece_name(move.promotion or 1) == man,
        "takes the opposition": pawn.face_each_other(after),
        "stands in the pawn's way": any(each % 8 == king % 8 and (each > king) == side for each in others),
        "goes for the pawn": any(chess.square_distance(king, each) == 1 for each in others),
        "gives check": after.is_check(),
        "guards the pawn": any(chess.square_distance(king, each) == 1 for each in own),
        "pushes the pawn": before.piece_type_at(move.from_square) == chess.PAWN,
    }[does]
