"""The fonts of the page, and which of them can print a sign.

Atkinson Hyperlegible (made for readers with low vision) prints whatever it can; chessmen,
arrow, tick and cross come from coachbook's own figurine font, the rest from Noto Sans. ReportLab
draws a sign that a font lacks as an empty box without a word, so each sign is looked up first.
"""

from functools import lru_cache
from importlib.resources import files
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

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
