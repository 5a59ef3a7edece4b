"""Text on paper: fonts by sign, the signs for pieces, measuring, wrapping, drawing.

Atkinson Hyperlegible (made for readers with low vision) prints whatever it can; chessmen,
arrow, tick and cross come from coachbook's own figurine font, the rest from Noto Sans. ReportLab
draws a sign that a font lacks as an empty box without a word, so each sign is looked up first.

Sizes and widths are in points. Nothing is dropped in silence: of a sign that no font can print its name
is printed, such as "(grinning face)". Letters have no names that anybody knows: "?" stands for each, and
`unprintable` and `unprinted` name them.
"""

import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache
from importlib.resources import files
from itertools import groupby
from operator import itemgetter
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError

TEXT = "CoachbookText"
BOLD = "CoachbookBold"
FIGURINES = "CoachbookFigurines"
WIDE = "CoachbookWide"

FIGURINE_FILE = Path(__file__).with_name("figurines.ttf")
_ATKINSON = files("fontpkg_atkinson_hyperlegible") / "files"
_FILES = {
    TEXT: _ATKINSON / "AtkinsonHyperlegible-Regular.ttf",
    BOLD: _ATKINSON / "AtkinsonHyperlegible-Bold.ttf",
    FIGURINES: FIGURINE_FILE,
    WIDE: files("fontpkg_noto_sans") / "files" / "NotoSans[wdth,wght].ttf",
}


@lru_cache(maxsize=1)
def signs_of_fonts() -> dict[str, frozenset[int]]:
    """Register all fonts with ReportLab, once; the code points that each of them can print."""
    signs = {}
    for name, file in _FILES.items():
        font = TTFont(name, str(file))
        pdfmetrics.registerFont(font)
        signs[name] = frozenset(font.face.charToGlyph)
    return signs


@lru_cache(maxsize=4096)
def font_for(sign: str, *, bold: bool) -> str | None:
    """The first font that can print this one sign, or None."""
    order = (BOLD if bold else TEXT, FIGURINES, WIDE)
    return next((name for name in order if prints(name, sign)), None)


def prints(font: str, sign: str) -> bool:
    """Whether a font has this one sign."""
    return ord(sign) in signs_of_fonts()[font]


Run = tuple[str, str]
# From baseline to baseline, as a share of the size.
LEADING = 1.28
_REPLACEMENT = "?"
_SYMBOLS_AND_STOPS = ("S", "P")
_VARIANTS = range(0xFE00, 0xFE10)
"""Selectors that say how the sign before them is to look: themselves invisible."""
# The spare font has no bold: its letters are drawn with an outline so wide, as a share of the size.
_OUTLINE = 0.035
_FILLED, _FILLED_AND_OUTLINED = 0, 2
_BLANKS = re.compile("( +)")
_PIECE = re.compile(r"(?<!\w)[KQRBN](?=[a-h]?[1-8]?x?[a-h][1-8](?!\w))|(?<=[a-h][18]=)[QRBN](?!\w)")


def notated(text: str, men: str) -> str:
    """The text with the piece letters of its moves (SAN, English letters) replaced by `men`:
    five signs for king, queen, rook, bishop and knight, letters or figurines.

    Only letters that stand in a move are touched: "Kd6" and "d8=Q", not "King" or "K".
    """
    return _PIECE.sub(lambda letter: men["KQRBN".index(letter[0])], text)


@lru_cache(maxsize=8192)
def unprintable(text: str) -> tuple[str, ...]:
    """The letters of a text that no font of ours can print, each once, in order."""
    return tuple(dict.fromkeys(sign for sign in _tidy(text) if font_for(sign, bold=False) is None))


_unprinted: set[str] = set()


def unprinted() -> tuple[str, ...]:
    """The letters for which a "?" was drawn since this was last asked, in order."""
    found = tuple(sorted(_unprinted))
    _unprinted.clear()
    return found


@lru_cache(maxsize=8192)
def runs(text: str, *, bold: bool = False) -> tuple[Run, ...]:
    """The text as printed, cut where the font changes: pairs of font name and text.

    A word with a letter that the text font lacks is set in the spare font as a whole.
    """
    signs_of_fonts()
    pieces = [piece for word in _BLANKS.split(_tidy(text)) for piece in _word_runs(word, bold=bold)]
    return tuple((font, "".join(part for _, part in run)) for font, run in groupby(pieces, itemgetter(0)))


def _word_runs(word: str, *, bold: bool) -> list[Run]:
    fonts = [font_for(sign, bold=bold) for sign in word]
    if WIDE in fonts:
        fonts = [WIDE if prints(WIDE, sign) else font for font, sign in zip(fonts, word, strict=True)]
    return [(font, sign) if font else (WIDE, _REPLACEMENT) for font, sign in zip(fonts, word, strict=True)]


@lru_cache(maxsize=16384)
def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width in points of one line."""
    return float(sum(pdfmetrics.stringWidth(part, font, size) for font, part in runs(text, bold=bold)))


@lru_cache(maxsize=8192)
def wrap(text: str, size: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """The text in lines no wider than `width`, at least one; a word too wide is cut between signs."""
    lines = [""]
    for word in _words(text, size, width, bold=bold):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        elif lines[-1]:
            lines.append(word)
        else:
            lines[-1] = word
    return tuple(lines)


def fit(text: str, sizes: Iterable[float], width: float, height: float, *, bold: bool = False) -> float:
    """The first of the sizes at which the wrapped text is no higher than `height`.

    Raises CoachbookError if it is too long even at the last.
    """
    for size in sizes:
        if len(wrap(text, size, width, bold=bold)) * size * LEADING <= height:
            return size
    start = text if len(text) <= 40 else text[:40] + "..."
    raise CoachbookError(f"'{start}' is too long for its place on paper.", "Shorten it.")


def draw_text(canvas: Canvas, x: float, y: float, text: str, size: float, *, bold: bool = False) -> None:
    """One line with its baseline at y, from x to the right."""
    _unprinted.update(unprintable(text))
    parts = runs(text, bold=bold)
    outlined = bold and any(font == WIDE for font, _ in parts)
    if outlined:
        canvas.saveState()
        canvas.setStrokeGray(0)
        canvas.setLineWidth(_OUTLINE * size)
    line = canvas.beginText(x, y)
    for font, part in parts:
        if outlined:
            line.setTextRenderMode(_FILLED_AND_OUTLINED if font == WIDE else _FILLED)
        line.setFont(font, size)
        line.textOut(part)
    canvas.drawText(line)
    if outlined:
        canvas.restoreState()


def draw_fitted(
    canvas: Canvas, x: float, y: float, text: str, size: float, width: float, *, bold: bool = False
) -> None:
    """One line, set smaller if it would be wider than `width`: whole, however long."""
    wide = text_width(text, size, bold=bold)
    draw_text(canvas, x, y, text, size * min(1, width / wide) if wide else size, bold=bold)


def draw_right(canvas: Canvas, x: float, y: float, text: str, size: float, *, bold: bool = False) -> None:
    """One line that ends at x."""
    draw_text(canvas, x - text_width(text, size, bold=bold), y, text, size, bold=bold)


def draw_centred(canvas: Canvas, x: float, y: float, text: str, size: float, *, bold: bool = False) -> None:
    """One line with its middle at x."""
    draw_text(canvas, x - text_width(text, size, bold=bold) / 2, y, text, size, bold=bold)


def _words(text: str, size: float, width: float, *, bold: bool) -> Iterable[str]:
    for word in _tidy(text).split():
        rest = word
        while len(rest) > 1 and text_width(rest, size, bold=bold) > width:
            cut = len(rest) - 1
            while cut > 1 and text_width(rest[:cut], size, bold=bold) > width:
                cut -= 1
            yield rest[:cut]
            rest = rest[cut:]
        yield rest


@lru_cache(maxsize=8192)
def _tidy(text: str) -> str:
    """Composed letters, real arrows, plain spaces, names of signs that no font has; signs that are
    invisible by nature leave."""
    composed = unicodedata.normalize("NFC", text).replace("->", "\N{RIGHTWARDS ARROW}")
    spaced = "".join(" " if sign.isspace() else sign for sign in composed)
    seen = (sign for sign in spaced if unicodedata.category(sign) not in ("Cf", "Cc"))
    return "".join(_named(sign) for sign in seen if ord(sign) not in _VARIANTS)


def _named(sign: str) -> str:
    """The sign itself if it can be printed, else its name if it is a symbol that has one.

    A sign that stands for one that got lost elsewhere is named, too: on paper it would look like our fault.
    """
    if unicodedata.category(sign)[0] not in _SYMBOLS_AND_STOPS:
        return sign
    if sign != "\N{REPLACEMENT CHARACTER}" and font_for(sign, bold=False):
        return sign
    name = unicodedata.name(sign, "").lower()
    return f"({name})" if name else sign
