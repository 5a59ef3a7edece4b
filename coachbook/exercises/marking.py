"""Marking: whether what a student wrote is right, and if not, which slip it was.

Right or wrong depends on the stored answer and the rules of chess only, so that a sheet can be
marked years later, whatever has become of the kind that made it. (Only a number typed for a rule, on
a sheet that printed none, must also be that of today's card: see `answers_read`.)

An answer that is not right is called, in this order: not tried; unreadable, for nothing is known of
it; illegal, or misread the side to move; then what is said of a wrong move; and last, if
all that stands there is right, that something is missing. Of several moves the first that is not
right gives the name. Where one move is asked for and a line begins with it, only that move counts. In a
line that is asked for each move is judged where it is made.

A wrong move is called by the first of these that is true of it:

1. where stalemates are asked for, that it is none: nobody means to play such a move;
2. it stalemates, or it loses a piece (a pawn is none): what a child sees at once when a coach plays it;
3. where the opposition is asked for, that it takes none, on a rank or a file: this says why a result
   is thrown away;
4. it throws a win or a draw away, by the exact tables;
5. where the quickest mate is asked for, by how many moves it is slower, by the tables;
6. where the exercise is about the box, that it grew, or that a smaller one was missed;
7. what the exercise itself calls a wrong answer.

The tables are asked only from step 4 on. The box is the one that the exercise means: the queen's is the
rectangle, the rook's the region (see `box_moves`).
"""

import re
from collections.abc import Set
from dataclasses import dataclass, replace

import chess

from coachbook.endgame.material import UnknownEndingError
from coachbook.endgame.probe import Result, after_move, probe
from coachbook.exercises.answers_read import (
    Several,
    asked_moves,
    fitting_options,
    read_line,
    read_number,
    read_race,
    what_follows,
)
from coachbook.exercises.board_facts import WORTH
from coachbook.exercises.box_moves import box_size
from coachbook.exercises.notation import ENGLISH, MEN, NoMove, says_none, split_moves
from coachbook.method.border import from_board
from coachbook.method.box import rectangle_size, region_size, walls_size
from coachbook.method.positions import Feature, Numbers
from coachbook.method.queen_box import QUEEN_BOX
from coachbook.method.rook_box import ROOK_BOX
from coachbook.model.claims import Claim, MethodLine, MethodRule, PlacingSquares, ShrinkOrKing, SmallestBox
from coachbook.model.facts import Slip, slower
from coachbook.model.worksheet import Answer, AnswerForm, Exercise

_THROWN = (Slip.WIN_THROWN_AWAY, Slip.DRAW_THROWN_AWAY)
_MEASURES: dict[str, Feature[Numbers]] = {
    "rectangle": box_size,
    "walls": walls_size,
    "region": region_size,
    QUEEN_BOX.name: rectangle_size,
    ROOK_BOX.name: region_size,
}


def name_wrong_move(exercise: Exercise, board: chess.Board, move: chess.Move) -> str:
    """The slip of a legal move in the exercise's position that is no right answer (see above)."""
    own = exercise.answer.wrong
    if own == Slip.NOT_STALEMATE:
        return own
    after = after_move(board, move)
    if after.is_stalemate():
        return Slip.STALEMATE
    if _loses_piece(board, move, after):
        return Slip.PIECE_LOST
    if own == Slip.NO_OPPOSITION and not _in_opposition(after):
        return own
    if own in _THROWN:
        return own
    return _name_by_tables(board, after, own) or _name_by_box(exercise, board, after) or own


def name_wrong_square(exercise: Exercise, square: chess.Square) -> str:
    """The slip of a square that is no right answer. A man placed there is named like one that moved there."""
    own, board = exercise.answer.wrong, chess.Board(exercise.position.fen)
    placing = next((claim for claim in exercise.claims if isinstance(claim, PlacingSquares)), None)
    if placing is None or board.piece_at(square):
        return own
    board.set_piece_at(square, chess.Piece(chess.PIECE_NAMES.index(placing.man), chess.WHITE))
    if board.is_stalemate():
        return Slip.STALEMATE
    return Slip.PIECE_LOST if any(map(board.is_capture, board.legal_moves)) else own


def name_missing(exercise: Exercise) -> str:
    """The slip of an answer that says "none", or not enough."""
    missed = exercise.answer.missed or exercise.answer.wrong
    return Slip.MISSED_SMALLER_BOX if missed == Slip.NOT_BEST_BOX else missed


def _loses_piece(board: chess.Board, move: chess.Move, after: chess.Board) -> bool:
    """Whether a piece (no pawn) can be taken after a move that brought in less."""
    gained = _worth_at(board, move.to_square)
    return any(_lost_by(after, reply) > gained for reply in after.generate_legal_captures())


def _lost_by(board: chess.Board, capture: chess.Move) -> int:
    """What a capture of a piece costs who loses it, if he takes back where he can; 0 for a pawn."""
    taken, taker = (_worth_at(board, square) for square in (capture.to_square, capture.from_square))
    if taken <= WORTH[chess.PAWN]:
        return 0
    back = any(reply.to_square == capture.to_square for reply in after_move(board, capture).legal_moves)
    return taken - taker if back else taken


def _worth_at(board: chess.Board, square: chess.Square) -> int:
    return WORTH[kind] if (kind := board.piece_type_at(square)) else 0


def _in_opposition(board: chess.Board) -> bool:
    """Whether the kings stand with one square between them, on a rank or a file."""
    one, other = board.king(chess.WHITE), board.king(chess.BLACK)
    if one is None or other is None:
        return False
    apart = {abs(of(one) - of(other)) for of in (chess.square_file, chess.square_rank)}
    return apart == {0, 2}


def _name_by_tables(board: chess.Board, after: chess.Board, own: str) -> str:
    """WIN_THROWN_AWAY, DRAW_THROWN_AWAY, by how much it is slower, or "": the tables know no slip."""
    try:
        before, reached = probe(board), probe(after)
    except UnknownEndingError:
        return ""
    if -reached.result < before.result:
        return Slip.WIN_THROWN_AWAY if before.result is Result.WIN else Slip.DRAW_THROWN_AWAY
    if own == Slip.NOT_QUICKEST and before.moves is not None and reached.moves is not None:
        return slower(reached.moves + 1 - before.moves)
    return ""


def _name_by_box(exercise: Exercise, board: chess.Board, after: chess.Board) -> str:
    """BOX_GREW, MISSED_SMALLER_BOX, or "": it is not about a box, or the box is small enough.

    A smaller box is missed if a right move of the piece makes it.
    """
    measure = next(filter(None, map(_measure, exercise.claims)), None)
    if measure is None:
        return ""
    before, made = (measure(from_board(each))[0] for each in (board, after))
    if made > before:
        return Slip.BOX_GREW
    right = [board.parse_san(san) for san in exercise.answer.accepted]
    shrinking = [move for move in right if board.piece_type_at(move.from_square) != chess.KING]
    if any(measure(from_board(after_move(board, move)))[0] < made for move in shrinking):
        return Slip.MISSED_SMALLER_BOX
    return ""


def _measure(claim: Claim) -> Feature[Numbers] | None:
    """How the box of a claim is measured; None if it speaks of none."""
    match claim:
        case ShrinkOrKing():
            return box_size
        case SmallestBox():
            return _MEASURES[claim.measure]
        case MethodRule() | MethodLine():
            return _MEASURES.get(claim.method)
        case _:
            return None


@dataclass(frozen=True, slots=True)
class Mark:
    """Right or wrong; `slip` is "" for a right answer."""

    right: bool
    slip: str = ""


RIGHT = Mark(True)


def mark_answer(exercise: Exercise, written: str, letters: str | None = None) -> Mark:
    """The mark for what a student wrote, as the coach typed it; any text can be marked.

    A blank, or signs that say nothing such as "?", is not tried; but "#" is mate and "=" a draw where that
    is to be ticked. A dash is not tried either, but where moves are asked for it means "none".

    `letters` are five signs of the club for king, queen, rook, bishop and knight, such as KDTLS
    (German) or RDTAC (Spanish, where R is the king); None for English ones. Each move is read with
    the club's letters first; if they give no legal move but the English ones do, those hold. Text
    that could mean two legal moves by the same letters is unreadable.
    """
    if not any(map(str.isalnum, written)) and not _is_sign(exercise, written):
        return Mark(False, Slip.NOT_TRIED)
    match exercise.answer.form:
        case AnswerForm.MOVES:
            return _mark_moves(exercise, written, letters)
        case AnswerForm.CHOICE:
            return _mark_choice(exercise, written, letters)
        case AnswerForm.NUMBER:
            return _mark_number(exercise.answer, written)
        case AnswerForm.SQUARES:
            return _mark_squares(exercise, written, letters)
        case AnswerForm.RACE:
            return _mark_race(exercise.answer, written)
        case AnswerForm.LINE:
            return _mark_line(exercise, written, letters)


def _is_sign(exercise: Exercise, written: str) -> bool:
    """Whether signs without a letter or digit are an answer: a dash for "none", or such as "=" for a draw."""
    if exercise.answer.form is AnswerForm.MOVES:
        return says_none(written)
    return bool(fitting_options(exercise, written))


def _mark_choice(exercise: Exercise, written: str, letters: str | None) -> Mark:
    answer, chosen = exercise.answer, fitting_options(exercise, written, letters)
    if len(chosen) != 1:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if chosen[0] in answer.accepted else Mark(False, answer.wrong)


def _mark_number(answer: Answer, written: str) -> Mark:
    number = read_number(written)
    if number is None:
        return Mark(False, Slip.UNREADABLE)
    return RIGHT if str(number) in answer.accepted else Mark(False, answer.wrong)


def _mark_race(answer: Answer, written: str) -> Mark:
    """The numbers are looked at first: who counts wrong may still judge his own count rightly."""
    read = read_race(written)
    if read is None:
        return Mark(False, Slip.UNREADABLE)
    right = tuple(answer.accepted[0].split())
    if read[:2] != right[:2]:
        return Mark(False, answer.wrong)
    return RIGHT if read == right else Mark(False, answer.missed)


def _mark_squares(exercise: Exercise, written: str, letters: str | None) -> Mark:
    """Squares in any order, with anything but letters and digits between them; the man that is to be put
    there may be named before each ("Qf5", "queen on f5")."""
    answer, men = exercise.answer, ENGLISH.casefold() + (letters or "").casefold()
    said = re.findall(r"[^\W_]+", written.casefold())
    parts = [re.sub(rf"^[{men}](?=[a-h][1-8])", "", part) for part in said if part not in {*_BESIDE, *men}]
    if not parts or not all(re.fullmatch(r"([a-h][1-8])+", part) for part in parts):
        return Mark(False, Slip.UNREADABLE)
    squares = re.findall(r"[a-h][1-8]", " ".join(parts))
    wrong = next((square for square in squares if square not in answer.accepted), None)
    if wrong is not None:
        return Mark(False, name_wrong_square(exercise, chess.parse_square(wrong)))
    enough = not answer.all_needed or set(squares) == set(answer.accepted)
    return RIGHT if enough else Mark(False, answer.missed)


_BESIDE = ("and", "or", "on", *MEN)
"""Words that say nothing about a square beside them."""

_NO_MOVE = {
    NoMove.UNREADABLE: Slip.UNREADABLE,
    NoMove.ILLEGAL: Slip.ILLEGAL,
    NoMove.OTHER_SIDE: Slip.MISREAD_SIDE,
}


def _mark_moves(exercise: Exercise, written: str, letters: str | None) -> Mark:
    board, answer = chess.Board(exercise.position.fen), exercise.answer
    accepted = {board.parse_san(san) for san in answer.accepted}
    moves = () if says_none(written) else _moves_that_count(board, answer, accepted, written, letters)
    for move in moves:
        if isinstance(move, NoMove):
            return Mark(False, _NO_MOVE[move])
        if move not in accepted:
            return Mark(False, name_wrong_move(exercise, board, move))
    enough = set(moves) == accepted if answer.all_needed else bool(moves) or not accepted
    return RIGHT if enough else Mark(False, name_missing(exercise))


def _mark_line(exercise: Exercise, written: str, letters: str | None) -> Mark:
    asked = asked_moves(chess.Board(exercise.position.fen), exercise.answer)
    read = read_line(asked, written, letters)
    if isinstance(read.off, NoMove):
        return Mark(False, _NO_MOVE[read.off])
    if read.off is None:
        return RIGHT if read.right == len(asked) else Mark(False, name_missing(exercise))
    here = asked[read.right].board
    this = replace(
        exercise.answer, form=AnswerForm.MOVES, accepted=(here.san(asked[read.right].move),), replies=()
    )
    return Mark(False, name_wrong_move(replace(exercise, answer=this), here, read.off))


def _moves_that_count(
    board: chess.Board, answer: Answer, accepted: Set[chess.Move], written: str, letters: str | None
) -> tuple[chess.Move | NoMove, ...]:
    """All that is written; but of a right move and the line that it begins only the move, where one is
    asked for."""
    parts = split_moves(written, letters)
    moves = tuple(part.read(board) for part in parts) or (NoMove.UNREADABLE,)
    first = moves[0]
    if answer.all_needed or isinstance(first, NoMove) or first not in accepted or accepted >= {*moves}:
        return moves
    match what_follows(board, first, parts[1:], written):
        case Several.LINE:
            return (first,)
        case Several.LIST:
            return moves
        case Several.DOUBTFUL:
            return (NoMove.UNREADABLE,)
