"""Several documents as one file for the printer, in order, with an outline."""

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path

from pypdf import PdfReader, PdfWriter

from coachbook.paper.page import put_in_place


def bundle(parts: Sequence[tuple[str, Path]], path: Path, title: str) -> tuple[int, ...]:
    """Put documents with their titles into one file at `path`: how many pages each has.

    The same documents give the same bytes. Raises CoachbookError if the file cannot be written.
    """
    writer = PdfWriter()
    counts = []
    for name, part in parts:
        reader = PdfReader(part)
        counts.append(len(reader.pages))
        writer.append(reader, outline_item=name, import_outline=len(reader.outline) > 1)
    writer.compress_identical_objects()
    writer.add_metadata({"/Title": title, "/Author": "coachbook", "/Creator": "coachbook"})
    made = BytesIO()
    writer.write(made)
    put_in_place(path, made.getvalue())
    return tuple(counts)


def pages_of(path: Path) -> int:
    """How many pages a document has."""
    return len(PdfReader(path).pages)
