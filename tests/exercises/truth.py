"""Whether an exercise is true: its answer, what its key shows, and what its words say."""

import re
from collections.abc import Callable

import chess

from coachbook.model.position import Sign
from coachbook.model.worksheet import AnswerForm, Exercise
from tests.exercises import naive_methods
from tests.exercises.answers import (
    NEEDS_ALL,
    answer,
    answered,
    drawn,
    man,
    never_mates,
    placed,
    question,
    smallest,
    to_place,
)
from tests.exercises.reasons_read import check_reasons
from tests.judges import box, double_attack, moves, pawn, race
from tests.judges.published import Published

THREE_MEN = 3
PROMISES: dict[str, Callable[[str, set[str], Published], bool]] = {
    "mate_in_two": lambda fen, _, __: not moves.mates(fen),
    "only_move": lambda _, right, __: len(right) == 1,
    "opposition": lambda fen, right, published: right == published.keeping(chess.Board(fen)),
    "shrink_or_king": lambda fen, right, __: naive_methods.decide(fen)[1] <= right,
    "smallest_box": lambda fen, right, __: naive_methods.decide(fen)[1] <= right,
    "build_position": lambda fen, right, _: len(right) <= 4 and moves.status(chess.Board(fen)) == "neither",
    "race_count": lambda fen, _, __: not any(race.king_can_stop(fen, side) for side in chess.COLORS),
    "waiting_move": lambda fen, right, published: (
        naive_methods.decide(fen)[0] == "wait with the rook"
        and naive_methods.decide(fen)[1] <= right <= published.keeping(chess.Board(fen))
    ),
    "draw_square": lambda fen, right, _: (
        len(right) == 4 and len(drawn(fen)) == (9 - max(3, int(man(fen, "P")[1]))) ** 2
    ),
    "box_walls": lambda fen, right, _: man(fen, "K") not in right and len(right) <= 12,
    "fork_square": lambda fen, right, _: (
        len(right) <= 2 and not moves.mates(fen) and not double_attack.saved_by_a_mate(fen)
    ),
    "mating_corners": lambda fen, _, published: published.result(chess.Board(fen)) == 1,
}
"""What a kind promises besides of a position and the right answer in it."""


def check(exercise: Exercise, published: Published) -> None:
    """Fails where anything of an exercise is not what the plain way says."""
    right = answer(exercise, published)
    assert right
    promised = PROMISES.get(exercise.kind)
    assert promised is None or promised(exercise.position.fen, right, published)
    assert answered(exercise) == right
    if len(right) > 1 and exercise.answer.form is AnswerForm.MOVES:
        assert exercise.answer.all_needed == (question(exercise) in NEEDS_ALL)
    _check_marks(exercise, right)
    _check_texts(exercise)
    _check_mates(exercise, published)
    _check_plan(exercise, published)
    if question(exercise) == "build_position":
        _check_placed(exercise, right)
    if question(exercise) == "enough_to_mate":
        _check_enough(exercise)
    if exercise.kind == "stop_pawn":
        _check_way(exercise)
    if question(exercise) == "promotion":
        _check_promotion(exercise, published)
    if question(exercise) == "race_count":
        _check_race(exercise, published)
    check_reasons(exercise, published)
    _check_line(exercise, published)


_SHADED = {"key_squares", "draw_square", "box_walls", "mating_corners"}
"""Where the right squares are shaded."""
_OUTLINED: dict[str, Callable[[str, set[str]], set[str]]] = {
    "catch_pawn": lambda fen, _: pawn.square_of_pawn(man(fen, "P")),
    "draw_square": lambda fen, _: drawn(fen),
    "box_walls": lambda fen, _: box.walls(chess.Board(fen)),
    "fork_square": lambda _, right: right,
    "right_corner": lambda fen, _: {f"{man(fen, 'P')[0]}8"},
}
"""What is outlined, where it is not just what is shaded."""


def _check_marks(exercise: Exercise, right: set[str]) -> None:
    """Shading, outline, arrows and signs."""
    marks, fen = exercise.solution.marks, exercise.position.fen
    board = chess.Board(fen)
    shaded = set[str]()
    if question(exercise) == "box_size":
        shaded = box.walls(board) if board.queens else box.region(board)
    if question(exercise) in _SHADED:
        shaded = right
    if question(exercise) == "rook_place":
        shaded = {square for square in chess.SQUARE_NAMES if exercise.answer.accepted[0][-1] in square}
    outline = _OUTLINED.get(question(exercise))
    outlined = outline(fen, right) if outline else shaded
    assert (_names(marks.shaded), _names(marks.outlined)) == (shaded, outlined)
    if question(exercise) == "box_size":
        assert box.region(board) <= box.walls(board)
    arrows = {chess.square_name(arrow.start) + chess.square_name(arrow.end) for arrow in marks.arrows}
    if exercise.answer.form is AnswerForm.MOVES:
        assert arrows == {move[:4] for move in right}
    assert {chess.square_name(sign.square): sign.text for sign in marks.signs} == _signs(exercise, right)


def _signs(exercise: Exercise, right: set[str]) -> dict[str, str]:
    if question(exercise) == "no_go_squares":
        return dict.fromkeys(right, Sign.CROSS)
    if question(exercise) == "build_position":
        return dict.fromkeys(right, Sign.TICK)
    if question(exercise) == "stalemate_moves":
        return {move[2:4]: Sign.CROSS for move in right}
    if question(exercise) != "final_position":
        return {}
    board = chess.Board(exercise.position.fen)
    lone = board.king(board.turn)
    free = {move.to_square for move in board.legal_moves}
    beside = (square for square in chess.SQUARES if chess.square_distance(square, lone or 0) == 1)
    return {chess.square_name(square): Sign.TICK if square in free else Sign.CROSS for square in beside}


def _check_texts(exercise: Exercise) -> None:
    """What is said of stalemates and mates, of the number of moves, and of the size of a box."""
    fen, text = exercise.position.fen, exercise.solution.text.words
    board = chess.Board(fen)
    for count in re.findall(r"All (\d+) other moves", text):
        assert int(count) == board.legal_moves.count() - 1
    if question(exercise) == "smallest_box":
        least, right = smallest(fen)
        told = [least, len(right)] if len(right) > 1 else [least]
        assert [int(number) for number in re.findall(r"\d+", text)] == told
    if question(exercise) == "no_go_squares":
        ends = {move[2:] for move in moves.stalemates(fen) if move[:2] == man(fen, "QR")}
        assert set(re.findall(r"\b[a-h][1-8]\b", text)) == ends
        assert ("can take it" in text) == (not set(exercise.answer.accepted) <= ends)
    for warning in (each.words for each in exercise.solution.watch_for):
        if warning.startswith("Stalemate: "):
            named = re.findall(r"[QRBN][a-h1-8x]*[a-h][1-8]|[a-h][18]=[QRBN]", warning)
            assert {board.parse_san(san).uci() for san in named} <= moves.stalemates(fen)


def _check_placed(exercise: Exercise, right: set[str]) -> None:
    """Positions that can arise, and what is said of them and of other squares."""
    fen, (man, end) = exercise.position.fen, to_place(exercise.task.words)
    ended = [placed(fen, man, chess.parse_square(square)) for square in right]
    assert all(board.is_valid() for board in ended)
    assert {board.is_check() for board in ended} == {" is in check" in exercise.solution.text.words}
    for warning in (each.words for each in exercise.solution.watch_for):
        if told := re.fullmatch(r"On (.*) it would be (\w+)\.", warning):
            other = {"mate": "stalemate", "stalemate": "mate"}[end]
            free = [square for square in chess.SQUARES if not chess.Board(fen).piece_at(square)]
            on = {chess.square_name(at) for at in free if moves.status(placed(fen, man, at)) == other}
            assert (told[2], set(re.findall(r"[a-h][1-8]", told[1]))) == (other, on)


def _check_enough(exercise: Exercise) -> None:
    """What is said to be taken can be, and the rest is what is named; "never" is said of what never mates."""
    board, told = chess.Board(exercise.position.fen), exercise.solution.text.words
    taken = re.search(r"takes the (\w+)", told)
    left = [
        then
        for then in moves.after_each(board)
        if (at := board.piece_at(then.peek().to_square))
        and taken
        and chess.piece_name(at.piece_type) == taken[1]
    ]
    assert bool(taken) == bool(left)
    assert ("nothing" in told) <= (not moves.can_take(board))
    for then in left or [board]:
        named = sorted(
            re.findall(r"queen|rook|bishop|knight", told.replace(f"takes the {taken and taken[1]}", ""))
        )
        names = sorted(chess.piece_name(man.piece_type) for man in then.piece_map().values() if man.color)
        assert "king" in names
        assert {*named} == {*names} - {"king"}
        assert ("never mate" in told) == never_mates(then) == (exercise.answer.accepted == ("no",))


def _check_way(exercise: Exercise) -> None:
    """The piece guards the squares that are named, on the pawn's way, or stands there; he can't take it."""
    board, told = chess.Board(exercise.position.fen), exercise.solution.text.words
    board.push_san(exercise.answer.accepted[0])
    (runner,) = board.pieces(chess.PAWN, chess.BLACK)
    (piece,) = board.pieces(chess.BISHOP, chess.WHITE) | board.pieces(chess.KNIGHT, chess.WHITE)
    ahead = {square for square in chess.SQUARES if square % 8 == runner % 8 and square < runner}
    if guarded := re.search(r"guards (.+) in front of the pawn", told):
        named = {chess.parse_square(name) for name in re.findall(r"[a-h][1-8]", guarded[1])}
        assert named == {*board.attacks(piece)} & ahead
    else:
        assert piece in ahead
    assert piece not in {move.to_square for move in board.legal_moves}


def _check_promotion(exercise: Exercise, published: Published) -> None:
    """The squares that he has after a queen, or what wins instead of it."""
    board, told = chess.Board(exercise.position.fen), exercise.solution.text.words
    after = {then.peek().promotion: then for then in moves.after_each(board) if then.peek().promotion}
    squares = {chess.square_name(move.to_square) for move in after[chess.QUEEN].legal_moves}
    assert {*re.findall(r"[a-h][1-8]", told)} == squares
    assert after[chess.QUEEN].is_stalemate() == ("stalemate. A" in told)
    for name in re.findall(r"A (rook|bishop|knight) wins", told):
        assert published.result(after[chess.PIECE_NAMES.index(name)]) == -1


def _check_race(exercise: Exercise, published: Published) -> None:
    """The line of the key is the race; what is said of its end is so, and what comes of it by the tables."""
    board, told = chess.Board(exercise.position.fen), exercise.solution.text.words
    *_, first = race.race(exercise.position.fen)
    steps = exercise.solution.plan.steps if exercise.solution.plan else ()
    result = published.result(board) * (1 if (first == "white") == board.turn else -1)
    queened: list[str] = []
    for san in (san for step in steps for san in (step.move, step.reply) if san):
        assert san[0] in "abcdefgh"
        if board.push_san(san).promotion:
            queened.append("black" if board.turn else "white")
            if len(queened) == 1:
                assert ("with check" in told) <= board.is_check()
    assert queened[0] == first
    assert told.startswith(f"{first.capitalize()} queens first")
    assert result == (0 if "a draw" in told else 1)
    assert ("on the next move" in told) == (len(queened) == 2)
    if left := re.search(r"still needs (\d) moves?", told):
        (pawn_left,) = board.pieces(chess.PAWN, board.turn)
        assert int(left[1]) == race.steps_to_queen(chess.square_rank(pawn_left) + 1, board.turn)


def _check_mates(exercise: Exercise, published: Published) -> None:
    """Told mate distances, as far as published tables know them, and who mates."""
    board = chess.Board(exercise.position.fen)
    steps = exercise.solution.plan.steps if exercise.solution.plan else ()
    told = [exercise.solution.text.words, *(step.achieved.words for step in steps[:1])]
    for side, count in re.findall(r"\b(White|Black) mates in (\d+)", " ".join(told)):
        assert published.result(board) == (1 if (side == "White") == board.turn else -1)
        if len(board.piece_map()) == THREE_MEN:
            assert int(count) == published.mates_in(board)


def _check_plan(exercise: Exercise, published: Published) -> None:
    """The plan's moves are legal and keep the result; what it says of them can be seen on the board."""
    board = chess.Board(exercise.position.fen)
    for step in exercise.solution.plan.steps if exercise.solution.plan else ():
        kept = published.keeping(board)
        move = board.parse_san(step.move)
        before = board.copy()
        assert move.uci() in kept
        rule, achieved = step.rule.words, step.achieved.words
        assert ("only move" in rule) <= (len(kept) == 1)
        if count := re.fullmatch(r"one of (\d+) moves that draw", rule):
            assert int(count[1]) == len(kept) < board.legal_moves.count()
        if rule in ("no move wins", "every move draws"):
            assert len(kept) == board.legal_moves.count()
            assert published.result(board) == 0
        assert ("it is a draw" in achieved) <= (published.result(board) == 0)
        board.push(move)
        assert ("it is mate" in achieved.lower()) <= board.is_checkmate()
        _check_purpose(before, board, achieved)
        if step.reply:
            board.push_san(step.reply)
    if question(exercise) in ("next_rule", "finish_rule"):
        name, left = naive_methods.decide(exercise.position.fen)
        (step,) = exercise.solution.plan.steps if exercise.solution.plan else ()
        assert step.rule.words == name
        assert chess.Board(exercise.position.fen).parse_san(step.move).uci() in left


def _check_line(exercise: Exercise, published: Published) -> None:
    """The plan is the line that is asked for; where a win was thrown away, it keeps it, and so is said."""
    plan, answer = exercise.solution.plan, exercise.answer
    if question(exercise) not in ("next_moves", "find_mistake") or plan is None:
        return
    told = [(step.move, step.reply) for step in plan.steps]
    if question(exercise) == "next_moves":
        assert told == list(zip(answer.accepted, (*answer.replies, ""), strict=True))
        return
    at = answer.options.index(answer.accepted[0])
    assert [f"{number}. {' '.join(turn)}" for number, turn in enumerate(told[:-1], 1)] == list(
        answer.options[:at]
    )
    board = chess.Board(exercise.position.fen)
    for turn in told[:-1]:
        for san in turn:
            board.push_san(san)
    text, keeping = exercise.solution.text.words, published.keeping(board)
    assert text.startswith(f"After {' '.join(answer.accepted[0].split()[:2])} it is a draw.")
    assert ("Only" in text) == (len(keeping) == 1)
    (better,) = re.findall(r"([KQRBN]?[a-h]?[1-8]?x?[a-h][1-8]\S*?),? (?:for one, )?keeps the win", text)
    assert board.parse_san(better).uci() in keeping
    assert better == told[-1][0]


def _check_purpose(before: chess.Board, after: chess.Board, told: str) -> None:
    """What a move is said to be for."""
    move = after.peek()
    king = after.king(before.turn) or 0
    pawns = {side: set(after.pieces(chess.PAWN, side)) for side in chess.COLORS}
    if "stands in the pawn's way" in told:
        ahead = [king - p if after.turn else p - king for p in pawns[after.turn]]
        assert any(steps > 0 and steps % 8 == 0 for steps in ahead)
    if "goes for the pawn" in told:
        assert any(chess.square_distance(king, p) == 1 for p in pawns[after.turn])
    if "guards the pawn" in told:
        assert any(chess.square_distance(king, p) == 1 for p in pawns[before.turn])
    if "kings face each other" in told:
        assert pawn.face_each_other(after)
    if "gives check" in told:
        assert after.is_check()
    if "takes the " in told:
        assert before.is_capture(move)
    if "the pawn goes on" in told or "the pawn becomes" in told:
        assert before.piece_type_at(move.from_square) == chess.PAWN


def _names(squares: tuple[int, ...]) -> set[str]:
    assert len(set(squares)) == len(squares)
    return {chess.square_name(square) for square in squares}
