"""Everything about one student, written as files to give out."""

import json
from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.model.syllabus import Syllabus
from coachbook.paper.options import PaperOptions
from coachbook.paper.page import put_in_place
from coachbook.paper.student_record import write_student_record
from coachbook.workflows.file_names import file_name_of
from coachbook.workflows.papers import papers_in
from coachbook.workflows.record import record_as_data, whole_record_of


def export_record(
    book: Book, syllabus: Syllabus, name: str, on: date, folder: Path, options: PaperOptions
) -> tuple[Path, Path]:
    """Write what the book holds under a student's name as JSON and as a PDF: both files, or none.

    Raises CoachbookError.
    """
    record = whole_record_of(book, syllabus, name, on)
    called = file_name_of(book, record.student)
    text, pdf = folder / f"record-{called}.json", folder / f"record-{called}.pdf"
    data = json.dumps(record_as_data(record), indent=2, ensure_ascii=False, default=str)
    with papers_in(folder) as papers:
        write_student_record(record, papers.part(pdf), options)
        put_in_place(papers.part(text), f"{data}\n".encode())
        papers.put_in_place()
    return text, pdf
