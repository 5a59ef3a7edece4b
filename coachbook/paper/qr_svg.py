"""QR codes for a screen, as SVG: the same symbols as on paper."""

from html import escape

from coachbook.paper.sheet_layout import dark_stretches, qr_modules

_QUIET = 4
"""Modules that stay free around a symbol (ISO/IEC 18004)."""


def qr_svg(text: str, told: str) -> str:
    """The symbol of a text, black on white, a module one unit wide; `told` is what a screen reader says."""
    rows = qr_modules(text)
    dark = "".join(
        f"M{start} {y}h{end - start}v1H{start}z"
        for y, row in enumerate(rows)
        for start, end in dark_stretches(row)
    )
    side = len(rows) + 2 * _QUIET
    return (
        f'<svg class="qr" viewBox="{-_QUIET} {-_QUIET} {side} {side}" role="img" aria-label="{escape(told)}"'
        f' shape-rendering="crispEdges"><rect x="{-_QUIET}" y="{-_QUIET}" width="{side}" height="{side}"'
        f' fill="#fff"/><path d="{dark}" fill="#000"/></svg>'
    )
