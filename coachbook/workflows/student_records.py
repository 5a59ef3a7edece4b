"""Everything about one student: to look at, and to give out as the law may ask."""

import json
from collections.abc import Mapping
from dataclasses import asdict, replace
from datetime import date
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.held import Blank, blank_for, prepared_of, rows_of, texts_on_others
from coachbook.club.results import answers, attendance, observations, play_outs
from coachbook.club.sheets import sheets_of
from coachbook.club.students import student_named
from coachbook.model.print_options import PaperOptions
from coachbook.model.printed import StudentRecord
from coachbook.model.progress import UnitProgress, WhyDue
from coachbook.model.syllabus import Syllabus
from coachbook.paper.student_record import student_record_pdf
from coachbook.progress.standing import why_due
from coachbook.wording.people import missing_in_words, slip_in_words
from coachbook.wording.why_due import why_in_words
from coachbook.workflows.papers import file_name_of, papers_in
from coachbook.workflows.standings import progress_of


def record_of(book: Book, syllabus: Syllabus, name: str, on: date) -> StudentRecord:
    """All that the book holds about a student, and the standing on a day. Raises CoachbookError for an
    unknown student."""
    with book.reading() as tx:
        student = student_named(tx, name)
        progress = progress_of(tx, syllabus, on, student=student.name)
        return StudentRecord(
            club=book.club_name,
            student=student.name,
            on=on,
            groups=student.groups,
            attendance=tuple(attendance(tx, student=student.name)),
            sheets=tuple(sheets_of(tx, student.name)),
            answers=tuple(answers(tx, student=student.name)),
            play_outs=tuple(play_outs(tx, student=student.name)),
            observations=tuple(observations(tx, student=student.name)),
            progress=progress,
            unit_titles=tuple((unit.code, unit.title) for unit in syllabus.units),
            why_due=tuple(
                why_in_words(why_due(syllabus.unit(each.unit), each, on))
                for each in progress
                if each.is_due(on)
            ),
        )


def whole_record_of(book: Book, syllabus: Syllabus, name: str, on: date) -> StudentRecord:
    """The same with every row of the book, and what was written of others and may mention the student.

    It is to be given out: the names of other students are left out of all texts. Raises CoachbookError for an
    unknown student.
    """
    record = record_of(book, syllabus, name, on)
    with book.reading() as tx:
        blank = blank_for(tx, record.student)
        return replace(
            record,
            groups=tuple(map(blank, record.groups)),
            attendance=tuple(replace(each, guest_of=blank(each.guest_of)) for each in record.attendance),
            answers=tuple(replace(each, written=blank(each.written)) for each in record.answers),
            observations=tuple(replace(each, note=blank(each.note)) for each in record.observations),
            progress=tuple(_without_others(each, blank) for each in record.progress),
            prepared=tuple(prepared_of(tx, record.student)),
            on_others=tuple(texts_on_others(tx, record.student)),
            rows=tuple(rows_of(tx, record.student)),
        )


def _without_others(progress: UnitProgress, blank: Blank) -> UnitProgress:
    evenings = tuple(
        replace(
            evening,
            observations=tuple(replace(each, note=blank(each.note)) for each in evening.observations),
        )
        for evening in progress.evenings
    )
    return replace(progress, evenings=evenings)


def why_of(book: Book, syllabus: Syllabus, name: str, unit: str, on: date) -> WhyDue:
    """Why a student stands in a unit as they do on a day, and why it is due when it is. Raises CoachbookError
    for an unknown student or unit."""
    asked = syllabus.unit(unit)
    with book.reading() as tx:
        student = student_named(tx, name).name
        progress = progress_of(tx, syllabus, on, student=student)
    return why_due(asked, next(each for each in progress if each.unit == asked.code), on)


def why_as_data(why: WhyDue) -> dict[str, object]:
    """The same for other programs, with the paragraph."""
    last = why.progress.last_went
    return {
        **progress_as_data(why.progress),
        "unit_title": why.title,
        "is_due": why.progress.is_due(why.today),
        "last_on": why.last_on,
        "last_went": last.name.lower().replace("_", " ") if last else None,
        "decided_by": why.decided_by,
        "well_in_a_row": why.well_in_a_row,
        "why": why_in_words(why),
    }


def progress_as_data(progress: UnitProgress) -> dict[str, object]:
    """The standing for other programs: slips, and what is missing, in words."""
    evenings = [
        {**asdict(evening), "slips": [slip_in_words(slip) for slip in evening.slips]}
        for evening in progress.evenings
    ]
    missing = [missing_in_words(each) for each in progress.missing]
    data = {**asdict(progress), "evenings": evenings, "missing": missing}
    del data["last_went"]
    return data


def record_as_data(record: StudentRecord) -> Mapping[str, object]:
    """The record for other programs. Who else was given a sheet is left out: it is not about the student."""
    data = asdict(record)
    data["sheets"] = [
        {"code": sheet.code, "unit": sheet.unit, "made_on": sheet.made_on, "items": sheet.items}
        for sheet in record.sheets
    ]
    data["progress"] = [progress_as_data(each) for each in record.progress]
    data["answers"] = [{**asdict(each), "slip": slip_in_words(each.slip)} for each in record.answers]
    data["unit_titles"] = dict(record.unit_titles)
    rows: dict[str, list[dict[str, object]]] = {}
    for row in record.rows:
        rows.setdefault(row.table, []).append(dict(row.values))
    data["rows"] = rows
    return data


def export_record(
    book: Book, syllabus: Syllabus, name: str, on: date, folder: Path, options: PaperOptions
) -> tuple[Path, Path]:
    """Write what the book holds under a student's name as JSON and as a PDF: both files, or none.

    Raises CoachbookError for an unknown student, and if a file cannot be written.
    """
    record = whole_record_of(book, syllabus, name, on)
    called = file_name_of(book, record.student)
    text, pdf = folder / f"record-{called}.json", folder / f"record-{called}.pdf"
    data = json.dumps(record_as_data(record), indent=2, ensure_ascii=False, default=str)
    with papers_in(folder) as papers:
        papers.add(pdf, student_record_pdf(record, options))
        papers.add(text, f"{data}\n".encode())
        papers.put_in_place()
    return text, pdf
