"""Answers as students write them: often right or nearly so, sometimes impossible, sometimes nothing."""

import random
import re
from collections.abc import Callable

import chess

from coachbook.model.worksheet import AnswerForm, Exercise
from coachbook.wording.exercises import option_words
from tests.exercises.answers import NEEDS_ALL, question
from tests.exercises.judge import Written

ENGLISH = "KQRBN"
LETTERS = (None, "KDTLS", "RDTAC", "KHWGS", "KVBFH", "KDTLP", "ŞVKFA", "ЦДТОК")
"""English, German, Spanish, Polish, Hungarian, Dutch, Turkish and Bulgarian. Some of them mean another
man in English, some name a file too."""

FIGURINES, BLACK_FIGURINES = "♔♕♖♗♘", "♚♛♜♝♞"
GARBLED = ("hello", "??!x", "dunno", "e4e", "Qq5", "z9", "i don't know")


def write(exercise: Exercise, right: set[str], chance: random.Random) -> Written:
    """Some answer."""
    if chance.random() < 0.05:
        return Written(chance.choice(["", " ", "?", "..."]), frozenset())
    return _WAYS[exercise.answer.form](exercise, right, chance)


def garbage(chance: random.Random) -> str:
    """What says nothing: words, or any letters of any script (but those that name men)."""
    if chance.random() < 0.5:
        return chance.choice(GARBLED)
    known = set(FIGURINES + BLACK_FIGURINES + "".join(filter(None, LETTERS)))
    while True:
        text = "".join(chr(chance.randrange(0xA0, 0x2FFFF)) for _ in range(chance.randint(1, 8)))
        folded = set(text.casefold())
        if any(map(str.isalpha, text)) and not any(map(str.isascii, folded)) and not known & set(text):
            return text


def ways_to_write(board: chess.Board, move: str, letters: str | None) -> list[str]:
    """A legal move (UCI) in the club's letters, English ones and figurines, wherever it can't be mistaken."""
    played = chess.Move.from_uci(move)
    san = board.san(played)
    own = named(san, letters)
    ways = [own, own.rstrip("+#"), f"{own}!", named(san, FIGURINES), named(san, BLACK_FIGURINES)]
    if san[0] in ENGLISH:
        ways.append(f"{own[0]} {own[1:]}")
    if not _may_mean_another(board, played, san, letters or ENGLISH):
        ways.append(san)
    others = {way for other in board.legal_moves if other != played for way in _plain(board, other)}
    return ways if _bare(own.lower()) in others else [*ways, own.lower()]


def named(san: str, letters: str | None) -> str:
    """A move with other letters for the men."""
    return san.translate(str.maketrans(ENGLISH, letters or ENGLISH)) if "O" not in san else san


def moves_of_other_side(board: chess.Board) -> dict[chess.Move, str]:
    """What the side that is not to move could play, and how (SAN), where the side to move can't go.

    But for castling, which is written alike for both.
    """
    other = board.copy(stack=False)
    other.turn, other.ep_square = not board.turn, None
    ends = {move.to_square for move in board.legal_moves} | {board.king(board.turn)}
    return {
        move: other.san(move)
        for move in other.legal_moves
        if move.to_square not in ends and not other.is_castling(move)
    }


def _may_mean_another(board: chess.Board, move: chess.Move, san: str, letters: str) -> bool:
    """Whether a move in English letters looks like another one in the club's letters."""
    if move.promotion:
        return san.rstrip("+#")[-1] in letters
    men = _men(san[0], letters)
    return any(
        board.piece_type_at(other.from_square) in men
        for other in board.legal_moves
        if other.to_square == move.to_square and other != move
    )


def _men(letter: str, letters: str) -> set[int]:
    """The men that a letter may stand for, the club's and the English."""
    places = {every.index(letter) for every in (letters, f"{ENGLISH}P") if letter in every}
    return {chess.KING - place for place in places}


def _plain(board: chess.Board, move: chess.Move) -> set[str]:
    """A move as read without looking for a man's letter: square to square, or a pawn's."""
    return {move.uci(), _bare(board.san(move))}


def _bare(san: str) -> str:
    return san.translate(str.maketrans("", "", "x+#="))


def _write_moves(exercise: Exercise, right: set[str], chance: random.Random) -> Written:
    board, letters = chess.Board(exercise.position.fen), chance.choice(LETTERS)
    one = question(exercise) not in NEEDS_ALL
    if one and chance.random() < 0.3:
        return _write_line(board, sorted(right), letters, chance)
    means = set(chance.sample(sorted(right), chance.randint(0, len(right))))
    means |= {_any_move(board, chance) for _ in range(chance.choice([0, 0, 0, 1, 2]))}
    parts = [chance.choice(ways_to_write(board, move, letters)) for move in sorted(means)]
    theirs = [named(san, letters) for san in moves_of_other_side(board).values()]
    illegal, garbled = chance.random() < 0.1, chance.random() < 0.1
    misread = bool(theirs) and chance.random() < 0.1
    parts += [_illegal(board, letters or ENGLISH, chance)] * illegal + [garbage(chance)] * garbled
    parts += [chance.choice(theirs)] if misread else []
    chance.shuffle(parts)
    if one:
        parts.sort(key=lambda part: part not in theirs)  # after a right move it would be a reply
    text = (" or " if one else chance.choice([", ", "; ", " and "])).join(parts) or "-"
    return Written(text, frozenset(means), letters, illegal, misread, garbled)


def _write_line(board: chess.Board, right: list[str], letters: str | None, chance: random.Random) -> Written:
    """Where one move is asked for: a move and the line that it begins, with numbers, of which the last may
    be impossible. Only the first counts."""
    first = chance.choice([chance.choice(right), _any_move(board, chance)])
    now, line = board.copy(stack=False), [chance.choice(ways_to_write(board, first, letters))]
    now.push_uci(first)
    while len(line) < 4 and any(now.legal_moves):
        reply = chance.choice(list(now.legal_moves))
        line.append(named(now.san(reply), letters))
        now.push(reply)
    if len(line) > 1 and chance.random() < 0.3:
        line[-1] = _illegal(now, letters or ENGLISH, chance)
    pairs = [" ".join(line[place : place + 2]) for place in range(0, len(line), 2)]
    return Written(
        " ".join(f"{number}. {pair}" for number, pair in enumerate(pairs, 1)), frozenset({first}), letters
    )


def _any_move(board: chess.Board, chance: random.Random) -> str:
    """A legal move (UCI) of whichever man, so that kings move as often as queens."""
    start = chance.choice(sorted({move.from_square for move in board.legal_moves}))
    return chance.choice([move.uci() for move in board.legal_moves if move.from_square == start])


def _illegal(board: chess.Board, letters: str, chance: random.Random) -> str:
    """A move of a man that can't go there, or is not there, whoever is to move."""
    other = board.copy(stack=False)
    other.turn = not board.turn
    while True:
        letter, square = chance.choice(letters), chance.choice(chess.SQUARES)
        men = _men(letter, letters)
        ends = (
            side.piece_type_at(move.from_square) in men
            for side in (board, other)
            for move in side.legal_moves
            if move.to_square == square
        )
        if not any(ends):
            return letter + chess.square_name(square)


def _write_number(_: Exercise, right: set[str], chance: random.Random) -> Written:
    (number,) = right
    near = str(max(0, int(number) + chance.randint(-3, 3)))
    meant = chance.choice([number, number, near, str(chance.randint(0, 64))])
    if chance.random() < 0.1:
        return Written(garbage(chance), frozenset(), garbled=True)
    return Written(chance.choice(["{}", "{} squares", " {}."]).format(meant), frozenset({meant}))


def _write_choice(exercise: Exercise, _: set[str], chance: random.Random) -> Written:
    options = tuple(map(option_words, exercise.answer.options))
    meant = chance.choice(options)
    if chance.random() < 0.1:
        return Written(garbage(chance), frozenset(), garbled=True)
    numbers = exercise.answer.numbers or range(1, len(options) + 1)
    ways = [meant, meant.upper(), f"{meant}.", str(numbers[options.index(meant)])]
    return Written(chance.choice(ways), frozenset({meant}))


def _write_squares(_: Exercise, right: set[str], chance: random.Random) -> Written:
    means = set(chance.sample(sorted(right), chance.choice([len(right), chance.randint(0, len(right))])))
    means |= set(chance.sample(chess.SQUARE_NAMES, chance.choice([0, 0, 1])))
    garbled = chance.random() < 0.1
    parts = [*sorted(means), *[garbage(chance)] * garbled]
    chance.shuffle(parts)
    return Written(chance.choice([", ", " "]).join(parts), frozenset(means), garbled=garbled)


def _write_race(_: Exercise, right: set[str], chance: random.Random) -> Written:
    if chance.random() < 0.1:
        return Written(garbage(chance), frozenset(), garbled=True)
    (race,) = right
    white, black, first = re.findall(r"\d|\w+(?= first)", race)
    counts = [str(max(1, int(count) + chance.choice([0, 0, 0, -1, 1]))) for count in (white, black)]
    side = chance.choice([first, first, "White", "Black"])
    ways = (
        "{0} {1} {2}",
        "{0}, {1}, {2} first",
        "{0}/{1} {3}",
        "white {0} moves, black {1} moves, first: {2}",
        "Black needs {1}, White needs {0}. {2} queens first!",
        "W: {0} B: {1} {3}",
    )
    text = chance.choice(ways).format(*counts, side, side[0])
    return Written(text, frozenset({f"White {counts[0]}, Black {counts[1]}, {side} first"}))


def _write_wanted(exercise: Exercise, _: set[str], chance: random.Random) -> Written:
    """A line: right as far as it goes, then perhaps another move, an impossible one or nothing that says
    anything; with its numbers or without, with the printed replies or without. Means its moves (SAN)."""
    now, letters = chess.Board(exercise.position.fen), chance.choice(LETTERS)
    numbered, replied = chance.random() < 0.5, chance.random() < 0.5
    parts, sans = list[str](), list[str]()
    until = chance.choice([0, 1, 2, 3, 3, 3])
    asked = zip(exercise.answer.accepted, (*exercise.answer.replies, ""), strict=True)
    for number, (san, reply) in enumerate(asked, start=1):
        mark = f"{number}. " if numbered else ""
        if number > until:
            end = chance.choice(["off", "illegal", "garbled", ""])
            if end == "off":
                others = sorted(now.san(move) for move in now.legal_moves if now.san(move) != san)
                san = chance.choice(others)
                sans.append(san)
                parts.append(mark + _wanted(now, san, letters, chance))
            elif end:
                is_illegal = end == "illegal"
                parts.append(_illegal(now, letters or ENGLISH, chance) if is_illegal else garbage(chance))
            text = " ".join(parts)
            return Written(text, _line(sans), letters, end == "illegal", garbled=end == "garbled")
        sans.append(san)
        parts.append(mark + _wanted(now, san, letters, chance))
        now.push_san(san)
        if reply:
            parts += [named(reply, letters)] if replied else []
            now.push_san(reply)
    return Written(chance.choice([" ", ", "]).join(parts), _line(sans), letters)


def _line(sans: list[str]) -> frozenset[str]:
    return frozenset({" ".join(sans)} if sans else ())


def _wanted(board: chess.Board, san: str, letters: str | None, chance: random.Random) -> str:
    return chance.choice(ways_to_write(board, board.parse_san(san).uci(), letters))


_WAYS: dict[AnswerForm, Callable[[Exercise, set[str], random.Random], Written]] = {
    AnswerForm.MOVES: _write_moves,
    AnswerForm.NUMBER: _write_number,
    AnswerForm.CHOICE: _write_choice,
    AnswerForm.SQUARES: _write_squares,
    AnswerForm.RACE: _write_race,
    AnswerForm.LINE: _write_wanted,
}
