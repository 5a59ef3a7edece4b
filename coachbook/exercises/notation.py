"""Reading a move as a child writes it: tolerant where there is no doubt, never else.

"queen e5", "QE5", "Q-e5", "d4 to e5" and "Qe5 mate" all mean Qe5; signs for check, mate and
taking may be missing. Text that could mean two moves means none.
"""

import re
from enum import StrEnum

import chess

_TIDIED = tuple(
    (re.compile(pattern, re.IGNORECASE), replacement)
    for pattern, replacement in (
        (r"[♔♚]|\bking\b", " K"),
        (r"[♕♛]|\bqueen\b", " Q"),
        (r"[♖♜]|\brook\b", " R"),
        (r"[♗♝]|\bbishop\b", " B"),
        (r"[♘♞]|\bknight\b", " N"),
        (r"[♙♟]|\bpawn\b(?:\s+(?:takes|to)\b)?|\bP(?=x?[a-h])", " "),
        ("[\N{VARIATION SELECTOR-15}\N{VARIATION SELECTOR-16}]", ""),  # they follow figurines
        ("[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}]", "-"),
        (r"(?<!-)\b\d+\s*[.:)\N{HORIZONTAL ELLIPSIS}]+", " "),  # the number of a move
        (r"[,;&]|\band\b|\bor\b", " , "),
        (r"(?<![a-z])(?:is\s+)?(?:e\.?p|(?:check|stale)?mate|check|ch)\b", " "),
        (r"[.!?#+()\N{DAGGER}\N{DOUBLE DAGGER}]", " "),
        (r"([KQRBNa-h1-8])\s*(?:\b(?:takes|to|on)\b|[x:\N{MULTIPLICATION SIGN}-])\s*(?=[a-h])", r"\1"),
        (r"([a-h][18])\s*=\s*([QRBN])\b", r"\1\2"),  # e8 = Q
        (r"\b([KQRBN])\s+(?=[a-h]?[1-8]?[a-h]\s*[1-8])", r"\1"),  # Q e5, R ad1
        (r"\b([KQRBN]?[a-h])\s+(?=[1-8]\b)", r"\1"),  # Qe 5
        (r"(?<!\S)\d+\s+(?=[KQRBN][a-h])", ""),  # 1 Qe5 2 Qe6
        (r"([a-h][18])\s*/?\s*([QRBN])\b(?!\s*[a-h])", r"\1\2"),  # e8 Q
    )
)
_NOTHING = re.compile(r"[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]+|none|no|no moves?|nothing", re.IGNORECASE)
_SEPARATORS = re.compile(r"[\s,/]+")
_PIECE_MOVE = re.compile(r"([KQRBN])([a-h]?[1-8]?)([a-h][1-8])()", re.IGNORECASE)
_PLAIN_MOVE = re.compile(r"()((?:[a-h][1-8]?)?)([a-h][1-8])([QRBN]?)", re.IGNORECASE)
_CASTLING = {"O-O": chess.Board.is_kingside_castling, "O-O-O": chess.Board.is_queenside_castling}


class NoMove(StrEnum):
    """Why a piece of text is no move in a position."""

    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"


def says_none(written: str) -> bool:
    """Whether the answer is "there is no such move": a dash, or a word for it."""
    return _NOTHING.fullmatch(written.strip()) is not None


def read_moves(board: chess.Board, written: str) -> tuple[chess.Move | NoMove, ...]:
    """The moves in a line such as "1. Qe5, kd3 and Qh7+", and why a part of it is none."""
    text = written
    for pattern, replacement in _TIDIED:
        text = pattern.sub(replacement, text)
    parts = (part for part in _SEPARATORS.split(text) if any(map(str.isalnum, part)))
    return tuple(_read_move(board, part) for part in parts)


def _read_move(board: chess.Board, part: str) -> chess.Move | NoMove:
    """One move. As chess is written, small "b" is first of all a pawn's file, large "B" the bishop."""
    castles = _CASTLING.get(part.upper().replace("0", "O"))
    if castles is not None:
        return next((move for move in board.legal_moves if castles(board, move)), NoMove.ILLEGAL)
    large_bishop = part.startswith("B") and len(part) > 2
    answer = NoMove.UNREADABLE
    for pattern in (_PIECE_MOVE,) if large_bishop else (_PLAIN_MOVE, _PIECE_MOVE):
        match = pattern.fullmatch(part)
        if match is not None:
            found = [move for move in board.legal_moves if _fits(board, move, *match.groups())]
            if found:
                return found[0] if len(found) == 1 else NoMove.UNREADABLE
            answer = NoMove.ILLEGAL
    return answer


def _fits(board: chess.Board, move: chess.Move, letter: str, origin: str, end: str, promotion: str) -> bool:
    """Whether a move may be meant. `origin` is its square, file or rank, or "".

    Without a letter and a whole square of origin it is a pawn's move, or, while the side has no
    pawn, any man's.
    """
    start, man = chess.square_name(move.from_square), board.piece_type_at(move.from_square)
    if chess.square_name(move.to_square) != end.lower() or origin.lower() not in start:
        return False
    if promotion and move.promotion != chess.PIECE_SYMBOLS.index(promotion.lower()):
        return False
    if letter:
        return man == chess.PIECE_SYMBOLS.index(letter.lower())
    if man == chess.PAWN:
        return len(origin) != 1 or origin.lower() != end[0].lower()
    return len(origin) == 2 or (not origin and not board.pieces_mask(chess.PAWN, board.turn))
