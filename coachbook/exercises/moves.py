"""What a side's moves do in a position, and words for them; shared by kinds of exercise."""

from dataclasses import dataclass
from itertools import islice

import chess

from coachbook.model.marks import Arrow

_NAMES = {piece: chess.piece_name(piece) for piece in chess.PIECE_TYPES}


@dataclass(frozen=True, slots=True)
class Outcomes:
    """What the legal moves do at once: those that end the game, in order of their names.

    `other_checks` and `one_reply` count moves that look like it: checks that are no mate, and
    moves without check after which the other side has just one legal move.
    """

    mates: tuple[chess.Move, ...]
    stalemates: tuple[chess.Move, ...]
    other_checks: int
    one_reply: int


def outcomes(board: chess.Board) -> Outcomes:
    """What all legal moves of the side to move do."""
    mates, stalemates, other_checks, one_reply = [], [], 0, 0
    for move in tuple(board.legal_moves):
        board.push(move)
        replies = sum(1 for _ in islice(board.legal_moves, 2))
        match board.is_check(), replies:
            case True, 0:
                mates.append(move)
            case True, _:
                other_checks += 1
            case False, 0:
                stalemates.append(move)
            case False, 1:
                one_reply += 1
        board.pop()
    return Outcomes(
        tuple(sorted(mates, key=board.san)),
        tuple(sorted(stalemates, key=board.san)),
        other_checks,
        one_reply,
    )


def arrow(move: chess.Move) -> Arrow:
    """The move as an arrow of an answer."""
    return Arrow(move.from_square, move.to_square)


def names(moves: tuple[chess.Move, ...]) -> frozenset[str]:
    """Moves as claims name them (UCI)."""
    return frozenset(move.uci() for move in moves)


def joined(sans: tuple[str, ...]) -> str:
    """Moves or squares in words, such as "Qa1, Qb2 and Qc3"."""
    return " and ".join(part for part in (", ".join(sans[:-1]), sans[-1]) if part)


def reasons_for_mate(board: chess.Board, move: chess.Move) -> str:
    """Why a mating move is mate, in a sentence or two: who gives check, who guards what."""
    after = board.copy(stack=False)
    after.push(move)
    king = after.king(after.turn)
    if king is None or not after.is_checkmate():
        raise ValueError(f"{move} is not mate in {board.fen()}")
    checkers = [_NAMES[after.piece_type_at(square) or chess.KING] for square in after.checkers()]
    guards = _guarded_by_king(after, king)
    sentences = [f"Check from the {' and the '.join(checkers)}, and he has no square left."]
    if guards:
        sentences.append(f"White's king guards {joined(guards)}.")
    return " ".join(sentences)


def _guarded_by_king(after: chess.Board, king: chess.Square) -> tuple[str, ...]:
    """Squares around the mated king, or of a man that he could take, that only the other king guards."""
    other = after.king(not after.turn)
    without_lone = after.copy(stack=False)
    without_lone.remove_piece_at(king)
    around = chess.SquareSet(chess.BB_KING_ATTACKS[king])
    return tuple(
        chess.square_name(square)
        for square in around
        if set(without_lone.attackers(not after.turn, square)) == {other}
    )


def spoiling_moves(board: chess.Board, piece: chess.Square) -> tuple[chess.Move, ...]:
    """The moves of a piece after which it can be taken, or it is stalemate."""
    found = []
    after = board.copy(stack=False)
    for move in board.legal_moves:
        if move.from_square == piece:
            after.push(move)
            if after.is_stalemate() or any(after.is_capture(reply) for reply in after.legal_moves):
                found.append(move)
            after.pop()
    return tuple(found)
