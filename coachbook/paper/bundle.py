"""Several documents as one file, for the printer or to be read: in order, with a table of contents.

The same documents give the same bytes.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from types import MappingProxyType
from typing import cast

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
)

from coachbook.model.print_options import PaperOptions
from coachbook.paper.leaves import Face, PaperUsed, faces, paper_used
from coachbook.paper.page import half_page

_MARK, _MARK_WIDTH = 22, 0.5


@dataclass(frozen=True, slots=True)
class Part:
    """A document in a file. `for_coach` is what stays with the coach. Where pages are `loose` each is a piece
    of its own; else each entry of the document's table of contents begins one."""

    title: str
    document: bytes
    for_coach: bool = False
    loose: bool = False

    @property
    def pages(self) -> int:
        return pages_of(self.document)


def pages_of(document: bytes) -> int:
    """How many pages a PDF has."""
    return len(PdfReader(BytesIO(document)).pages)


def pieces_of(
    parts: Sequence[Part],
    instead: Mapping[str, Sequence[int]] = MappingProxyType({}),
    *,
    two_sides: bool = False,
) -> tuple[int, ...]:
    """How many pages each piece has; what the coach keeps is one piece where it stands together, unless both
    sides are printed: a lesson is not on the back of a register. `instead` are the pieces of parts, by title,
    if these were made in another way."""
    pieces: list[int] = []
    before = False
    for part in parts:
        if part.for_coach and before and not two_sides:
            pieces[-1] += part.pages
        else:
            pieces += instead.get(part.title) or _pieces(part)
        before = part.for_coach
    return tuple(pieces)


def _pieces(part: Part) -> list[int]:
    reader = PdfReader(BytesIO(part.document))
    count = len(reader.pages)
    if part.loose:
        return [1] * count
    entries = [] if part.for_coach else [page for _, page in _contents(reader)]
    starts = sorted({0, *entries})
    return [end - start for start, end in zip(starts, [*starts[1:], count], strict=True)]


def _contents(reader: PdfReader) -> Iterator[tuple[str, int]]:
    """The entries of a table of contents of one level, each with its page."""
    for entry in reader.outline:
        page = None if isinstance(entry, list) else reader.get_destination_page_number(entry)
        if page is not None and not isinstance(entry, list):
            yield str(entry.title), page


def bundle_pdf(parts: Sequence[tuple[str, bytes]], title: str) -> bytes:
    """Documents with their titles as one PDF."""
    return _written(_joined([Part(*part) for part in parts]), title)


def printer_pdf(parts: Sequence[Part], title: str, options: PaperOptions) -> tuple[bytes, PaperUsed]:
    """Documents as one PDF, their pages shared out over leaves as the options say; and the paper it takes."""
    ways = {"two_sides": options.two_sides, "two_up": options.two_up}
    pieces = pieces_of(parts, two_sides=options.two_sides)
    printed, used = faces(pieces, **ways), paper_used(pieces, **ways)
    if options.two_up:
        return _written(_side_by_side(parts, pieces, printed, options), title), used
    writer = _joined(parts)
    for at, (page,) in enumerate(printed):
        if page is None:
            writer.insert_blank_page(index=at)
    return _written(writer, title), used


def _joined(parts: Sequence[Part]) -> PdfWriter:
    writer = PdfWriter()
    for part in parts:
        reader = PdfReader(BytesIO(part.document))
        writer.append(reader, outline_item=part.title or None, import_outline=len(reader.outline) > 1)
    return writer


def _written(writer: PdfWriter, title: str) -> bytes:
    writer.compress_identical_objects()
    writer.add_metadata({"/Title": title, "/Author": "coachbook", "/Creator": "coachbook"})
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


def _side_by_side(
    parts: Sequence[Part], pieces: Sequence[int], printed: Sequence[Face], options: PaperOptions
) -> PdfWriter:
    writer = PdfWriter()
    readers = [PdfReader(BytesIO(part.document)) for part in parts]
    sources = [page for reader in readers for page in reader.pages]
    owners = [number for number, count in enumerate(pieces) for _ in range(count)]
    for face in printed:
        cut = len({owners[page] for page in face if page is not None}) > 1
        _draw_face(writer, [None if page is None else sources[page] for page in face], options, cut=cut)
    places = {page: at for at, face in enumerate(printed) for page in face if page is not None}
    start = 0
    for part, reader in zip(parts, readers, strict=True):
        entries = list(_contents(reader))
        own = writer.add_outline_item(title=part.title, page_number=places[start]) if part.title else None
        for title, page in entries if len(entries) > 1 or own is None else ():
            writer.add_outline_item(title=title, page_number=places[start + page], parent=own)
        start += len(reader.pages)
    return writer


def _draw_face(
    writer: PdfWriter, pages: Sequence[PageObject | None], options: PaperOptions, *, cut: bool
) -> None:
    """Two pages side by side, made smaller, each a form; with marks where the leaf is to be cut."""
    half = half_page(options.size)
    face = writer.add_blank_page(2 * half.width, half.height)
    forms, drawn = DictionaryObject(), []
    for at, page in enumerate(pages):
        if page is not None:
            forms[NameObject(f"/Half{at}")] = _as_form(writer, page)
            x, y = half.width * at + half.left, half.bottom
            drawn.append(f"q {half.scale:.5f} 0 0 {half.scale:.5f} {x:.3f} {y:.3f} cm /Half{at} Do Q")
    if cut:
        middle, top = half.width, half.height
        drawn.append(f"{_MARK_WIDTH} w {middle:.3f} 0 m {middle:.3f} {_MARK} l S")
        drawn.append(f"{middle:.3f} {top:.3f} m {middle:.3f} {top - _MARK:.3f} l S")
    content = DecodedStreamObject()
    content.set_data("\n".join(drawn).encode())
    face[NameObject("/Contents")] = writer._add_object(content)
    face[NameObject("/Resources")] = DictionaryObject({NameObject("/XObject"): forms})


def _as_form(writer: PdfWriter, page: PageObject) -> IndirectObject:
    """A page as a form, with all that it uses."""
    form, contents = DecodedStreamObject(), page.get_contents()
    form.set_data(contents.get_data() if contents is not None else b"")
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/FormType"): NumberObject(1),
            NameObject("/BBox"): ArrayObject(page.mediabox),
            NameObject("/Resources"): cast("DictionaryObject", page["/Resources"]).clone(writer),
        }
    )
    return writer._add_object(form.flate_encode())
