"""Every question answered anew: by trying all moves, by walking about, in the published tables.

None of this uses coachbook's tables, its methods, its verifier or what an exercise says is right. A question
has the name of a kind that asks it; other kinds may ask it, too, and what one asks is told by its claims.
"""

from collections.abc import Callable
from functools import cache

import chess

from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import accepted_words
from tests.exercises import naive_methods
from tests.judges import box, colours, double_attack, moves, pawn
from tests.judges.published import Published

NEEDS_ALL = {"every_mate", "stalemate_moves"}
"""Where each right move must be written; elsewhere one will do."""


def answered(exercise: Exercise) -> set[str]:
    """The answer as on the key: moves (UCI), squares, a number, or an option."""
    if exercise.answer.form is not AnswerForm.MOVES:
        return set(accepted_words(exercise.answer))
    board = chess.Board(exercise.position.fen)
    return {board.parse_san(san).uci() for san in exercise.answer.accepted}


def question(exercise: Exercise) -> str:
    """What an exercise asks, by the first claim that is about an answer of its form."""
    asked = ((claim.claim, exercise.answer.form) for claim in exercise.claims)
    return next(QUESTIONS[each] for each in asked if each in QUESTIONS)


def answer(exercise: Exercise, published: Published) -> set[str]:
    """The answer as it should be."""
    return ANSWERS[question(exercise)](exercise.position.fen, published)


def man(fen: str, letters: str) -> str:
    """The square of the one man with one of these letters."""
    (square,) = (square for square, man in chess.Board(fen).piece_map().items() if man.symbol() in letters)
    return chess.square_name(square)


def _win_or_draw(fen: str, published: Published) -> set[str]:
    board = chess.Board(fen)
    result = published.result(board) * (1 if board.turn else -1)
    assert result >= 0
    return {"White wins" if result else "draw"}


def _catch_pawn(fen: str, published: Published) -> set[str]:
    """By the rule of the square, and by the tables."""
    steps = {chess.square_name(move.to_square) for move in chess.Board(fen).legal_moves}
    inside = bool(steps & pawn.square_of_pawn(man(fen, "P")))
    assert inside == (published.result(chess.Board(fen)) == 0)
    return {"yes" if inside else "no"}


def _key_squares(fen: str, published: Published) -> set[str]:
    at = man(fen, "P")
    squares = pawn.key_squares(at)
    assert all(_wins_from(published, at, square) for square in squares)
    return squares


@cache
def _wins_from(published: Published, at: str, king: str) -> bool:
    """White, to move, wins wherever the lone king stands; a rook's pawn: on the two last ranks."""
    for lone in chess.SQUARE_NAMES:
        if lone not in (at, king) and (at[0] not in "ah" or lone[1] in "78"):
            board = moves.placed(f"P{at} K{king} k{lone}")
            if board.is_valid() and published.result(board) < 1:
                return False
    return True


def drawn(fen: str) -> set[str]:
    """The pawn's square on the lone king's side."""
    return pawn.drawn_square(man(fen, "P"), man(fen, "k"))


def _right_corner(fen: str, published: Published) -> set[str]:
    """By the colours; and White wins just with the right bishop."""
    right = f"{man(fen, 'P')[0]}8" in colours.corners_of(man(fen, "B"))
    assert right == (published.result(chess.Board(fen)) == 1)
    return {"right" if right else "wrong"}


def smallest(fen: str) -> tuple[int, set[str]]:
    """The smallest box that leaves two squares and loses nothing, and the moves (UCI) that make it.

    A queen's box is the one by walls, a rook's is where he can walk.
    """
    board, piece = chess.Board(fen), man(fen, "QR")
    sizes: dict[str, int] = {}
    for after in moves.after_each(board):
        move = after.peek().uci()
        if move[:2] == piece and not moves.can_take(after) and naive_methods.room(after) > 1:
            sizes[move] = naive_methods.size(after)
    least = min(sizes.values())
    assert least < naive_methods.size(board)
    return least, {move for move, found in sizes.items() if found == least}


ANSWERS: dict[str, Callable[[str, Published], set[str]]] = {
    "box_size": lambda fen, _: {str(len(box.walls(chess.Board(fen))))},
    "box_walls": lambda fen, _: box.fence(chess.Board(fen)),
    "catch_pawn": _catch_pawn,
    "draw_square": lambda fen, _: pawn.corners(drawn(fen)),
    "every_mate": lambda fen, _: moves.mates(fen),
    "final_position": lambda fen, _: {moves.status(chess.Board(fen))},
    "fork_square": lambda fen, _: double_attack.forks(fen),
    "key_squares": _key_squares,
    "mating_corners": lambda fen, _: colours.corners_of(man(fen, "B")),
    "mate_in_two": lambda fen, _: moves.mates(fen) or set(moves.mates_in_two(fen)),
    "next_rule": lambda fen, _: {naive_methods.decide(fen)[0]},
    "no_go_squares": lambda fen, _: moves.lost_squares(fen, man(fen, "QR")),
    "only_move": lambda fen, published: published.keeping(chess.Board(fen)),
    "opposition": lambda fen, _: pawn.opposition(fen),
    "right_corner": _right_corner,
    "shrink_or_king": lambda fen, _: naive_methods.decide(fen)[1],
    "smallest_box": lambda fen, _: smallest(fen)[1],
    "stalemate_moves": lambda fen, _: moves.stalemates(fen),
    "win_or_draw": _win_or_draw,
}

QUESTIONS = {
    ("walls_are", AnswerForm.NUMBER): "box_size",
    ("region_is", AnswerForm.NUMBER): "box_size",
    ("square_of_pawn", AnswerForm.CHOICE): "catch_pawn",
    ("all_mates", AnswerForm.MOVES): "every_mate",
    ("final_status", AnswerForm.CHOICE): "final_position",
    ("key_squares", AnswerForm.SQUARES): "key_squares",
    ("fastest_mates", AnswerForm.MOVES): "mate_in_two",
    ("method_rule", AnswerForm.CHOICE): "next_rule",
    ("throwing_squares", AnswerForm.SQUARES): "no_go_squares",
    ("keeping_moves", AnswerForm.MOVES): "only_move",
    ("takes_opposition", AnswerForm.MOVES): "opposition",
    ("method_rule", AnswerForm.MOVES): "shrink_or_king",
    ("smallest_box", AnswerForm.MOVES): "smallest_box",
    ("all_stalemates", AnswerForm.MOVES): "stalemate_moves",
    ("result_is", AnswerForm.CHOICE): "win_or_draw",
    ("square_corners", AnswerForm.SQUARES): "draw_square",
    ("box_walls", AnswerForm.SQUARES): "box_walls",
    ("fork_squares", AnswerForm.SQUARES): "fork_square",
    ("right_bishop", AnswerForm.CHOICE): "right_corner",
    ("bishop_corners", AnswerForm.SQUARES): "mating_corners",
}
"""By the claim on which an answer rests, and the form of the answer."""
