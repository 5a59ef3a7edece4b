"""Reading a move as a child writes it, in any language's letters: tolerant where nothing is in doubt.

"queen e5", "QE5", "Q-e5", "d4 to e5" and "Qe5 mate" all mean Qe5; signs for check, mate and
taking may be missing. Text that could mean two moves means none.

A club may have its own letters for the men. Words and figurines can't be mistaken, so everything
that names a man is turned into a figurine: words at once, letters move by move, first as the
club's and then, if those give no legal move, as English ones. The letters of other languages are those of
chess books and score sheets: from memory, no source.
"""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Self

import chess

MEN = ("king", "queen", "rook", "bishop", "knight")
COMMON_LETTERS = {
    "German": "KDTLS",  # as Danish, Norwegian, Swedish, Croatian, Slovene
    "French": "RDTFC",
    "Spanish": "RDTAC",  # as Italian, Catalan
    "Portuguese": "RDTBC",
    "Romanian": "RDTNC",
    "Dutch": "KDTLP",
    "Polish": "KHWGS",
    "Czech": "KDVSJ",  # as Slovak
    "Hungarian": "KVBFH",
    "Finnish": "KDTLR",
    "Icelandic": "KDHBR",
    "Estonian": "KLVOR",
    "Latvian": "KDTLZ",
    "Lithuanian": "KVBRŽ",
    "Turkish": "ŞVKFA",
    "Greek": "\u03a1\u0392\u03a0\u0391\u0399",
    "Bulgarian": "\u0426\u0414\u0422\u041e\u041a",
}
ENGLISH = "KQRBN"


def in_words(letters: str) -> str:
    """Which letter stands for which man: "king D, queen K, rook T, bishop L, knight S"."""
    return ", ".join(f"{man} {letter}" for man, letter in zip(MEN, letters, strict=True))


def likely_order(letters: str) -> str | None:
    """The letters of a language that are the same in another order; None if these are one's as they stand.

    Of several languages, the first of the table.
    """
    known = (ENGLISH, *COMMON_LETTERS.values())
    if letters in known:
        return None
    return next((each for each in known if sorted(each) == sorted(letters)), None)


def other_men(letters: str) -> list[tuple[str, str, str]]:
    """The letters that mean another man than in English: the letter, its man, and the English one."""
    return [
        (letter, man, MEN[ENGLISH.index(letter)])
        for letter, man in zip(letters, MEN, strict=True)
        if letter in ENGLISH and MEN[ENGLISH.index(letter)] != man
    ]


def royals_look_swapped(letters: str) -> bool:
    """Whether the first two are those of a language's queen and king, and of no language's king and queen."""
    known = {each[:2] for each in (ENGLISH, *COMMON_LETTERS.values())}
    return letters[:2] not in known and letters[1::-1] in known


@dataclass(frozen=True, slots=True)
class Suggestion:
    """`letters` with which more can be read, and one that was written: it names the man `man`."""

    letters: str
    letter: str
    man: str


def suggest_letters(failed: Iterable[tuple[str, str]]) -> Suggestion | None:
    """The letters that answers seem to be written in; None if no others make moves of them.

    An answer is the position in FEN and what was written, of which something is no legal move with English
    letters. Of several sets that would do, the one for most moves; of these the one for most letters that
    are not English, then the first of the table.
    """
    answers = [(chess.Board(fen), written) for fen, written in failed]
    found = {
        letters: [letter for answer in answers for letter in _foreign_letters(*answer, letters)]
        for letters in COMMON_LETTERS.values()
    }
    best = max(found, key=lambda letters: (len(found[letters]), _strange(found[letters])))
    if not found[best]:
        return None
    letter = next((each for each in found[best] if each not in ENGLISH), found[best][0])
    return Suggestion(best, letter, MEN[best.index(letter)])


def _strange(letters: Sequence[str]) -> int:
    return sum(letter not in ENGLISH for letter in letters)


def _foreign_letters(board: chess.Board, written: str, letters: str) -> Iterator[str]:
    """Those by which a part of an answer is a legal move that it is not with English letters."""
    for part in split_moves(written, letters):
        move = part.read(board)
        # A text that could be several moves is none in another language.
        if not part.in_english.meanings(board) and not isinstance(move, NoMove):
            man = move.promotion or board.piece_type_at(move.from_square) or chess.PAWN
            if man != chess.PAWN:
                yield letters[chess.KING - man]


_FIGURINES = "♔♕♖♗♘♙"
_ENGLISH = "KQRBNP"
_MEN = dict(zip(_FIGURINES, reversed(chess.PIECE_TYPES), strict=True))
_WHITE = str.maketrans("♚♛♜♝♞♟", _FIGURINES)
_TIDIED = (  # {men}: whatever may name a man
    (r"\bking\b", "♔"),
    (r"\bqueen\b", "♕"),
    (r"\brook\b", "♖"),
    (r"\bbishop\b", "♗"),
    (r"\bknight\b", "♘"),
    (r"\bpawn\b", "♙"),
    ("([♔♕♖♗♘♙])[\N{VARIATION SELECTOR-15}\N{VARIATION SELECTOR-16}]?", r" \1"),
    ("[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}]", "-"),
    (r"(?<!-)\b\d+\s*[.:)\N{HORIZONTAL ELLIPSIS}]+", " "),  # the number of a move
    (r"[,;&]|\b(?:and|or|then)\b", " , "),
    (
        r"(?<![a-z])(?:(?:is|with|gives)\s+)?(?:e\.?p|(?:(?:check|stale)[\s-]*)?mates?|checks?|ch)\b",
        " ",
    ),
    (r"[.!?#+()\N{DAGGER}\N{DOUBLE DAGGER}]", " "),
    (r"([{men}a-h1-8])\s*(?:\b(?:takes|to|on)\b|[x:\N{MULTIPLICATION SIGN}-])\s*(?=[a-h])", r"\1"),
    (r"([a-h][18])\s*=\s*([{men}])(?!\w)", r"\1\2"),  # e8 = Q
    (r"(?<!\w)([{men}])\s+(?=[a-h]?[1-8]?[a-h]\s*[1-8])", r"\1"),  # Q e5, R ad1
    (r"(?<!\w)([{men}]?[a-h])\s+(?=[1-8]\b)", r"\1"),  # Qe 5
    (r"(?<!\S)\d+\s+(?=[{men}][a-h])", ""),  # 1 Qe5 2 Qe6
    (r"([a-h][18])\s*/?\s*([{men}])(?!\w|\s*[a-h])", r"\1\2"),  # e8 Q
)
_NOTHING = re.compile(r"[\N{HYPHEN}-\N{EM DASH}\N{MINUS SIGN}-]+|none|no|no moves?|nothing", re.IGNORECASE)
_SEPARATORS = re.compile(r"[\s,/]+")
_MAN_MOVE = re.compile(r"([♔♕♖♗♘])([a-h]?[1-8]?)([a-h][1-8])()", re.IGNORECASE)
_PLAIN_MOVE = re.compile(r"(♙?)((?:[a-h][1-8]?)?)([a-h][1-8])([♕♖♗♘]?)", re.IGNORECASE)
_CAPITAL_SQUARES = re.compile(r"[A-H][1-8][A-H][1-8].?")
_SQUARE = 2
"""The length of a square's name."""
_CASTLING = {"O-O": chess.Board.is_kingside_castling, "O-O-O": chess.Board.is_queenside_castling}

Signs = Mapping[str, str]
"""Letters that name men, large and small, and the figurines they stand for."""


class NoMove(StrEnum):
    """Why a piece of text is no move in a position."""

    UNREADABLE = "unreadable"
    ILLEGAL = "illegal"
    OTHER_SIDE = "a move of the other side"


def says_none(written: str) -> bool:
    """Whether the answer is "there is no such move": a dash, or a word for it."""
    return _NOTHING.fullmatch(written.strip()) is not None


@dataclass(frozen=True, slots=True)
class MoveText:
    """A part of a line that may be a move, tidied, and the letters to read it by, the likeliest first."""

    text: str
    signs: tuple[Signs, ...]

    @property
    def in_english(self) -> Self:
        """The same text, read with the English letters only."""
        return type(self)(self.text, (_signs(_ENGLISH),))

    def read(self, board: chess.Board) -> chess.Move | NoMove:
        """The one legal move that is meant, or why there is none."""
        return _read_move(board, self.text, self.signs)

    def meanings(self, board: chess.Board) -> tuple[chess.Move, ...]:
        """The legal moves that may be meant; if there are several, none is read."""
        return tuple(_first_found(board, self.text, self.signs) or ())


def read_moves(
    board: chess.Board, written: str, letters: str | None = None
) -> tuple[chess.Move | NoMove, ...]:
    """The moves in a line such as "1. Qe5, kd3 and Qh7+", and why a part of it is none.

    `letters` are the club's for king, queen, rook, bishop and knight (German: KDTLS), None if it
    uses the English ones. OTHER_SIDE is what would be a legal move if it were the other side's turn.
    """
    return tuple(part.read(board) for part in split_moves(written, letters))


def split_moves(written: str, letters: str | None = None) -> tuple[MoveText, ...]:
    """What may be moves in a line, to be read each on a board of its own; `letters` as in `read_moves`."""
    text = written.translate(_WHITE)
    for pattern, replacement in _tidying(letters or ""):
        text = pattern.sub(replacement, text)
    signs = tuple(_signs(each) for each in (letters, _ENGLISH) if each)
    return tuple(MoveText(part, signs) for part in _SEPARATORS.split(text) if any(map(_says_something, part)))


@lru_cache(maxsize=8)
def _tidying(letters: str) -> tuple[tuple[re.Pattern[str], str], ...]:
    men = re.escape(letters + _ENGLISH + _FIGURINES)
    return tuple(
        (re.compile(pattern.replace("{men}", men), re.IGNORECASE), replacement)
        for pattern, replacement in _TIDIED
    )


@lru_cache(maxsize=8)
def _signs(letters: str) -> Signs:
    cases = (str.upper, str.lower, str)
    return {case(sign): man for case in cases for sign, man in zip(letters, _FIGURINES, strict=False)}


def may_mean(board: chess.Board, written: str, letters: str | None = None) -> tuple[chess.Move, ...]:
    """The legal moves that a text of one move may mean; if there are several, `read_moves` reads none."""
    parts = split_moves(written, letters)
    return parts[0].meanings(board) if len(parts) == 1 else ()


def _says_something(sign: str) -> bool:
    return sign.isalnum() or sign in _FIGURINES


def _read_move(board: chess.Board, part: str, every: tuple[Signs, ...]) -> chess.Move | NoMove:
    move = _find_move(board, part, every)
    if move is not NoMove.ILLEGAL:
        return move
    other = board.copy(stack=False)
    other.turn, other.ep_square = not board.turn, None
    theirs = _find_move(other, part, every)
    if isinstance(theirs, NoMove) or theirs.to_square == board.king(board.turn):
        return NoMove.ILLEGAL
    named = len(part) > _SQUARE or other.piece_type_at(theirs.from_square) == chess.PAWN
    return NoMove.OTHER_SIDE if named else NoMove.ILLEGAL


def _find_move(board: chess.Board, part: str, every: tuple[Signs, ...]) -> chess.Move | NoMove:
    """The one legal move that is meant; ILLEGAL if it looks like a move and there is none."""
    castles = _CASTLING.get(part.upper().replace("0", "O"))
    if castles is not None:
        return next((move for move in board.legal_moves if castles(board, move)), NoMove.ILLEGAL)
    found = _first_found(board, part, every)
    if found is None or len(found) > 1:
        return NoMove.UNREADABLE
    return found[0] if found else NoMove.ILLEGAL


def _first_found(board: chess.Board, part: str, every: tuple[Signs, ...]) -> list[chess.Move] | None:
    """The legal moves that fit the likeliest reading that has any; [] if the text only looks like a
    move, None if it does not.

    Two squares in capitals ("B2C3") may as well begin with a man's letter: then both readings count.
    """
    spelled = [part]
    if _CAPITAL_SQUARES.fullmatch(part):
        spelled.append(part[: 2 * _SQUARE].lower() + part[2 * _SQUARE :])
    found = [moves for text in spelled if (moves := _likeliest(board, text, every)) is not None]
    return list(dict.fromkeys(move for moves in found for move in moves)) if found else None


def _likeliest(board: chess.Board, part: str, every: tuple[Signs, ...]) -> list[chess.Move] | None:
    found: list[chess.Move] | None = None
    for text in _readings(part, every):
        match = _PLAIN_MOVE.fullmatch(text) or _MAN_MOVE.fullmatch(text)
        if match is not None:
            fitting = [move for move in board.legal_moves if _fits(board, move, *match.groups())]
            if fitting:
                return fitting
            found = [] if _looks_like_move(*match.groups()) else found
    return found


def _looks_like_move(man: str, origin: str, end: str, _: str) -> bool:
    """Whether a text that is no legal move can be called one. A pawn's file is written small, and is
    next to the file on which it takes: "Dh1" and "dh1" are perhaps a move in other letters."""
    if man or not origin or len(origin) == _SQUARE:
        return True
    beside = abs(ord(origin.lower()) - ord(end[0].lower())) == 1
    return beside and origin == origin.lower()


def _readings(part: str, every: tuple[Signs, ...]) -> Iterator[str]:
    """A move with figurines for letters: as it may be meant, the likeliest first.

    As chess is written, small "b" is first of all a pawn's file, large "B" the bishop.
    """
    large = len(part) > _SQUARE and part[0] != part[0].lower()
    names_man = large and any(part[0] in signs for signs in every)
    for signs in every:
        plain = part[:-1] + signs.get(part[-1], part[-1])
        if not names_man:
            yield plain
        if part[0] in signs:
            yield signs[part[0]] + plain[1:]


def _fits(board: chess.Board, move: chess.Move, man: str, origin: str, end: str, promotion: str) -> bool:
    """Whether a move may be meant. `origin` is its square, file or rank, or "".

    Without a man and a whole square of origin it is a pawn's move, or, while the side has no
    pawn, any man's.
    """
    start, moved = chess.square_name(move.from_square), board.piece_type_at(move.from_square)
    if chess.square_name(move.to_square) != end.lower() or origin.lower() not in start:
        return False
    if (man and moved != _MEN[man]) or (promotion and move.promotion != _MEN[promotion]):
        return False
    if man or len(origin) == _SQUARE:
        return True
    if moved == chess.PAWN:
        return origin.lower() != end[0].lower()
    return not origin and not board.pieces_mask(chess.PAWN, board.turn)
