"""Looking at a printed file: its text, its fonts, its forms, and its ink."""

import os
import shutil
import subprocess
from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import pytest
from pypdf import PdfReader

Pixels = npt.NDArray[np.uint8]


def texts(path: Path) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in PdfReader(path).pages]


def fonts(path: Path) -> dict[str, bool]:
    """Each font that a page or form names, and whether its program is embedded."""
    found: dict[str, bool] = {}
    for page in PdfReader(path).pages:
        for resources in _resources(page["/Resources"]):
            for font in resources.get("/Font", {}).values():
                descriptor = font.get_object().get("/FontDescriptor")
                embedded = descriptor is not None and "/FontFile2" in descriptor.get_object()
                found[font.get_object()["/BaseFont"]] = embedded
    return found


def uses_of_forms(path: Path) -> Counter[str]:
    """How often the pages use each form, by its name."""
    return sum(uses_of_forms_by_page(path), Counter())


def uses_of_forms_by_page(path: Path) -> list[Counter[str]]:
    """How often each page uses each form, by its name."""
    found = []
    for page in PdfReader(path).pages:
        contents = page.get_contents()
        assert contents is not None
        words = contents.get_data().decode("latin-1").split()
        found.append(
            Counter(name.removeprefix("/FormXob.") for name, then in pairwise(words) if then == "Do")
        )
    return found


def sized_texts(path: Path) -> list[tuple[str, float]]:
    """Each printed piece of text with the size of its type in points, on pages and in forms."""
    found: list[tuple[str, float]] = []

    def visit(text: str, matrix: list[float], text_matrix: list[float], _font: object, size: float) -> None:
        if text.strip():
            found.append((text, round(size * abs(text_matrix[0]) * abs(matrix[0]), 2)))

    for page in PdfReader(path).pages:
        page.extract_text(visitor_text=visit)
    return found


def texts_in_fonts(path: Path) -> list[tuple[str, str]]:
    """Each printed piece of text with the name of its font, on pages and in forms."""
    found: list[tuple[str, str]] = []

    def visit(text: str, _matrix: object, _text_matrix: object, font: Any, _size: float) -> None:  # noqa: ANN401 - pypdf's font is an untyped dictionary
        if text.strip():
            found.append((text, str(font["/BaseFont"])))

    for page in PdfReader(path).pages:
        page.extract_text(visitor_text=visit)
    return found


def forms_kept(path: Path) -> dict[str, set[int]]:
    """The objects that stand behind each form's name, over all pages."""
    kept: dict[str, set[int]] = {}
    for page in PdfReader(path).pages:
        forms: Any = page["/Resources"].get_object()
        for name in forms["/XObject"]:
            kept.setdefault(name.removeprefix("/FormXob."), set()).add(forms["/XObject"].raw_get(name).idnum)
    return kept


def outline(path: Path) -> list[str]:
    """The titles of the document's outline."""
    entries: Any = PdfReader(path).outline
    return [entry["/Title"] for entry in entries]


def language(path: Path) -> str:
    """The language that the document says it is in."""
    root: Any = PdfReader(path).trailer["/Root"]
    return str(root["/Lang"])


def tool(name: str) -> str:
    """The path of a program; without it the test is skipped, or fails where tools are required."""
    found = shutil.which(name)
    if found is None:
        reason = f"{name} is not installed"
        if os.environ.get("COACHBOOK_REQUIRE_TOOLS"):
            pytest.fail(reason)
        pytest.skip(reason)
    return found


def pixels(
    path: Path,
    dpi: int,
    folder: Path,
    *,
    colour: bool = False,
    window: tuple[int, int, int, int] | None = None,
) -> list[Pixels]:
    """Each page as an array (rows, columns) of grey values, or (rows, columns, 3) in colour.

    `window` is left, top, width and height in pixels; without it the whole page.
    """
    options = [] if colour else ["-gray"]
    if window is not None:
        options += [word for flag, n in zip("xyWH", window, strict=True) for word in (f"-{flag}", str(n))]
    subprocess.run([tool("pdftoppm"), "-r", str(dpi), *options, str(path), str(folder / "page")], check=True)
    return [_read_pnm(file, 3 if colour else 1) for file in sorted(folder.glob("page-*.p[gp]m"))]


def margins_mm(page: Pixels, dpi: int) -> tuple[float, float, float, float]:
    """White to the left of, above, right of and below the ink."""
    rows, columns = np.nonzero(page < 250)
    height, width = page.shape
    edges = (columns.min(), rows.min(), width - 1 - columns.max(), height - 1 - rows.max())
    left, top, right, bottom = (float(edge) * 25.4 / dpi for edge in edges)
    return left, top, right, bottom


def check_margins(path: Path, folder: Path) -> None:
    """Fails if anything is printed nearer to the edge than printers reach."""
    dpi = 72
    for page in pixels(path, dpi, folder):
        left, top, right, bottom = margins_mm(page, dpi)
        assert min(left, right) >= 13.3
        assert min(top, bottom) >= 10.3


def check_greys(path: Path, folder: Path) -> None:
    """Fails if any dot has a colour."""
    for page in pixels(path, 50, folder, colour=True):
        assert np.array_equal(page.max(axis=2), page.min(axis=2))


def _resources(resources: Any) -> list[Any]:  # noqa: ANN401 - pypdf's objects are untyped dictionaries
    here = resources.get_object()
    below = [form.get_object().get("/Resources") for form in here.get("/XObject", {}).values()]
    return [here, *(r for form in below if form is not None for r in _resources(form))]


def _read_pnm(file: Path, channels: int) -> Pixels:
    """A binary PGM (one channel) or PPM (three), as poppler writes it."""
    content = file.read_bytes()
    _magic, width, height, deepest = content.split(maxsplit=4)[:4]
    assert deepest == b"255"
    shape = (int(height), int(width), channels)
    page = np.frombuffer(content[-int(np.prod(shape)) :], dtype=np.uint8).reshape(shape)
    return page[:, :, 0] if channels == 1 else page
