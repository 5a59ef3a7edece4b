"""What the methods say, followed by hand with the rules of chess only.

Written anew from the words of the rules: it shares nothing with `coachbook.method`.
"""

from collections.abc import Callable, Iterable
from typing import Any

import chess

from tests.judges import box, moves
from tests.judges.box import NO_BOX

NO_FENCE = 8

After = chess.Board
"""The board after a move; the move is the last on its stack."""


def decide(fen: str, *, by_card: bool = False) -> tuple[str, set[str]]:
    """The rule that decides, and the moves (UCI) that its exact words leave, or those on its card; White has
    the pieces."""
    board = chess.Board(fen)
    after = moves.after_each(board)
    mates = [each for each in after if each.is_checkmate()]
    if mates:
        return "mate", _names(mates)
    safe = [each for each in after if not moves.spoils(each)]
    pieces = "".join(sorted(man.symbol() for man in board.piece_map().values() if man.symbol() in "QR"))
    for rule, left in {"Q": _queen, "R": _rook, "RR": _two, "QR": _two}[pieces](board, safe, by_card):
        if left:
            return rule, _names(left)
    raise AssertionError(f"no rule has a move in {fen}")


def room(board: chess.Board) -> int:
    """On how many squares he can walk about if White stands still; his own counts if it is not attacked."""
    return len(box.region(board))


def walls(board: chess.Board) -> int:
    """How many squares the queen's rank and file shut off around him; NO_BOX where they don't."""
    shut_off = len(box.walls(board))
    return shut_off if shut_off and not _broken(board) else NO_BOX


def _broken(board: chess.Board) -> bool:
    """Whether White's king stands in a wall of the box with more than one square beyond him."""
    queen, lone, king = _piece(board), _lone(board), _king(board)
    for place, other in ((_file, _rank), (_rank, _file)):
        ahead = place(lone) > place(queen)
        beyond = 7 - place(king) if ahead else place(king)
        in_wall = place(king) > place(queen) if ahead else place(king) < place(queen)
        if other(king) == other(queen) and in_wall and beyond > 1:
            return True
    return False


def _queen(board: chess.Board, safe: list[After], by_card: bool) -> Iterable[tuple[str, list[After]]]:
    now, queen, lone = walls(board), _piece(board), _lone(board)
    meeting = chess.square(2 if _file(lone) < _file(queen) else 5, 2 if _rank(lone) < _rank(queen) else 5)
    kings, others = _by_man(safe)
    roomy = [each for each in others if room(each) >= 2]
    smaller = [each for each in roomy if walls(each) < now]
    yield "make the box smaller", smaller if by_card else least_by(smaller, walls)
    keeping = [each for each in kings if walls(each) <= now and walls(each) < NO_BOX]
    yield (
        "bring the king",
        least_by(keeping, lambda each: _apart(_king(each), meeting)[: 1 if by_card else 2]),
    )
    yield "make another box", roomy if by_card else least_by(roomy, walls)


def _rook(board: chess.Board, safe: list[After], by_card: bool) -> Iterable[tuple[str, list[After]]]:
    now, kings_now, home_now = room(board), _apart(_king(board), _lone(board)), _to_rook(board)
    kings, others = _by_man(safe)
    smaller = [each for each in others if _to_rook(each) <= 2 and room(each) < now]
    yield "make the box smaller", least_by(smaller, room)
    may_wait = kings_now[0] == 2 and _from_edge(_king(board)) > 0
    waits = [each for each in others if may_wait and box.region(each) == box.region(board)]
    yield "wait with the rook", waits
    kept = [each for each in kings if room(each) <= now]
    to_rook = [each for each in kept if _to_rook(each) < home_now and _from_edge(_king(each)) > 0]
    yield "king to the rook", to_rook if by_card else least_by(to_rook, lambda each: -_from_edge(_king(each)))
    near = [each for each in kings if _to_rook(each) <= chess.square_distance(_lone(each), _piece(each))]
    steps = [each for each in near if each in kept or (_faces(each) and _to_rook(each) == 1)]
    yield "bring the king", least_by(steps, lambda each: _approaches(each, kings_now, by_card))

    def home(each: After) -> tuple[int, ...]:
        keeps = _to_rook(each) >= home_now, room(each) > now
        return keeps if by_card else (*keeps, not _is_between(each), _apart(_king(each), _piece(each))[1])

    yield "bring the rook home", least_by(others, home)


def _approaches(each: After, before: tuple[int, int], by_card: bool) -> tuple[int, ...]:
    """Whether the kings come no nearer; by the exact words the edge, then how far apart they are."""
    apart = _apart(_king(each), _lone(each))
    return (apart >= before,) if by_card else (_from_edge(_king(each)) == 0, *apart)


def _to_rook(board: chess.Board) -> int:
    return chess.square_distance(_king(board), _piece(board))


def _from_edge(square: int) -> int:
    """Steps to the nearest edge."""
    return min(_file(square), 7 - _file(square), _rank(square), 7 - _rank(square))


def _faces(board: chess.Board) -> bool:
    """One square lies between the kings, on a file or a rank."""
    return _apart(_king(board), _lone(board)) == (2, 2)


def _is_between(board: chess.Board) -> bool:
    """Whether the rook's file or rank lies between the kings."""
    king, lone, rook = _king(board), _lone(board), _piece(board)
    return any(min(of(king), of(lone)) < of(rook) < max(of(king), of(lone)) for of in (_file, _rank))


def _two(_: chess.Board, safe: list[After], by_card: bool) -> Iterable[tuple[str, list[After]]]:
    def key(each: After) -> tuple[Any, int]:
        fence = min(_fence(each, _rank, _file), _fence(each, _file, _rank))
        return (fence[0], 0) if by_card else (fence, -room(each))

    others = _by_man(safe)[1]
    yield "build the fence", least_by([each for each in others if room(each) >= 2], key)
    yield "make do", safe if by_card else least_by(safe, key)


def _fence(board: chess.Board, row: Callable[[int], int], lane: Callable[[int], int]) -> tuple[Any, ...]:
    """Rows left to him, then men in each other's way, then how near the rooks, the queen stand."""
    lone, king = _lone(board), _king(board)
    pieces = [s for s, man in board.piece_map().items() if man.symbol() in "QR"]
    rows = [NO_FENCE]
    for fence, other in (pieces, pieces[::-1]):
        if row(king) < row(fence) < row(lone):
            rows.append(7 - row(fence) - (row(other) == row(lone) == row(fence) + 1))
        if row(king) > row(fence) > row(lone):
            rows.append(row(fence) - (row(other) == row(lone) == row(fence) - 1))
    faults = int(lane(pieces[0]) == lane(pieces[1]))
    for piece in pieces:
        low, high = sorted((row(piece), row(lone)))
        on_lane = lane(piece) == lane(king) and low < row(king) < high
        faults += row(piece) == row(king) or on_lane
    near = dict.fromkeys("RQ", 0)
    for piece in pieces:
        near[board.piece_map()[piece].symbol()] += 7 - abs(lane(piece) - lane(lone))
    return min(rows), faults, near["R"], near["Q"]


def _names(after: Iterable[After]) -> set[str]:
    return {each.peek().uci() for each in after}


def _by_man(after: list[After]) -> tuple[list[After], list[After]]:
    """Moves of the king, and of the pieces."""
    kings = [each for each in after if each.peek().to_square == _king(each)]
    return kings, [each for each in after if each not in kings]


def least_by(after: list[After], key: Callable[[After], Any]) -> list[After]:
    keyed = [(key(each), each) for each in after]
    least = min((found for found, _ in keyed), default=None)
    return [each for found, each in keyed if found == least]


def _apart(one: int, other: int) -> tuple[int, int]:
    """King steps, then files plus ranks."""
    files, ranks = abs(_file(one) - _file(other)), abs(_rank(one) - _rank(other))
    return max(files, ranks), files + ranks


def _file(square: int) -> int:
    return square % 8


def _rank(square: int) -> int:
    return square // 8


def _king(board: chess.Board) -> int:
    return next(square for square, man in board.piece_map().items() if man.symbol() == "K")


def _lone(board: chess.Board) -> int:
    return next(square for square, man in board.piece_map().items() if man.symbol() == "k")


def _piece(board: chess.Board) -> int:
    return next(square for square, man in board.piece_map().items() if man.symbol() in "QR")
