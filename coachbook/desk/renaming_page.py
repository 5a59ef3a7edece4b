"""A student gets another name, or is erased: what mentions the name is asked about first, text by text."""

from dataclasses import dataclass
from pathlib import Path

from starlette.responses import Response

from coachbook.club.book import Book
from coachbook.club.free_text import ERASED
from coachbook.desk.asked import Asked, Page
from coachbook.desk.jobs import Progress
from coachbook.desk.shown import shown
from coachbook.desk.work_page import at_work
from coachbook.errors import CoachbookError
from coachbook.wording.care_words import (
    CANNOT_BE_TAKEN_BACK,
    CANNOT_REACH,
    DRAFT_DELETED,
    RULES_COME_FIRST,
    TAKEN_BACK_DELETED,
    elsewhere_in_words,
    out_of_reach,
    to_be_erased,
)
from coachbook.wording.counting import counted
from coachbook.workflows.care import (
    check_no_draft,
    erase_member,
    has_draft,
    has_taken_back,
    mentions_of,
    names_to_change,
    not_ours,
    rename_member,
    traces_of,
)
from coachbook.workflows.members import student_with
from coachbook.workflows.mentions_decided import ShownMention, decided, shown_mentions

_COPIES = "such as backups on a stick"
_REACH = {"cannot": CANNOT_REACH, "things": out_of_reach(_COPIES), "rules": RULES_COME_FIRST}


@dataclass(frozen=True, slots=True)
class Rewriting:
    """What came of it: lines to tell, what may mention the name still, and files that could not be read.
    `student` is the id, 0 if there is no such student any more."""

    title: str
    lines: tuple[str, ...]
    left: tuple[ShownMention, ...]
    unread: tuple[Path, ...]
    student: int = 0


def ask_to_rename(asked: Asked) -> Response:
    """The texts that mention the student; without any the name changes at once."""
    book = asked.book()
    check_no_draft(book)
    student = student_with(book, asked.number("student"))
    old, new = names_to_change(book, student.name, asked.text("name"))
    found = mentions_of(book, old, new)
    if not found:
        return _rename(asked, book)
    return shown(asked, "renaming.html", student=student, new=new, texts=shown_mentions(found))


def rename(asked: Asked) -> Response:
    """The name changes, and the texts as they were ticked."""
    return _rename(asked, asked.book())


def _rename(asked: Asked, book: Book) -> Response:
    number, marks = asked.number("student"), frozenset(asked.all("mark"))
    old, new = names_to_change(book, student_with(book, number).name, asked.text("name"))

    def change(_: Progress) -> str:
        done = rename_member(book, old, new, decided(mentions_of(book, old, new), marks, (), new))
        asked.desk.outcomes.forget_all()
        if not (done.left or done.damaged):
            return f"/student/{number}"
        line = f"{old} is {new}{elsewhere_in_words(done.backups, done.reworded)}."
        told = Rewriting(f"{new} is renamed", (line,), shown_mentions(done.left), done.damaged, number)
        return f"/rewritten/{asked.desk.outcomes.add(told)}"

    return at_work(asked, "Renaming", f"/student/{number}", change)


def ask_to_erase(asked: Asked) -> Response:
    """What goes, what mentions the student, and what cannot be reached."""
    book = asked.book()
    student = student_with(book, asked.number("student"))
    name, facts = traces_of(book, student.name)
    return shown(
        asked,
        "erasing.html",
        student=student,
        told=(to_be_erased(name, facts), CANNOT_BE_TAKEN_BACK),
        texts=shown_mentions(mentions_of(book, name)),
        erased=ERASED,
        unread=not_ours(book),
        reach=_REACH,
    )


def erase(asked: Asked) -> Response:
    """The student goes, if the name was typed just so."""
    book = asked.book()
    name = student_with(book, asked.number("student")).name
    if asked.text("name").strip() != name:
        raise CoachbookError("What was typed is not the name.", "Type it just as it stands there.")
    marks, gone = frozenset(asked.all("mark")), frozenset(asked.all("gone"))

    def change(_: Progress) -> str:
        also = [DRAFT_DELETED] if has_draft(book) else []
        also += [TAKEN_BACK_DELETED] if has_taken_back(book) else []
        done = erase_member(book, name, decided(mentions_of(book, name), marks, gone, ERASED))
        asked.desk.outcomes.forget_all()
        elsewhere = elsewhere_in_words(done.backups, done.reworded)
        line = f"{counted(done.facts, 'fact')} went with the name{elsewhere}."
        told = Rewriting("Erased", (line, *also), shown_mentions(done.left), done.damaged)
        return f"/rewritten/{asked.desk.outcomes.add(told)}"

    return at_work(asked, "Erasing", "/groups", change)


def show_rewritten(asked: Asked) -> Response:
    """What came of it."""
    done = asked.outcome("seen", Rewriting)
    return shown(asked, "rewritten.html", done=done, reach=None if done.student else _REACH)


_STUDENT = "/student/{student:int}"

PAGES = (
    Page(f"{_STUDENT}/rename", ask_to_rename, "POST"),
    Page(f"{_STUDENT}/rename/keep", rename, "POST"),
    Page(f"{_STUDENT}/erase", ask_to_erase),
    Page(f"{_STUDENT}/erase", erase, "POST"),
    Page("/rewritten/{seen}", show_rewritten),
)
