"""A book that holds all that can be kept of a student, and where the name is found."""

import unicodedata
from datetime import datetime
from pathlib import Path

from coachbook.club.book import Book
from coachbook.club.erase import Rewritten, erase_student, find_mentions
from coachbook.club.free_text import ERASED, Wording
from coachbook.club.log import log_answers, log_attendance, log_observation, log_play_out
from coachbook.club.mentions import with_replaced
from coachbook.club.results import answers, attendance
from coachbook.club.sheets import load_worksheet, save_worksheet
from coachbook.club.students import add_group, add_student, list_students
from coachbook.model.facts import Attendance, ItemResult, Observation, PlayOutEnd, PlayOutResult
from coachbook.model.syllabus import Goal
from coachbook.model.worksheet import Worksheet

MORNING = datetime(2026, 11, 26, 9, 5, 7)
NAME = "Wilhelmina"
NOTE = f"Waited well; {NAME} and WILHELMINA's brother helped."


def fill(book: Book, name: str, sheet: Worksheet, now: datetime) -> None:
    """All that can be kept of a student is kept of the one of this name, and of Tom."""
    on = now.date()
    with book.writing() as w:
        add_group(w, "Tuesday")
        for each in (name, "Tom"):
            add_student(w, each, ["Tuesday"])
        save_worksheet(w, sheet, [name, "Tom"])
        log_attendance(w, [Attendance(name, on, present=True), Attendance("Tom", on, present=False)], now)
        log_answers(w, [ItemResult(name, "QB-1", "queen-box", 1, on, "Qg7", right=True)], now)
        log_answers(
            w,
            [ItemResult("Tom", "QB-1", "queen-box", 1, on, f"ask {name}", right=False, slip="unreadable")],
            now,
        )
        for each in (name, "Tom"):
            played = PlayOutResult(
                each, "queen-box", on, "7k/8/5K2/8/8/8/8/6Q1 w - - 0 1", Goal.WIN, 9, PlayOutEnd.MATE
            )
            log_play_out(w, played, now)
            log_observation(w, Observation(each, "queen-box", on, NOTE.replace(NAME, name)), now)


def taken_out(path: Path, name: str, new: str = "") -> Wording:
    """The decision to take the name out wherever it may stand, or to put the new one there."""
    mentions = find_mentions(path, name, new)
    return {each: with_replaced(each.text, each.spans, new or ERASED) for each in mentions}


def erase_everywhere(path: Path, name: str) -> Rewritten:
    """Erases a student, and takes the name out wherever it may stand."""
    return erase_student(path, name, taken_out(path, name))


def spellings(name: str) -> list[bytes]:
    """The bytes of a name in every form in which it could be kept."""
    forms = {unicodedata.normalize(form, name) for form in ("NFC", "NFD")}
    cases = {changed for form in forms for changed in (form, form.lower(), form.upper(), form.casefold())}
    return [form.encode(coding) for form in cases for coding in ("utf-8", "utf-16-le", "utf-16-be")]


def files_with(name: str, folder: Path) -> list[str]:
    """The files below a folder that hold a name."""
    files = [path for path in sorted(folder.rglob("*")) if path.is_file()]
    return [path.name for path in files if any(form in path.read_bytes() for form in spellings(name))]


def everything_of_others(book: Book) -> list[object]:
    """Students, answers, attendance and the sheet, without what is of Wilhelmina."""
    with book.reading() as r:
        return [
            [student for student in list_students(r) if student.name != NAME],
            [answer for answer in answers(r) if answer.student != NAME],
            [mark for mark in attendance(r) if mark.student != NAME],
            load_worksheet(r, "QB-1"),
        ]
