"""The truth about small positions in the plainest way that there is: try everything, count squares.

Rules of the game: the package `chess` (`legal_moves`, `is_attacked_by`).
"""

from collections.abc import Callable
from functools import lru_cache
from itertools import product

import chess

Men = tuple[tuple[str, int, int], ...]

_TURNS: tuple[Callable[[int, int], tuple[int, int]], ...] = (
    lambda file, rank: (file, rank),
    lambda file, rank: (7 - file, rank),
    lambda file, rank: (file, 7 - rank),
    lambda file, rank: (7 - file, 7 - rank),
    lambda file, rank: (rank, file),
    lambda file, rank: (7 - rank, file),
    lambda file, rank: (rank, 7 - file),
    lambda file, rank: (7 - rank, 7 - file),
)
_MIRRORED = _TURNS[:2]


def position_class(fen: str) -> tuple[str, Men]:
    """The same for positions that differ only by turning or mirroring the board; with pawns, by mirroring
    it from left to right."""
    placement, side, *_ = fen.split()
    men = []
    for row, text in enumerate(placement.split("/")):
        file = 0
        for letter in text:
            if letter.isdigit():
                file += int(letter)
            else:
                men.append((letter, file, 7 - row))
                file += 1
    turns = _MIRRORED if "p" in placement.lower() else _TURNS
    looks = (tuple(sorted((man, *turn(file, rank)) for man, file, rank in men)) for turn in turns)
    return side, min(looks)


def mates(fen: str) -> set[str]:
    """The moves (UCI) after which the other side is in check and has no move."""
    return {move for move, check, stuck in _tried(fen) if check and stuck}


def stalemates(fen: str) -> set[str]:
    """The moves (UCI) after which the other side is not in check and has no move."""
    return {move for move, check, stuck in _tried(fen) if stuck and not check}


@lru_cache(maxsize=1)
def _tried(fen: str) -> list[tuple[str, bool, bool]]:
    found, start = [], chess.Board(fen)
    for move in start.legal_moves:
        board = start.copy(stack=False)
        board.push(move)
        king = board.king(board.turn)
        assert king is not None
        check = board.is_attacked_by(not board.turn, king)
        found.append((move.uci(), check, not any(board.legal_moves)))
    return found


def box(fen: str) -> set[str]:
    """The squares between the walls: walk from the lone king each way until a wall or the edge."""
    board = chess.Board(fen)
    lone = board.king(chess.BLACK)
    assert lone is not None
    (piece,) = (square for square, man in board.piece_map().items() if man.symbol() in "QR")

    def walk(start: int, wall: int, step: int) -> list[int]:
        passed = []
        while 0 <= start <= 7 and start != wall:
            passed.append(start)
            start += step
        return passed

    file, rank = lone % 8, lone // 8
    files = {*walk(file, piece % 8, 1), *walk(file, piece % 8, -1)}
    ranks = {*walk(rank, piece // 8, 1), *walk(rank, piece // 8, -1)}
    return {"abcdefgh"[f] + str(r + 1) for f, r in product(files, ranks)}


def walked(fen: str) -> set[str]:
    """The squares that the lone king reaches by legal moves while White passes, taking nothing."""
    start = chess.Board(fen)
    start.turn = chess.BLACK
    reached, waiting = {start.king(chess.BLACK)}, [start]
    while waiting:
        board = waiting.pop()
        for move in board.legal_moves:
            if move.to_square not in reached and not board.is_capture(move):
                reached.add(move.to_square)
                after = board.copy(stack=False)
                after.push(move)
                after.turn = chess.BLACK
                waiting.append(after)
    return {chess.square_name(square) for square in reached if square is not None}


def status(fen: str) -> str:
    """Whether the side to move is mated, stalemated, or neither."""
    board = chess.Board(fen)
    if any(board.legal_moves):
        return "neither"
    king = board.king(board.turn)
    assert king is not None
    return "mate" if board.is_attacked_by(not board.turn, king) else "stalemate"


def mates_in_two(fen: str) -> set[str]:
    """The moves (UCI) after which every reply allows a mate; none of them mates or stalemates."""
    found = set()
    for move in chess.Board(fen).legal_moves:
        after = chess.Board(fen)
        after.push(move)
        if any(after.legal_moves) and all(_can_mate(after, reply) for reply in list(after.legal_moves)):
            found.add(move.uci())
    return found


def _can_mate(board: chess.Board, reply: chess.Move) -> bool:
    """Whether there is a mate after a reply."""
    after = board.copy(stack=False)
    after.push(reply)
    for move in [move for move in after.legal_moves if after.gives_check(move)]:
        then = after.copy(stack=False)
        then.push(move)
        if then.is_checkmate():
            return True
    return False


def opposition(fen: str) -> set[str]:
    """The king's moves (UCI) after which the kings stand two squares apart on a rank or file."""
    found = set()
    for move in chess.Board(fen).legal_moves:
        after = chess.Board(fen)
        after.push(move)
        white, black = after.king(chess.WHITE), after.king(chess.BLACK)
        assert white is not None
        assert black is not None
        kings_move = after.piece_type_at(move.to_square) == chess.KING
        if kings_move and abs(white - black) in (2, 16) and chess.square_distance(white, black) == 2:
            found.add(move.uci())
    return found


def lost_squares(fen: str, piece: str) -> set[str]:
    """Where a queen or rook that is alone with its king is taken at once, or stalemates."""
    found = set()
    for move in chess.Board(fen).legal_moves:
        after = chess.Board(fen)
        after.push(move)
        taken = any(after.is_capture(reply) for reply in after.legal_moves)
        if chess.square_name(move.from_square) == piece and (taken or status(after.fen()) == "stalemate"):
            found.add(chess.square_name(move.to_square))
    return found


def square_of_pawn(pawn: str) -> set[str]:
    """From the pawn as many files to both sides as it has steps to go, up to its last rank."""
    file, rank = "abcdefgh".index(pawn[0]), max(int(pawn[1]), 3)
    files = [f for f in range(8) if abs(f - file) <= 8 - rank]
    return {"abcdefgh"[f] + str(r) for f in files for r in range(rank, 9)}


def key_squares(pawn: str) -> set[str]:
    """Two ranks ahead on three files; from the fifth rank on also one rank ahead; a rook's pawn has two."""
    file, rank = "abcdefgh".index(pawn[0]), int(pawn[1])
    if pawn[0] in "ah":
        return {"a": {"b7", "b8"}, "h": {"g7", "g8"}}[pawn[0]]
    ranks = [rank + 2] if rank <= 4 else [r for r in (rank + 1, rank + 2) if r <= 8]
    return {"abcdefgh"[f] + str(r) for f in (file - 1, file, file + 1) for r in ranks}
