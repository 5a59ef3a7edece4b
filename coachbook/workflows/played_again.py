"""Play-outs of the log, played again: whether what is kept of one can have been."""

from collections.abc import Iterable, Iterator

import chess

from coachbook.model.club import PlayOutEnd, PlayOutResult
from coachbook.model.slips import Slip


def play_out_faults(results: Iterable[PlayOutResult]) -> Iterator[tuple[str, str]]:
    """For each play-out that cannot have been: whose and when, and what is wrong."""
    for result in results:
        fault = next(_faults(result), None)
        if fault is not None:
            where = f"the play-out of {result.student} on {result.on}"
            yield where, f"{fault}; take it back with 'coachbook log undo', and log it again"


def _faults(result: PlayOutResult) -> Iterator[str]:
    """Each check may rely on those before it: only the first fault counts."""
    try:
        board = chess.Board(result.fen)
    except ValueError:
        yield "its position cannot be read"
        return
    if not board.is_valid():
        yield "its position is not legal"
    if result.slip and result.slip not in set(Slip):
        yield f"its slip '{result.slip}' is none that there is"
    if not result.moves:
        return
    student = board.turn
    for number, uci in enumerate(result.moves, start=1):
        move = _read(uci)
        if move is None or move not in board.legal_moves:
            yield f"its half-move {number}, '{uci}', is not legal"
            return
        board.push(move)
    if result.used != (len(result.moves) + 1) // 2:
        yield f"it counts {result.used} moves of the student, and has {(len(result.moves) + 1) // 2}"
    yield from _end_faults(board, student, result.end)


def _end_faults(board: chess.Board, student: chess.Color, end: PlayOutEnd) -> Iterator[str]:
    """A mate and a stalemate can be seen on the board; other ends are what the coach said."""
    seen = None
    if board.is_checkmate():
        seen = PlayOutEnd.LOST if board.turn == student else PlayOutEnd.MATE
    elif board.is_stalemate():
        seen = PlayOutEnd.STALEMATE
    if seen is not None and end is not seen:
        yield f"it is kept as '{end}', but ends with '{seen}'"
    if seen is None and end in (PlayOutEnd.MATE, PlayOutEnd.STALEMATE):
        yield f"it is kept as '{end}', but does not end so"


def _read(uci: str) -> chess.Move | None:
    try:
        return chess.Move.from_uci(uci)
    except ValueError:
        return None
