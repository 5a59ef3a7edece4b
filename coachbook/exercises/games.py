"""Reading a play-out: how it ended in a word or two, or the whole game as moves or a PGN."""

import io
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import chess
import chess.pgn

from coachbook.errors import CoachbookError
from coachbook.exercises.notation import NoMove, may_mean, read_moves
from coachbook.model.facts import PlayOutEnd
from coachbook.model.position import check_names_side
from coachbook.model.syllabus import Goal

MOST_MOVES = 999
ENDS = "mated in 14, stalemate, draw, lost, gave up, time ran out"
"""How it may be told, for who is at a loss for words."""

_WORDS_AND_COUNT = r"(?P<words>.*?)(?: (?:in|after|for|on|at))?(?: move)?(?: ?(?P<used>%s)(?: moves?)?)?"
_COUNTED = re.compile(_WORDS_AND_COUNT % "[1-9][0-9]{0,2}")
_MISCOUNTED = re.compile(_WORDS_AND_COUNT % "-?[0-9]{1,20}")
_UNCOUNTED = re.compile(r"(?: moves)? not counted$")
_LOST_A_MAN = re.compile(r"lost (?:(?:the|his|her|a) )?(?P<man>queen|rook|bishop|knight|pawn|piece)")
_SAID = {
    PlayOutEnd.MATE: ("won", "win", "wins"),
    PlayOutEnd.LOST: ("lost", "loses", "was mated", "got mated", "was checkmated", "got checkmated"),
    PlayOutEnd.STALEMATE: ("stalemate", "stalemated", "stalemates", "stale mate"),
    PlayOutEnd.GAVE_UP: ("gave up", "gives up", "given up", "resigned", "resigns"),
    PlayOutEnd.STOPPED: (
        "not finished",
        "unfinished",
        "did not finish",
        "didn't finish",
        "stopped",
        "time ran out",
        "out of time",
        "ran out of time",
        "time up",
        "time was up",
        "no time left",
    ),
}
_MATED = ("mate", "mated", "mates", "checkmate", "checkmated", "checkmates")
_DRAWN = ("draw", "drawn", "drew", "repetition", "draw by repetition", "fifty moves", "50-move rule")
_HELD = ("held", "holds", "held it", "held on", "held the draw", "held a draw")
_WORDS = {words: end for end, all_words in _SAID.items() for words in all_words}
# What means one thing for who is to win and another for who is to hold a draw.
_WORDS_TO_WIN = (
    _WORDS | dict.fromkeys(("", *_MATED), PlayOutEnd.MATE) | dict.fromkeys(_DRAWN + _HELD, PlayOutEnd.DRAW)
)
_WORDS_TO_DRAW = (
    _WORDS | dict.fromkeys(_MATED, PlayOutEnd.LOST) | dict.fromkeys(("", *_DRAWN, *_HELD), PlayOutEnd.HELD)
)


@dataclass(frozen=True, slots=True)
class Told:
    """How a play-out ended, and in how many of the student's moves, None where nobody counted."""

    end: PlayOutEnd
    used: int | None = None


def read_told(text: str, goal: Goal) -> Told | None:
    """What a coach says of the end of a play-out, whatever the case; None for anything else.

    That nobody counted may be said, too ("mated, not counted").

    A number alone is that of the moves in which the goal was reached. Who was to hold a draw and
    is said to have "mated" was mated; to say that he won, write "won". To lose a man is a draw
    for who was to win.
    """
    tidy = _tidy(text)
    match = _COUNTED.fullmatch(_UNCOUNTED.sub("", tidy))
    if match is None or not tidy:
        return None
    end = _end(match["words"], goal)
    return None if end is None else Told(end, int(match["used"]) if match["used"] else None)


def check_count(text: str, goal: Goal) -> None:
    """Raises CoachbookError if the words tell an end, but no play-out has so many moves ("mated in 0")."""
    match = _MISCOUNTED.fullmatch(_tidy(text))
    if match is None or not match["used"] or _end(match["words"], goal) is None:
        return
    if match["used"] not in map(str, range(1, MOST_MOVES + 1)):
        raise CoachbookError(
            f"A play-out of {match['used']} moves cannot be.",
            f"Give the student's moves, 1 to {MOST_MOVES}, such as 'mated in 14', or leave the number out.",
        )


def lacks_count(text: str, goal: Goal) -> bool:
    """Whether the words tell a mate in a play-out that was to be won, and neither in how many moves nor
    that nobody counted: it could not count as within the allowance, whatever it was."""
    is_uncounted_mate = read_told(text, goal) == Told(PlayOutEnd.MATE)
    return goal is Goal.WIN and is_uncounted_mate and _UNCOUNTED.search(_tidy(text)) is None


def check_told(text: str, board: chess.Board, goal: Goal) -> None:
    """Raises CoachbookError if the words tell an end that lacks its moves, or that a man was lost which
    the student, who has the side to move, never had."""
    if lacks_count(text, goal):
        raise CoachbookError(
            "In how many moves was it mate?", "Say it, such as 'mated in 14', or 'mated, not counted'."
        )
    words = _COUNTED.fullmatch(_tidy(text))
    lost = _LOST_A_MAN.fullmatch(words["words"]) if words else None
    if lost is not None and not _may_lose(board, lost["man"]):
        side = "White" if board.turn else "Black"
        raise CoachbookError(
            f"{side} has no {lost['man']} in this play-out: it has {_men_in_words(board)}.",
            f"Say what was lost, or how it ended ({ENDS}).",
        )


def _may_lose(board: chess.Board, man: str) -> bool:
    """A pawn may have become any piece."""
    men = [kind for kind in chess.PIECE_TYPES if kind != chess.KING and board.pieces_mask(kind, board.turn)]
    if man == "pawn":
        return chess.PAWN in men
    return chess.PAWN in men or (bool(men) if man == "piece" else chess.PIECE_NAMES.index(man) in men)


def _men_in_words(board: chess.Board) -> str:
    """Such as "king and 2 rooks"."""
    own = [piece.piece_type for piece in board.piece_map().values() if piece.color == board.turn]
    counts = Counter(chess.piece_name(kind) for kind in own if kind != chess.KING)
    others = [name if count == 1 else f"{count} {name}s" for name, count in counts.items()]
    return f"the king and {' and '.join(others)}" if others else "the king alone"


def _tidy(text: str) -> str:
    return " ".join(text.casefold().replace("#", " mate ").replace(",", " ").split()).strip(" .!")


def _end(words: str, goal: Goal) -> PlayOutEnd | None:
    if _LOST_A_MAN.fullmatch(words):
        return PlayOutEnd.DRAW if goal is Goal.WIN else PlayOutEnd.LOST
    return (_WORDS_TO_WIN if goal is Goal.WIN else _WORDS_TO_DRAW).get(words)


_HEADER = re.compile(r'^\s*\[\w+\s+".*"\]\s*$', re.MULTILINE)
_LINE_COMMENT = re.compile(r";.*$|^%.*$", re.MULTILINE)
_COMMENT = re.compile(r"\{[^}]*\}|\$\d+")
_VARIATION = re.compile(r"\([^()]*\)")
_RESULT = re.compile(r"(?:(?<!\w)(?:1|0|1/2|½)\s*[-\N{EN DASH}]\s*(?:1|0|1/2|½)|\*)\s*$")
# "7.", "7...", "7. ..." and "7"; not the 5 of "Q e 5".
_NUMBER = re.compile(r"((?<![\w-])\d+\s*(?:[.:)…]+\s*)+|(?<!\S)(?<![a-hA-H]\s)\d+(?=\s))")
_BETWEEN_WORDS = re.compile(r"[\s,;]+")
_IN_A_WORD = re.compile(r"\w")
_WHY_NOT = {
    NoMove.UNREADABLE: "cannot be read.",
    NoMove.ILLEGAL: "is not a legal move there.",
    NoMove.OTHER_SIDE: "is a move of the other side; is one missing before it?",
}
_NO_MEN = chess.Board(None)
_COUNTS = ("no", "one", "two", "three", "four")
_MOVES = "all moves of both sides in order, such as 1. Qe5 Kf7 2. Kd2."
_HINT = f"Write {_MOVES}"
_HINT_AT_FIRST = f"Say how it ended ({ENDS}), or write {_MOVES}"


def read_game(board: chess.Board, text: str, letters: str | None = None) -> tuple[chess.Move, ...]:
    """The moves of both sides from `board`: typed in a line, with or without numbers, or a PGN.

    Each move is read as tolerantly as `notation` does; comments and a result at the end are
    dropped, in a PGN variations too. Raises CoachbookError for text without a move, for a PGN
    from another position or of two games, and for the first move that is unreadable or illegal.
    """
    pgn = text.lstrip().startswith("[")
    moves = tuple(_read_line(board, _line_of(board, text) if pgn else text, letters))
    if not moves:
        raise CoachbookError(f"There is no move in '{_short(text)}'.", _HINT)
    return moves


def _line_of(board: chess.Board, pgn: str) -> str:
    """The moves of a PGN's main line, as they are written. Raises CoachbookError
    if there is more than one game in it, or it begins in another position."""
    games = io.StringIO(pgn)
    headers = chess.pgn.read_headers(games)
    if chess.pgn.read_headers(games) is not None:
        raise CoachbookError("The PGN holds more than one game.", "Give one game at a time.")
    if headers is not None and "FEN" in headers:
        _check_start(board, headers["FEN"])
    line = _COMMENT.sub(" ", _LINE_COMMENT.sub(" ", _HEADER.sub(" ", pgn)))
    while (shorter := _VARIATION.sub(" ", line)) != line:
        line = shorter
    return line


def _check_start(board: chess.Board, fen: str) -> None:
    check_names_side(fen)
    try:
        start = chess.Board(fen)
    except ValueError as error:
        raise CoachbookError(f"The PGN's FEN '{fen}' is no position.", "Correct it.") from error
    if start.epd() != board.epd():
        raise CoachbookError(
            f"The PGN starts from '{fen}', the play-out from '{board.fen()}'.",
            "Give the position or the card that was played.",
        )


def _read_line(board: chess.Board, text: str, letters: str | None) -> Iterator[chess.Move]:
    now = board.copy(stack=False)
    now.fullmove_number = 1
    first, *numbered = _NUMBER.split(_RESULT.sub(" ", _COMMENT.sub(" ", text)))
    yield from _read_stretch(now, first, letters)
    paired: chess.Color | None = None
    for number, stretch in zip(numbered[::2], numbered[1::2], strict=True):
        if ".." in number or "…" in number:
            _check_turn(now, chess.BLACK, number)
        else:
            paired = now.turn if paired is None else paired
            _check_turn(now, paired, number)
        yield from _read_stretch(now, stretch, letters)


def _check_turn(now: chess.Board, side: chess.Color, number: str) -> None:
    """What is written would be read for the wrong side if a move before it had been left out."""
    if now.turn != side:
        raise CoachbookError(f"Before '{number.strip()}' a move is missing, or one too many.", _HINT)


def _read_stretch(now: chess.Board, text: str, letters: str | None) -> Iterator[chess.Move]:
    """Read the moves between two numbers and play them on the board. Raises CoachbookError for one
    that cannot be read or played."""
    for written, place in _cut(text):
        read = read_moves(now, written, letters)[place]
        if isinstance(read, NoMove):
            raise _two_meanings(now, written, letters) or _no_move(now, _short(written), read)
        yield read
        now.push(read)


def _cut(text: str) -> list[tuple[str, int]]:
    """Where each move stands: in which text, and as which move of that text.

    Mostly a word is a move; where it is not ("Q e5") the whole text stands for each of its moves.
    """
    words = [word for word in _BETWEEN_WORDS.split(text) if _IN_A_WORD.search(word)]
    count = len(read_moves(_NO_MEN, text))
    if [len(read_moves(_NO_MEN, word)) for word in words] == [1] * count:
        return [(word, 0) for word in words]
    return [(text, place) for place in range(count)]


def _two_meanings(now: chess.Board, written: str, letters: str | None) -> CoachbookError | None:
    """What to say of a text that may mean several moves; None of any other."""
    meant = sorted(may_mean(now, written, letters), key=lambda move: (move.to_square, move.from_square))
    if len(meant) < 2:
        return None
    own = str.maketrans("KQRBN", letters or "KQRBN")
    names = [now.san(move).rstrip("+#").translate(own) for move in meant]
    which = f"{', '.join(names[:-1])} or {names[-1]}"
    men = {now.piece_type_at(move.from_square) for move in meant}
    starts = {move.from_square for move in meant}
    if len(men) == 1 and len(starts) == len(meant) < len(_COUNTS):
        man = chess.piece_name(men.pop() or chess.PAWN)
        told = f"{_COUNTS[len(meant)]} {man}s can go to {chess.square_name(meant[0].to_square)}: {which}"
    else:
        told = f"'{_short(written)}' can mean {which}"
    return CoachbookError(f"{_place(now)}: {told}.", "Write which of them.")


def _place(now: chess.Board) -> str:
    return f"Move {now.fullmove_number}, {'White' if now.turn else 'Black'}"


def _no_move(now: chess.Board, written: str, why: NoMove) -> CoachbookError:
    place = f"{_place(now)}: '{written}'"
    if not any(now.legal_moves):
        return CoachbookError(f"{place} comes after the end of the game.", "Take it out.")
    at_first = why is NoMove.UNREADABLE and not now.move_stack
    return CoachbookError(f"{place} {_WHY_NOT[why]}", _HINT_AT_FIRST if at_first else _HINT)


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= 40 else f"{words[:40]}..."
