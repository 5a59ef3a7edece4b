"""Whether what a demonstration claims of its moves is true, and which squares are marked with it; the forms
stand in `model.shown_claims`."""

from collections.abc import Callable
from dataclasses import dataclass

import chess

from coachbook.endgame.probe import Result, after_move, keeping_moves, probe
from coachbook.errors import CoachbookError
from coachbook.exercises.board_facts import arrow, key_squares, square_of_pawn
from coachbook.exercises.box_moves import box_size
from coachbook.exercises.solution_lines import faces
from coachbook.method.border import attacker, from_board
from coachbook.method.box import NO_BOX, region, walls
from coachbook.model.position import Marks
from coachbook.model.shown_claims import ShownClaim, claims_in, read_claim
from coachbook.model.syllabus import Show


@dataclass(frozen=True, slots=True)
class Moment:
    """A move of a demonstration: the position before it, the move, and the student's side."""

    before: chess.Board
    move: chess.Move
    student: chess.Color

    @property
    def after(self) -> chess.Board:
        return after_move(self.before, self.move)

    def instead(self, san: str) -> chess.Board | None:
        """The position after another move; None if there is none of this exact name, or it is the move."""
        try:
            move = self.before.parse_san(san)
        except ValueError:
            return None
        is_other = move != self.move and self.before.san(move).rstrip("+#") == san.rstrip("+#")
        return after_move(self.before, move) if is_other else None


def moments_of(show: Show) -> tuple[Moment, ...]:
    """The moves of a line that is shown; each can be made."""
    board = chess.Board(show.fen)
    student, moments = board.turn, list[Moment]()
    for shown in show.line:
        moment = Moment(board, board.parse_san(shown.san), student)
        moments.append(moment)
        board = moment.after
    return tuple(moments)


def is_true(claim: ShownClaim, moment: Moment) -> bool:
    """Whether a claim is true of a move. One that can't be said of such men is not."""
    return _CHECKS[claim.form](moment, *claim.given)


def box_of(board: chess.Board) -> int | None:
    """How many squares the lone king's box has; None where there is none."""
    try:
        positions = from_board(board)
    except CoachbookError:
        return None
    if positions.pieces not in ("Q", "R"):
        return None
    found = int(box_size(positions)[0])
    return None if found == NO_BOX else found


def _box_goes(moment: Moment, was: str, now: str) -> bool:
    return (box_of(moment.before), box_of(moment.after)) == (int(was), int(now))


def _squares(moment: Moment, number: str) -> bool:
    after = moment.after
    return sum(1 for _ in after.generate_legal_moves(after.kings)) == int(number)


def _mates_in(moment: Moment, number: str) -> bool:
    after = moment.after
    outcome = probe(after)
    wins = (outcome.result is Result.WIN) == (after.turn == moment.student)
    return outcome.moves == int(number) and wins


def _new_queen(moment: Moment) -> bool:
    after = moment.after
    queens = after.pieces(chess.QUEEN, moment.student)
    promoted = moment.move.promotion == chess.QUEEN and moment.before.turn == moment.student
    taken = any(move.to_square in queens for move in after.legal_moves)
    return promoted and not taken and probe(after).result is Result.LOSS


def _man_won(moment: Moment) -> bool:
    after, alone = moment.after, moment.after.occupied_co[not moment.student].bit_count() == 1
    wanted = Result.WIN if after.turn == moment.student else Result.LOSS
    return alone and moment.before.is_capture(moment.move) and probe(after).result is wanted


def _in_corner(moment: Moment) -> bool:
    return bool(chess.BB_SQUARES[moment.after.king(moment.after.turn) or 0] & chess.BB_CORNERS)


def _faces(moment: Moment) -> bool:
    after = moment.after
    return faces(after.king(chess.WHITE) or 0, after.king(chess.BLACK))


def pawn_of(board: chess.Board) -> tuple[chess.Square, chess.Color] | None:
    """The one pawn on the board, seen as a white one, and its side."""
    pawns = chess.SquareSet(board.pawns)
    if len(pawns) != 1:
        return None
    pawn = pawns.pop()
    side = bool(board.occupied_co[chess.WHITE] & chess.BB_SQUARES[pawn])
    return (pawn if side else chess.square_mirror(pawn)), side


def _king_of(board: chess.Board, king: chess.Color, side: chess.Color) -> chess.Square:
    """Where a king stands, the board seen with `side` as White."""
    square = board.king(king) or 0
    return square if side else chess.square_mirror(square)


def _on_key_square(moment: Moment) -> bool:
    found = pawn_of(moment.after)
    if found is None:
        return False
    pawn, side = found
    return _king_of(moment.after, side, side) in key_squares(pawn)


def _is_in_square(moment: Moment) -> bool | None:
    found = pawn_of(moment.after)
    if found is None:
        return None
    pawn, side = found
    return _king_of(moment.after, not side, side) in square_of_pawn(pawn)


def _is_only_move(moment: Moment) -> bool:
    return keeping_moves(moment.before) == (moment.move,)


def _instead(ends: Callable[[chess.Board], bool]) -> Callable[[Moment, str], bool]:
    def check(moment: Moment, san: str) -> bool:
        other = moment.instead(san)
        return other is not None and ends(other)

    return check


def _loses_man(moment: Moment, man: str, san: str) -> bool:
    other = moment.instead(san)
    if other is None:
        return False
    takes = (
        move for move in other.generate_legal_captures() if other.kings & chess.BB_SQUARES[move.from_square]
    )
    return any(other.piece_type_at(move.to_square) == _MEN[man] for move in takes)


_MEN = {name: piece for piece, name in enumerate(chess.PIECE_NAMES) if name}


def _guards(moment: Moment, man: str, squares: str) -> bool:
    after, side = moment.after, moment.before.turn
    guarded = chess.SquareSet()
    for square in after.pieces(_MEN[man], side):
        guarded |= after.attacks(square)
    return all(chess.parse_square(square) in guarded for square in squares.split())


def _attacks(moment: Moment, man: str, other: str) -> bool:
    after, side = moment.after, moment.before.turn
    attacked = after.pieces(_MEN[other], not side)
    return any(after.attacks(square) & attacked for square in after.pieces(_MEN[man], side))


_CHECKS: dict[str, Callable[..., bool]] = {
    "box N to N": _box_goes,
    "box N": lambda moment, number: box_of(moment.after) == int(number),
    "squares N": _squares,
    "mate": lambda moment: moment.after.is_checkmate(),
    "stalemate": lambda moment: moment.after.is_stalemate(),
    "draw": lambda moment: probe(moment.after).result is Result.DRAW,
    "too few men": lambda moment: moment.after.is_insufficient_material(),
    "mate in N": _mates_in,
    "new queen": _new_queen,
    "man won": _man_won,
    "corner": _in_corner,
    "opposition": _faces,
    "key square": _on_key_square,
    "inside the square": lambda moment: _is_in_square(moment) is True,
    "outside the square": lambda moment: _is_in_square(moment) is False,
    "only move": _is_only_move,
    "mate if MOVE": _instead(chess.Board.is_checkmate),
    "stalemate if MOVE": _instead(chess.Board.is_stalemate),
    "draw if MOVE": _instead(lambda board: probe(board).result is Result.DRAW),
    "loss if MOVE": _instead(lambda board: probe(board).result is Result.WIN),
    "MAN lost if MOVE": _loses_man,
    "MAN guards SQUARES": _guards,
    "MAN attacks MAN": _attacks,
}


_Squares = tuple[chess.Square, ...]


def marks_of(words: str, moment: Moment) -> Marks:
    """Of a move and what is said with it, whose claims are true."""
    claims = [claim for text in claims_in(words) if (claim := read_claim(text)) is not None]
    return Marks(
        shaded=_marked_squares(claims, moment, _SHADED),
        outlined=_marked_squares(claims, moment, _OUTLINED),
        arrows=(arrow(moment.move),),
    )


def _marked_squares(
    claims: list[ShownClaim], moment: Moment, of: dict[str, Callable[..., _Squares]]
) -> _Squares:
    told = [of[claim.form](moment, *claim.given) for claim in claims if claim.form in of]
    return tuple(sorted({square for squares in told for square in squares}))


def _box(moment: Moment, *_: str) -> _Squares:
    """The lone king's box after the move."""
    board = moment.after
    try:
        positions = from_board(board)
    except CoachbookError:
        return ()
    inside = chess.SquareSet(int(positions.see(region if positions.pieces == "R" else walls)[0]))
    return tuple(inside if attacker(board) == chess.WHITE else inside.mirror())


def _of_pawn(squares: Callable[[chess.Square], _Squares], moment: Moment) -> _Squares:
    found = pawn_of(moment.after)
    if found is None:
        return ()
    pawn, side = found
    return tuple(square if side else chess.square_mirror(square) for square in squares(pawn))


def _between_kings(moment: Moment) -> _Squares:
    kings = [moment.after.king(side) or 0 for side in chess.COLORS]
    return tuple(chess.SquareSet(chess.between(*kings)))


def _named(_: Moment, __: str, squares: str) -> _Squares:
    return tuple(map(chess.parse_square, squares.split()))


_SHADED: dict[str, Callable[..., _Squares]] = {
    "opposition": _between_kings,
    "key square": lambda moment: _of_pawn(key_squares, moment),
    "MAN guards SQUARES": _named,
}
_OUTLINED: dict[str, Callable[..., _Squares]] = {
    "box N to N": _box,
    "box N": _box,
    "inside the square": lambda moment: _of_pawn(square_of_pawn, moment),
    "outside the square": lambda moment: _of_pawn(square_of_pawn, moment),
}
