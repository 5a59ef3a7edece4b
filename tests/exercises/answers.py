"""Every question answered anew: by trying all moves, by walking about, in the published tables.

None of this uses coachbook's tables, its methods, its verifier or what an exercise says is right. A question
has the name of a kind that asks it; other kinds may ask it, too, and what one asks is told by its claims.
"""

import re
from collections.abc import Callable
from functools import cache

import chess

from coachbook.model.worksheet import Answer, AnswerForm, Exercise
from coachbook.wording.exercises import accepted_words
from tests.exercises import naive_methods
from tests.judges import box, colours, double_attack, moves, pawn, race
from tests.judges.published import Published

NEEDS_ALL = {"every_mate", "stalemate_moves"}
"""Where each right move must be written; elsewhere one will do."""
ANY_SQUARE = {"build_position"}
"""Where one of the right squares will do; elsewhere each must be marked."""


def answered(exercise: Exercise) -> set[str]:
    """The answer as on the key: moves (UCI), squares, a number, an option, or the moves of a line (SAN)."""
    if exercise.answer.form is AnswerForm.LINE:
        return {" ".join(exercise.answer.accepted)}
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
    asked = question(exercise)
    if asked in TOLD:
        return TOLD[asked](exercise.position.fen, exercise.task.words)
    if asked in PRINTED:
        return PRINTED[asked](exercise.answer, chess.Board(exercise.position.fen), published)
    return ANSWERS[asked](exercise.position.fen, published)


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


def _box_size(fen: str) -> set[str]:
    """A queen's box is the one by walls, a rook's is where he can walk."""
    return {str(box.size(chess.Board(fen)))}


def drawn(fen: str) -> set[str]:
    """The pawn's square on the lone king's side."""
    return pawn.drawn_square(man(fen, "P"), man(fen, "k"))


def _right_corner(fen: str, published: Published) -> set[str]:
    """By the colours; and White wins just with the right bishop."""
    right = f"{man(fen, 'P')[0]}8" in colours.corners_of(man(fen, "B"))
    assert right == (published.result(chess.Board(fen)) == 1)
    return {"right" if right else "wrong"}


def placed(fen: str, man: str, square: int) -> chess.Board:
    """The position with one more white man, named as in a task."""
    board = chess.Board(fen)
    board.set_piece_at(square, chess.Piece({"queen": chess.QUEEN, "rook": chess.ROOK}[man], chess.WHITE))
    return board


def to_place(task: str) -> tuple[str, str]:
    """Which man a task wants to be placed, and what for."""
    told = re.fullmatch(r"Put a white (\w+) on the board so that it is (\w+)\.", task)
    assert told
    return told[1], told[2]


def _build_position(fen: str, task: str) -> set[str]:
    man, end = to_place(task)
    free = [square for square in chess.SQUARES if not chess.Board(fen).piece_at(square)]
    return {chess.square_name(at) for at in free if moves.status(placed(fen, man, at)) == end}


def never_mates(board: chess.Board) -> bool:
    """Whether White has no more than one bishop or knight, or bishops that all stand on one colour.

    These are dead positions by the Laws of Chess (5.2.2), as the package `chess` lists them, too.
    """
    men = [(at, each.symbol()) for at, each in board.piece_map().items() if each.symbol() in "QRBNP"]
    shades = {(at // 8 + at % 8) % 2 for at, _ in men}
    all_bishops = {symbol for _, symbol in men} == {"B"}
    return not men or [symbol for _, symbol in men] == ["N"] or (all_bishops and len(shades) == 1)


def _enough_to_mate(fen: str, published: Published) -> set[str]:
    """By the tables; and what is not enough can't mate with what is left once the best is taken."""
    board = chess.Board(fen)
    enough = published.result(board) == -1
    if not enough:
        taken = [then for then in moves.after_each(board) if len(then.piece_map()) < len(board.piece_map())]
        assert any(map(never_mates, (board, *taken)))
    return {"yes" if enough else "no"}


def _promotion(fen: str, published: Published) -> set[str]:
    """Yes where the only way to a queen is no stalemate; and then it wins. No where another piece wins."""
    board = chess.Board(fen)
    (queened,) = [each for each in moves.after_each(board) if each.peek().promotion == chess.QUEEN]
    others = [each for each in moves.after_each(board) if each.peek().promotion not in (None, chess.QUEEN)]
    if moves.status(queened) == "stalemate":
        assert any(published.result(each) == -1 for each in others)
        return {"no"}
    assert published.result(queened) == -1
    return {"yes"}


def _race_count(fen: str, _: Published) -> set[str]:
    white, black, first = race.race(fen)
    return {f"White {white}, Black {black}, {first.capitalize()} first"}


TOLD: dict[str, Callable[[str, str], set[str]]] = {"build_position": _build_position}
"""Where the position does not say what is asked, but the words do."""


def smallest(fen: str) -> tuple[int, set[str]]:
    """The smallest box that leaves two squares and loses nothing, and the moves (UCI) that make it."""
    piece = man(fen, "QR")
    sizes = {move: box.size(after) for move, after in _safe(fen).items() if move[:2] == piece}
    least = min(sizes.values())
    return least, {move for move, found in sizes.items() if found == least}


def _shrink_or_king(fen: str) -> set[str]:
    """The moves to the smallest box; where it is no smaller than now, the king's steps nearer."""
    least, right = smallest(fen)
    if least < box.size(chess.Board(fen)):
        return right
    king, lone = (chess.parse_square(man(fen, letter)) for letter in "Kk")
    steps = [chess.Move.from_uci(move) for move in _safe(fen)]
    apart = chess.square_distance(king, lone)
    return {
        step.uci()
        for step in steps
        if step.from_square == king and chess.square_distance(step.to_square, lone) < apart
    }


def _safe(fen: str) -> dict[str, chess.Board]:
    """The moves (UCI) after which nothing can be taken and two squares are left; the board after each."""
    after = moves.after_each(chess.Board(fen))
    return {
        each.peek().uci(): each for each in after if not moves.can_take(each) and len(box.region(each)) > 1
    }


def next_moves(answer: Answer, board: chess.Board, _: Published) -> set[str]:
    """What the card leaves, one move each time, if he replies as it is printed."""
    sans = []
    for reply in (*answer.replies, ""):
        (move,) = naive_methods.decide(board.fen(), by_card=True)[1]
        sans.append(board.san(chess.Move.from_uci(move)))
        board.push_uci(move)
        if reply:
            board.push_san(reply)
    return {" ".join(sans)}


def _mistake(answer: Answer, board: chess.Board, published: Published) -> set[str]:
    """The one move after which a position that was won is a draw, and stays one."""
    worth = list[int]()
    for pair in answer.options:
        number, san, reply = pair.split()
        assert number == f"{len(worth) + 1}."
        board.push_san(san)
        worth.append(-published.result(board))
        board.push_san(reply)
        assert published.result(board) == worth[-1]
    thrown = worth.index(0)
    assert set(worth[:thrown]) <= {1}
    assert set(worth[thrown:]) == {0}
    assert thrown < len(worth) - 1
    return {answer.options[thrown]}


ENDS = {
    ("Q", "make the box smaller"): "leave him at least two squares",
    ("Q", "bring the king"): "the meeting square",
    ("Q", "make another box"): "leaves him at least two squares",
    ("R", "make the box smaller"): "the rook at most two steps from your king",
    ("R", "wait with the rook"): "the rook moves, same box",
    ("R", "king to the rook"): "keep the box, stay off the edge",
    ("R", "bring the king"): "keep the box, or guard facing him",
    ("R", "bring the rook home"): "keep the box if you can",
}
"""How the rules of the card go on, by the piece and the rule's short name."""


def _end_of_rule(fen: str) -> str:
    piece = "Q" if chess.Board(fen).queens else "R"
    return ENDS[piece, naive_methods.decide(fen)[0]]


def _waiting(fen: str) -> set[str]:
    """The rook's moves after which he can't take it, and could walk to the same squares as before."""
    board = chess.Board(fen)
    return {
        then.peek().uci()
        for then in moves.after_each(board)
        if then.piece_type_at(then.peek().to_square) == chess.ROOK
        and not moves.can_take(then)
        and box.region(then) == box.region(board)
    }


def _rook_place(answer: Answer, board: chess.Board, published: Published) -> set[str]:
    """The offered rank or file to which all moves go that keep the result, and no other move of the rook; to
    the others it can go, too, and never keeps it."""
    (rook,) = board.pieces(chess.ROOK, board.turn)
    keeping, places = published.keeping(board), dict[str, set[str]]()
    for option in answer.options:
        sign = option[-1]
        places[f"rank {sign}" if sign.isdigit() else f"{sign}-file"] = {
            move.uci()
            for move in board.legal_moves
            if move.from_square == rook and sign in chess.square_name(move.to_square)
        }
    right = [place for place, moves in places.items() if moves == keeping]
    assert len(places) == 4
    assert all(places.values())
    assert all(moves.isdisjoint(keeping) for place, moves in places.items() if place not in right)
    return set(right)


ANSWERS: dict[str, Callable[[str, Published], set[str]]] = {
    "box_size": lambda fen, _: _box_size(fen),
    "box_walls": lambda fen, _: box.fence(chess.Board(fen)),
    "catch_pawn": _catch_pawn,
    "draw_square": lambda fen, _: pawn.corners(drawn(fen)),
    "enough_to_mate": _enough_to_mate,
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
    "promotion": _promotion,
    "race_count": _race_count,
    "shrink_or_king": lambda fen, _: _shrink_or_king(fen),
    "right_corner": _right_corner,
    "smallest_box": lambda fen, _: smallest(fen)[1],
    "stalemate_moves": lambda fen, _: moves.stalemates(fen),
    "win_or_draw": _win_or_draw,
    "finish_rule": lambda fen, _: {_end_of_rule(fen)},
    "waiting_move": lambda fen, _: _waiting(fen),
}

PRINTED: dict[str, Callable[[Answer, chess.Board, Published], set[str]]] = {
    "next_moves": next_moves,
    "find_mistake": _mistake,
    "rook_place": _rook_place,
}
"""Where the answer depends on moves that are printed, too."""

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
    ("shrink_or_king", AnswerForm.MOVES): "shrink_or_king",
    ("smallest_box", AnswerForm.MOVES): "smallest_box",
    ("all_stalemates", AnswerForm.MOVES): "stalemate_moves",
    ("result_is", AnswerForm.CHOICE): "win_or_draw",
    ("placing_squares", AnswerForm.SQUARES): "build_position",
    ("pawn_race", AnswerForm.RACE): "race_count",
    ("method_line", AnswerForm.LINE): "next_moves",
    ("line_mistake", AnswerForm.CHOICE): "find_mistake",
    ("rule_ending", AnswerForm.CHOICE): "finish_rule",
    ("waiting_moves", AnswerForm.MOVES): "waiting_move",
    ("square_corners", AnswerForm.SQUARES): "draw_square",
    ("box_walls", AnswerForm.SQUARES): "box_walls",
    ("fork_squares", AnswerForm.SQUARES): "fork_square",
    ("right_bishop", AnswerForm.CHOICE): "right_corner",
    ("enough_to_mate", AnswerForm.CHOICE): "enough_to_mate",
    ("new_queen", AnswerForm.CHOICE): "promotion",
    ("bishop_corners", AnswerForm.SQUARES): "mating_corners",
    ("rook_place", AnswerForm.CHOICE): "rook_place",
}
"""By the claim on which an answer rests, and the form of the answer."""
