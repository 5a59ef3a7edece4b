"""What a side's moves do in a position, and words for them; shared by kinds of exercise."""

from dataclasses import dataclass

import chess

from coachbook.model.marks import Arrow

_NAMES = {piece: chess.piece_name(piece) for piece in chess.PIECE_TYPES}


@dataclass(frozen=True, slots=True)
class Outcomes:
    """Legal moves sorted by what they do at once; a mating move is also a check."""

    mates: tuple[chess.Move, ...]
    checks: tuple[chess.Move, ...]
    stalemates: tuple[chess.Move, ...]
    one_square_left: tuple[chess.Move, ...]


def outcomes(board: chess.Board) -> Outcomes:
    """All legal moves of the side to move, in order of their names."""
    mates, checks, stalemates, one_left = [], [], [], []
    for move in sorted(board.legal_moves, key=board.san):
        board.push(move)
        replies = sum(1 for _ in zip(board.legal_moves, range(2), strict=False))
        if board.is_check():
            checks.append(move)
            if replies == 0:
                mates.append(move)
        elif replies == 0:
            stalemates.append(move)
        elif replies == 1:
            one_left.append(move)
        board.pop()
    return Outcomes(tuple(mates), tuple(checks), tuple(stalemates), tuple(one_left))


def arrow(move: chess.Move) -> Arrow:
    """The move as an arrow of an answer."""
    return Arrow(move.from_square, move.to_square)


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
