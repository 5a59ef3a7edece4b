"""The legal moves of any position, for a board on which men are moved and which knows no rules itself."""

from dataclasses import dataclass

import chess

from coachbook.endgame.probe import after_move
from coachbook.errors import CoachbookError
from coachbook.exercises.notation import NoMove, read_moves
from coachbook.model.position import Arrow, ArrowStyle, Marks
from coachbook.paper.text import notated
from coachbook.workflows.endings import read_fen


@dataclass(frozen=True, slots=True)
class BoardMove:
    """A legal move: in UCI, in SAN with English letters, as the club writes it, and the position after it."""

    uci: str
    san: str
    told: str
    fen: str


@dataclass(frozen=True, slots=True)
class BoardMoves:
    """All legal moves of a position, by name; `end` says how the game has ended with it, "" while it goes on.

    A draw that only players can claim, and one by repetition, does not end it here.
    """

    fen: str
    white_to_move: bool
    moves: tuple[BoardMove, ...]
    end: str


def legal_moves(fen: str, men: str) -> BoardMoves:
    """What can be played, written with these signs for the men (see `PaperOptions`). Raises CoachbookError
    for text that is no FEN, and for positions that cannot arise."""
    board = read_position(fen)
    moves = sorted((_told(board, move, men) for move in board.legal_moves), key=lambda move: move.san)
    return BoardMoves(board.fen(), board.turn, tuple(moves), _end(board))


def position_after(fen: str, written: str, letters: str | None) -> str:
    """The FEN after a move as a person writes it; `letters` are the club's. Raises CoachbookError if it is no
    legal move, and where `legal_moves` does."""
    board = read_position(fen)
    return after_move(board, read_one_move(board, written, letters)).fen()


def read_one_move(board: chess.Board, written: str, letters: str | None) -> chess.Move:
    """The move that a person writes; `letters` are the club's. Raises CoachbookError if it is no legal
    move."""
    (move, *more) = read_moves(board, written, letters) or (NoMove.UNREADABLE,)
    if more or isinstance(move, NoMove):
        raise CoachbookError(f"'{written}' is no legal move here.", "Write one move, such as Kd5.")
    return move


def read_legal_move(board: chess.Board, uci: str) -> chess.Move:
    """The move that a board on a screen tells. Raises CoachbookError if it is no legal move."""
    try:
        move = chess.Move.from_uci(uci)
    except ValueError:
        move = chess.Move.null()
    if move not in board.legal_moves:
        raise CoachbookError(f"'{uci[:10]}' is no legal move here.", "Move one of your own men.")
    return move


def move_marked(move: chess.Move) -> Marks:
    """A move that was made, as an arrow."""
    return Marks(arrows=(Arrow(move.from_square, move.to_square, ArrowStyle.PLAYED),))


def read_position(fen: str) -> chess.Board:
    """A legal position, of any number of men. Raises CoachbookError if the text is none."""
    board = read_fen(fen)
    if not board.is_valid():
        raise CoachbookError(f"'{fen}' is not a position that can arise.", "Check who is to move.")
    return board


def _told(board: chess.Board, move: chess.Move, men: str) -> BoardMove:
    san = board.san(move)
    return BoardMove(move.uci(), san, notated(san, men), after_move(board, move).fen())


def _end(board: chess.Board) -> str:
    """By the Laws of Chess of FIDE, articles 5.1, 5.2 and 9.6."""
    if board.is_checkmate():
        return "checkmate"
    if board.is_stalemate():
        return "stalemate"
    if board.is_insufficient_material():
        return "draw by too few men to mate with"
    return "draw by seventy-five moves" if board.is_seventyfive_moves() else ""
