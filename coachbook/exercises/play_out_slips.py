"""The first slip of a play-out, and where a method's rule was not followed."""

from collections.abc import Iterable, Sequence

import chess

from coachbook.endgame.probe import JudgedMove, Outcome, Result, probe
from coachbook.exercises.play_out_turns import Turn, reaches, worth
from coachbook.model.play_out import PlayedMove
from coachbook.model.slips import Slip
from coachbook.model.syllabus import Goal

_SLOW = 3
"""A move that makes the mate so many moves later is worth a word, if nothing was thrown away."""


def find_slip(turns: Sequence[Turn]) -> tuple[str, PlayedMove | None]:
    """The first slip's code and move; else "" and the slowest move, if it cost three moves or more.

    A slip throws the goal away, or leaves a piece to be taken for nothing though the goal stays in
    reach. Who followed the method has not been slow.
    """
    for turn in turns:
        if turn.throws:
            return _thrown(turn)
        safe = _safe_move(turn)
        if safe:
            told = f"{turn.other} can take the {_lost_piece(turn.after)}."
            return Slip.PIECE_LOST, turn.told(told, safe)
    slow = [turn for turn in turns if turn.cost >= _SLOW and not turn.by_rule]
    if not slow:
        return "", None
    slowest = max(slow, key=lambda turn: turn.cost)
    before, after = slowest.before.moves, slowest.played.outcome.moves
    told = f"Cost {slowest.cost} moves: from mate in {before} to mate in {after}."
    return "", slowest.told(told, _better(slowest))


def moves_off_method(turns: Iterable[Turn]) -> tuple[PlayedMove, ...]:
    """The moves that the method would not have made, each with the rule that decides there.

    A move as quick as any has no better one.
    """
    return tuple(_off_method(turn) for turn in turns if turn.ruled and not turn.by_rule)


def _off_method(turn: Turn) -> PlayedMove:
    ruled = turn.ruled[0]
    told = f"the rule “{ruled.rule}” says {ruled.move.san}"
    if turn.goal is Goal.WIN and turn.is_best:
        return turn.told(f"as quick as any move; {told}")
    return turn.told(told, ruled.move)


def _thrown(turn: Turn) -> tuple[Slip, PlayedMove]:
    """Which slip threw the goal away."""
    change = f"From {_in_words(turn, turn.before)} to {_in_words(turn, turn.played.outcome)}."
    lost = _decisive_capture(turn)
    if turn.goal is Goal.WIN and turn.after.is_stalemate():
        slip, told = Slip.STALEMATE, f"Stalemate: {turn.other} is not in check and has no move."
    elif lost and lost != "pawn":
        slip, told = Slip.PIECE_LOST, f"{turn.other} can take the {lost}. {change}"
    else:
        slip = Slip.WIN_THROWN_AWAY if turn.goal is Goal.WIN else Slip.DRAW_THROWN_AWAY
        told = f"{turn.other} can take the pawn. {change}" if lost else change
    return slip, turn.told(told, _better(turn))


def _in_words(turn: Turn, outcome: Outcome) -> str:
    """What the outcome of a move of the student's is."""
    if outcome.result is Result.DRAW:
        return "a draw"
    if outcome.result is Result.WIN:
        return f"a mate in {outcome.moves}"
    return f"a lost game: {turn.other} mates in {outcome.moves}"


def _better(turn: Turn) -> JudgedMove:
    """The method's move if it is worth more than the move made, else a best one."""
    moves = (ruled.move for ruled in turn.ruled)
    made = worth(turn.played.outcome)
    return next((move for move in moves if worth(move.outcome) > made), turn.judged[0])


def _decisive_capture(turn: Turn) -> str:
    """The man whose capture takes the goal away, or ""."""
    after = turn.after.copy(stack=False)
    for reply in turn.after.generate_legal_captures():
        after.push(reply)
        if not reaches(turn.goal, probe(after)):
            return _taken(turn.after, reply)
        after.pop()
    return ""


def _taken(board: chess.Board, capture: chess.Move) -> str:
    return chess.piece_name(board.piece_type_at(capture.to_square) or chess.PAWN)


def _safe_move(turn: Turn) -> JudgedMove | None:
    """A best move that leaves no piece to be taken, if the move made is slower and leaves one."""
    if not turn.keeps or turn.is_best or turn.board.is_capture(turn.played.move):
        return None
    if not _lost_piece(turn.after):
        return None
    best = (judged for judged in turn.judged if judged.outcome == turn.before)
    return next((judged for judged in best if not _lost_piece(_after(turn.board, judged.move))), None)


def _after(board: chess.Board, move: chess.Move) -> chess.Board:
    after = board.copy(stack=False)
    after.push(move)
    return after


def _lost_piece(after: chess.Board) -> str:
    """A piece (no pawn) that can be taken at once and not retaken, or ""."""
    for reply in after.generate_legal_captures():
        taken = _taken(after, reply)
        retaken = _after(after, reply)
        if taken != "pawn" and not any(move.to_square == reply.to_square for move in retaken.legal_moves):
            return taken
    return ""
