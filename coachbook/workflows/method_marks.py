"""What the rules of a method look at, as marks on a board: box, fence, square of the pawn, key squares."""

import chess

from coachbook.exercises.board_facts import key_squares, square_of_pawn
from coachbook.method.border import attacker, find_ending, from_board
from coachbook.method.box import region, walls
from coachbook.method.positions import Bits, Positions
from coachbook.method.queen_box import meeting_square
from coachbook.method.rules import Method
from coachbook.model.position import Marks


def marks_after(method: Method, board: chess.Board) -> Marks:
    """What the lesson is about on a board after a move of the method, for either colour as attacker; nothing
    where the board has another ending by now."""
    if find_ending(board) not in method.endings:
        return Marks()
    marks = lesson_marks(method, from_board(board))
    return marks if attacker(board) == chess.WHITE else _mirrored(marks)


def lesson_marks(method: Method, after: Positions) -> Marks:
    """The same for one position, in which the attacker is White."""
    if method.name == "queen-box":
        return Marks(shaded=(int(meeting_square(after)[0]),), outlined=_squares(walls(after)))
    if method.name == "rook-box":
        return Marks(outlined=_squares(region(after)))
    if after.pieces == "P":
        pawn = int(after.piece[0])
        return Marks(shaded=key_squares(pawn), outlined=square_of_pawn(pawn))
    return Marks(shaded=_fences(after) if not after.has_his_rook else _cut_off(after))


def _mirrored(marks: Marks) -> Marks:
    """Shades and outlines with the ranks reversed."""
    shaded, outlined = (tuple(map(chess.square_mirror, each)) for each in (marks.shaded, marks.outlined))
    return Marks(shaded, outlined)


def _squares(bits: Bits) -> tuple[int, ...]:
    return tuple(chess.SquareSet(int(bits[0])))


def _cut_off(after: Positions) -> tuple[int, ...]:
    """The file of the rook, where it lies between the kings."""
    king, rook, lone = (chess.square_file(int(man[0])) for man in (after.king, after.piece, after.lone))
    between = min(king, lone) < rook < max(king, lone)
    return tuple(chess.SquareSet(chess.BB_FILES[rook])) if between else ()


def _fences(after: Positions) -> tuple[int, ...]:
    """The ranks and files of pieces that lie between the kings."""
    kings = int(after.king[0]), int(after.lone[0])
    found = chess.SquareSet()
    for piece in (int(man[0]) for man in after.others):
        for place, lines in ((chess.square_rank, chess.BB_RANKS), (chess.square_file, chess.BB_FILES)):
            low, high = sorted(map(place, kings))
            if low < place(piece) < high:
                found |= lines[place(piece)]
    return tuple(found)
