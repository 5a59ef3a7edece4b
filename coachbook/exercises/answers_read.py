"""Reading a number, a choice, a race, a first move or a line as a child writes it.

Choices: the rules of a method have the numbers of its card, and sheets print them beside the options. Sheets
of 0.1.0 had none: then a number may be the card's, or that of the place in the list. Where the two say
different things it means both, so that nobody is told wrong for what the coach meant otherwise.

First moves: of a line the first move is the answer, whatever comes of the rest. A list is somebody who
could not make up his mind: then each of its moves counts. What may be either is doubtful.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum, auto

import chess

from coachbook.endgame.probe import after_move
from coachbook.exercises.claims.known_claims import answer_claim
from coachbook.exercises.claims.rule_claims import card_of
from coachbook.exercises.notation import MoveText, NoMove, split_moves
from coachbook.model.claims import LineMistake
from coachbook.model.worksheet import Answer, Exercise
from coachbook.wording.exercises import option_words, ways_to_say

_ONES = (  # noqa: SIM905 - easier to read than twenty lines
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
).split()
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty")
_WORDS = dict(zip(_ONES, range(20), strict=True)) | {
    f"{ten} {_ONES[ones]}" if ones else ten: 20 + 10 * tens + ones
    for tens, ten in enumerate(_TENS)
    for ones in range(10)
}
_SIDES = r"\d+ ?(?:x|\N{MULTIPLICATION SIGN}|\*|by|times) ?\d+ ?[=:]"
_NUMBER = re.compile(
    rf"(?:{_SIDES})? ?=? ?(\d{{1,3}}|{'|'.join(reversed(_WORDS))})(?: ?squares?| ?sq)?[ .!]*"
)


def read_number(written: str) -> int | None:
    """The number, 0 to 999 (in words: to 69), or None if the text is no number or leaves a doubt."""
    found = _NUMBER.fullmatch(" ".join(written.lower().replace("-", " ").split()))
    if found is None:
        return None
    number = found[1]
    return _WORDS[number] if number in _WORDS else int(number)


_RACE_SIDES = {"w": "white", "white": "white", "b": "black", "black": "black"}
_RACE_FILLERS = {"and", "first", "move", "moves", "needs", "pawn", "pawns", "queens", "s", "the"}


def read_race(written: str) -> tuple[str, str, str] | None:
    """The moves of White's pawn, those of Black's, and the side that queens first, as in "4 3 black" or
    "Black 3, White 4 moves, Black first"; None if not all three are there or more is said."""
    parts = re.findall(r"\d+|[^\W\d_]+", written.casefold())
    said = [part for part in parts if part not in _RACE_FILLERS]
    sides = [_RACE_SIDES[part] for part in said if part in _RACE_SIDES]
    numbers = [number for part in said if (number := read_number(part)) is not None]
    order = "".join("s" if part in _RACE_SIDES else "n" for part in said)
    if len(sides) + len(numbers) != len(said) or order not in ("nns", "snsns", "nsnss"):
        return None
    *named, first = sides
    if named and set(named) != {"white", "black"}:
        return None
    count = dict(zip(named or ("white", "black"), numbers, strict=True))
    return str(count["white"]), str(count["black"]), first


_BEFORE = re.compile(r"(?:(?:it is|it's|its|is) )?(?:an? |the |rule )?")
_DASHES = re.compile(r"\s*[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]\s*")
_OPTION_NUMBER = re.compile(r"[1-9][0-9]?")
_COPIED = re.compile(r"([1-9][0-9]?)[.)] ?(.+)")
"""An option with the number that is printed beside it."""


def fitting_options(exercise: Exercise, text: str, letters: str | None = None) -> tuple[str, ...]:
    """The options of an exercise that a text may mean, in printed order; () if it is no choice, or none fits.

    Moves of a printed line are read in the club's `letters`, too. More than one option means that the text
    leaves it open; then it is marked as unreadable.
    """
    options, said = exercise.answer.options, _tidy(text)
    if not said:
        return ()
    if _OPTION_NUMBER.fullmatch(said):
        return _numbered(exercise, int(said))
    if exercise.answer.numbers and (copied := _COPIED.fullmatch(_plain(text))):
        number, words = copied.groups()
        both = {*_numbered(exercise, int(number)), *_worded(options, words)}
        return tuple(option for option in options if option in both)
    # The words of an option may begin with "the", too.
    found = _worded(options, _plain(text)) or _worded(options, said)
    if found or not isinstance(answer_claim(exercise), LineMistake):
        return found
    return fitting_pairs(chess.Board(exercise.position.fen), options, text, letters)


def _worded(options: tuple[str, ...], said: str) -> tuple[str, ...]:
    """The options that are called so, or else those that begin so."""
    spaced = said.replace("-", " ")
    named = tuple(option for option in options if {said, spaced} & {*ways_to_say(option)})
    return named or tuple(option for option in options if option_words(option).casefold().startswith(spaced))


def is_doubtful_number(exercise: Exercise, text: str) -> bool:
    """Whether a text is a number that list and card count differently, on a sheet that printed none."""
    answer, is_number = exercise.answer, _OPTION_NUMBER.fullmatch(_tidy(text)) is not None
    may_differ = answer.options and not answer.numbers and card_of(answer_claim(exercise))
    return bool(may_differ) and is_number and len(fitting_options(exercise, text)) != 1


def _tidy(text: str) -> str:
    return _BEFORE.sub("", _plain(text), count=1)


def _plain(text: str) -> str:
    words = _DASHES.sub(
        "-", " ".join(text.casefold().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").split())
    )
    return words.strip(" .!()")


def _numbered(exercise: Exercise, number: int) -> tuple[str, ...]:
    """The options with this number: as printed; or where none is printed, by the list and by the card.

    None if it is the number of a rule on the card that is no option.
    """
    answer = exercise.answer
    listed = dict(zip(answer.numbers or range(1, len(answer.options) + 1), answer.options, strict=False))
    ways = (listed,) if answer.numbers else (listed, card_of(answer_claim(exercise)))
    meant = {way[number] for way in ways if number in way}
    return tuple(option for option in answer.options if option in meant) if meant <= {*answer.options} else ()


_OR = re.compile(r"\bor\b|/\s*\w{2}", re.IGNORECASE)
_AND = re.compile(r"\band\b|&", re.IGNORECASE)
_SECOND = re.compile(
    r"(?<![\w-])2\s*[.:)\N{HORIZONTAL ELLIPSIS}]|(?<!\S)2\s+(?=[^\W\d_])|\bthen\b", re.IGNORECASE
)
"""The number of a line's second move, or a word for it."""


class Several(Enum):
    """What several moves are."""

    LINE = auto()
    LIST = auto()
    DOUBTFUL = auto()


def what_follows(board: chess.Board, first: chess.Move, rest: Sequence[MoveText], written: str) -> Several:
    """What an answer is that begins with the legal move `first`: `written` is all of it, `rest` what is
    read after that move, at least one part.

    A line that goes on with an impossible move is a line all the same; with words that are no move it is
    doubtful, and so is a second move of the same side that could be its next one.
    """
    now = after_move(board, first)
    goes_on, left = any(now.legal_moves), list(rest)
    while left and not isinstance(move := left[0].read(now), NoMove):
        now.push(move)
        del left[0]
    if any(part.read(now) is NoMove.UNREADABLE and not part.meanings(now) for part in left):
        return Several.DOUBTFUL
    second = rest[0].read(board)
    if len(left) < len(rest) and second in (NoMove.ILLEGAL, NoMove.OTHER_SIDE):
        return Several.LINE
    if second is not NoMove.OTHER_SIDE and _OR.search(written):
        return Several.LIST
    if (goes_on and _SECOND.search(written)) or (not left and len(rest) > 1):
        return Several.LINE
    if not rest[0].meanings(board):
        return Several.LINE
    if _AND.search(written):
        return Several.LIST
    may_be_line = len(left) < len(rest) or _is_next_move(after_move(board, first), rest[0])
    return Several.DOUBTFUL if may_be_line else Several.LIST


def _is_next_move(after: chess.Board, part: MoveText) -> bool:
    """Whether the same side can play it once the other has replied."""
    return any(part.meanings(after_move(after, reply)) for reply in after.legal_moves)


_OR_BETWEEN_LINES = re.compile(r"\bor\b", re.IGNORECASE)
_NUMBERED = re.compile(r"\s*(?:([1-9])\s*[.:)]+)?(.*)", re.DOTALL)
_PAIR = 2


@dataclass(frozen=True, slots=True)
class Asked:
    """A position of the line, the move that is right in it, and the printed reply (None to the last)."""

    board: chess.Board
    move: chess.Move
    reply: chess.Move | None

    @property
    def after(self) -> chess.Board:
        return after_move(self.board, self.move)


def asked_moves(board: chess.Board, answer: Answer) -> tuple[Asked, ...]:
    """The moves of a line that is to be written, each where it is made."""
    return tuple(_along(board, zip(answer.accepted, (*answer.replies, ""), strict=True)))


@dataclass(frozen=True, slots=True)
class LineRead:
    """So many moves are right from the first on; then comes `off`, a legal but other move in place of the
    next, or something that is no move there; None if nothing comes."""

    right: int
    off: chess.Move | NoMove | None = None


def read_line(asked: tuple[Asked, ...], written: str, letters: str | None) -> LineRead:
    """How far a line is right. Two moves with "or" between them are none."""
    parts = split_moves(written, letters)
    if not parts or _OR_BETWEEN_LINES.search(written):
        return LineRead(0, NoMove.UNREADABLE)
    right = 0
    for at, part in enumerate(parts):
        if right == len(asked):
            return _with_rest(asked[-1], parts[at:], right)
        before = asked[right - 1] if right else None
        if before and before.reply and part.read(before.after) == before.reply:
            continue
        read = part.read(asked[right].board)
        if read != asked[right].move:
            return LineRead(right, read)
        right += 1
    return LineRead(right)


def _with_rest(last: Asked, rest: tuple[MoveText, ...], right: int) -> LineRead:
    """What comes after the last move: nothing, unless it says nothing or is another try at that move."""
    now = last.after
    for part in rest:
        goes_on, instead = part.read(now), part.read(last.board)
        if not isinstance(goes_on, NoMove):
            now = after_move(now, goes_on)
        elif not isinstance(instead, NoMove) and instead != last.move:
            return LineRead(right - 1, instead)
        elif NoMove.UNREADABLE in (goes_on, instead):
            return LineRead(right, NoMove.UNREADABLE)
    return LineRead(right)


def fitting_pairs(
    board: chess.Board, pairs: tuple[str, ...], text: str, letters: str | None
) -> tuple[str, ...]:
    """The pairs of a printed line ("2. Kd5 Ke7") that a text may mean: a move, perhaps with its number or its
    reply."""
    number, moves = _NUMBERED.fullmatch(text).groups()  # type: ignore[union-attr] # fits any text
    parts = split_moves(moves, letters)
    if not 0 < len(parts) <= _PAIR or _OR_BETWEEN_LINES.search(text):
        return ()
    printed = (pair.split(" ")[1:] for pair in pairs)
    return tuple(
        pair
        for pair, asked in zip(pairs, _along(board, printed), strict=True)
        if (number is None or pair.startswith(f"{number}."))
        and parts[0].read(asked.board) == asked.move
        and (len(parts) < _PAIR or parts[1].read(asked.after) == asked.reply)
    )


def _along(board: chess.Board, pairs: Iterable[Sequence[str]]) -> Iterator[Asked]:
    """The moves of a line, each with its reply ("" for none), SAN."""
    now = board
    for san, reply_san in pairs:
        move = now.parse_san(san)
        after = after_move(now, move)
        reply = after.parse_san(reply_san) if reply_san else None
        yield Asked(now, move, reply)
        now = after_move(after, reply) if reply else after
