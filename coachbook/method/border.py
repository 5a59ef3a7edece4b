"""The border between boards of the `chess` package and the positions that rules look at."""

from dataclasses import dataclass

import chess
import numpy as np

from coachbook.endgame.symmetry import FLIP, turned
from coachbook.errors import CoachbookError
from coachbook.method.moves import Moves, Side
from coachbook.method.positions import HIS_ROOK, Positions, ending_name
from coachbook.method.rules import Method, Rule, choose_all

_STRENGTH = "QRBNP"


def find_ending(board: chess.Board) -> str | None:
    """The attacker's pieces, strongest first ("QR"), if the other side has a lone king; with an "r" behind
    them if that has a rook, and the attacker more than one piece."""
    fewer, more = sorted((_letters(board, colour) for colour in chess.COLORS), key=len)
    against = {"": "", "R": HIS_ROOK}.get(fewer)
    if against is None or len(more) == len(fewer):
        return None
    return "".join(sorted(more, key=_STRENGTH.index)) + against


def attacker(board: chess.Board) -> chess.Color:
    """The side that has more men; White if both have as many."""
    white, black = (len(_letters(board, colour)) for colour in chess.COLORS)
    return chess.WHITE if white >= black else chess.BLACK


def from_board(board: chess.Board) -> Positions:
    """The one position on the board, with the attacker as White. Whose move it is, is not kept."""
    ending, white = find_ending(board), attacker(board)
    kings = [board.king(white), board.king(not white)]
    if ending is None or None in kings:
        raise CoachbookError(f"'{board.fen()}' is not a lone king, or king and rook, against more.")
    squares = [*kings]
    for letter in dict.fromkeys(ending):
        piece = chess.Piece.from_symbol(letter)
        squares += board.pieces(piece.piece_type, piece.color == white)
    to = turned(0 if white == chess.WHITE else FLIP)
    return Positions(
        ending, [np.array([to[square]], dtype=np.int8) for square in squares if square is not None]
    )


def to_board(positions: Positions, row: int, *, attacker_moves: bool = True) -> chess.Board:
    """The board of one row, with the attacker as White."""
    board = chess.Board(None)
    board.turn = chess.WHITE if attacker_moves else chess.BLACK
    letters = (*positions.pieces, "K", "k")
    # The kings come last: on the square of one may stand, for men that were taken, nothing.
    for letter, column in zip(letters, (*positions.others, positions.king, positions.lone), strict=True):
        board.set_piece_at(int(column[row]), chess.Piece.from_symbol(letter))
    return board


def move_of(moves: Moves, before: Positions, row: int, white: chess.Color) -> chess.Move:
    """Row `row` as a move on the board it came from, on which the attacker plays `white`."""
    man = int(moves.man[row])
    place = {0: 0, -1: 1}.get(man, man + 1)
    start, end = int(before.men[place][moves.of[row]]), int(moves.after.men[place][row])
    to = turned(0 if white == chess.WHITE else FLIP)
    pawn = man > 0 and before.pieces[man - 1] == "P"
    return chess.Move(to[start], to[end], chess.QUEEN if pawn and end >= chess.A8 else None)


@dataclass(frozen=True, slots=True)
class Chosen:
    """What a method says on a board: the moves it leaves tied, and the rule that decided."""

    moves: tuple[chess.Move, ...]
    rule: Rule | None


def choose(board: chess.Board, method: Method) -> Chosen:
    """What `method` says in this position; no moves and no rule where it has nothing to say.

    Raises CoachbookError if the method is not for this ending or it is not its turn.
    """
    check_fits(board, method)
    positions = from_board(board)
    choice = choose_all(method, positions)
    white = attacker(board)
    moves = [move_of(choice.moves, positions, row, white) for row in range(len(choice.moves.of))]
    rule = method.rules[choice.rule[0]] if choice.rule[0] >= 0 else None
    return Chosen(tuple(sorted(moves, key=chess.Move.uci)), rule)


def fits(board: chess.Board, method: Method) -> bool:
    """Whether the method is made for this board: its ending, a legal position within it, its side to move."""
    if find_ending(board) not in method.endings or not board.is_valid():
        return False
    its_turn = (board.turn == attacker(board)) == (method.plays is Side.ATTACKER)
    return its_turn and (method.within is None or bool(method.within(from_board(board))[0]))


def check_fits(board: chess.Board, method: Method) -> None:
    """Raises CoachbookError if the method is not made for this board (`fits`)."""
    if not fits(board, method):
        endings = " or ".join(map(ending_name, method.endings))
        raise CoachbookError(
            f"'{method.title}' does not fit '{board.fen()}'.",
            f"It needs a legal position of {endings} with the {method.plays.value} to move.",
        )


def _letters(board: chess.Board, colour: chess.Color) -> str:
    men = (piece for piece in board.piece_map().values() if piece.color == colour)
    return "".join(piece.symbol().upper() for piece in men if piece.piece_type != chess.KING)
