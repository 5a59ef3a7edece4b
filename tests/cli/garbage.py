"""Words that nobody should type: for each sort of value what is right, and what is not.

A shell hands over any text but NUL; bytes that are no UTF-8 come as lone surrogates (PEP 383).
"""

import datetime as days
import string
from dataclasses import dataclass

import chess
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

Words = st.SearchStrategy[str]

NASTY = (
    *("", " ", "-", "--", "-x", "--x", "--book", "--help", "=", "#", "*", "?", "~", '"', "'", "\\", ";"),
    *(".", "..", "../x", "/etc/passwd", "a/b", "%s", "{0}", "$HOME", "NULL", "nan", "1; DROP TABLE student"),
    *("\t", "\n", "a\nb", "\r", "\x07", "\x1b[2J", "\x7f", "\x9b31m", "\udcff", "a\udc80"),
    *("\u00a0", "\u00ad", "\u200b", "\u200d", "\u202eabc", "\u2066", "\u2028", "\ufeff", "\ufffd", "\uffff"),
    *("\U000e0001", "\U0010ffff", "e\u0301", "\u0301", "e" + "\u0301" * 100),
    *("ﬃ", "ß", "İ", "\uff11\uff12", "٣", "½", "²", "Ⅷ", "אבג", "\u0627" * 61, "字" * 60),
    "👩\u200d👩\u200d👧",
)
_LENGTHS = (60, 61, 201, 255, 256, 10_000)
_HUGE = ("99999999999999999999", "-99999999999999999999", str(2**63), str(-(2**63) - 1), "9" * 5000)
_OTHER_DIGITS = str.maketrans(string.digits, "٠١٢٣٤٥٦٧٨٩")


@dataclass(frozen=True, slots=True)
class Sort:
    """One sort of value: words that are right, and those that mostly are not."""

    right: Words
    wild: Words


def thorough(most: int, *, fresh: bool) -> settings:
    """So many examples: new ones each time, or always the same."""
    return settings(
        max_examples=most,
        derandomize=not fresh,
        database=None,
        deadline=None,
        print_blob=True,
        # The desk is as it was after each example; and what is huge takes its time.
        suppress_health_check=[
            HealthCheck.data_too_large,
            HealthCheck.function_scoped_fixture,
            HealthCheck.large_base_example,
            HealthCheck.too_slow,
        ],
    )


def signs() -> Words:
    """Any sign that a command line can hold."""
    unicode = st.characters(exclude_characters="\0", exclude_categories=["Cs"])
    return unicode | st.characters(categories=["Cs"], min_codepoint=0xDC80, max_codepoint=0xDCFF)


def texts() -> Words:
    """Any text: short, nasty, or much too long."""
    long = st.builds(
        lambda text, times: text * times, st.text(signs(), min_size=1, max_size=2), st.sampled_from(_LENGTHS)
    )
    return st.one_of(st.text(signs(), max_size=20), st.sampled_from(NASTY), long)


@st.composite
def nearly(draw: st.DrawFn, right: Words) -> str:
    """A right word with something taken out, put in or exchanged, cut, or written in another way."""
    word = draw(right)
    place = draw(st.integers(0, len(word)))
    head, tail = word[:place], word[place:]
    nasty = draw(signs() | st.sampled_from(NASTY))
    same = (f" {word} ", f"{word}{word}", word.swapcase(), word.translate(_OTHER_DIGITS))
    return draw(st.sampled_from((head, head + tail[1:], head + nasty + tail, head + nasty + tail[1:], *same)))


def sort(right: Words, *also_wild: Words) -> Sort:
    """What is wild is nearly right, or any text, or one of `also_wild`."""
    return Sort(right, st.one_of(nearly(right), texts(), *also_wild))


def one_of(*words: str) -> Words:
    return st.sampled_from(words)


STUDENTS = ("Ana", "Bo", "Łucja", "Dee", "أحمد", "O'Neil-Smith", "Zo\u00eb", "x" * 60)
GROUPS = ("Owls", "Foxes", "Bears")
EVENING, PREPARED = "2026-09-10", "2026-10-08"

student = sort(one_of(*STUDENTS))
group = sort(one_of("Owls", "Owls", "Owls", "Owls", "owls", *GROUPS))
newcomer = sort(st.text(string.ascii_letters, min_size=1, max_size=20).map(lambda name: f"New {name}"))
unit = sort(one_of("two-majors", "queen-box"))
method = sort(one_of("queen-box", "rook-box", "two-majors"))
kind = sort(one_of("every_mate", "box_size", "stalemate_moves", "best_move"))
letters = sort(one_of("KQRBN", "KDTLS", "none"))
size = sort(one_of("A4", "Letter", "letter"))
notation = sort(one_of("letters", "figurine"))
folder = sort(one_of("none", "papers", "papers/tuesday"))
date_style = sort(one_of("usual", "iso", "day-first", "month-first"))
_WILD_DATES = (
    st.dates(days.date(1900, 1, 1), days.date(2199, 12, 31)).map(str),
    one_of("1900-01-01", "2199-12-31", "1899-12-31", "2200-01-01"),
    one_of("0001-01-01", "0001-01-02", "9999-12-31", "9999-12-30", "2026-02-30", "2026-09-10T18:00"),
    one_of("20260910", "2026-W37-4", "10.9.2026", "2026-9-1", "today", "-1", "2024-02-29"),
)
date = sort(one_of(EVENING, EVENING, PREPARED, PREPARED, "2026-12-10"), *_WILD_DATES)
first_day = sort(one_of("2026-09-10", "2026-09-01", "2026-09-03"), *_WILD_DATES)
last_day = sort(one_of("2026-12-10", "2026-12-31"), *_WILD_DATES)
dates = sort(
    one_of("2026-10-29", "2026-10-26..2026-10-30"),
    st.builds("{}..{}".format, *[st.dates(days.date(1900, 1, 1), days.date(2199, 12, 31))] * 2),
    one_of("..", "2026-09-10..", "..2026-09-10", "0001-01-01..9999-12-31", "2026-10-29...2026-10-30"),
)
weekday = sort(one_of("thu", "Thursday", "tue"), one_of("t", "thursdays", "4", "jeudi"))
number = sort(
    st.integers(1, 6).map(str),
    one_of("0", "-1", "-0", "1e9", "1.0", "1_0", "0x10", "+3", "1,000", "\uff13", "٣", "²", "∞", *_HUGE),
    st.integers(-1000, 100_000).map(str),
)
minutes = sort(one_of("60", "90"), number.wild)
level = sort(one_of("1", "2"), number.wild)
boards = sort(one_of("1", "2", "4", "6", "9"), number.wild)
time = sort(one_of("18:30", "9:05"), one_of("24:00", "18.30", "6pm", "-1:00", "18:30:00", "١٨:٣٠"))
zone = sort(one_of("Europe/Dublin", "UTC"), one_of("../../etc/passwd", "/etc/localtime", "CET-1", "GMT+99"))
place = sort(one_of("IE", "DE-BY"), one_of("XX", "DE-", "DE-XX", "-", "ie", "US", "de-by", "DE-BY-X"))
card = sort(
    one_of("PLAY-QUEEN-BOX-1", "queen-box-1"),
    one_of("PLAY-QUEEN-BOX-0", "PLAY-QUEEN-BOX-99", "PLAY--1", "PLAY-TWO-MAJORS-1", "PLAY-QUEEN-BOX-٣"),
)
note = sort(one_of("guards", "the fence", "steadily"), st.text(signs(), min_size=290, max_size=310))
ending = sort(
    one_of("KQK", "rook", "KRK", "queen v nothing", "pawn"),
    st.text("KQRBNPkqrbnp v", max_size=7),
    one_of("KK", "KQQQK", "KQKRR", "Q", "king", "rook v knight v pawn"),
)

small_ending = sort(
    one_of("KQK", "KRK"), one_of("KK", "Q", "rook", "KPPKP", "KRPKRP", "rook v knight v pawn", "")
)
"""None with five men that could be built: that takes minutes."""

_LINE = "1. Qc5 Kd3 2. Kb2 Ke4 3. Kc3 Kf4 4. Qd5 Kg4"


def moves() -> Words:
    """Moves as a coach writes them, legal in the play-out of the small syllabus or not."""
    sans = one_of("Qc5", "Kd3", "Kb2", "Qxd5", "e8=Q", "O-O", "Q9", "--", "Z0", "0000", "c1c5", "a")
    return st.lists(sans, min_size=1, max_size=8).map(" ".join)


told = sort(
    one_of("mated in 14", "stalemate", "gave up", "held", "12", _LINE, "Qc5"),
    moves(),
    one_of("mated in 0", "mated in ٣", "mated in 9999999999", "{", "(((", "1.", "1-0", "[Event"),
    one_of("$1 $2 {x}", "\u2026" * 50, "1. " * 500, "(" * 2000 + ")" * 2000),
)


@st.composite
def boards_set_up(draw: st.DrawFn, most: int = 3) -> str:
    """A position in FEN: two kings and up to `most` men in all anywhere, so that many are illegal."""
    board = chess.Board(None)
    men = ["K", "k", *draw(st.lists(st.sampled_from("QRPBNqrpbn"), max_size=most - 2))]
    squares = draw(st.lists(st.integers(0, 63), min_size=len(men), max_size=len(men), unique=True))
    for man, square in zip(men, squares, strict=True):
        board.set_piece_at(square, chess.Piece.from_symbol(man))
    board.turn = draw(st.booleans())
    return board.fen()


fen = sort(
    one_of("8/8/8/8/4k3/8/8/K1Q5 w - - 0 1", "8/8/4k3/8/3R4/8/8/K7 w - - 0 1"),
    boards_set_up(),
    boards_set_up(6),
    one_of(
        "8/8/8/8/8/8/8/8 w - - 0 1",
        "8/8/8/8/4k3/8/8/2Q5 w - - 0 1",
        "8/8/8/8/4k3/8/8/K1Q5 w KQkq e3 0 1",
        "8/8/8/8/4k3/8/8/K1Q5 w - - 99999999999999999999 -1",
        "8/8/8/8/4k3/8/8/K1Q5 x - -",
        "9/8/8/8/4k3/8/8/K1Q5 w - - 0 1",
        "8/8/8/8/4k3/8/8/KQQQQQ2 w - - 0 1",
        "8/8/8/8/4k3/8/8/K1Q~5 w - - 0 1",
        "8/8/8/8/4k3/8/8/K1Q5[] w - - 3+3 0 1",
        "PPPPPPPP/8/8/8/4k3/8/8/K7 w - - 0 1",
        "8/8/8/3pP3/4k3/8/8/K7 w - d6 0 1",
        chess.STARTING_FEN,
    ),
)
defence = sort(one_of("Kd5", "Kd3 Ke4", "Kf4"), moves())
