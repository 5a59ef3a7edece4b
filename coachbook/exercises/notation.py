"""Reading a move as a child writes it: any case, without signs, with figurines or long form."""

import re
from enum import StrEnum

import chess

_FIGURINES = str.maketrans("♔♕♖♗♘♙♚♛♜♝♞♟", "KQRBN KQRBN ")
_LONG = re.compile(r"([KQRBN]?)([a-h][1-8])[-x:]?([a-h][1-8])=?([QRBN]?)", re.IGNORECASE)
_SEPARATORS = re.compile(r"[,;/]|\band\b|\s+", re.IGNORECASE)
_NUMBERS = re.compile(r"\b\d+\s*\.+")
NOTHING = frozenset({"-", "\N{EN DASH}", "\N{EM DASH}", "none", "no"})
BLANK = frozenset({"", "?"})


class NoMove(StrEnum):
    """Why a piece of text is no move in a position."""

    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"


def split_moves(written: str) -> tuple[str, ...]:
    """The moves in a line such as "1. Qe5, kd3 and Qh7+". Castling with spaces is not split."""
    text = _NUMBERS.sub(" ", written.translate(_FIGURINES))
    return tuple(part for part in _SEPARATORS.split(text) if part)


def read_move(board: chess.Board, text: str) -> chess.Move | NoMove:
    """The legal move that a text means, or why it means none.

    A text that could mean several legal moves ("Rd1" with two rooks that can go there) is
    unreadable: it does not say which.
    """
    bare = text.translate(_FIGURINES).strip().rstrip("+#!?").replace("x", "").replace(":", "")
    if not bare:
        return NoMove.UNREADABLE
    long_form = _LONG.fullmatch(bare)
    if long_form is not None:
        return _read_long(board, *long_form.groups())
    found = {move for move in board.legal_moves if _matches(board, move, bare)}
    if len(found) == 1:
        return found.pop()
    if found or not _looks_like_a_move(bare):
        return NoMove.UNREADABLE
    return NoMove.ILLEGAL


def _matches(board: chess.Board, move: chess.Move, bare: str) -> bool:
    """Whether the text is the move's name, or its name with less or more of its square of origin."""
    piece = board.piece_at(move.from_square)
    if piece is None:
        return False
    if board.is_castling(move):
        return board.san(move).rstrip("+#") == bare.upper().replace("0", "O")
    letter = "" if piece.piece_type == chess.PAWN else piece.symbol().upper()
    start, end = chess.square_name(move.from_square), chess.square_name(move.to_square)
    promotion = chess.piece_symbol(move.promotion) if move.promotion else ""
    wanted = bare.lower().replace("=", "")
    names = {f"{letter}{origin}{end}{promotion}".lower() for origin in ("", start[0], start[1], start)}
    return wanted in names and not (letter == "B" and bare[0] == "b" and _is_pawn_move(board, wanted))


def _is_pawn_move(board: chess.Board, wanted: str) -> bool:
    """Whether small "b..." is a pawn's move: then it does not mean the bishop."""
    return any(
        board.piece_type_at(move.from_square) == chess.PAWN
        and wanted in (move.uci()[2:], move.uci()[0] + move.uci()[2:])
        for move in board.legal_moves
    )


def _read_long(board: chess.Board, letter: str, start: str, end: str, promotion: str) -> chess.Move | NoMove:
    move = chess.Move.from_uci(f"{start}{end}{promotion}".lower())
    piece = board.piece_at(move.from_square)
    wanted = letter.upper() or None
    if move not in board.legal_moves or piece is None:
        return NoMove.ILLEGAL
    if wanted is not None and piece.symbol().upper() != wanted:
        return NoMove.ILLEGAL
    return move


def _looks_like_a_move(bare: str) -> bool:
    return (
        re.fullmatch(r"[KQRBN]?[a-h]?[1-8]?[a-h][1-8](=?[QRBN])?|[O0]-[O0](-[O0])?", bare, re.IGNORECASE)
        is not None
    )
