"""The page: its frame, its type sizes, its running lines, and drawings that return many times in a file.

Without this a worksheet is several times larger, and slower to make.
"""

import errno
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from reportlab import rl_config
from reportlab.pdfgen.canvas import Canvas

from coachbook.errors import CoachbookError
from coachbook.files.unfinished import unfinished_file
from coachbook.paper.print_options import PaperSize
from coachbook.paper.text import TEXT, draw_centred, draw_fitted, draw_right, signs_of_fonts, text_width

Box = tuple[float, float, float, float]


def stamp(
    canvas: Canvas, name: str, box: Box, draw: Callable[[], None], x: float, y: float, scale: float = 1
) -> None:
    """Place the form `name` with its origin at (x, y); `draw` makes it if the file has none yet.

    `box` is what the form may paint (left, bottom, right, top) in its own units. One name
    must always stand for one drawing.
    """
    if not canvas.hasForm(name):
        canvas.beginForm(name, *box)
        draw()
        canvas.endForm()
    canvas.saveState()
    canvas.transform(scale, 0, 0, scale, x, y)
    canvas.doForm(name)
    canvas.restoreState()


# Plain binary streams: a fifth smaller and faster than text-encoded ones.
rl_config.useA85 = 0

MM = 72 / 25.4
SMALL = 8.5
BODY = 10.0
TITLE = 19.0
RULE = 0.7

_SIZES_MM = {PaperSize.A4: (210.0, 297.0), PaperSize.LETTER: (215.9, 279.4)}
_DATABASE = b"SQLite format 3\0"  # how one begins: https://sqlite.org/fileformat.html
_BESIDE_DATABASES = ("-journal", "-wal", "-shm")  # https://sqlite.org/tempfiles.html
_SIDE_MM, _TOP_MM, _BOTTOM_MM = 14.0, 11.0, 11.0


@dataclass(frozen=True, slots=True)
class Frame:
    """The printable part of a page, in points from the lower left corner of the sheet."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left


def frame_of(size: PaperSize, *, landscape: bool = False) -> Frame:
    """The frame within the margins: 14 mm at the sides, 11 mm above and below."""
    width, height = _sheet_mm(size, landscape=landscape)
    return Frame(_SIDE_MM * MM, _BOTTOM_MM * MM, (width - _SIDE_MM) * MM, (height - _TOP_MM) * MM)


def _sheet_mm(size: PaperSize, *, landscape: bool) -> tuple[float, float]:
    narrow, long = _SIZES_MM[size]
    return (long, narrow) if landscape else (narrow, long)


def write_pdf(
    path: Path, size: PaperSize, title: str, draw: Callable[[Canvas], None], *, landscape: bool = False
) -> None:
    """Draw a whole document, then put it in place at once, or not at all.

    `draw` ends each page with `showPage`. The same drawing gives the same bytes.
    Raises CoachbookError if there is no page or the file cannot be written.
    """
    signs_of_fonts()
    width, height = _sheet_mm(size, landscape=landscape)
    page = BytesIO()
    canvas = Canvas(
        page,
        pagesize=(width * MM, height * MM),
        pageCompression=1,
        invariant=1,
        initialFontName=TEXT,
        initialFontSize=BODY,
        lang="en-GB",
    )
    canvas.setTitle(title)
    canvas.setAuthor("coachbook")
    canvas.setCreator("coachbook")
    draw(canvas)
    if canvas.getPageNumber() == 1:
        raise CoachbookError(f"There is nothing to print on {path}.", "Choose at least one sheet.")
    canvas.save()
    put_in_place(path, page.getvalue())


def put_in_place(path: Path, content: bytes) -> None:
    """Write beside the file, for its owner alone, then rename. Raises CoachbookError, leaving nothing
    half-written.

    Another file of that name is gone then; but never a database, which may well be the club's book.
    """
    with _told_plainly(path):
        _check_may_go(path)
        with unfinished_file(path.parent) as part:
            part.write_bytes(content)
            part.replace(path)


def check_places(paths: Sequence[Path]) -> None:
    """Raises CoachbookError if any of several files cannot go to its place, before one of them does."""
    for number, path in enumerate(paths):
        if any(path.resolve() == other.resolve() for other in paths[:number]):
            raise CoachbookError(f"{path} is named for two files.", "Give each a name of its own.")
        with _told_plainly(path):
            _check_may_go(path)
            if not path.absolute().parent.is_dir():
                raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT))


@contextmanager
def _told_plainly(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        reason = error.strerror or str(error)
        raise CoachbookError(f"{path} cannot be written: {reason}.", "Choose another place.") from error


def _check_may_go(path: Path) -> None:
    """Raises CoachbookError for a database, what SQLite keeps beside one, and what is no file, such as a
    device; OSError for a folder or a name that cannot be."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
    if path.exists() and not path.is_file():
        raise CoachbookError(
            f"{path} is not a file, and nothing is written in its place.", "Choose another name."
        )
    if _is_database(path):
        raise CoachbookError(
            f"{path} is a database, such as a book, and nothing is written over it.",
            "Choose another name.",
        )
    check_not_beside(path)


def check_not_beside(path: Path) -> None:
    """Raises CoachbookError for a name that SQLite keeps for a file beside a database that is there."""
    for suffix in _BESIDE_DATABASES:
        beside = path.name.removesuffix(suffix)
        if beside not in ("", path.name) and _is_database(path.with_name(beside)):
            raise CoachbookError(f"{path.name} belongs to {beside}, a database.", "Choose another name.")


def _is_database(path: Path) -> bool:
    if not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(len(_DATABASE)) == _DATABASE


def draw_heading(
    canvas: Canvas, frame: Frame, left: str, right: str, title: str, *, size: float = TITLE, aside: str = ""
) -> None:
    """The top of every page: a line with two texts, a rule, and the title with something aside."""
    y = frame.top - 9
    right_width = min(0.48 * frame.width, text_width(right, BODY))
    draw_fitted(canvas, frame.left, y, left, BODY, frame.width - right_width - 4 * MM)
    draw_fitted(canvas, frame.right - right_width, y, right, BODY, right_width)
    draw_rule(canvas, frame.left, frame.right, y - 5, 1.4)
    room = frame.width - 1.5 * text_width(aside, 12, bold=True)
    draw_fitted(canvas, frame.left, y - 26, title, size, room, bold=True)
    draw_right(canvas, frame.right, y - 26, aside, 12, bold=True)


def draw_footer(canvas: Canvas, frame: Frame, left: str, middle: str, right: str) -> None:
    """One small line along the bottom of the frame."""
    y, most = frame.bottom + 1.5, 0.4 * frame.width
    right_width = min(most, text_width(right, SMALL))
    draw_fitted(canvas, frame.left, y, left, SMALL, most)
    draw_centred(canvas, (frame.left + frame.right) / 2, y, middle, SMALL)
    draw_fitted(canvas, frame.right - right_width, y, right, SMALL, right_width)


def draw_rule(canvas: Canvas, x1: float, x2: float, y: float, width: float = RULE) -> None:
    """A horizontal line."""
    canvas.setLineWidth(width)
    canvas.line(x1, y, x2, y)
