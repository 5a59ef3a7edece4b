"""Everything about one student, written as files to give out."""

import json
from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.errors import CoachbookError
from coachbook.model.syllabus import Syllabus
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import put_in_place
from coachbook.paper.student_record import write_student_record
from coachbook.workflows.record import record_as_data, whole_record_of
from coachbook.workflows.sheets import make_folder


def export_record(
    book: Book, syllabus: Syllabus, name: str, on: date, folder: Path, options: PaperOptions
) -> tuple[Path, Path]:
    """Write what the book holds under a student's name as JSON and as a PDF: both files, or none.

    Raises CoachbookError.
    """
    record = whole_record_of(book, syllabus, name, on)
    bare = "".join(letter if letter.isalnum() else "-" for letter in record.student.lower())
    text, pdf = folder / f"record-{bare}.json", folder / f"record-{bare}.pdf"
    make_folder(folder)
    write_student_record(record, pdf, options)
    data = json.dumps(record_as_data(record), indent=2, ensure_ascii=False, default=str)
    try:
        put_in_place(text, f"{data}\n".encode())
    except CoachbookError:
        pdf.unlink(missing_ok=True)
        raise
    return text, pdf
