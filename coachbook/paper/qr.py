"""QR codes (ISO/IEC 18004) of sheet codes, as vector squares."""

from functools import lru_cache

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel
from reportlab.pdfgen.canvas import Canvas

from coachbook.paper.stamp import stamp


@lru_cache(maxsize=256)
def qr_modules(text: str) -> tuple[tuple[bool, ...], ...]:
    """The dark modules, row by row from the top, without the quiet zone.

    Error correction M: about 15 % of the symbol may be lost. Upper-case letters, digits
    and hyphens give the smallest symbol.
    """
    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(text)
    code.make()
    return tuple(tuple(bool(module) for module in row) for row in code.modules)


def draw_qr(canvas: Canvas, text: str, x: float, y: float, size: float) -> None:
    """The symbol with its lower left corner at (x, y); leave four modules free around it."""
    rows = qr_modules(text)
    count = len(rows)

    def draw() -> None:
        for top, row in enumerate(rows):
            for start, end in _stretches(row):
                canvas.rect(start, count - 1 - top, end - start, 1, stroke=0, fill=1)

    stamp(canvas, f"qr-{text}", (0, 0, count, count), draw, x, y, size / count)


def _stretches(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    """Dark stretches of a row as (start, end): fewer seams than single squares."""
    stretches: list[tuple[int, int]] = []
    for i, dark in enumerate(row):
        if dark and stretches and stretches[-1][1] == i:
            stretches[-1] = (stretches[-1][0], i + 1)
        elif dark:
            stretches.append((i, i + 1))
    return stretches
