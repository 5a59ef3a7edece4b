"""The card of king and pawn, followed by hand with the rules of chess only, White having the pawn.

Written anew from the words of the card and of its definitions: it shares nothing with `coachbook.method`.
"""

import chess

from tests.exercises.naive_methods import least_by
from tests.judges import moves, pawn


def by_card(fen: str) -> tuple[str, set[str]]:
    """The rule that decides, by its short name, and the moves (UCI) that the words of the card leave."""
    board = chess.Board(fen)
    safe = [
        each
        for each in moves.after_each(board)
        if not moves.can_take(each) and moves.status(each) == "neither"
    ]
    queens = [each for each in safe if each.peek().promotion == chess.QUEEN]
    safe = [each for each in safe if not each.peek().promotion]
    pushes = [each for each in safe if _pawn(each) != _pawn(board)]
    steps = [each for each in safe if each not in pushes]
    rules = (
        ("make a queen", queens),
        ("let it run", [each for each in pushes if _cannot_be_caught(each)]),
        ("push to a picture", [each for each in pushes if pictures(each)]),
        (
            "step to a picture",
            least_by([each for each in steps if pictures(each)], lambda each: (_not_up(each),)),
        ),
        ("walk to a key square", least_by(steps, _to_key_square)),
        ("push", pushes),
    )
    return next((name, {each.peek().uci() for each in left}) for name, left in rules if left)


def pictures(board: chess.Board) -> set[str]:
    """The letters of the pictures on the board, the lone king to move; "edge" for the one at the edge."""
    king, lone, at = board.king(chess.WHITE) or 0, board.king(chess.BLACK) or 0, _pawn(board)
    ahead, beside = _rank(king) - _rank(at), abs(chess.square_file(king) - chess.square_file(at))
    no_nearer = chess.square_distance(lone, at) >= chess.square_distance(king, at)
    if chess.square_file(at) in (0, 7):
        on_key = chess.square_name(king) in pawn.key_squares(chess.square_name(at))
        return {"edge"} if on_key and no_nearer else set()
    if beside > 1:
        return set()
    even = (chess.square_file(king) - chess.square_file(lone)) % 2 == 0 and (
        _rank(king) - _rank(lone)
    ) % 2 == 0
    steps = {move.to_square for move in board.legal_moves}
    found = {
        "A": _rank(at) == 7 and chess.square_distance(king, at) == 1 and at + 8 not in steps,
        "B": ahead == 0 and _rank(at) == 6 and even,
        "C": ahead >= 2 and no_nearer,
        "D": ahead == 1 and _rank(at) >= 5,
        "E": ahead >= 1 and even and _rank(lone) >= _rank(king),
        "F": ahead == 1 and _rank(lone) <= _rank(at) + 2,
    }
    return {letter for letter, is_there in found.items() if is_there}


def _cannot_be_caught(board: chess.Board) -> bool:
    """No step of his goes into the square of the pawn, and White's king does not stand in its way."""
    king, at = board.king(chess.WHITE) or 0, _pawn(board)
    in_the_way = chess.square_file(king) == chess.square_file(at) and king > at
    square = pawn.square_of_pawn(chess.square_name(at))
    steps = {
        chess.square_name(to)
        for to in chess.SQUARES
        if chess.square_distance(to, board.king(chess.BLACK) or 0) <= 1
    }
    return not in_the_way and not steps & square


def _to_key_square(board: chess.Board) -> tuple[int, ...]:
    king, at = board.king(chess.WHITE) or 0, _pawn(board)
    keys = pawn.key_squares(chess.square_name(at))
    to_key = min((chess.square_distance(king, chess.parse_square(key)) for key in keys), default=8)
    return (
        to_key,
        chess.square_distance(king, at),
        -abs(chess.square_file(king) - chess.square_file(board.king(chess.BLACK) or 0)),
    )


def _not_up(board: chess.Board) -> int:
    """Ranks below the seventh; the eighth comes last."""
    return (8 - _rank(board.king(chess.WHITE) or 0)) or 8


def _pawn(board: chess.Board) -> int:
    return next((at for at, man in board.piece_map().items() if man.symbol() == "P"), -1)


def _rank(square: int) -> int:
    """From 1 to 8."""
    return square // 8 + 1
