"""Whether the name of a slip is literally true of a wrong answer: each name by its own plain words.

The rules of chess, the published tables, and boxes counted square by square; nothing that coachbook names
or decides. Where several names are true of an answer, any of them will do here.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import chess

from coachbook.model.facts import Slip
from coachbook.model.worksheet import Exercise
from tests.exercises.answers import placed, to_place
from tests.judges import box, moves, pawn
from tests.judges.moves import after
from tests.judges.published import Published

NONE = ("-", "none", "no move")
"""Answers that there is no such move."""
_NOT_DONE = (Slip.NO_OPPOSITION, Slip.AGAINST_RULE, Slip.MISSED_SMALLER_BOX)
"""What is also true of who says that no move does what is asked for."""


@dataclass(frozen=True, slots=True)
class Said:
    """A wrong answer: the text, the legal moves in it, and its squares, number or option as `things`.

    `others` says that a part of it is a move which only the other side could make, `impossible` that a part
    reads as a move which nobody could make, `noise` that a part means nothing.
    """

    text: str
    moves: tuple[chess.Move, ...] = ()
    things: frozenset[str] = frozenset()
    others: bool = False
    impossible: bool = False
    noise: bool = False


def is_literally_true(
    slip: str, exercise: Exercise, right: set[str], said: Said, published: Published
) -> bool:
    """Whether a slip's name is true of an answer; `right` is the answer as it should be (`answers`)."""
    board = chess.Board(exercise.position.fen)
    if slip.startswith("slower:"):
        return any(_slower(board, move, slip, published) for move in said.moves)
    by_move = _OF_A_MOVE.get(Slip(slip))
    if said.text in NONE and slip in _NOT_DONE:
        return True
    if "Put a" in exercise.task.words and slip in (Slip.STALEMATE, Slip.PIECE_LOST):
        return any(_is_so_placed(slip, exercise, square) for square in said.things)
    if by_move is not None:
        return any(by_move(exercise, board, move, published) for move in said.moves)
    written = said.things | {move.uci() for move in said.moves}
    result = published.result(board)
    return {
        Slip.NOT_TRIED: not any(map(str.isalnum, said.text)),
        Slip.UNREADABLE: said.noise,
        Slip.ILLEGAL: said.impossible,
        Slip.MISREAD_SIDE: said.others,
        Slip.MISSED_MATE: bool(right - written) and (right == {"mate"} or "mate" in exercise.task.words),
        Slip.MISSED_STALEMATE: bool(right - written)
        and ("stalemate" in right or "stalemate" in exercise.task.words),
        Slip.WRONG_COUNT: "How many" in exercise.task.words and not written <= right,
        Slip.WIN_NOT_SEEN: result != 0 and not right <= written,
        Slip.DRAW_NOT_SEEN: result == 0 and not right <= written,
        Slip.MISJUDGED: not written <= right,
        Slip.WRONG_SQUARE: not written <= right,
        Slip.MISSED_DANGER: "no-go" in exercise.task.words and not right <= written,
        Slip.MISSED_SQUARE: not right <= written,
        Slip.MISCOUNTED_MOVES: "How many moves" in exercise.task.words
        and not _counts(written) <= _counts(right),
        Slip.WRONG_RULE: "rule" in exercise.task.words and not written <= right,
        Slip.LINE_UNFINISHED: "next three moves" in exercise.task.words and not right <= written,
        Slip.RULE_NOT_KNOWN: "the rule go on" in exercise.task.words and not written <= right,
    }[Slip(slip)]


def _counts(races: Iterable[str]) -> set[str]:
    """The numbers of moves, without who queens first."""
    return {race.rpartition(", ")[0] for race in races}


def _is_so_placed(slip: str, exercise: Exercise, square: str) -> bool:
    """Whether the man on this square stalemates, or can be taken."""
    man, _ = to_place(exercise.task.words)
    board = placed(exercise.position.fen, man, chess.parse_square(square))
    return moves.status(board) == "stalemate" if slip == Slip.STALEMATE else moves.can_take(board)


def _stalemates(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    return moves.status(after(board, move)) == "stalemate"


def _loses_a_piece(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    """The other side can take a piece, no pawn, and comes out ahead of where it was before the move."""
    return moves.loses_a_piece(board, move)


def _not_mate(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    return moves.status(after(board, move)) != "mate"


def _not_stalemate(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    return moves.status(after(board, move)) != "stalemate"


def _throws_a_win(_: Exercise, board: chess.Board, move: chess.Move, published: Published) -> bool:
    return published.result(board) == 1 and -published.result(after(board, move)) < 1


def _throws_a_draw(_: Exercise, board: chess.Board, move: chess.Move, published: Published) -> bool:
    return published.result(board) == 0 and published.result(after(board, move)) == 1


def _slower(board: chess.Board, move: chess.Move, slip: str, published: Published) -> bool:
    """By exactly so many moves, where three men are there; else that it wins, and not as fast as can be."""
    then = after(board, move)
    mates = moves.mates(board.fen())
    if -published.result(then) < 1 or move.uci() in (mates or moves.mates_in_two(board.fen())):
        return False
    if len(then.piece_map()) > 3:
        return True
    more = published.mates_in(then) - (not mates)
    return slip == f"slower:{more}"


def _box_grew(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    return box.size(after(board, move)) > box.size(board)


def _smaller_was_there(exercise: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    made = box.size(after(board, move))
    better = [after(board, board.parse_san(san)) for san in exercise.answer.accepted]
    return any(box.size(each) < made for each in better)


def _not_right(exercise: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    return move not in map(board.parse_san, exercise.answer.accepted)


def _no_opposition(_: Exercise, board: chess.Board, move: chess.Move, __: Published) -> bool:
    """The kings don't stand with one square between them, on a rank or a file."""
    return not pawn.face_each_other(after(board, move))


_OF_A_MOVE: dict[Slip, Callable[[Exercise, chess.Board, chess.Move, Published], bool]] = {
    Slip.STALEMATE: _stalemates,
    Slip.PIECE_LOST: _loses_a_piece,
    Slip.NOT_MATE: _not_mate,
    Slip.NOT_STALEMATE: _not_stalemate,
    Slip.WIN_THROWN_AWAY: _throws_a_win,
    Slip.DRAW_THROWN_AWAY: _throws_a_draw,
    Slip.BOX_GREW: _box_grew,
    Slip.MISSED_SMALLER_BOX: _smaller_was_there,
    Slip.NOT_BEST_BOX: _not_right,
    Slip.NO_OPPOSITION: _no_opposition,
    Slip.AGAINST_RULE: _not_right,
}
