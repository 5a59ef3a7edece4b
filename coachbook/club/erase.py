"""Erasing and renaming a student, in the book and in coachbook's own backups of it.

The backups come first and the book last, so that a program that is killed leaves the student
in the book, and can begin again. Each file is changed as a whole or not at all. What is written
on others is changed only as the coach has decided (see `rewording`).
"""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from coachbook.club.aside import put_over
from coachbook.club.backup import backups_folder, foreign_files, own_backups
from coachbook.club.connection import (
    clean,
    connect,
    connect_to_read,
    make_single_and_clean,
    mark_unclean,
    told_plainly,
    trouble_of_disk,
)
from coachbook.club.free_text import (
    NOTHING,
    Mention,
    Taken,
    Wording,
    facts_of,
    find_student,
    give_name,
    mentions_in,
    names_in,
    take_out,
)
from coachbook.club.mentions import Span, words_of
from coachbook.club.names import clean_name, find_near, no_such, plain_key
from coachbook.club.soundness import check_sound, find_fault_of_backup
from coachbook.errors import CoachbookError
from coachbook.files.unfinished import sweep_beside, written_beside

Change = Callable[[sqlite3.Connection], Taken]
"""What is done in one file."""

Check = Callable[[sqlite3.Connection, Path], None]
"""Raises CoachbookError if it cannot be done in a file."""

_MUCH_ALIKE = 0.8
"""From here on (of 1) a name that is nobody's is taken for a misspelt one."""


@dataclass(frozen=True, slots=True)
class Rewritten:
    """What became of a student: the name as it was kept, rows of facts that went, texts that were
    reworded or deleted, backups that were changed, damaged or foreign ones, which stay as they are, and
    what may mention the name still."""

    student: str
    facts: int
    reworded: int
    backups: int
    damaged: tuple[Path, ...]
    left: tuple[Mention, ...]


def find_mentions(path: Path, name: str, new: str = "") -> tuple[Mention, ...]:
    """What may mention a student in a book and its own backups, in order: what the book holds comes first.

    With a `new` name what is on the student counts too, and not what is right under that name. Raises
    CoachbookError if a file cannot be used.
    """
    with told_plainly(path), closing(connect(path)) as book:
        return _mentions(book, _sort(own_backups(path))[0], name, new)


def erase_student(path: Path, name: str, wording: Wording = NOTHING) -> Rewritten:
    """Erases a student from a book and all of its own backups; other texts only as was decided.

    A student whom only a backup holds is erased, too; of one whom only texts mention, these are
    reworded. Raises CoachbookError if there is neither, or a file cannot be used; then the student is
    still in the book.
    """
    change = partial(take_out, name=name, wording=wording)
    return _rewrite_all(path, name, change, _accept)


def rename_student(path: Path, old: str, new: str, wording: Wording = NOTHING) -> Rewritten:
    """Gives a student another name, also in the book's own backups; in texts only as was decided.

    Raises CoachbookError for an unknown student, for a name that is none or is taken (by
    another student, be it in a backup), and if a file cannot be used.
    """
    name = clean_name(new, "student")
    check = partial(_check_name, path, old, name)
    change = partial(give_name, old=old, new=name, wording=wording)
    return _rewrite_all(path, old, change, check, new=name)


def check_new_name(path: Path, old: str, new: str) -> tuple[str, str]:
    """A student's name as it is kept, and the new one as it would be. Raises CoachbookError as
    `rename_student`."""
    name = clean_name(new, "student")
    with told_plainly(path), closing(connect(path)) as book:
        check = partial(_check_name, path, old, name)
        return _look_through(book, path, _sort(own_backups(path))[0], old, check), name


def count_facts(path: Path, name: str) -> tuple[str, int | None]:
    """A student's name as the book has it, and how many facts an erasure would take.

    None (0) are counted of one whom only a backup holds; of one whom only texts mention there is no
    number (None). Raises CoachbookError as `erase_student`.
    """
    with told_plainly(path), closing(connect(path)) as book:
        backups = _sort(own_backups(path))[0]
        known = _look_through(book, path, backups, name, _accept)
        found = find_student(book, name)
        if found is None:
            return known, 0 if _is_in_any(backups, name) else None
        return known, facts_of(book, found[0])


def _is_in_any(backups: list[Path], name: str) -> bool:
    for backup in backups:
        with told_plainly(backup, "backup"), closing(connect_to_read(backup)) as opened:
            if find_student(opened, name):
                return True
    return False


def unread_files(path: Path) -> tuple[Path, ...]:
    """Files among a book's own backups that coachbook cannot read, or has not made: they may hold a name
    that is to be erased. Raises CoachbookError."""
    return (*_sort(own_backups(path))[1], *foreign_files(path))


def _rewrite_all(path: Path, name: str, change: Change, check: Check, *, new: str = "") -> Rewritten:
    with told_plainly(path), closing(connect(path)) as book:
        book.execute("BEGIN IMMEDIATE")
        _sweep(path)
        sound, damaged = _sort(own_backups(path))
        known = _look_through(book, path, sound, name, check)
        reworded = set[Mention]()
        for backup in sound:
            reworded |= _rewrite_backup(backup, change).reworded
        taken = change(book)
        left = _mentions(book, sound, name, new)
        mark_unclean(book)
        book.execute("COMMIT")
        clean(book, path)
    changed, unread = len(reworded | taken.reworded), (*damaged, *foreign_files(path))
    return Rewritten(known, taken.facts, changed, len(sound), unread, left)


def _sort(backups: list[Path]) -> tuple[list[Path], list[Path]]:
    """Sound backups, and damaged ones. Raises CoachbookError if one is in use."""
    damaged = [backup for backup in backups if find_fault_of_backup(backup)]
    return [backup for backup in backups if backup not in damaged], damaged


def _look_through(book: sqlite3.Connection, path: Path, backups: list[Path], name: str, check: Check) -> str:
    """The student's name as it is kept, if every file passes the check. Raises CoachbookError."""
    check(book, path)
    found = [find_student(book, name)]
    for backup in backups:
        with told_plainly(backup, "backup"), closing(connect_to_read(backup)) as opened:
            check(opened, backup)
            found.append(find_student(opened, name))
    known = next((student[1] for student in found if student), None)
    return known or _nobodys_name(book, backups, name)


def _nobodys_name(book: sqlite3.Connection, backups: list[Path], name: str) -> str:
    """The name of one who is no student any more, if texts mention it. Raises CoachbookError, also if
    it is rather a misspelt student."""
    found = _mentions(book, backups, name, "")
    is_alike = find_near(name, names_in(book), _MUCH_ALIKE) and not any(each.exact for each in found)
    if not found or is_alike or plain_key(name) in map(plain_key, names_in(book)):
        raise no_such("student", name, names_in(book))
    return " ".join(name.split())


def _mentions(book: sqlite3.Connection, backups: list[Path], name: str, new: str) -> tuple[Mention, ...]:
    others = dict.fromkeys([*names_in(book), *([new] if new else [])])
    for backup in backups:
        with told_plainly(backup, "backup"), closing(connect_to_read(backup)) as opened:
            others |= dict.fromkeys(names_in(opened))
    found = dict.fromkeys(_mentions_in_file(book, name, others, new))
    for backup in backups:
        with told_plainly(backup, "backup"), closing(connect_to_read(backup)) as opened:
            for mention in _mentions_in_file(opened, name, others, new):
                found.setdefault(replace(mention, in_book=False))
    return tuple(sorted(found, key=lambda each: (not each.in_book, each.entry is None, each.entry or 0)))


def _mentions_in_file(
    file: sqlite3.Connection, name: str, others: Iterable[str], new: str
) -> Iterator[Mention]:
    student = find_student(file, name)
    but = student[0] if student and not new else None
    right = {new[start:end] for start, end in words_of(new)}
    for mention in mentions_in(file, name, others, but):
        spans = tuple(span for span in mention.spans if not _words_in(mention.text, span) <= right)
        if spans:
            yield replace(mention, spans=spans)


def _words_in(text: str, span: Span) -> set[str]:
    said = text[span.start : span.end]
    return {said[start:end] for start, end in words_of(said)}


def _rewrite_backup(backup: Path, change: Change) -> Taken:
    try:
        with told_plainly(backup, "backup"), written_beside(backup) as aside:
            with closing(connect_to_read(backup)) as source, closing(connect(aside)) as copy:
                source.backup(copy)
                copy.execute("BEGIN")
                taken = change(copy)
                copy.execute("COMMIT")
                make_single_and_clean(copy)
                check_sound(copy, backup)
            put_over(aside, backup)
            return taken
    except OSError as error:
        raise trouble_of_disk(backup, error, "backup") from error


def _sweep(path: Path) -> None:
    """Removes what killed programs left of the book, and of its backups."""
    sweep_beside(path.parent, path.name)
    if backups_folder(path).is_dir():
        sweep_beside(backups_folder(path))


def _check_name(path: Path, old: str, new: str, file: sqlite3.Connection, of: Path) -> None:
    found, taken = find_student(file, old), find_student(file, new)
    if of == path and not found:
        raise no_such("student", old, names_in(file))
    # A backup that holds the new name alone was renamed before, by a program that was killed.
    if found and taken and taken != found:
        raise CoachbookError(f"There is already a student '{taken[1]}' in {of}.", "Choose another name.")


def _accept(_file: sqlite3.Connection, _path: Path) -> None:
    """Erasing is possible whatever a file holds."""
