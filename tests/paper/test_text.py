import ast
import re
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

import coachbook
from coachbook.errors import CoachbookError
from coachbook.model.print_options import Notation, PaperOptions, PaperSize
from coachbook.paper.page import pdf_of
from coachbook.paper.text import (
    BOLD,
    FIGURINES,
    LEADING,
    TEXT,
    WIDE,
    draw_text,
    fit,
    notated,
    prints,
    runs,
    text_width,
    unprintable,
    unprinted,
    wrap,
)
from tests.paper import printed

MEN = PaperOptions().men
LETTER_OF = dict(zip("\u2654\u2655\u2656\u2657\u2658", "KQRBN", strict=True))
words = st.text(alphabet="abcKQRBN12345678xd=+#-.,' \u00fc\u0142\u03c9\u0429", max_size=60)
squares = st.builds("{}{}".format, st.sampled_from("abcdefgh"), st.sampled_from("12345678"))
moves = st.builds(
    "{}{}{}{}{}".format,
    st.sampled_from("KQRBN"),
    st.sampled_from(["", "a", "h", "1", "8", "b3"]),
    st.sampled_from(["", "x"]),
    squares,
    st.sampled_from(["", "+", "#"]),
)


def back_to_letters(text: str) -> str:
    return "".join(LETTER_OF.get(sign, sign) for sign in text)


@given(words)
def test_figurines_change_nothing_but_piece_letters(text: str) -> None:
    assert back_to_letters(notated(text, MEN)) == text


@given(words)
def test_letters_stay_letters(text: str) -> None:
    assert notated(text, PaperOptions(notation=Notation.LETTERS).men) == text


def test_letters_of_another_language_stand_in_moves_only() -> None:
    swedish = PaperOptions(notation=Notation.LETTERS, letters="KDTLS").men
    assert notated("Qe4, Rxa1 and e8=N: Bob sees Nf3+", swedish) == "De4, Txa1 and e8=S: Bob sees Sf3+"


@given(words)
def test_converting_twice_is_converting_once(text: str) -> None:
    once = notated(text, MEN)
    assert notated(once, MEN) == once


@given(moves, st.sampled_from(["", " ", "(", "1. ", "1..."]), st.sampled_from(["", " ", ".", ",", ")", "!"]))
def test_every_piece_move_gets_its_figurine(move: str, before: str, after: str) -> None:
    printed = notated(before + move + after, MEN)
    assert LETTER_OF[printed[len(before)]] == move[0]


@pytest.mark.parametrize(
    "text",
    ["King to e4", "Bob", "K and Q", "e4", "Q2-0114-K7", "unit R1", "KRK", "Nell", "Rb", "Be44", "aKe4"],
)
def test_words_are_no_moves(text: str) -> None:
    assert notated(text, MEN) == text


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("Kd6", "\u2654d6"),
        ("Qxg7#", "\u2655xg7#"),
        ("R1a3+", "\u2656 1a3+".replace(" ", "")),
        ("Nbd2", "\u2658bd2"),
        ("e8=Q+ and dxc8=N", "e8=\u2655+ and dxc8=\u2658"),
        ("Qe4: the box", "\u2655e4: the box"),
    ],
)
def test_moves_are_recognised(text: str, printed: str) -> None:
    assert notated(text, MEN) == printed


@given(words, st.floats(6, 20), st.floats(30, 300), st.booleans())
def test_wrapped_lines_fit_and_lose_nothing(text: str, size: float, width: float, bold: bool) -> None:
    lines = wrap(text, size, width, bold=bold)
    assert len(lines) >= 1
    assert all(text_width(line, size, bold=bold) <= width or len(line) == 1 for line in lines)
    assert "".join(lines).replace(" ", "") == re.sub(r"\s", "", text)


@given(words, st.floats(30, 300))
def test_a_line_is_broken_only_when_the_next_word_does_not_fit(text: str, width: float) -> None:
    lines = wrap(text, 10, width)
    for line, following in pairwise(lines):
        assert text_width(f"{line} {following.split()[0]}", 10) > width


@given(words, st.booleans())
def test_runs_print_the_whole_text(text: str, bold: bool) -> None:
    assert "".join(part for _, part in runs(text, bold=bold)) == text


@pytest.mark.parametrize(
    ("text", "fonts"),
    [
        ("Zażółć", [TEXT]),
        ("Ωμέγα", [WIDE]),
        ("Nguyễn Ida", [WIDE, TEXT]),
        ("\u2655e4", [FIGURINES, TEXT]),
        ("12 -> 9", [TEXT, FIGURINES, TEXT]),
        ("", []),
    ],
)
def test_each_word_is_set_in_a_font_that_has_it(text: str, fonts: list[str]) -> None:
    assert [font for font, _ in runs(text)] == fonts


def test_bold_words_are_bold() -> None:
    assert runs("Answer", bold=True) == ((BOLD, "Answer"),)


def test_a_letter_that_no_font_has_is_replaced_in_plain_sight_and_named(tmp_path: Path) -> None:
    assert "".join(part for _, part in runs("Li 王 Wei")) == "Li ? Wei"
    unprinted()
    ink(tmp_path / "name.pdf", "Li 王 Wei", bold=False)
    assert unprinted() == ("王",)
    assert unprinted() == ()
    assert unprintable("Li 王伟 Wei 王") == ("王", "伟")
    assert unprintable("Zażółć Ωμέγα Щукин Nguyễn \u2655 \u2192") == ()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("well done \U0001f44d", "well done (thumbs up sign)"),
        ("\u265f\ufe0e a \u2713\ufe0f", "\u265f a \u2713"),
        ("\u2603", "(snowman)"),
        ("\ufffd", "(replacement character)"),
    ],
)
def test_a_symbol_that_no_font_has_is_told_by_its_name(text: str, shown: str) -> None:
    assert "".join(part for _, part in runs(text)) == shown
    assert unprintable(text) == ()


@given(st.text())
def test_whatever_is_printed_has_a_glyph(text: str) -> None:
    for bold in (False, True):
        for font, part in runs(text, bold=bold):
            assert all(prints(font, sign) for sign in part)
            assert "\N{REPLACEMENT CHARACTER}" not in part


def _strings_of(file: Path) -> set[str]:
    """The signs beyond ASCII in the words of a source file or of a file that is read."""
    text = file.read_text("utf-8")
    if file.suffix == ".py":
        nodes = ast.walk(ast.parse(text))
        text = "".join(n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str))
    return {sign for sign in text if not sign.isascii()}


ROOT = Path(coachbook.__file__).parents[1]
OURS = sorted({*ROOT.glob("coachbook/**/*.py"), *ROOT.glob("curricula/*.toml"), *ROOT.glob("sample_club/*")})
# A range of old Korean letters by which a text is searched; nothing that is printed.
NEVER_PRINTED = {ROOT / "coachbook/club/mentions.py": {"\u1160", "\u11ff"}}


def test_every_sign_that_the_program_itself_writes_has_a_glyph() -> None:
    for file in OURS:
        for sign in sorted(_strings_of(file) - NEVER_PRINTED.get(file, set()) - {"\ufffd"}):
            assert unprintable(sign) == (), f"{sign!r} in {file}"
            printed_as = "".join(part for _, part in runs(sign))
            assert len(printed_as) <= 1, f"{sign!r} in {file} has no glyph"


@pytest.mark.parametrize("sign", ["\u2713", "\u2717"])
def test_tick_and_cross_are_drawn(tmp_path: Path, sign: str) -> None:
    assert ink(tmp_path / "mark.pdf", sign, bold=False) > ink(tmp_path / "none.pdf", " ", bold=False) + 40
    assert [font for font, _ in runs(sign)] == [FIGURINES]


def test_letters_in_two_parts_are_joined_and_invisible_signs_leave() -> None:
    assert runs("Nguye\u0302\u0303n\u200b\tAn") == ((WIDE, "Nguyễn"), (TEXT, " An"))


def test_text_is_set_smaller_before_it_is_refused() -> None:
    text = "Count the squares in the box of the black king."
    width = text_width(text, 10)
    assert fit(text, (12, 11, 10, 9), width + 0.1, 10 * LEADING) == 10
    assert fit(text, (12, 11, 10, 9), width + 0.1, 2 * 12 * LEADING) == 12
    with pytest.raises(CoachbookError, match="too long"):
        fit(text, (12, 11), width, 12 * LEADING)


def ink(path: Path, text: str, *, bold: bool) -> int:
    """How many pixels are dark."""

    def draw(canvas: Canvas) -> None:
        draw_text(canvas, 50, 400, text, 30, bold=bold)
        canvas.showPage()

    path.write_bytes(pdf_of(PaperSize.A4, "ink", draw))
    (page,) = printed.pixels(path, 72, path.parent)
    return int((page < 128).sum())


@pytest.mark.parametrize("text", ["Siân", "Đức", "Ελένη", "Мирослава"])
def test_bold_is_bold_in_every_script(tmp_path: Path, text: str) -> None:
    assert ink(tmp_path / "bold.pdf", text, bold=True) > 1.15 * ink(tmp_path / "plain.pdf", text, bold=False)
