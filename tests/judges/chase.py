"""Who wins the race of a pawn, its king and a lone king: played out on coordinates, without a chess package.

Squares are (file, rank), counted from 1; White has the pawn.
"""

from functools import cache
from itertools import product

Square = tuple[int, int]
_LAST = 8


def _square(name: str) -> Square:
    return "abcdefgh".index(name[0]) + 1, int(name[1])


def is_caught(king: str, pawn: str, lone: str, most: int) -> bool:
    """Black, to move, takes the pawn, or at once what it becomes, in so many moves, whatever White does."""
    places = _square(king), _square(pawn), _square(lone)
    return any(_he_takes(*places, moves) for moves in range(1, most + 1))


def gets_home(king: str, pawn: str, lone: str, most: int) -> bool:
    """Black is to move, and in so many moves White brings the pawn to its last square and it is not taken."""
    return _he_fails(_square(king), _square(pawn), _square(lone), most)


def _near(one: Square, other: Square) -> bool:
    return one != other and abs(one[0] - other[0]) <= 1 and abs(one[1] - other[1]) <= 1


def _around(at: Square) -> list[Square]:
    return [
        (at[0] + files, at[1] + ranks)
        for files, ranks in product((-1, 0, 1), repeat=2)
        if (files, ranks) != (0, 0) and 1 <= at[0] + files <= 8 and 1 <= at[1] + ranks <= _LAST
    ]


def _can_take(king: Square, pawn: Square, lone: Square) -> bool:
    return _near(lone, pawn) and not _near(king, pawn)


def _his_steps(king: Square, pawn: Square, lone: Square) -> list[Square]:
    """Where he can go without taking."""
    hit = [(pawn[0] - 1, pawn[1] + 1), (pawn[0] + 1, pawn[1] + 1)]
    return [to for to in _around(lone) if to not in (*hit, pawn) and to != king and not _near(to, king)]


def _whites(king: Square, pawn: Square, lone: Square) -> list[tuple[Square, Square]]:
    """King and pawn after each of White's moves."""
    moves = [(to, pawn) for to in _around(king) if to not in (pawn, lone) and not _near(to, lone)]
    one = (pawn[0], pawn[1] + 1)
    if one not in (king, lone):
        moves.append((king, one))
        two = (pawn[0], pawn[1] + 2)
        if pawn[1] == 2 and two not in (king, lone):
            moves.append((king, two))
    return moves


@cache
def _he_takes(king: Square, pawn: Square, lone: Square, moves: int) -> bool:
    if _can_take(king, pawn, lone):
        return True
    if moves == 1:
        return False
    for to in _his_steps(king, pawn, lone):
        replies = _whites(king, pawn, to)
        if replies and all(
            _can_take(*after, to) if after[1][1] == _LAST else _he_takes(*after, to, moves - 1)
            for after in replies
        ):
            return True
    return False


@cache
def _he_fails(king: Square, pawn: Square, lone: Square, moves: int) -> bool:
    steps = _his_steps(king, pawn, lone)
    if _can_take(king, pawn, lone) or not steps:
        return False
    return all(
        any(
            not _can_take(*after, to)
            if after[1][1] == _LAST
            else moves > 1 and _he_fails(*after, to, moves - 1)
            for after in _whites(king, pawn, to)
        )
        for to in steps
    )
