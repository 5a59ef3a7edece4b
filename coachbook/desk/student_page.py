"""A student: what happened, what stands where and why, what is due; and the papers on one student."""

from collections.abc import Callable
from dataclasses import dataclass

from starlette.responses import Response

from coachbook.desk.asked import Asked, Page, goto
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.model.facts import Impression
from coachbook.model.settings import paper_options
from coachbook.wording.care_words import WHAT_A_RECORD_IS, to_be_removed
from coachbook.wording.people import (
    STANDING_LETTERS,
    evening_in_words,
    missing_in_words,
    play_out_result,
    slips_in_words,
)
from coachbook.wording.why_due import why_in_words
from coachbook.workflows.certificates import certificate, level_of_student, print_certificate
from coachbook.workflows.members import groups_of, move_member, student_with
from coachbook.workflows.reports import family_report, print_family_report
from coachbook.workflows.student_records import export_record, why_of
from coachbook.workflows.student_view import StudentDay, student_view


@dataclass(frozen=True, slots=True)
class WrittenRecord:
    """The addresses of a record that was just written."""

    pdf: str
    data: str


def show(asked: Asked) -> Response:
    """All of it on one page, with the newest evening first."""
    book = asked.book()
    view = student_view(book, asked.syllabus, asked.number("student"), asked.today)
    return shown(
        asked,
        "student.html",
        view=view,
        titles=asked.syllabus.titles,
        letters=STANDING_LETTERS,
        missing=missing_in_words,
        happened=[(day, _happened(asked, day)) for day in view.days],
        groups=groups_of(book),
    )


def why(asked: Asked) -> Response:
    """One unit: the evidence, what is missing, and why it is due, or not yet."""
    book, unit = asked.book(), asked.syllabus.unit(str(asked.values["unit"]))
    student = student_with(book, asked.number("student"))
    found = why_of(book, asked.syllabus, student.name, unit.code, asked.today)
    return shown(
        asked,
        "student_unit.html",
        student=student,
        unit=unit,
        level=asked.syllabus.level_of(unit),
        progress=found.progress,
        letter=STANDING_LETTERS[found.progress.standing],
        why=why_in_words(found),
        missing=[missing_in_words(each) for each in found.progress.missing],
        evenings=[
            (evening_in_words(each), slips_in_words(each.all_slips))
            for each in reversed(found.progress.evenings)
        ],
    )


def move(asked: Asked) -> Response:
    """In the groups that are ticked, and in no others."""
    book = asked.book()
    ticked = [group.id for group in groups_of(book) if str(group.id) in asked.all("group")]
    move_member(book, asked.number("student"), ticked)
    return goto(student_path(asked.number("student")))


def ask_to_leave(asked: Asked) -> Response:
    """What taking a student out of all groups does."""
    student = student_with(asked.book(), asked.number("student"))
    if not student.groups:
        raise CoachbookError(f"{student.name} is in no group.")
    told = to_be_removed(student.name, student.groups)
    return shown(asked, "student_leaving.html", student=student, told=told)


def leave(asked: Asked) -> Response:
    """Out of all groups."""
    move_member(asked.book(), asked.number("student"), ())
    return goto(student_path(asked.number("student")))


def print_family(asked: Asked) -> Response:
    """The page for a family, in the club's folder for papers."""
    name, today, syllabus = _name(asked), asked.today, asked.syllabus

    def make(_: Progress) -> str:
        book = asked.book()
        report = family_report(book, syllabus, name, today)
        return asked.desk.made.add(
            print_family_report(book, report, None, paper_options(book.settings, None))
        )

    return _working(asked, "The page for the family", make)


def print_level(asked: Asked) -> Response:
    """The certificate for a level; refused, with what is missing, before it is earned."""
    book, syllabus = asked.book(), asked.syllabus
    earned = level_of_student(book, syllabus, _name(asked), asked.number("level"), asked.today)
    page = certificate(book, syllabus, earned)

    def make(_: Progress) -> str:
        return asked.desk.made.add(print_certificate(book, page, None, paper_options(book.settings, None)))

    return _working(asked, "The certificate", make)


def write_record(asked: Asked) -> Response:
    """All that the book holds under the name, as a PDF and as data, in the club's folder for papers."""
    name, number, today, syllabus = _name(asked), asked.number("student"), asked.today, asked.syllabus

    def make(_: Progress) -> str:
        book, made = asked.book(), asked.desk.made
        data, pdf = export_record(
            book, syllabus, name, today, book.settings.papers, paper_options(book.settings, None)
        )
        key = asked.desk.outcomes.add(WrittenRecord(made.add(pdf), made.add(data)))
        return f"{student_path(number)}/record/{key}"

    return _working(asked, "The record", make)


def show_record(asked: Asked) -> Response:
    """Where both files are, and what they are."""
    student = student_with(asked.book(), asked.number("student"))
    written = asked.outcome("seen", WrittenRecord)
    return shown(asked, "student_record.html", student=student, written=written, told=WHAT_A_RECORD_IS)


def student_path(number: int) -> str:
    """The address of a student."""
    return f"/student/{number}"


def _name(asked: Asked) -> str:
    return student_with(asked.book(), asked.number("student")).name


def _working(asked: Asked, title: str, make: Callable[[Progress], str]) -> Response:
    back = student_path(asked.number("student"))
    return at_work(asked, title, back, make)


def _happened(asked: Asked, day: StudentDay) -> list[str]:
    """A line for each thing that is logged of a day."""
    titles, lines = asked.syllabus.titles, list[str]()
    if (mark := day.attendance) is not None:
        lines.append("late" if mark.late else "there" if mark.present else "absent")
    for sheet in day.sheets:
        units = ", ".join(titles.get(unit, unit) for unit in sheet.units)
        slips = slips_in_words(sheet.slips)
        told = f"{units}: {sheet.right} of {sheet.tried} right{f'; {slips}' if slips else ''}"
        lines.append(f"{told} (sheet {sheet.code})")
    lines += [
        f"{titles.get(each.unit, each.unit)}, play-out: {play_out_result(each)}" for each in day.play_outs
    ]
    for note in day.notes:
        unit = f"{titles.get(note.unit, note.unit)}: " if note.unit else ""
        sign = f" ({note.impression.value})" if note.impression is not Impression.NONE else ""
        lines.append(f"{unit}{note.note}{sign}")
    return lines


_STUDENT = "/student/{student:int}"

PAGES = (
    Page(_STUDENT, show),
    Page(f"{_STUDENT}/unit/{{unit}}", why),
    Page(f"{_STUDENT}/groups", move, "POST"),
    Page(f"{_STUDENT}/leave", ask_to_leave),
    Page(f"{_STUDENT}/leave", leave, "POST"),
    Page(f"{_STUDENT}/family", print_family, "POST"),
    Page(f"{_STUDENT}/certificate", print_level, "POST"),
    Page(f"{_STUDENT}/record", write_record, "POST"),
    Page(f"{_STUDENT}/record/{{seen}}", show_record),
)
