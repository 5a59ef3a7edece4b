"""An independent judge of marks: what a student wrote, whether it is right, whether a slip's name is true.

Right and wrong come from `answers`; what a move does, from the rules and the published tables.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass

import chess

from coachbook.model.exercise import AnswerForm, Exercise
from coachbook.model.slips import Slip
from tests.exercises import naive
from tests.exercises.answers import NEEDS_ALL
from tests.exercises.published import Published

GARBLED = ("hello", "??!x", "dunno", "e4e", "Qq5", "z9", "i don't know")


@dataclass(frozen=True, slots=True)
class Written:
    """What a student means (moves in UCI, squares, a number or an option) and the text for it.

    `illegal` and `garbled` say that besides there is a move that is none, or something unreadable.
    """

    text: str
    means: frozenset[str]
    illegal: bool = False
    garbled: bool = False


def write(exercise: Exercise, right: set[str], chance: random.Random) -> Written:
    """Some answer: often right or nearly so, sometimes impossible, sometimes nothing at all."""
    if chance.random() < 0.05:
        return Written(chance.choice(["", " ", "?", "..."]), frozenset())
    return _WAYS[exercise.answer.form](exercise, right, chance)


def _write_moves(exercise: Exercise, right: set[str], chance: random.Random) -> Written:
    board = chess.Board(exercise.position.fen)
    every = [move.uci() for move in board.legal_moves]
    means = set(chance.sample(sorted(right), chance.randint(0, len(right))))
    means |= set(chance.sample(every, min(len(every), chance.choice([0, 0, 0, 1, 2]))))
    parts = [_written(board, move, chance) for move in means]
    illegal, garbled = chance.random() < 0.1, chance.random() < 0.1
    parts += [_illegal(board, chance)] * illegal + [chance.choice(GARBLED)] * garbled
    chance.shuffle(parts)
    return Written(
        chance.choice([", ", "; ", " and "]).join(parts) or "-", frozenset(means), illegal, garbled
    )


def _written(board: chess.Board, move: str, chance: random.Random) -> str:
    san = board.san(chess.Move.from_uci(move))
    return chance.choice(
        [san, san.rstrip("+#"), f"{san[0]} {san[1:]}" if san[0] in "KQR" else san, f"{san}!"]
    )


def _illegal(board: chess.Board, chance: random.Random) -> str:
    """A move of a man that can't go there, or is not there."""
    ends = {board.san(move).rstrip("+#").replace("x", "") for move in board.legal_moves}
    while True:
        letter, square = chance.choice("KQRBN"), chance.choice(chess.SQUARE_NAMES)
        if not any(san[0] == letter and san.endswith(square) for san in ends):
            return letter + square


def _write_number(_: Exercise, right: set[str], chance: random.Random) -> Written:
    (number,) = right
    meant = chance.choice(
        [number, number, str(int(number) + chance.randint(-3, 3)), str(chance.randint(0, 64))]
    )
    if chance.random() < 0.1:
        return Written(chance.choice(GARBLED), frozenset(), garbled=True)
    return Written(chance.choice(["{}", "{} squares", " {}."]).format(meant), frozenset({meant}))


def _write_choice(exercise: Exercise, _: set[str], chance: random.Random) -> Written:
    options = exercise.answer.options
    meant = chance.choice(options)
    if chance.random() < 0.1:
        return Written(chance.choice(GARBLED), frozenset(), garbled=True)
    ways = [meant, meant.upper(), f"{meant}.", str(options.index(meant) + 1)]
    return Written(chance.choice(ways), frozenset({meant}))


def _write_squares(_: Exercise, right: set[str], chance: random.Random) -> Written:
    means = set(chance.sample(sorted(right), chance.choice([len(right), chance.randint(0, len(right))])))
    means |= set(chance.sample(chess.SQUARE_NAMES, chance.choice([0, 0, 1])))
    garbled = chance.random() < 0.1
    parts = [*means, *[chance.choice(GARBLED)] * garbled]
    chance.shuffle(parts)
    return Written(chance.choice([", ", " "]).join(parts), frozenset(means), garbled=garbled)


_WAYS: dict[AnswerForm, Callable[[Exercise, set[str], random.Random], Written]] = {
    AnswerForm.MOVES: _write_moves,
    AnswerForm.NUMBER: _write_number,
    AnswerForm.CHOICE: _write_choice,
    AnswerForm.SQUARES: _write_squares,
}


def is_right(exercise: Exercise, right: set[str], written: Written) -> bool:
    """Whether the answer is right: nothing wrong in it, and enough of it."""
    if written.illegal or written.garbled or not written.means <= right:
        return False
    all_asked = exercise.answer.form is not AnswerForm.MOVES or exercise.kind in NEEDS_ALL
    return written.means == right if all_asked else bool(written.means)


def is_true(slip: str, exercise: Exercise, right: set[str], written: Written, published: Published) -> bool:
    """Whether the name of a slip says what is wrong with an answer that is wrong."""
    board = chess.Board(exercise.position.fen)
    wrong, missing = written.means - right, right - written.means
    if slip in _OF_MOVES:
        return any(_OF_MOVES[Slip(slip)](board, move, published) for move in wrong)
    result = published.result(board)
    says = {
        Slip.NOT_TRIED: not any(map(str.isalnum, written.text)) and not written.text.startswith("-"),
        Slip.UNREADABLE: written.garbled,
        Slip.ILLEGAL: written.illegal,
        Slip.MISSED_MATE: bool(missing) and ({"mate"} == right or _mates(exercise, right)),
        Slip.MISSED_STALEMATE: bool(missing) and ({"stalemate"} == right or _stalemates(exercise, right)),
        Slip.WRONG_COUNT: exercise.kind == "box_size" and bool(wrong),
        Slip.NOT_QUICKEST: exercise.kind == "mate_in_two" and bool(wrong),
        Slip.WIN_NOT_SEEN: result != 0 and bool(missing),
        Slip.DRAW_NOT_SEEN: result == 0 and bool(missing),
        Slip.MISJUDGED: bool(wrong),
        Slip.WRONG_SQUARE: bool(wrong),
        Slip.MISSED_DANGER: exercise.kind == "no_go_squares" and bool(missing),
        Slip.MISSED_SQUARE: bool(missing),
        Slip.NOT_BEST_BOX: exercise.kind == "smallest_box" and bool(wrong | missing),
        Slip.NO_OPPOSITION: exercise.kind == "opposition" and bool(wrong | missing),
        Slip.WRONG_RULE: exercise.kind == "next_rule" and bool(wrong),
        Slip.AGAINST_RULE: exercise.kind == "shrink_or_king" and bool(wrong | missing),
    }
    return says[Slip(slip)]


def _mates(exercise: Exercise, right: set[str]) -> bool:
    fen = exercise.position.fen
    return right == (naive.mates_in_two(fen) if exercise.kind == "mate_in_two" else naive.mates(fen))


def _stalemates(exercise: Exercise, right: set[str]) -> bool:
    return right == naive.stalemates(exercise.position.fen)


def _after(board: chess.Board, move: str) -> chess.Board:
    after = board.copy(stack=False)
    after.push_uci(move)
    return after


def _can_be_taken(board: chess.Board, move: str, _: Published) -> bool:
    after = _after(board, move)
    return any(after.is_capture(reply) for reply in after.legal_moves)


def _throws_away(board: chess.Board, move: str, published: Published, result: int) -> bool:
    return published.result(board) == result and -published.result(_after(board, move)) < result


_OF_MOVES: dict[Slip, Callable[[chess.Board, str, Published], bool]] = {
    Slip.STALEMATE: lambda board, move, _: naive.status(_after(board, move).fen()) == "stalemate",
    Slip.NOT_MATE: lambda board, move, _: naive.status(_after(board, move).fen()) != "mate",
    Slip.NOT_STALEMATE: lambda board, move, _: naive.status(_after(board, move).fen()) != "stalemate",
    Slip.PIECE_LOST: _can_be_taken,
    Slip.WIN_THROWN_AWAY: lambda board, move, published: _throws_away(board, move, published, 1),
    Slip.DRAW_THROWN_AWAY: lambda board, move, published: _throws_away(board, move, published, 0),
}
"""Slips that are told of a wrong move."""
