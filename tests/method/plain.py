"""A plain second opinion on positions and methods, with the chess package only: slow and obvious."""

from collections.abc import Iterator

import chess
from hypothesis import strategies as st

from coachbook.method.border import choose, fits
from coachbook.method.graph import Line
from coachbook.method.rules import Method
from tests.judges.moves import after, after_each, spoils


def legal_boards(pieces: str, turn: chess.Color = chess.WHITE) -> st.SearchStrategy[chess.Board]:
    """Legal boards of White (king and `pieces`) against a lone king, `turn` to move."""

    def build(squares: list[int]) -> chess.Board:
        board = chess.Board(None)
        board.turn = turn
        for letter, square in zip("Kk" + pieces, squares, strict=True):
            board.set_piece_at(square, chess.Piece.from_symbol(letter))
        return board

    men = len(pieces) + 2
    squares = st.lists(st.integers(0, 63), min_size=men, max_size=men, unique=True)
    return squares.map(build).filter(chess.Board.is_valid)


def play(method: Method, board: chess.Board, pick: int, reply: int) -> Iterator[chess.Board]:
    """The boards of one game: the method's move number `pick` of the tied ones, any reply."""
    board = board.copy(stack=False)
    while not board.is_game_over():
        moves = choose(board, method).moves
        board.push(moves[pick % len(moves)])
        yield board.copy(stack=False)
        replies = sorted(board.legal_moves, key=chess.Move.uci)
        if not replies:
            return
        board.push(replies[reply % len(replies)])
        pick, reply = pick * 7 + 1, reply * 5 + 3


def longest_way(board: chess.Board, method: Method, known: dict[str, int] | None = None) -> int:
    """The most of its own moves that a method takes to mate or a safe queen, over all that it leaves open
    and all replies, counted with the chess package. A circle would end in a RecursionError."""
    known = {} if known is None else known
    if board.board_fen() not in known:
        known[board.board_fen()] = max(
            _way_after(board, move, method, known) for move in choose(board, method).moves
        )
    return known[board.board_fen()]


def _way_after(board: chess.Board, move: chess.Move, method: Method, known: dict[str, int]) -> int:
    if _at_once(board, move, own=True) == "a safe queen":
        return 1
    then = after(board, move)
    assert not spoils(then)
    return 1 + max((longest_way(replied, method, known) for replied in after_each(then)), default=0)


def follows(line: Line, method: Method) -> str:
    """Play a line on a board of the chess package, each own move by the method; how it ends, in words."""
    board, seen = chess.Board(line.fen), set[str]()
    assert board.is_valid()
    for ply, text in enumerate(line.moves):
        move, own = chess.Move.from_uci(text), ply % 2 == 0
        assert move in board.legal_moves
        if own:
            seen.add(board.board_fen())
            assert not fits(board, method) or move in choose(board, method).moves
        end = _at_once(board, move, own)
        if end:
            assert ply == len(line.moves) - 1
            return end
        board.push(move)
    return _at_last(board, method, seen)


def _at_once(board: chess.Board, move: chess.Move, own: bool) -> str:
    if board.is_capture(move):
        return "the pawn is taken" if own else "he takes a piece"
    if not move.promotion:
        return ""
    if spoils(after(board, move)):
        return ""
    return "a safe queen" if own else "the pawn queens"


def _at_last(board: chess.Board, method: Method, seen: set[str]) -> str:
    if board.is_checkmate():
        return "mate"
    if board.is_stalemate():
        return "stalemate"
    if board.board_fen() in seen:
        return "the same position comes back"
    return "no rule has a move" if not choose(board, method).moves else "nothing"
